"""Clock: one master, and every other unit locked to a chain of links that ends in it.

One master follows from AES11: two units on their own clocks joined by audio slip, 1728
samples an hour at 48 kHz for 10 ppm (arithmetic on AES11-2009 cl. 5.2, restated).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rigopt.needs.types import Needs
from rigopt.rig.audit import relock
from rigopt.rig.audit.chain import chain
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link, Unit


def check_clock(wiring: Wiring) -> Iterator[Finding]:
    """Every clock rule that needs no wish of the user."""
    yield from _check_master(wiring)
    for unit in wiring.units:
        if unit.clock.source != "internal":
            yield from _check_lock(wiring, unit)
    yield from _check_loops(wiring)
    yield from _check_carries(wiring)


def hops(units: Sequence[Unit]) -> int:
    """Links from the master to the farthest unit, of the units that reach one."""
    chains = [chain(units, unit) for unit in units]
    return max((len(names) - 1 for names in chains if names), default=0)


def check_wish(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules clock-wish and clock-far: what the needs ask of the clock."""
    for unit in wiring.units:
        wishes = ("any", unit.role, unit.device.id)
        if unit.clock.source == "internal" and needs.master not in wishes:
            yield finding("clock-wish", unit=unit.name, wish=needs.master)
        names = chain(wiring.units, unit)
        if names and len(names) - 1 > needs.max_hops:
            yield finding(
                "clock-far", unit=unit.name, hops=len(names) - 1, limit=needs.max_hops
            )


def check_hops(units: Sequence[Unit], stated: int) -> Iterator[Finding]:
    """Rule clock-hops: the number stated is that of the chains."""
    if hops(units) != stated:
        yield finding("clock-hops", stated=stated, counted=hops(units))


def _check_master(wiring: Wiring) -> Iterator[Finding]:
    """Rules clock-master, clock-internal."""
    masters = [unit for unit in wiring.units if unit.clock.source == "internal"]
    if not masters:
        yield finding("clock-master", "none", way=relock.crown(wiring))
    if len(masters) > 1:
        yield finding(
            "clock-master",
            "several",
            count=len(masters),
            units=", ".join(unit.name for unit in masters),
            way=relock.settle(wiring, masters),
        )
    for unit in masters:
        if not unit.device.internal_clock:
            yield finding("clock-internal", unit=unit.name, device=unit.device.id)


def _check_lock(wiring: Wiring, unit: Unit) -> Iterator[Finding]:
    """Rules clock-kind and clock-link of one unit that is not a master."""
    source, socket, sender = unit.clock.source, unit.clock.socket, unit.clock.from_unit
    if source not in unit.device.clock_in:
        yield finding(
            "clock-kind",
            unit=unit.name,
            kind=source,
            device=unit.device.id,
            listed=", ".join(unit.device.clock_in) or "nothing",
            way=relock.way(wiring, unit),
        )
    if not any(_locks(link, unit) and link.from_unit == sender for link in wiring.links):
        yield finding(
            "clock-link",
            unit=unit.name,
            kind=source,
            sender=f" from {sender}" if sender else "",
            socket="without a number" if socket is None else socket,
            way=relock.missing(wiring, unit),
        )


def _check_loops(wiring: Wiring) -> Iterator[Finding]:
    """Rule clock-loop: following the clock back from a unit must end in a master.

    A circle is named once, and not again for each unit that follows one of it.
    """
    names = [unit.name for unit in wiring.units]
    told: set[str] = set()
    for unit in wiring.units:
        circle = _circle(wiring, unit)
        if unit.clock.source != "internal" and unit.clock.from_unit not in names:
            way = relock.missing(wiring, unit)
            yield finding("clock-loop", "nowhere", unit=unit.name, way=way)
        elif circle and not told & set(circle):
            told |= set(circle)
            yield finding(
                "clock-loop",
                "circle",
                unit=unit.name,
                circle=" -> ".join((*circle, circle[0])),
                way=relock.crown(wiring) or relock.open_circle(wiring, circle),
            )


def _circle(wiring: Wiring, start: Unit) -> tuple[str, ...]:
    """The circle that `start` is part of, in the direction of the clock; or nothing."""
    by_name = {unit.name: unit for unit in wiring.units}
    names = [start.name]
    while True:
        before = by_name[names[-1]].clock.from_unit
        if before == start.name:
            return tuple(reversed(names))
        if before is None or before not in by_name or before in names:
            return ()
        names.append(before)


def _check_carries(wiring: Wiring) -> Iterator[Finding]:
    """Rule carries-clock: 'clock' is on a link exactly if its receiver is locked to it."""
    for link in wiring.links:
        locked = _locks(link, wiring.unit(link.to_unit))
        if locked != ("clock" in link.carries):
            yield finding(
                "carries-clock",
                link=link_name(link),
                unit=link.to_unit,
                said="no clock" if locked else "clock",
                does="is" if locked else "is not",
                cure="put" if locked else "leave out",
            )


def _locks(link: Link, unit: Unit) -> bool:
    """Whether `unit` takes its clock from the socket that `link` is plugged into."""
    lock = (unit.name, unit.clock.source, unit.clock.socket)
    return (link.to_unit, link.kind, link.to_socket) == lock
