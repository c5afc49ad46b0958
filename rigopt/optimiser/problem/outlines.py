"""The columns of a problem in outline, and in full as far as they are asked for.

Most ways of a type to stand in a rig differ in what comes back from its host alone. So the
outlines come first, which leave that open; of most of them nothing else is ever asked.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from rigopt.optimiser.problem.columns import (
    Columns,
    HostColumn,
    SatelliteColumn,
    satellite_columns,
)
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.wirings import Wiring, cuts, most_fed, sent

ColumnT = TypeVar("ColumnT", bound=SatelliteColumn)

Beat = Callable[[], None]
"""Called now and then, and may raise what ends it."""


@dataclass(frozen=True, eq=False)
class Outline(SatelliteColumn):
    """All columns of a type that send the same to the same host, as one that can do what any
    of them can: whatever comes back is there for nothing. It knows nothing of the clock."""

    @cached_property
    def line_outs(self) -> int:
        """Line outputs that links from its host could feed."""
        return most_fed(self.at_rate) if self.wiring.slot is not None else 0


def outlines(problem: Problem, hosts: Sequence[HostColumn]) -> Iterator[Outline]:
    """The outlines of all columns of units that can stand beside these hosts."""
    cut = cuts((host.hosting, host.at_rate) for host in hosts)
    for satellite in problem.satellites:
        seen: set[Wiring] = set()
        for mode in satellite.modes:
            for wiring in sent(problem, satellite, mode, cut):
                if wiring not in seen:
                    seen.add(wiring)
                    yield Outline(satellite, wiring, mode, None, problem.plugs)


class Listing:
    """Hosts, the outlines of all that may stand beside them, and the columns of these."""

    def __init__(self, problem: Problem, hosts: Sequence[HostColumn], beat: Beat) -> None:
        self.outlines = Columns(hosts, list(told(outlines(problem, hosts), beat)))
        self._problem = problem

    def every(self, beat: Beat) -> Columns:
        """All columns."""
        return self.of(self.outlines, beat)

    def of(self, some: Columns, beat: Beat) -> Columns:
        """Hosts among these, and the columns of the outlines among them."""
        wanted: dict[str, set[Wiring]] = defaultdict(set)
        for outline in some.satellites:
            wanted[outline.device.id].add(outline.wiring)
        found = satellite_columns(self._problem, self.outlines.hosts, wanted)
        return Columns(some.hosts, list(told(found, beat)))


def told(columns: Iterable[ColumnT], beat: Beat) -> Iterable[ColumnT]:
    """The same, with a beat before each."""
    for column in columns:
        beat()
        yield column
