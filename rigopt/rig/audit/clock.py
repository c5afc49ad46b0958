"""Clock: each unit that needs one is a master, or locked to a chain that ends in one.

All units joined by audio are in one tree, unless a converter stands between. That follows
from AES11: two units on their own clocks joined by audio slip, 1728 samples an hour at
48 kHz for 10 ppm (arithmetic on AES11-2009 cl. 5.2, restated).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rigopt.needs.types import Needs
from rigopt.rig.audit import relock
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.forest import forest, is_master
from rigopt.rig.audit.locks import check_carries, check_lock, check_lowest
from rigopt.rig.audit.loops import check_loops
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Unit


def check_clock(wiring: Wiring) -> Iterator[Finding]:
    """Every clock rule that needs no wish of the user, but for what trees must be one."""
    yield from _check_masters(wiring)
    for unit in wiring.units:
        if unit.clock is not None and not is_master(unit):
            yield from check_lock(wiring, unit, unit.clock)
    yield from check_loops(wiring)
    yield from check_carries(wiring)


def hops(units: Sequence[Unit]) -> int:
    """Links from a master to the farthest unit of its tree, of the units that reach one."""
    return max((place.hops for place in forest(units).values()), default=0)


def check_wish(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules clock-wish (of trees with a host) and clock-far: what the needs ask."""
    hosts = [wiring.places.get(unit.name) for unit in wiring.of_role("host")]
    leading = {place.master for place in hosts if place is not None}
    for unit in wiring.clocked:
        wishes = ("any", unit.role, unit.device.id)
        place = wiring.places.get(unit.name)
        if place is None:
            continue
        if unit.name in leading and needs.master not in wishes:
            yield finding("clock-wish", unit=unit.name, wish=needs.master)
        if place.hops > needs.max_hops:
            yield finding("clock-far", unit=unit.name, hops=place.hops, limit=needs.max_hops)


def check_stated(wiring: Wiring, stated: int) -> Iterator[Finding]:
    """Rules clock-hops, clock-idle, clock-lowest, of an answer: it says what is so, and no
    unit is locked to a socket where a lower one would do.
    """
    counted = hops(wiring.units)
    if counted != stated:
        yield finding("clock-hops", stated=stated, counted=counted)
    for unit in wiring.units:
        if unit.clock is not None and not wiring.needs_clock(unit):
            yield finding("clock-idle", unit=unit.name)
    yield from check_lowest(wiring)


def _check_masters(wiring: Wiring) -> Iterator[Finding]:
    """Rules clock-none, clock-master, clock-internal."""
    for unit in wiring.clocked:
        if unit.clock is None:
            yield finding("clock-none", unit=unit.name, way=relock.way(wiring, unit))
    if wiring.units and not any(is_master(unit) for unit in wiring.units):
        yield finding("clock-master", "none", way=relock.crown(wiring))
    for unit in wiring.clocked:
        if is_master(unit) and not unit.device.internal_clock:
            yield finding("clock-internal", unit=unit.name, device=unit.device.id)
