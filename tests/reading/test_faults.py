"""Faults as they are gathered from one file."""

from __future__ import annotations

import pytest

from rigopt.files.csv import (
    FAR_DOWN,
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_LINES,
    Row,
    read_grid,
    read_table,
)
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


@pytest.mark.parametrize("more", [0, 1])
def test_as_many_rows_as_are_read(more: int) -> None:
    text, sheet = Gathered("x.csv"), Gathered("x.xlsx")
    lines = ["id", *["box"] * (MOST_LINES - 1 + more)]
    assert bool(read_table("\n".join(lines), ["id"], [], text)) is not bool(more)
    grid = [[line] for line in lines]
    assert bool(read_grid([*grid, [""], [" "]], ["id"], [], sheet)) is not bool(more)
    assert (bool(text), bool(sheet)) == (bool(more),) * 2


def test_a_sheet_with_nothing_in_it_is_empty() -> None:
    grids: list[list[list[str]]] = [[], [[]], [["", " "], ["", ""]]]
    for grid in grids:
        faults = Gathered("x.xlsx")
        assert read_grid(grid, ["id", "role"], ["id"], faults) == []
        assert [str(fault) for fault in faults.faults] == [
            "x.xlsx: is empty; its first row names the columns: id, role"
        ]
    wide = Gathered("x.xlsx")
    assert read_grid([[], ["id"] * (MOST_COLUMNS + 1), []], ["id"], [], wide) == []
    assert str(wide.faults[0]).startswith("x.xlsx: has a row of 201 cells; 200 are")


def test_a_cell_is_read_to_its_longest() -> None:
    faults = Gathered("x.csv")
    (row,) = read_table(f"id\n{'x' * LONGEST_CELL}", ["id"], [], faults)
    assert (len(row.cells["id"]), faults.faults) == (LONGEST_CELL, [])
    assert read_table(f"id\n{'x' * (LONGEST_CELL + 1)}", ["id"], [], faults) == []


@pytest.mark.parametrize("late", [0, 1])
def test_a_head_is_looked_for_so_far_down(late: int) -> None:
    above = [["My gear", ""], *[["", ""]] * (FAR_DOWN - 2 + late)]
    grid = [*above, ["id", "role"], ["box", "host"]]
    lines = "\n".join(",".join(cells) for cells in grid)
    told = "row 1: is not the head of the table: the columns are named in row 20;"
    text, sheet = Gathered("x"), Gathered("x")
    assert read_table(lines, ["id", "role"], [], text) == []
    assert read_grid(grid, ["id", "role"], [], sheet) == []
    for faults in (text, sheet):
        assert (told in str(faults.faults[0])) is not bool(late)


def test_what_is_ones_own_is_in_no_row() -> None:
    faults = Gathered("x.csv")
    text = "#,id,Note to self,role\n1,box,mine,host\n2,,mine,\n"
    assert read_table(text, ["id", "role"], ["id"], faults) == [
        Row(2, {"id": "box", "role": "host"})
    ]
    assert not faults


def test_a_cell_of_signs_that_are_not_seen_is_blank() -> None:
    faults = Gathered("x.csv")
    text = "id,role\n\u200b,host\n"
    assert read_table(text, ["id", "role"], [], faults) == [Row(2, {"role": "host"})]


def test_what_is_of_no_row_is_told_before_the_first() -> None:
    faults = Gathered("x.csv")
    for row in (2, 1, None):
        faults.add("is odd", row=row)
    assert [fault.row for fault in faults.faults] == [None, 1, 2]


def test_a_row_is_as_wide_as_its_head_and_each_cell_has_one() -> None:
    faults = Gathered("x.csv")
    text = 'id,,role\na, ,host\nb,5,host\nc,,host,\n"d",,"host"\n'
    assert [row.number for row in read_table(text, ["id", "role"], ["kind"], faults)] == [
        *(2, 3, 5),
    ]
    assert [str(fault) for fault in faults.faults] == [
        "x.csv, kind: this column is missing",
        "x.csv, row 3: cell 2 stands under no column name (found '5')",
        "x.csv, row 4: has 4 cells under a header of 3; a cell that holds the separator needs "
        "quotation marks around it",
    ]


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
