"""Faults as they are gathered from one file."""

from __future__ import annotations

import pytest

from rigopt.files.csv import MOST_COLUMNS, read_grid, read_table
from rigopt.files.faults import Gathered, nearest
from rigopt.files.toml_slips import _shown


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
    sheet = Gathered("x.xlsx")
    both = (
        read_table(f"{heads}\nbox\n", ["id"], [], faults),
        read_grid(
            [heads.split(","), ["box"] + [""] * (MOST_COLUMNS - 1 + more)], ["id"], [], sheet
        ),
    )
    for rows in both:
        assert [row.cells for row in rows] == ([] if more else [{"id": "box"}])
    assert (bool(faults), bool(sheet)) == (bool(more),) * 2


@pytest.mark.parametrize(
    ("line", "column", "shown"),
    [
        ("a" * 70, 70, ("a" * 70, " " * 69 + "^")),
        ("a" * 71, 70, ("a" * 69 + "…", " " * 69 + "^")),
        ("a" * 71, 71, ("a" * 69 + "…",)),
        ("a  b", 4, ("a b", "  ^")),
    ],
)
def test_a_line_is_shown_as_far_as_there_is_room(
    line: str, column: int, shown: tuple[str, ...]
) -> None:
    assert _shown(line, column) == shown
