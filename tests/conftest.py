from __future__ import annotations

import pytest

pytest_plugins = ["tests.seconded"]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What draws cases at random belongs to the full tier, unless it is on demand only."""
    for item in items:
        drawn = getattr(getattr(item, "obj", None), "is_hypothesis_test", False)
        if drawn and item.get_closest_marker("long") is None:
            item.add_marker(pytest.mark.full)
