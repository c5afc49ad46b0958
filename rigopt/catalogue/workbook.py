"""A catalogue as a workbook: each sheet is read as the file of that name would be."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from rigopt.catalogue.folder import HEAD, OPTIONAL, REQUIRED, Folder
from rigopt.errors import Fault, InputError
from rigopt.files.csv import Row, read_grid
from rigopt.files.faults import Gathered, nearest
from rigopt.files.sheets import Grid, read_sheets
from rigopt.files.text import place

KEY: Final = ("key", "value", "meaning")
"""The columns of the sheet that stands for `catalog.toml`."""


def sheet_of(file: str) -> str:
    """The sheet that stands for a file: devices for devices.csv."""
    return Path(file).stem


class Workbook(Folder):
    """A workbook being read. Sheets of other names are the user's own, and not read."""

    def __init__(self, path: Path) -> None:
        faults = Gathered(place(path))
        sheets = read_sheets(path, faults)
        if sheets is None:
            raise InputError(faults.faults)
        self._sheets: dict[str, Grid] = {}
        for name, grid in sheets.items():
            self._sheets.setdefault(name.strip().casefold(), grid)
        super().__init__(path)

    def has(self, file: str) -> bool:
        """Whether there is a sheet for `file`."""
        return sheet_of(file) in self._sheets

    def head(self) -> tuple[Gathered, dict[str, Any] | None]:
        """The keys of the sheet `catalog` that have a value, or None with a fault."""
        faults = self._begin(HEAD)
        if not self.has(HEAD):
            return faults, None
        rows = self._rows(HEAD, KEY, KEY[:2], faults)
        cells = (row.cells for row in rows)
        said = {cell["key"]: cell["value"] for cell in cells if {*KEY[:2]} <= cell.keys()}
        return faults, said if said or not faults else None

    def place(self, file: str) -> str:
        """The workbook and the sheet."""
        return f"{place(self.path)}, sheet {sheet_of(file)}"

    def called(self, file: str) -> str:
        """The sheet."""
        return f"sheet {sheet_of(file)}"

    def _rows(
        self, file: str, columns: Sequence[str], needed: Sequence[str], faults: Gathered
    ) -> list[Row]:
        grid = self._sheets.get(sheet_of(file))
        if grid is None:
            return []
        return read_grid(grid, columns, needed, faults)

    def _check_names(self) -> None:
        """Note sheets that are missing, and those whose name lacks its last letter."""
        for file in (*REQUIRED, *OPTIONAL):
            name = sheet_of(file)
            if self.has(file):
                continue
            if file in REQUIRED:
                needed = ", ".join(map(sheet_of, REQUIRED))
                problem = f"there is no sheet {name}; a catalogue needs {needed}"
                near = nearest(name, self._sheets)
                self._faults.append(Fault(place(self.path), problem, nearest=near))
            elif name.removesuffix("s") in self._sheets:
                at = f"{place(self.path)}, sheet {name.removesuffix('s')}"
                problem = "a sheet of this name is not read"
                self._faults.append(Fault(at, problem, nearest=name))
