"""Seating hears the deadline, and large rigs are seated with little work."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from rigopt.catalogue.types import Device
from rigopt.needs.types import GROUPS, Needs, SourceLine
from rigopt.optimiser.decode import listing, places, seating
from rigopt.optimiser.decode.di import members
from rigopt.optimiser.decode.seating import seated
from rigopt.optimiser.solver import lexicographic, run
from rigopt.optimiser.solver.linear import total
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.links import derive_links
from rigopt.rig.types import ClockSetting, Link, Unit
from tests.sheets.test_seats import rig
from tests.tiers import few

LITTLE = 0.5
"""Work, in units of the solver that do not depend on the machine."""


def hosts(number: int) -> tuple[list[Unit], tuple[Link, ...]]:
    """Hosts of 25 microphone inputs in banks of 8 and one of 1, and 2 line inputs."""
    device = Device("desk", "Desk", "host", mic_line=25, line=2, phantom_bank=8)
    units = [Unit(f"host-{n}", device, "host", ClockSetting("internal")) for n in range(number)]
    return units, derive_links(units, [], 48000)


def pairs(number: int) -> tuple[SourceLine, ...]:
    """So many pairs, every second one of them with 48 V."""
    return tuple(
        SourceLine(f"s{n}", phantom="on" if n % 4 < 2 else "any", pair=f"p{n // 2}")
        for n in range(2 * number)
    )


MANY = {
    "without names": Needs(mic=150, phantom=75, line=10),
    "pairs": Needs(mic=128, phantom=64, sources=pairs(64)),
}


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[run.Result]:
    """Every call of the solver, held to a little work."""
    made: list[run.Result] = []
    solve = run.run

    def held(model: Any, deadline: Deadline, *_: Any) -> run.Result:
        made.append(solve(model, deadline, effort=LITTLE))
        return made[-1]

    for module in (run, lexicographic, listing):
        monkeypatch.setattr(module, "run", held)
    return made


@pytest.mark.parametrize("needs", MANY.values(), ids=MANY)
def test_many_sources_take_little_work(needs: Needs, calls: list[run.Result]) -> None:
    found = seated(needs, *hosts(6))
    assert sum(line.use is not None for line in found.inputs) == needs.inputs
    assert not found.split_pairs
    assert len(calls) <= 40
    assert all(call.status in ("optimal", "infeasible") for call in calls)


def stopped() -> Deadline:
    """The user said stop."""
    watch = Watch()
    watch.stopped = True
    return Deadline(None, watch)


@pytest.mark.parametrize("deadline", [Deadline(0.0), stopped()], ids=["late", "stopped"])
@pytest.mark.parametrize("needs", MANY.values(), ids=MANY)
def test_past_the_deadline_every_source_sits_somewhere(
    needs: Needs, deadline: Deadline, calls: list[run.Result]
) -> None:
    found = seated(needs, *hosts(6), deadline=deadline)
    assert sum(line.use is not None for line in found.inputs) == needs.inputs
    assert [line.source for line in found.inputs if line.source] == [
        line.source for line in found.inputs if line.use and needs.sources
    ]
    assert not found.split_pairs
    assert sum(call.status != "unknown" for call in calls) <= 2


def test_named_sources_keep_what_is_settled_when_time_runs_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    watch = Watch()
    asked = listing._ask

    def once(*given: Any) -> run.Result:
        found = asked(*given)
        watch.stopped = True
        return found

    monkeypatch.setattr(listing, "_ask", once)
    sources = tuple(SourceLine(f"s{n}", phantom="off" if n else "on") for n in range(9))
    devices = Device("desk", "Desk", "host", mic_line=10, phantom_bank=(1, 9))
    needs = Needs(mic=9, phantom=1, no_phantom=8, sources=sources)
    found = seated(needs, *rig(devices), deadline=Deadline(None, watch))
    assert {line.source for line in found.inputs if line.source} == {s.name for s in sources}


@pytest.mark.parametrize("seed", few(range(40), now=5))
def test_wishes_one_by_one_are_as_good_as_in_one_sum(seed: int) -> None:
    random = Random(seed)
    device = Device(
        "desk",
        "Desk",
        "host",
        mic_line=random.randint(2, 8),
        mic_line_inst=random.randint(0, 2),
        line=random.randint(0, 3),
        phantom_bank=random.choice((1, 2, 4)),
    )
    units, links = rig(device)
    room = device.mic_line + device.mic_line_inst
    mics = random.randint(1, room)
    needs = Needs(
        mic=mics,
        phantom=random.randint(0, mics),
        line=random.randint(0, device.line + room - mics),
    )
    seats = places.seats_of(units, seated(Needs(), units, links).inputs)
    wanted: dict[places.Block, int] = {
        (member,): n for member, n in members(needs.groups, {}).items()
    }
    costs = []
    for weigh in (False, True):
        made = places.places(seats, wanted)
        terms = seating._costs(made)
        if weigh:
            most = 2 * len(GROUPS) * len(seats) ** 2 + 1
            sums = [(var, f * most ** (3 - n)) for n, ts in enumerate(terms) for var, f in ts]
            made.model.minimize(total(sums))
            best = run.run(made.model, Deadline(None))
        else:
            best = lexicographic.optimise(made.model, terms, Deadline(None)).result
        costs.append([sum(f * best.value(var) for var, f in ts) for ts in terms])
    assert costs[0] == costs[1]
