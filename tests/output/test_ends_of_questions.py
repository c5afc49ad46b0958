"""How questions end: words, exit statuses, and what is said of a wired rig's inputs."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.answers.choice import Alternative, Difference, difference
from rigopt.answers.growth import Grown, Growth, Most
from rigopt.answers.outcome import (
    Impossible,
    NotAsked,
    OutOfTime,
    Regret,
    second_on,
    together,
)
from rigopt.answers.prices import Prices
from rigopt.answers.rates import _of_clock, _wires, by_rate
from rigopt.answers.series import Column, Comparison, Curve, Point, Scenario, Stretch
from rigopt.answers.verdict import Verdict, seat
from rigopt.catalogue.types import Cable, SourceLine
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.types import ClockSetting, Input, Unit
from rigopt.rig.wired import StatedInput, WiredRig
from tests.output.rigs import CATALOGUE, DESK, RACK, answered, sixteen
from tests.wires import link

END = answered()
NONE, LATE = Impossible(), OutOfTime(1.0)
PLACE = Alternative(2, Difference(5, (), ()))


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"proven": True}, "proven cheapest"),
        ({"proven": False}, "best found"),
        ({"proven": True, "regret": Regret(0, 0)}, "proven cheapest"),
        ({"proven": True, "regret": Regret(1, 0)}, "least regret"),
        ({"proven": False, "regret": Regret(1, 0)}, "best found"),
        ({"proven": False, "alternative": PLACE}, "alternative"),
    ],
)
def test_the_word_for_a_rig(changes: dict[str, Any], word: str) -> None:
    end = replace(END, **changes)
    assert (end.status, end.exit_status) == (word, 0)


@pytest.mark.parametrize(
    ("ends", "status", "word"),
    [
        ([END, NONE, LATE], 0, "answered"),
        ([NONE, NONE], 3, "impossible"),
        ([NONE, LATE], 4, "out of time"),
        ([NONE, NotAsked()], 4, "out of time"),
        ([LATE], 4, "out of time"),
    ],
)
def test_several_ends_together(ends: list[Any], status: int, word: str) -> None:
    assert together(iter(ends)) == status
    scenario = Scenario("", CATALOGUE, Needs())
    found = Comparison(tuple(Column(scenario, end) for end in ends))
    assert (found.exit_status, found.status) == (status, word)


def test_a_second_opinion_is_of_a_rig_or_of_none() -> None:
    assert second_on(replace(END, second="agrees")) == "agrees"
    assert second_on(replace(NONE, second="disagrees")) == "disagrees"
    assert [second_on(end) for end in (END, NONE, LATE, NotAsked())] == [None] * 4


def test_a_curve_ends_at_the_first_count_without_a_rig() -> None:
    rig, none, late = Point(8, END), Point(16, NONE), Point(24, LATE)
    whole = Curve((8, 16, 24), (rig, none))
    assert (whole.end, whole.unasked, whole.status) == (none, (), "answered")
    stopped = Curve((8, 16, 24), (rig,))
    assert (stopped.end, stopped.unasked) == (None, (16, 24))
    assert (Curve((8,), ()).end, Curve((8,), ()).unasked) == (None, (8,))
    assert Curve((16, 24), (none,)).exit_status == 3
    assert Curve((24,), (late,)).end is None
    assert [point.answer for point in (rig, none, late)] == [END, None, None]


def test_a_stretch_ends_with_its_best() -> None:
    best = Stretch(5, Point(8, END), Point(9, END), proven=False)
    assert (best.status, best.exit_status) == (END.status, 0)


def test_growth_adds_up_and_has_its_word() -> None:
    way = Growth((), 0, True)
    assert (way.total, Grown(way, None).status) == (0, "proven cheapest")
    unsure = Grown(replace(way, proven=False), None)
    assert (unsure.status, unsure.exit_status) == ("best found", 0)
    some: Any = (object(),)
    for ended in ("reached", "out of reach", "time"):
        most = Most(Growth(some, 0, True), (True,), ended)
        assert (most.status, most.exit_status) == (ended, 0)


def test_prices_are_wanted_until_there_is_a_rig() -> None:
    found = [Prices((), None, 0, answer) for answer in (None, END)]
    assert [(one.done, one.status, one.exit_status) for one in found] == [
        (False, "prices wanted", 0),
        (True, "answered", 0),
    ]


def test_a_difference_names_what_comes_and_what_goes() -> None:
    rig = sixteen()
    host, far = rig.units
    other = replace(rig, units=(host, host, replace(far, device=DESK)), total=rig.total - 7)
    assert difference(rig, other) == (-7, (("rack-8", 1),), (("desk-8", 2),))
    assert difference(rig, rig) == (0, (), ())


# --- inputs of a wired rig ----------------------------------------------------------------

INPUTS = (
    Input(3, "host-1", 1, ("mic", "line"), True, path=("host-1",)),
    Input(4, "host-1", 2, ("line",), False, path=("host-1",)),
)


def seated(*stated: StatedInput, needs: Needs | None = None) -> tuple[list[Any], list[Any]]:
    placed, wrong = seat(stated, INPUTS, needs)
    assert [item.computer_input for item in placed] == [3, 4]
    told = [(found.rule, dict(found.facts)) for found in wrong]
    return [(item.use, item.source, item.path) for item in placed], told


def test_inputs_get_the_use_that_is_said_of_them() -> None:
    nothing = (None, None, ("host-1",))
    by_number = StatedInput(3, None, None, "mic", "Voice", phantom=True)
    assert seated(by_number) == ([("mic", "Voice", ("host-1",)), nothing], [])
    by_channel = StatedInput(None, "host-1", 2, "line")
    assert seated(by_channel) == ([nothing, ("line", None, ("host-1",))], [])
    boxed = StatedInput(3, None, None, "instrument", through="di-1")
    assert seated(boxed) == ([("instrument", None, ("di-1", "host-1")), nothing], [])
    needs = Needs(sources=(SourceLine("Keys", "line"),))
    named = StatedInput(4, None, None, source="Keys")
    assert seated(named, needs=needs)[0][1] == ("line", "Keys", ("host-1",))
    assert seated(named)[0][1] == (None, "Keys", ("host-1",))
    assert seated(replace(by_number, source="Keys"), needs=needs)[0][0][0] == "mic"


def test_what_is_wrong_with_what_is_said_of_inputs() -> None:
    def rules(*stated: StatedInput) -> list[str]:
        return [rule for rule, _ in seated(*stated)[1]]

    mic = StatedInput(3, None, None, "mic")
    assert rules(replace(mic, phantom=False)) == ["input-phantom"]
    assert rules(replace(mic, use="line", phantom=False)) == []
    assert rules(StatedInput(4, None, None, "mic")) == ["use"]
    assert rules(StatedInput(4, None, None, "line", through="di-1")) == ["use"]
    assert rules(mic, replace(mic, use="line")) == ["input-order"]
    assert rules(replace(mic, number=9)) == ["input-extra"]
    assert rules(StatedInput(4, "host-1", 1, "mic")) == ["input-channel"]
    _, (wrong,) = seated(StatedInput(9, "host-1", 7, source="Alto"))
    assert (wrong[1]["where"], wrong[1]["what"]) == ("channel 7 of host-1", "Alto")
    _, (wrong,) = seated(StatedInput(9, "host-1", None, use="mic"))
    assert (wrong[1]["where"], wrong[1]["what"]) == ("input 9", "mic")
    _, (wrong,) = seated(StatedInput(9, None, None))
    assert wrong[1]["what"] == "something"
    _, (wrong,) = seated(replace(mic, phantom=False))
    assert (wrong[1]["said"], wrong[1]["right"]) == ("off", "on")


def test_a_verdict_has_its_word_and_its_rig() -> None:
    rig = sixteen()
    wired = WiredRig(rig.rate_hz, rig.units, rig.links)
    good = Verdict(wired, (), (), rig.inputs, 1)
    bad = replace(good, findings=(finding("no-host"),))
    assert [(one.works, one.status, one.exit_status) for one in (good, bad)] == [
        (True, "works", 0),
        (False, "does not work", 3),
    ]
    assert good.as_rig() == replace(rig, purchases=(), total=0)


# --- rates --------------------------------------------------------------------------------


def test_a_rig_at_each_rate_that_a_unit_knows() -> None:
    """The expander alone knows 96 kHz: there the host is missing, and nothing arrives."""
    host = Unit("host-1", DESK, "host", ClockSetting("optical", 1, "expander-1"))
    fast = replace(RACK, rates_hz=(48000, 96000), optical_2x=0)
    far = Unit("expander-1", fast, "expander", ClockSetting("internal"))
    cable = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio", "clock"), None)
    found = by_rate(WiredRig(48000, (host, far), (cable,)))
    assert [one.rate_hz for one in found.rates] == [44100, 48000, 96000]
    at_44, at_48, at_96 = found.rates
    assert (at_44.missing, at_48.missing, at_96.missing) == (("expander-1",), (), ("host-1",))
    assert [one.works for one in found.rates] == [False, True, False]
    assert (at_48.arriving("host-1"), at_48.arriving("expander-1")) == (8, 8)
    assert at_96.arriving("expander-1") == 0
    assert at_48.dead == ()
    (dead,) = at_96.dead
    assert (dead.unit, dead.kind, dead.way, dead.first, dead.last, dead.cables) == (
        *("expander-1", "optical", "output", 1, 1, 1),
    )
    assert (found.status, found.exit_status) == ("answered", 0)


@pytest.mark.parametrize(
    ("carries", "number", "of_clock"),
    [
        (("audio", "clock"), 1, True),
        (("clock",), 1, True),
        (("audio",), 1, False),
        (("clock",), 2, False),
    ],
)
def test_a_dead_socket_is_of_the_clock_if_that_comes_by_it(
    carries: Any, number: int, of_clock: bool
) -> None:
    there = link("optical", "b", 1, "a", 1, 8, carries, None)
    verdict: Any = SimpleNamespace(rig=WiredRig(96000, (), (there,)))
    facts: Any = {"unit": "a", "kind": "optical", "way": "input", "socket": number}
    dead = Finding("socket-dead", "", tuple(facts.items()))
    assert _of_clock(dead, verdict) is of_clock


TEE = Cable("tee", "", "tee", 0, 400)


def chained(*after: tuple[str, str | None]) -> WiredRig:
    """Word clock from a to each of these units in turn, on from the T-piece of another."""
    units = tuple(Unit(name, DESK, "expander", ClockSetting("internal")) for name in "abcd")
    links = [
        link("word", "a", 1, to, 1, 0, ("clock",), None, after=x, tee=TEE) for to, x in after
    ]
    return WiredRig(96000, units, tuple(links))


@pytest.mark.parametrize(
    ("left", "found"),
    [
        ("abcd", [("b", None, TEE), ("c", "b", TEE), ("d", "c", TEE)]),
        ("acd", [("c", None, None), ("d", "c", None)]),
        ("abd", [("b", None, None), ("d", "b", None)]),
        ("ad", [("d", None, None)]),
        ("bcd", []),
    ],
)
def test_a_chain_goes_by_units_that_do_not_know_the_rate(left: str, found: list[Any]) -> None:
    """It has other T-pieces and terminators then."""
    rig = chained(("b", None), ("c", "b"), ("d", "c"))
    assert [(wire.to_unit, wire.after, wire.tee) for wire in _wires(rig, left)] == found


def test_a_chain_that_bites_its_tail_ends() -> None:
    rig = chained(("b", "c"), ("c", "b"), ("d", "c"))
    (wire,) = _wires(rig, "ad")
    assert (wire.to_unit, wire.after in {"b", "c"}) == ("d", True)
