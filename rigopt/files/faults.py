"""Collects the faults of one file, so that all of them are reported at once, each with the
allowed name that was most likely meant.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Final

from rigopt.errors import Fault
from rigopt.files.values import BadValueError, shown

MOST_FAULTS: Final = 200
"""Faults listed of one file; the rest are counted, for nobody reads ten thousand."""

LONGEST_LIST: Final = 1000
"""Longer lists of names are not searched: each look-up compares with every name."""


class Gathered:
    """The faults of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._faults: list[Fault] = []
        self._unlisted = 0

    def add(
        self,
        problem: str,
        *,
        row: int | None = None,
        column: str | None = None,
        value: object = None,
        allowed: Iterable[str] = (),
        shows: tuple[str, ...] = (),
    ) -> None:
        """Note one fault; the nearest name in `allowed` to `value` goes with it."""
        if len(self._faults) == MOST_FAULTS:
            self._unlisted += 1
            return
        text = None if value is None else shown(value)
        close = nearest(text, allowed) if text else None
        self._faults.append(Fault(self.file, problem, row, column, text, close, shows))

    def bad(
        self,
        fault: BadValueError,
        *,
        row: int | None = None,
        column: str | None = None,
        value: object,
    ) -> None:
        """Note the fault that a parser of single values has raised."""
        culprit = value if fault.piece is None else fault.piece
        self.add(str(fault), row=row, column=column, value=culprit, allowed=fault.allowed)

    def about(self, column: str) -> bool:
        """Whether a fault of a whole column, option or key is noted."""
        return any(fault.column == column and fault.row is None for fault in self._faults)

    def __bool__(self) -> bool:
        return bool(self._faults)

    @property
    def faults(self) -> list[Fault]:
        """All of them by row, with a last one that counts those not listed."""
        in_order = sorted(self._faults, key=lambda fault: fault.row or 0)
        if self._unlisted:
            rest = f"and {self._unlisted} more faults, not listed"
            in_order.append(Fault(self.file, rest))
        return in_order


def nearest(word: str, allowed: Iterable[str]) -> str | None:
    """The name in `allowed` closest to `word`, or None when none is close.

    Case is ignored. A name of the same letters comes first ('GBP' for 'GPB'), and one that
    begins with `word` counts as close ('instrument' for 'inst'). Of equally close names the
    one that sorts last is taken, whatever their order.
    """
    names: dict[str, str] = {}
    for name in allowed:
        names.setdefault(name.casefold(), name)
    if len(names) > LONGEST_LIST:
        return None
    folded = word.casefold().strip()[:80]
    swapped = [name for name in names if sorted(name) == sorted(folded)]
    close = difflib.get_close_matches(folded, names)
    longer = [name for name in names if len(folded) > 1 and name.startswith(folded)]
    found = swapped + close + longer
    return names[found[0]] if found else None
