from __future__ import annotations

import pytest

from tests.repeat.question import DEMO, everything


@pytest.fixture(scope="session")
def first(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Every question's answer, the first time."""
    return everything(DEMO, tmp_path_factory.mktemp("first"))
