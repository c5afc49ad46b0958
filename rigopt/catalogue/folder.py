"""The files of a catalogue folder, one after another, with the ids and faults so far."""

from __future__ import annotations

import difflib
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Generic, TypeVar

from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.rows import RowModel, parse_row, required
from rigopt.errors import Fault, InputError
from rigopt.files.csv import Row, read_table
from rigopt.files.faults import Gathered
from rigopt.files.marks import settled
from rigopt.files.text import place, read_text
from rigopt.files.toml import read_toml

HEAD: Final = "catalog.toml"
DEVICES: Final = "devices.csv"
CABLES: Final = "cables.csv"
EXTRAS: Final = "extras.csv"
SELLERS: Final = "sellers.csv"
OFFERS: Final = "offers.csv"
FORMATS: Final = "formats.csv"
SOURCES: Final = "sources.csv"
REQUIRED: Final = (HEAD, DEVICES, CABLES)
OPTIONAL: Final = (EXTRAS, SELLERS, OFFERS, FORMATS, SOURCES)

SPELT_SO: Final = 0.85
"""How alike a name is that is a slip for another; 'services' is none for 'devices' (0.8)."""

WORKBOOKS: Final = (".xlsx", ".ods")


def is_workbook(path: Path) -> bool:
    """Whether a catalogue is one file with sheets, by its name."""
    return path.suffix.casefold() in WORKBOOKS


R = TypeVar("R", bound=RowModel)
CurrencyOf = Callable[[Mapping[str, str]], str | None]
"""The currency of a row's money, from its cells; None when it is not known."""


@dataclass(frozen=True, slots=True)
class Table(Generic[R]):
    """The sound rows of one file, with their row numbers, and where to note more faults."""

    faults: Gathered
    rows: list[tuple[int, R]]


class Folder:
    """A folder being read. `ids` and `sellers` say which file and row took each name."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.ids: dict[str, tuple[str, int]] = {}
        self.sellers: dict[str, tuple[str, int]] = {}
        self.formats: dict[str, tuple[str, int]] = {}
        self._faults: list[Fault] = []
        self._gathered: list[Gathered] = []
        self.unknown: dict[str, Fault] = {}
        """Where it says that a price is not known, by the id of the item."""
        self._check_names()

    def has(self, file: str) -> bool:
        """Whether the folder holds `file`."""
        return os.path.lexists(self.path / file)

    def head(self) -> tuple[Gathered, dict[str, Any] | None]:
        """The tables of `catalog.toml`, or None with a fault."""
        faults = self._begin(HEAD)
        return faults, read_toml(self.path / HEAD, faults) if self.has(HEAD) else None

    def table(self, file: str, model: type[R], currency_of: CurrencyOf) -> Table[R]:
        """Read one CSV file; a missing one has no rows."""
        faults = self._begin(file)
        table: Table[R] = Table(faults, [])
        for row in self._rows(file, list(model.model_fields), required(model), faults):
            fresh = self._claim(file, row.number, row.cells, faults)
            parsed = parse_row(model, row.number, row.cells, currency_of(row.cells), faults)
            if fresh and parsed is not None:
                table.rows.append((row.number, parsed))
        return table

    def finish(self) -> None:
        """Tell every fault there is.

        Raises:
            InputError: When there is one.
        """
        for gathered in self._gathered:
            self._faults += gathered.faults
        if self._faults:
            raise InputError(self._faults)

    def place(self, file: str) -> str:
        """What messages call `file`."""
        return place(self.path / file)

    def called(self, file: str) -> str:
        """What it is called beside another one."""
        return file

    def _rows(
        self, file: str, columns: Sequence[str], needed: Sequence[str], faults: Gathered
    ) -> list[Row]:
        text = read_text(self.path / file, faults) if self.has(file) else None
        rows = [] if text is None else read_table(text, columns, needed, faults)
        forms = {column.name: column.form for column in COLUMNS[Path(file).stem]}
        numbers = [name for name, form in forms.items() if form in ("number", "money")]
        return settled(rows, numbers, [name for name in numbers if forms[name] == "money"])

    def _begin(self, file: str) -> Gathered:
        self._gathered.append(Gathered(self.place(file)))
        return self._gathered[-1]

    def _claim(
        self, file: str, number: int, cells: Mapping[str, str], faults: Gathered
    ) -> bool:
        """Take the row's id, or its seller's name, unless another row has it."""
        column, taken = self._names_of(file)
        name = cells.get(column)
        if name is None:  # an offer or a source, or the row will be refused for that
            return True
        if name not in taken:
            taken[name] = (file, number)
            return True
        other_file, other_row = taken[name]
        faults.add(
            f"is taken already, by row {other_row} of {self.called(other_file)}",
            row=number,
            column=column,
            value=name,
        )
        return False

    def _names_of(self, file: str) -> tuple[str, dict[str, tuple[str, int]]]:
        """The column with a row's name, and the names that are taken."""
        if file == SELLERS:
            return "seller", self.sellers
        return "id", self.formats if file == FORMATS else self.ids

    def _check_names(self) -> None:
        """Note required files that are missing and optional ones that are misnamed."""
        names = _entries(self.path)
        missing = [file for file in REQUIRED if not self.has(file)]
        if not any(_near(file, names) for file in REQUIRED):
            problem = (
                f"is no catalogue: there is none of {', '.join(REQUIRED)}; 'rigopt new FOLDER' "
                "makes one"
            )
            raise InputError([Fault(place(self.path), problem)])
        for file in missing:
            problem = f"this file is missing; a catalogue needs {', '.join(REQUIRED)}"
            near = next(iter(_near(file, names)), None)
            self._faults.append(Fault(place(self.path / file), problem, nearest=near))
        for file in OPTIONAL:
            for name in [] if self.has(file) else names:
                if name.casefold() in (file, file.replace("s.csv", ".csv")):
                    problem = "a file of this name is not read"
                    self._faults.append(Fault(place(self.path / name), problem, nearest=file))


def _near(file: str, names: Iterable[str]) -> list[str]:
    """The names in a folder that may be meant for `file`: they hold its stem, or nearly so."""
    stem = Path(file).stem
    return [
        name
        for name in names
        if stem.removesuffix("s") in name.casefold()
        or difflib.get_close_matches(Path(name).stem.casefold(), [stem], cutoff=SPELT_SO)
    ]


def _entries(path: Path) -> list[str]:
    """The names in the folder, sorted.

    Raises:
        InputError: When there is no such folder, or it may not be read.
    """
    try:
        names = sorted(os.listdir(path))
        if os.access(path, os.X_OK):
            return names
        problem = "this folder may not be entered: permission denied"
    except FileNotFoundError:
        problem = "there is no such folder"
    except NotADirectoryError:
        problem = f"is not a folder; a catalogue is a folder with {', '.join(REQUIRED)}"
    except PermissionError:
        problem = "this folder may not be read: permission denied"
    except (OSError, ValueError):
        problem = "this folder cannot be read"
    raise InputError([Fault(place(path), problem)])
