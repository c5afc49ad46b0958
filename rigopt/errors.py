"""Everything that can be wrong with what the user gave, as data; the text in `__str__`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar


class RigoptError(Exception):
    """Base of every error that the command line reports in a line and an exit status."""

    exit_status: ClassVar[int] = 2


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in one file; `row` counts from 1 as a spreadsheet shows it."""

    file: str
    problem: str
    row: int | None = None
    column: str | None = None
    value: str | None = None
    nearest: str | None = None
    shows: tuple[str, ...] = ()
    """Lines of the file, to be shown below."""

    def __str__(self) -> str:
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column is not None:
            place += f", {self.column}"
        text = f"{place}: {self.problem}"
        if self.value is not None:
            text += f" (found {self.value!r})"
        if self.nearest is not None:
            text += f"; did you mean {self.nearest!r}?"
        return "\n".join([text, *(f"    {line}" for line in self.shows)])


class InputError(RigoptError):
    """One or more faults in the files and options of a question, all of them at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__(faults)
        self.faults = tuple(faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)
