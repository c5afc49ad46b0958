"""Each change that is said to be none is one that would be tried."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.mutants.changes import changes
from tests.mutants.equal import EQUAL

ROOT = Path(__file__).parents[2]


@pytest.mark.full
@pytest.mark.parametrize("file", sorted({key[0] for key in EQUAL}))
def test_no_reason_is_left_of_what_is_gone(file: str) -> None:
    text = (ROOT / file).read_text("utf-8")
    there = {(file, one.within, one.line, one.what) for one in changes(text)}
    assert {key for key in EQUAL if key[0] == file} <= there
