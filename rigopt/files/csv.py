"""One CSV file as a spreadsheet writes it, read as meant: separators, quotes, blanks.

Rows are numbered as a spreadsheet shows them, blank ones and the header included. A cell
may hold a line break; the row is still one row.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from itertools import islice
from typing import Final, NamedTuple

import pandas as pd

from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError, escaped, shown, tidy

MOST_LINES: Final = 10_000
MOST_COLUMNS: Final = 200
LONGEST_CELL: Final = 2_000
OWN: Final = ("#", "note")
"""How the heads of columns begin that are the user's own."""

_SEPARATORS: Final = (",", ";", "\t")
_BLANK: Final = " \t\n,;"
"""What blank rows are made of; a spreadsheet may write a million of them at the end."""


class Row(NamedTuple):
    """A row that is not blank: its number, and the cells that are not, by column."""

    number: int
    cells: dict[str, str]


class _Record(NamedTuple):
    """A row as it stands in the file; `width` counts the cells before padding."""

    number: int
    width: int
    cells: list[str]


def read_table(
    text: str, columns: Sequence[str], required: Sequence[str], faults: Gathered
) -> list[Row]:
    """The rows of the CSV `text` under a header that names some of `columns`.

    Cells are tidy; blank ones are left out, and so are those of a faulty column.
    """
    text = text.rstrip(_BLANK)
    records = (
        [] if _head_is_late(_cut(text), columns, faults) else _records(text, columns, faults)
    )
    return _table(records, columns, required, faults)


def own(name: str) -> bool:
    """Whether a head marks a column of the user's own, which is skipped."""
    return name.startswith(OWN)


def read_grid(
    grid: Sequence[Sequence[str]],
    columns: Sequence[str],
    required: Sequence[str],
    faults: Gathered,
) -> list[Row]:
    """The same of the sheet of a workbook, row 1 first, as texts."""
    filled = [n for n, cells in enumerate(grid, start=1) if any(map(_filled, cells))]
    wide = max(map(len, [[], *grid]))
    if filled and filled[-1] > MOST_LINES:
        faults.add(f"has {filled[-1]} rows; {MOST_LINES} are the most that is read")
        return []
    if wide > MOST_COLUMNS:
        faults.add(f"has a row of {wide} cells; {MOST_COLUMNS} are the most that is read")
        return []
    if _head_is_late(([cells] for cells in grid), columns, faults):
        return []
    records = [_Record(n, wide, [*grid[n - 1]]) for n in filled]
    return _table(records, columns, required, faults)


def _table(
    records: Sequence[_Record],
    columns: Sequence[str],
    required: Sequence[str],
    faults: Gathered,
) -> list[Row]:
    """The rows under the first one that is not blank."""
    filled = [record for record in records if any(map(_filled, record.cells))]
    if not filled:
        if not faults:
            faults.add(f"is empty; its first row names the columns: {', '.join(columns)}")
        return []
    header, *body = filled
    names = _header(header, columns, required, faults)
    rows = [Row(r.number, _cells(r, names, faults)) for r in body if _fits(r, header, faults)]
    return [row for row in rows if row.cells]


def _fits(record: _Record, header: _Record, faults: Gathered) -> bool:
    """Whether each cell has a header; if not, those after the surplus one are shifted."""
    if record.width > header.width:
        faults.add(
            f"has {record.width} cells under a header of {header.width}; a cell that holds "
            "the separator needs quotation marks around it",
            row=record.number,
        )
    return record.width <= header.width


def _filled(cell: str) -> bool:
    return bool(cell.strip())


def _records(text: str, columns: Sequence[str], faults: Gathered) -> list[_Record]:
    """All rows, blank ones included, each padded to the widest."""
    if not text:
        return []
    lines = text.count("\n") + 1
    if lines > MOST_LINES:
        faults.add(f"has {lines} lines; {MOST_LINES} are the most that is read")
        return []
    separator = separator_of(text, columns)
    widths = [line.count(separator) + 1 for line in _unquoted(text, separator)]
    width = max(widths)
    if width > MOST_COLUMNS:
        faults.add(f"has a row of {width} cells; {MOST_COLUMNS} are the most that is read")
        return []
    try:
        frame = pd.read_csv(
            io.StringIO(text),
            sep=separator,
            header=None,
            names=list(range(width)),
            index_col=False,
            dtype=str,
            na_filter=False,
            skip_blank_lines=False,
            skipinitialspace=True,
            engine="c",
            low_memory=False,
        )
    except pd.errors.ParserError as error:
        _explain(str(error), faults)
        return []
    numbered = enumerate(zip(widths, frame.to_numpy().tolist(), strict=True), start=1)
    return [_Record(number, *record) for number, record in numbered]


def _explain(error: str, faults: Gathered) -> None:
    """Say in the user's terms why the file is no table; the parser counts rows from 0."""
    row = re.search(r"starting at row (\d+)", error)
    faults.add(
        "a quotation mark is opened and never closed", row=int(row[1]) + 1 if row else None
    )


def _unquoted(text: str, separator: str) -> list[str]:
    """The rows without their quoted cells, so that every separator left is one."""
    mark = re.escape(separator)
    quoted = rf'(^|{mark}) *"[^"]*(?:""[^"]*)*"'
    return re.sub(quoted, r"\1", text, flags=re.MULTILINE).split("\n")


def separator_of(text: str, columns: Sequence[str]) -> str:
    """The separator whose header has the most known names, or else the most cells."""
    header = text.lstrip(_BLANK).partition("\n")[0]

    def fit(separator: str) -> tuple[int, int]:
        names = [column_name(cell) for cell in header.split(separator)]
        return sum(name in columns for name in names), len(names)

    return max(_SEPARATORS, key=fit)


def column_name(cell: str) -> str:
    """A header cell as the file format spells it: 'Mic Line' is mic_line."""
    return re.sub(r"[\s-]+", "_", cell.strip(' \t"').casefold())


Rows = Iterable[Sequence[Sequence[str]]]
"""Rows, each with the cells that it may have: one way for each separator."""


def _cut(text: str) -> Rows:
    """The rows of a text as far as line ends tell, cut at each separator in turn."""
    lines = text.split("\n")
    return ([line.split(separator) for separator in _SEPARATORS] for line in lines)


def _head_is_late(rows: Rows, columns: Sequence[str], faults: Gathered) -> bool:
    """Note something above the head: `sep=;`, or a title; it is one fault, not one a row."""
    first = None
    for number, ways in enumerate(islice(rows, FAR_DOWN), start=1):
        if not any(cell.strip(_BLANK + '"') for cells in ways for cell in cells):
            continue
        known = max(sum(column_name(cell) in columns for cell in cells) for cells in ways)
        if first is None:
            first = number
            if known:
                return False
        elif known >= ENOUGH:
            faults.add(
                f"is not the head of the table: the columns are named in row {number}; delete "
                "what stands above that",
                row=first,
            )
            return True
    return False


FAR_DOWN: Final = 20
"""Rows in which a head is looked for."""

ENOUGH: Final = 2
"""Names of columns that make a row a head."""


def _header(
    header: _Record, columns: Sequence[str], required: Sequence[str], faults: Gathered
) -> list[str | None]:
    """The column of each cell, '' under a blank header, None where it is faulty."""
    names: list[str | None] = []
    for cell in header.cells:
        name = column_name(cell)
        place = escaped(shown(cell.strip()))
        if name not in columns and own(name):
            names.append(OWN[0])
            continue
        if name in names and name:
            faults.add("this column is there twice", row=header.number, column=place)
        elif name and name not in columns:
            faults.add(
                "there is no such column; one of your own begins with # or note",
                row=header.number,
                column=place,
                value=cell,
                allowed=columns,
            )
        else:
            names.append(name)
            continue
        names.append(None)
    for name in required:
        if name not in names:
            faults.add("this column is missing", column=name)
    return names


def _cells(record: _Record, names: Sequence[str | None], faults: Gathered) -> dict[str, str]:
    cells: dict[str, str] = {}
    for place, (cell, name) in enumerate(zip(record.cells, names, strict=True), start=1):
        if name == OWN[0]:
            continue
        if name and cell:
            _take(cells, record.number, name, cell, faults)
        elif name == "" and _filled(cell):
            faults.add(
                f"cell {place} stands under no column name", row=record.number, value=cell
            )
    return cells


def _take(cells: dict[str, str], row: int, name: str, cell: str, faults: Gathered) -> None:
    """Tidy `cell` and put it into `cells` unless it is blank or faulty."""
    try:
        if len(cell) > LONGEST_CELL:
            raise BadValueError(f"is longer than {LONGEST_CELL} characters")
        tidied = tidy(cell)
    except BadValueError as fault:
        faults.bad(fault, row=row, column=name, value=cell)
        return
    if tidied:
        cells[name] = tidied
