"""The audit finds nothing in what the optimiser answers, whatever rows a catalogue has."""

from __future__ import annotations

from collections import Counter

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Device, InOut, SocketRef
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit, warnings
from rigopt.rig.audit.figures import check_figures
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig
from tests.rig import worlds
from tests.rig.rig_builders import OPT, catalogue_of
from tests.tiers import few

SEEDS = [*range(0, 100, 5)]


def met(rig: Rig) -> set[str]:
    """What there is in a rig of what these catalogues are about."""
    used = {ref.kind for link in rig.links for _, ref in (link.start, link.end)}
    found = {f"{kind} sockets" for kind in used} | {link.format.id for link in rig.links}
    signs = {
        "a chain": any(link.after for link in rig.links),
        "a terminator": any(link.terminator for link in rig.links),
        "several trees": len(rig.masters) > 1,
        "several hosts": sum(unit.role == "host" for unit in rig.units) > 1,
        "no clock": any(unit.clock is None for unit in rig.units),
        "outputs over a duplex link": any(link.back for link in rig.links),
        "sockets that exclude each other": any(unit.device.either for unit in rig.units),
        "two hops": rig.clock_hops > 1,
    }
    return found | {sign for sign, there in signs.items() if there}


def answers(seeds: range) -> Counter[str]:
    """Solve and audit every seed; what was met, and how often."""
    seen: Counter[str] = Counter()
    for seed in seeds:
        catalogue, needs = worlds.instance(seed)
        outcome = solve(catalogue, needs)
        assert isinstance(outcome, Answered | Impossible)
        if isinstance(outcome, Answered):
            rig = outcome.rig
            assert audit(rig, catalogue, needs) == (), seed
            assert list(check_figures(rig, figures(rig))) == [], seed
            told = {one.rule for one in warnings(rig.units, rig.links, rig.rate_hz)}
            assert told <= {"optical-long"}, seed
            seen.update({"rigs", *met(rig)})
    return seen


EVERYTHING = {
    *("light-pipe", "stereo", "coax", "word", "trunk-16", "both-12", "still-8"),
    *("a chain", "a terminator", "several trees", "several hosts", "no clock", "two hops"),
    *("outputs over a duplex link", "sockets that exclude each other"),
}


@pytest.mark.parametrize("seed", few(SEEDS))
def test_the_audit_finds_nothing_in_an_answer(seed: int) -> None:
    assert answers(range(seed, seed + 5))["rigs"] > 0


@pytest.mark.long
def test_the_audit_finds_nothing_in_many_answers() -> None:
    seen = answers(range(1000, 1800))
    assert {sign for sign in EVERYTHING if seen[sign] < 3} == set()


def test_a_socket_that_is_reckoned_to_hold_a_stereo_link_does() -> None:
    """Of three optical sockets the third does stereo alone, and is the only one to lock to."""
    desk = Device(
        "desk",
        "desk",
        "host",
        price=100,
        mic=1,
        optical_in=3,
        optical_1x=2,
        optical_stereo=3,
        max_in_1x=8,
        clock_in=(SocketRef("optical", "in", 3),),
        internal_clock=False,
    )
    pre = Device(
        "pre",
        "pre",
        "expander",
        price=100,
        mic=3,
        optical_out=2,
        optical_1x=1,
        optical_stereo=2,
    )
    catalogue = catalogue_of([desk, pre], [OPT])
    needs = Needs(mic=4, units=2)
    outcome = solve(catalogue, needs)
    assert isinstance(outcome, Answered | Impossible)
    if isinstance(outcome, Answered):
        assert audit(outcome.rig, catalogue, needs) == ()


def test_of_two_links_that_are_there_anyway_the_clock_comes_in_on_the_lower() -> None:
    """Outputs are fed by a light-pipe and in stereo; either would do for the clock."""
    desk = Device(
        "desk",
        "desk",
        "host",
        price=100,
        mic=1,
        optical_out=2,
        optical_2x=InOut(0, 1),
        optical_stereo=2,
        rates_hz=(96000,),
    )
    out = Device(
        "out",
        "out",
        "expander",
        price=100,
        optical_in=2,
        optical_2x=2,
        optical_stereo=2,
        line_out=6,
        clock_in=("optical",),
        internal_clock=False,
        rates_hz=(96000,),
    )
    catalogue = catalogue_of([desk, out], [OPT])
    needs = Needs(rate_hz=96000, mic=1, out_line=6)
    outcome = solve(catalogue, needs)
    assert isinstance(outcome, Answered)
    assert audit(outcome.rig, catalogue, needs) == ()
    assert [(link.format.id, link.to_socket, link.carries) for link in outcome.rig.links] == [
        ("light-pipe", 1, ("audio", "clock")),
        ("stereo", 2, ("audio",)),
    ]
