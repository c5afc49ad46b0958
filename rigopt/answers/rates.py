"""The same rig at every rate that one of its units knows: what arrives, and what dies."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from rigopt.answers.outcome import ANSWERED
from rigopt.answers.verdict import Verdict, examine
from rigopt.facts import RATE_MULTIPLIER, SOCKET_KINDS
from rigopt.rig.audit.finding import Finding
from rigopt.rig.audit.sockets import ends, fitted, live, ways
from rigopt.rig.links import Wire
from rigopt.rig.types import Unit
from rigopt.rig.wired import WiredRig, carried, wire_of


@dataclass(frozen=True, slots=True)
class Dead:
    """Sockets of one kind and way of a unit that do not work at a rate.

    `way` is 'input', 'output', or 'socket' for those that are both. `first` is the first of
    them; `cables` of the rig sit on them.
    """

    unit: str
    kind: str
    way: str
    first: int
    last: int
    cables: int


@dataclass(frozen=True, slots=True)
class AtRate:
    """A rig at one rate. `verdict` is on the units that know the rate, wired as they were.

    `missing`: units that do not know it. `clock`: why the clock does not hold; empty if it
    does. `works`: with every unit, and no fault.
    """

    rate_hz: int
    verdict: Verdict
    missing: tuple[str, ...]
    dead: tuple[Dead, ...]
    clock: tuple[Finding, ...]
    works: bool

    def arriving(self, unit: str) -> int:
        """Inputs of a unit that reach the computer."""
        return sum(item.unit == unit for item in self.verdict.inputs)


@dataclass(frozen=True, slots=True)
class ByRate:
    """A rig as it was given, and at each rate that any of its units knows, ascending."""

    rig: WiredRig
    rates: tuple[AtRate, ...]

    status: ClassVar = "answered"
    exit_status: ClassVar = ANSWERED


def by_rate(rig: WiredRig, own_clocks: bool = False) -> ByRate:
    """The rig at each rate from 32 to 192 kHz that any of its digital units knows.

    `own_clocks`: its hosts may run on clocks of their own.
    """
    known = {rate for unit in rig.units if _digital(unit) for rate in unit.device.rates_hz}
    rates = [rate for rate in RATE_MULTIPLIER if rate in known]
    return ByRate(rig, tuple(at_rate(rig, rate, own_clocks) for rate in rates))


def at_rate(rig: WiredRig, rate_hz: int, own_clocks: bool = False) -> AtRate:
    """The rig at one rate; what its file states of channels and inputs is left aside."""
    left = tuple(u for u in rig.units if not _digital(u) or rate_hz in u.device.rates_hz)
    names = [unit.name for unit in left]
    links = carried(left, list(_wires(rig, names)), rate_hz)
    verdict = examine(WiredRig(rate_hz, left, links), None, own_clocks)
    missing = tuple(unit.name for unit in rig.units if unit not in left)
    return AtRate(
        rate_hz=rate_hz,
        verdict=verdict,
        missing=missing,
        dead=tuple(_dead(replace(rig, units=tuple(filter(_digital, left))), rate_hz)),
        clock=tuple(found for found in verdict.findings if _of_clock(found, verdict)),
        works=verdict.works and not missing,
    )


def _digital(unit: Unit) -> bool:
    """Whether it has a rate here: not so if nothing but its direct outs is used."""
    return unit.role in ("host", "expander", "clock")


def _wires(rig: WiredRig, names: Container[str]) -> Iterator[Wire]:
    """The cables between units that are left; a chain of word inputs goes by the others."""
    whole = all(unit.name in names for unit in rig.units)
    before = {
        (link.from_unit, link.from_socket, link.to_unit): link.after for link in rig.links
    }
    for link in rig.links:
        if link.from_unit not in names or link.to_unit not in names:
            continue
        after, passed = link.after, set[str]()
        while after is not None and after not in names and after not in passed:
            passed.add(after)
            after = before.get((link.from_unit, link.from_socket, after))
        wire = replace(wire_of(link), after=after)
        yield wire if whole else replace(wire, tee=None, terminator=None)


def _of_clock(found: Finding, verdict: Verdict) -> bool:
    """Whether a finding says that the clock does not hold: a clock rule, or a unit that is
    locked to a link that is dead at one of its ends.
    """
    if found.rule in ("socket-dead", "socket-format"):
        dead = [found.fact(name) for name in ("unit", "kind", "way", "socket")]
        return any(
            list(end) == dead
            for link in verdict.rig.links
            if "clock" in link.carries
            for end in ends(link)
        )
    return found.rule.startswith(("clock-", "chain-"))


def _dead(rig: WiredRig, rate_hz: int) -> Iterator[Dead]:
    for unit in rig.units:
        for kind in SOCKET_KINDS:
            for way in ways(unit.device, kind):
                first = 1 + live(unit.device, kind, way, rate_hz)
                last = fitted(unit.device, kind, way)
                if first <= last:
                    on_them = [
                        end
                        for link in rig.links
                        for end in ends(link)
                        if end[:3] == (unit.name, kind, way) and first <= end[3] <= last
                    ]
                    yield Dead(unit.name, kind, way, first, last, len(on_them))
