"""The columns of a problem, listed as they are asked for.

Most ways of a type to stand in a rig differ in what comes back from its host alone. So the
outlines come first, which leave that open; of most of them nothing else is ever asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from rigopt.optimiser.problem.columns import (
    Columns,
    HostColumn,
    SatelliteColumn,
    outlines,
    satellite_columns,
)
from rigopt.optimiser.problem.problem import Problem

ColumnT = TypeVar("ColumnT", bound=SatelliteColumn)

Beat = Callable[[], None]
"""Called now and then, and may raise what ends it."""


class Listing:
    """Hosts, the outlines of all that may stand beside them, and the columns of these."""

    def __init__(self, problem: Problem, hosts: Sequence[HostColumn], beat: Beat) -> None:
        self.outlines = Columns(hosts, list(_told(outlines(problem, hosts), beat)))
        self._problem = problem
        self._columns: dict[str, list[SatelliteColumn]] = {}

    def every(self, beat: Beat) -> Columns:
        """All columns."""
        return self.of(self.outlines, beat)

    def of(self, some: Columns, beat: Beat) -> Columns:
        """Hosts among these, and the columns of the outlines among them."""
        wanted = {(outline.device.id, outline.wiring) for outline in some.satellites}
        self._list({item for item, _ in wanted}, beat)
        found = [
            column
            for satellite in self._problem.satellites
            for column in self._columns.get(satellite.id, ())
            if (satellite.id, column.wiring.sent) in wanted
        ]
        return Columns(some.hosts, found)

    def _list(self, types: set[str], beat: Beat) -> None:
        fresh: dict[str, list[SatelliteColumn]] = {
            item: [] for item in types if item not in self._columns
        }
        if fresh:
            some = satellite_columns(self._problem, self.outlines.hosts, fresh)
            for column in _told(some, beat):
                fresh[column.device.id].append(column)
            self._columns |= fresh


def _told(columns: Iterable[ColumnT], beat: Beat) -> Iterable[ColumnT]:
    for column in columns:
        beat()
        yield column
