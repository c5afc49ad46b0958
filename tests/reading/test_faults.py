"""Faults as they are gathered from one file."""

from __future__ import annotations

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
