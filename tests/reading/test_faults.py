"""Faults as they are gathered from one file."""

from __future__ import annotations

import pytest

from rigopt.files.csv import MOST_COLUMNS, read_table
from rigopt.files.faults import Gathered, nearest


def test_a_fault_of_a_whole_column_is_none_of_one_cell() -> None:
    faults = Gathered("x.csv")
    faults.add("is odd", row=3, column="mic")
    assert not faults.about("mic")
    faults.add("is missing", column="line")
    assert faults.about("line")
    assert not faults.about("mic")


def test_among_no_names_none_is_near() -> None:
    assert nearest("desk", []) is None
    assert nearest("desk", ["desk-8"]) == "desk-8"


@pytest.mark.parametrize("more", [0, 1])
def test_as_many_columns_as_are_read(more: int) -> None:
    faults = Gathered("x.csv")
    heads = ",".join(["id", *(f"#{n}" for n in range(MOST_COLUMNS - 1 + more))])
    rows = read_table(f"{heads}\nbox\n", ["id"], [], faults)
    assert [row.cells for row in rows] == ([] if more else [{"id": "box"}])
    assert bool(faults) is bool(more)
