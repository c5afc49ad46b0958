"""The sheets of a workbook, .xlsx or .ods, as texts that a CSV file could hold."""

from __future__ import annotations

import datetime
import io
import zipfile
from pathlib import Path
from typing import Final

from python_calamine import CalamineError, CalamineWorkbook

from rigopt.files.faults import Gathered
from rigopt.files.text import LARGEST_MB, read_bytes

MOST_UNPACKED: Final = 400_000_000
"""Bytes of a workbook once it is unpacked, which a small file may be made to exceed."""

Grid = list[list[str]]
"""Cells by row and column, from the first cell of the sheet on."""


def read_sheets(path: Path, faults: Gathered) -> dict[str, Grid] | None:
    """Every sheet by its name, or None and a fault."""
    data = read_bytes(path, faults, LARGEST_MB)
    if data is None:
        return None
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            if sum(part.file_size for part in parts.infolist()) > MOST_UNPACKED:
                faults.add(f"is larger than {MOST_UNPACKED // 1_000_000} MB unpacked")
                return None
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return {
            name: [
                [as_text(cell) for cell in row]
                for row in book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            ]
            for name in book.sheet_names
        }
    except (zipfile.BadZipFile, CalamineError):
        problem = "cannot be read as a workbook; save it as .xlsx or .ods, without a password"
        faults.add(problem)
    return None


def as_text(cell: object) -> str:
    """A cell as it would be typed; numbers to the 15 digits that a spreadsheet keeps."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, (int, float)):
        return format(cell, ".15g")
    if isinstance(cell, datetime.datetime) and cell.time() == datetime.time():
        return cell.date().isoformat()
    return str(cell)
