"""Each change that gives a unit its clock is made, and the audit asked again.

Small random rigs, most of them with faults. Whatever cable could be plugged in is tried: the
proposed one works, none comes from a unit that is nearer to its master, and where nothing is
proposed nothing works.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise, product
from typing import Any

import pytest

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import FORMATS, SOCKET_KINDS, Format
from rigopt.rig.audit import relock
from rigopt.rig.audit.finding import Remedy
from rigopt.rig.audit.sockets import check_sockets, locks
from rigopt.rig.audit.wiring import Wiring, directions
from rigopt.rig.types import ClockSetting, Link, Unit
from tests.rig.rig_builders import INTERNAL
from tests.rig.worlds import DUPLEX, MUTE, SIMPLEX
from tests.tiers import few
from tests.wires import link
from tests.world import ALL

OTHER = SIMPLEX._replace(id="other")
RATES = (48_000, 96_000, 192_000)
TRUNKS = (SIMPLEX, DUPLEX, MUTE, OTHER)
ROWS = (*FORMATS.values(), *TRUNKS)


def random_wiring(seed: int, masters: float = 0.3) -> Wiring:
    rng = random.Random(seed)
    units = [_unit(rng, number) for number in range(rng.randint(2, 5))]
    units = [replace(unit, clock=_clock(rng, units, masters)) for unit in units]
    links = [_link(rng, units) for _ in range(rng.randint(0, 5))]
    return Wiring(tuple(units), tuple(links), rng.choice(RATES))


def _unit(rng: random.Random, number: int) -> Unit:
    trunk = rng.choice((None, *TRUNKS))
    counts = {
        f"{kind}_{way}": rng.choice((0, 1, 1, 2))
        for kind in SOCKET_KINDS
        for way in ("in", "out")
        if kind != "trunk" or trunk is not None
    }
    if trunk is DUPLEX:
        counts["trunk_out"] = 0
    single = SocketRef(rng.choice(SOCKET_KINDS), "in", rng.randint(1, 2))
    group = (SocketRef("optical", "in", 1), SocketRef("coax", "in", 1))
    device = Device(
        f"box-{number}",
        "",
        "host" if number == 0 else "expander",
        1,
        mic=2,
        line_out=2,
        trunk=trunk,
        optical_2x=rng.randint(0, 2),
        optical_4x=rng.randint(0, 1),
        optical_stereo=rng.randint(0, 1),
        coax_2x=rng.randint(0, 2),
        clock_in=(*rng.sample(SOCKET_KINDS, rng.randint(0, 3)), single),
        internal_clock=rng.random() < 0.8,
        either=(group,) if rng.random() < 0.2 else (),
        rates_hz=ALL,
        **counts,  # type: ignore[arg-type]
    )
    return Unit(f"unit-{number}", device, "host" if number == 0 else "expander", None)


def _clock(rng: random.Random, units: Sequence[Unit], masters: float) -> ClockSetting | None:
    if rng.random() < masters:
        return INTERNAL
    if rng.random() < 0.2:
        return None
    sender = rng.choice([*(unit.name for unit in units), None])
    return ClockSetting(rng.choice(SOCKET_KINDS), rng.choice((1, 1, 2, None)), sender)


def _link(rng: random.Random, units: Sequence[Unit]) -> Link:
    one, other = rng.sample(list(units), 2)
    trunks = [unit.device.trunk for unit in (one, other) if unit.device.trunk]
    row = rng.choice([*FORMATS.values(), *trunks, *trunks])
    if row.socket == "analogue":
        row = FORMATS["light-pipe"]
    carries: Any = rng.choice((("clock",), ("audio",), ("audio", "clock")))
    numbers = rng.randint(1, 2), rng.randint(1, 2)
    return link(row, one.name, numbers[0], other.name, numbers[1], 0, carries, None)


def after(wiring: Wiring, *steps: Remedy) -> Wiring:
    """The rig with the steps taken."""
    units, links = list(wiring.units), list(wiring.every)
    for step in steps:
        place = next(n for n, unit in enumerate(units) if unit.name == step.unit)
        clock = INTERNAL
        if step.row is not None:
            clock = ClockSetting(step.row.socket, step.socket, step.sender)
        if step.how == "plug":
            there = units[place].clock
            assert there is not None
            assert (there.source, there.socket) == (clock.source, clock.socket)
        units[place] = replace(units[place], clock=clock)
        if step.how.startswith("plug"):
            assert step.row is not None
            ends = (step.sender, step.output, step.unit, step.socket)
            links.append(link(step.row, *ends, 0, ("clock",), None))
    return Wiring(tuple(units), tuple(links), wiring.rate_hz)


def faults(wiring: Wiring) -> Counter[object]:
    """Of sockets: one that is not there, is dead or mute, or has two cables."""
    return Counter((one.rule, one.facts) for one in check_sockets(wiring))


def works(wiring: Wiring, step: Remedy) -> bool:
    """Whether the unit then hangs on a master, with no fault that was not there before."""
    then, row = after(wiring, step), step.row
    assert row is not None
    able = row.clock and locks(wiring.unit(step.unit).device, row.socket, step.socket)
    return able and step.unit in then.places and faults(then) <= faults(wiring)


def cables(wiring: Wiring, unit: Unit) -> Iterator[Remedy]:
    """Every cable into the unit that could be thought of."""
    rows = [row for row in ROWS if row.socket != "analogue"]
    for sender, row, socket, output in product(wiring.units, rows, (1, 2), (1, 2)):
        if sender is not unit:
            yield Remedy("plug and lock", unit.name, row, socket, sender.name, output)


def known(wiring: Wiring, unit: Unit) -> list[Remedy]:
    """The cables that are there and would do, in their order."""
    ways = [
        Remedy("lock", unit.name, one.format, socket, sender)
        for one in wiring.links
        for sender, receiver, socket in directions(one)
        if receiver == unit.name
    ]
    return [step for step in ways if works(wiring, step) and _sound(wiring, step)]


def _sound(wiring: Wiring, step: Remedy) -> bool:
    """Whether both sockets of the cable speak its format; a second cable in one may be."""
    one = next(
        one
        for one in wiring.links
        if (step.sender, step.unit, step.socket) in set(directions(one))
        and one.format == step.row
    )
    return not faults(Wiring(wiring.units, (one,), wiring.rate_hz))


def hops(wiring: Wiring, step: Remedy) -> int:
    return wiring.places[step.sender].hops


@pytest.mark.parametrize("seed", few(range(80), 25))
def test_the_proposed_way_works_and_is_the_nearest(seed: int) -> None:
    wiring = random_wiring(seed)
    for unit in wiring.units:
        steps = relock.way(wiring, unit)
        there = known(wiring, unit)
        if there:
            assert steps == (there[0],)
            continue
        able = [step for step in cables(wiring, unit) if works(wiring, step)]
        if not able:
            assert steps == ()
            continue
        (step,) = steps
        assert step in able
        assert hops(wiring, step) == min(hops(wiring, other) for other in able)
        same = [o for o in able if (o.row, o.sender) == (step.row, step.sender)]
        assert step == same[0]


@pytest.mark.parametrize("seed", few(range(60), 15))
def test_a_missing_cable_is_plugged_into_the_input_that_is_set(seed: int) -> None:
    """Where that cannot be, any other way is as good."""
    wiring = random_wiring(seed)
    for unit in wiring.units:
        clock = unit.clock
        able = [
            step._replace(how="plug")
            for step in cables(wiring, unit)
            if clock is not None
            and step.row is not None
            and (step.row.socket, step.socket) == (clock.source, clock.socket)
            and works(wiring, step)
        ]
        steps = relock.missing(wiring, unit)
        if not able:
            assert steps == relock.way(wiring, unit)
            continue
        (step,) = steps
        assert step in able
        assert hops(wiring, step) == min(hops(wiring, other) for other in able)


@pytest.mark.parametrize("seed", few(range(150), 40))
def test_one_unit_is_set_to_its_own_clock_where_all_then_hang_on_it(seed: int) -> None:
    wiring = random_wiring(seed, masters=0)
    able = [
        step
        for unit in wiring.clocked
        for step in [Remedy("internal", unit.name)]
        if unit.device.internal_clock
        and {one.name for one in wiring.clocked} <= set(after(wiring, step).places)
    ]
    steps = relock.crown(wiring)
    assert len(steps) == min(1, len(able))
    assert set(steps) <= set(able)
    if wiring.clocked:
        named = replace(wiring, units=(replace(wiring.clocked[0], clock=INTERNAL),))
        assert relock.crown(named) == ()


@pytest.mark.parametrize("seed", few(range(80), 30))
def test_masters_hang_on_one_by_the_fewest_new_cables(seed: int) -> None:
    wiring = random_wiring(seed, masters=0.7)
    masters = [wiring.unit(name) for name, place in wiring.places.items() if not place.hops]
    steps = relock.settle(wiring, masters)
    then = after(wiring, *steps)
    if steps:
        assert len({then.places[unit.name].master for unit in masters}) == 1
        assert faults(then) <= faults(wiring)
    if len(masters) == 2:
        costs = [_cost(wiring, *pair) for pair in (masters, masters[::-1])]
        order = sorted((0, 1), key=lambda n: not masters[n].device.internal_clock)
        known_costs = [(costs[n], masters[n]) for n in order if costs[n] is not None]
        assert bool(steps) == bool(known_costs)
        if steps:
            cost, kept = min(known_costs, key=lambda one: one[0] or 0)
            assert then.places[kept.name].hops == 0
            assert sum(step.how != "lock" for step in steps) == cost


def _cost(wiring: Wiring, kept: Unit, other: Unit) -> int | None:
    """New cables by which one master hangs on the other's tree; None if it cannot."""
    tree = [name for name, place in wiring.places.items() if place.master == kept.name]
    if any(step.sender in tree for step in known(wiring, other)):
        return 0
    able = any(s.sender in tree and works(wiring, s) for s in cables(wiring, other))
    return 1 if able else None


@pytest.mark.parametrize(("masters", "found"), [(8, True), (9, False)])
def test_eight_masters_are_tried(masters: int, found: bool) -> None:
    """Only the last can give its clock to all others."""
    ear = Device("ear", "", "clock", 1, word_in=1, clock_in=("word",), rates_hz=ALL)
    mouth = replace(ear, id="mouth", word_out=9)
    devices = [ear] * (masters - 1) + [mouth]
    units = [Unit(f"clock-{n}", one, "clock", INTERNAL) for n, one in enumerate(devices)]
    steps = relock.settle(Wiring(tuple(units), (), 48000), units)
    assert [step.unit for step in steps] == [one.name for one in units[:-1]] * found
    assert [step.output for step in steps] == [*range(1, masters)] * found


def test_who_cannot_hang_on_the_first_may_hang_on_the_second() -> None:
    """The first gives light alone, which only the last takes, and word goes on from there."""
    first = Device("first", "", "expander", 1, optical_out=1, optical_2x=1, rates_hz=ALL)
    middle = Device("middle", "", "clock", 1, word_in=1, clock_in=("word",), rates_hz=ALL)
    last = replace(first, id="last", optical_out=0, optical_in=1, clock_in=("optical",))
    last = replace(last, word_out=1)
    devices = (first, middle, last)
    units = [Unit(one.id, one, "expander", INTERNAL) for one in devices]
    steps = relock.settle(Wiring(tuple(units), (), 48000), units)
    assert [(step.unit, step.sender) for step in steps] == [
        ("last", "first"),
        ("middle", "last"),
    ]


@pytest.mark.parametrize("row", TRUNKS)
def test_no_clock_is_sent_over_a_format_that_has_none(row: Format) -> None:
    box = Device("box", "", "expander", 1, trunk=row, trunk_in=1, trunk_out=1, rates_hz=ALL)
    master = Unit("master", box, "expander", INTERNAL)
    other = Unit("other", replace(box, clock_in=("trunk",)), "expander", None)
    steps = relock.way(Wiring((master, other), (), 48000), other)
    assert [step.sender for step in steps] == ["master"] * (row is not MUTE)
    cable = link(row, "master", 1, "other", 1, 2, ("audio",), None)
    steps = relock.way(Wiring((master, other), (cable,), 48000), other)
    assert [step.how for step in steps] == ["lock"] * (row is not MUTE)


def test_no_unit_is_locked_to_one_that_hangs_on_it() -> None:
    """The last of a chain has the only output that is free."""
    box = Device("box", "", "clock", 1, word_in=1, word_out=1, clock_in=("word",), rates_hz=ALL)
    names = ("unit-0", "unit-1", "unit-2", "unit-3")
    units = [Unit(names[0], replace(box, word_out=0, coax_out=1), "clock", INTERNAL)]
    units += [
        Unit(
            name,
            box,
            "clock",
            ClockSetting("coax" if before == names[0] else "word", 1, before),
        )
        for before, name in pairwise(names)
    ]
    links = [link("word", *ends) for ends in _after(names[1:])]
    wiring = Wiring(tuple(units), tuple(links), 48000)
    assert set(wiring.places) == set(names)
    assert relock.way(wiring, units[1]) == ()


def _after(names: Sequence[str]) -> Iterator[tuple[Any, ...]]:
    for sender, receiver in pairwise(names):
        yield sender, 1, receiver, 1, 0, ("clock",), None
