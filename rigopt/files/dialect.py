"""A row put at the end of a CSV file, written as the file's other rows are.

The file keeps every byte that it has; only columns that its head lacks are added to that.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from rigopt.files.csv import Row, column_name, read_table, separator_of
from rigopt.files.faults import Gathered
from rigopt.files.text import decode, with_line_feeds
from rigopt.files.values import BadValueError

_MARKS: Final = {
    # A mark and the codec without it, by the codec that takes the mark off.
    "utf-8-sig": ((codecs.BOM_UTF8, "utf-8"),),
    "utf-16": ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be")),
    "utf-32": ((codecs.BOM_UTF32_LE, "utf-32-le"), (codecs.BOM_UTF32_BE, "utf-32-be")),
}
_QUOTED: Final = re.compile(r'"(?:[^"]|"")*"')


class Dialect(NamedTuple):
    """How a file is written. `quotes`: which cells are quoted: `needed`, `text` or `all`."""

    separator: str
    decimal: str
    quotes: str
    line_end: str

    def row(self, cells: Sequence[str]) -> str:
        """A row with its line end."""
        return self.separator.join(map(self.cell, cells)) + self.line_end

    def cell(self, text: str) -> str:
        """A cell, quoted where the file would; a blank one never is."""
        bare = text.replace(",", "").replace(".", "").isdecimal()
        needs = any(mark in text for mark in (self.separator, '"', "\n", "\r"))
        if text and (needs or self.quotes == "all" or (self.quotes == "text" and not bare)):
            return '"' + text.replace('"', '""') + '"'
        return text


class Appended(NamedTuple):
    """The file with one more row, and the columns that its head lacked."""

    data: bytes
    new_columns: tuple[str, ...]


def appended(
    data: bytes, cells: Mapping[str, str], columns: Sequence[str], decimals: Sequence[str]
) -> Appended:
    """The file `data` with a row of `cells` at its end.

    `columns` are those that its table may have; in `decimals` a number has its decimal mark.

    Raises:
        BadValueError: When the file cannot hold a cell, or the row would not be read back.
    """
    text, encoding = decode(data) or ("", "utf-8")
    old = _rows(text, columns)
    lines = list(io.StringIO(text, newline=""))
    separator = separator_of(with_line_feeds(text), columns)
    end, head = _head(lines, separator)
    names = [column_name(cell) for cell in head]
    new = tuple(name for name in columns if name in cells and name not in names)
    written = Dialect(
        separator, _decimal(old, separator, decimals), _quotes(lines, end), _line_end(text)
    )
    marked = {
        name: cell.replace(".", written.decimal) if name in decimals else cell
        for name, cell in cells.items()
    }
    lines[end - 1] = _longer(lines[end - 1], new, written)
    body = "".join(lines)
    if not body.endswith(("\n", "\r")):
        body += written.line_end
    body += written.row([marked.get(name, "") for name in (*names, *new)])
    if [row.cells for row in _rows(body, columns)] != [*(row.cells for row in old), marked]:
        raise BadValueError("is laid out in a way that no row can be added to for sure")
    return Appended(_encoded(body, encoding, data), new)


def _rows(text: str, columns: Sequence[str]) -> list[Row]:
    return read_table(with_line_feeds(text), columns, [], Gathered(""))


def _head(lines: Sequence[str], separator: str) -> tuple[int, list[str]]:
    """The number of the head's last line, and its cells."""
    reader = csv.reader(lines, delimiter=separator, skipinitialspace=True)
    try:
        for record in reader:
            if any(cell.strip() for cell in record):
                return reader.line_num, record
    except csv.Error:
        pass
    raise BadValueError("has no first row that names its columns")


def _decimal(rows: Sequence[Row], separator: str, decimals: Sequence[str]) -> str:
    """The mark that most numbers have; where none tells, that which goes with the separator."""
    found = " ".join(row.cells.get(name, "") for row in rows for name in decimals)
    commas, points = (len(re.findall(rf"\d{mark}\d", found)) for mark in (",", r"\."))
    return "," if (commas, separator == ";") > (points, False) else "."


def _quotes(lines: Sequence[str], head_end: int) -> str:
    head, body = "".join(lines[:head_end]), "".join(lines[head_end:])
    if not _all_quoted(head):
        return "needed"
    return "all" if _QUOTED.search(body) and _all_quoted(body) else "text"


def _all_quoted(text: str) -> bool:
    return not re.search(r"[^\s,;]", _QUOTED.sub("", text))


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n" if "\n" in text or "\r" not in text else "\r"


def _longer(line: str, new: Sequence[str], written: Dialect) -> str:
    """A head's last line with more columns."""
    bare = line.rstrip("\r\n")
    more = "".join(written.separator + written.cell(name) for name in new)
    return bare + more + line[len(bare) :]


def _encoded(text: str, encoding: str, data: bytes) -> bytes:
    marks = (one for one in _MARKS.get(encoding, ()) if data.startswith(one[0]))
    mark, name = next(marks, (b"", encoding))
    try:
        return mark + text.encode(name)
    except UnicodeEncodeError as error:
        sign = error.object[error.start]
        problem = f"is in the encoding {encoding}, which has no '{sign}'; save it as UTF-8"
        raise BadValueError(problem) from None
