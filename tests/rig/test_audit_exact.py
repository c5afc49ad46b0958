"""All that the audit says of a break: no rule more, and none twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from rigopt.rig.audit import audit_wiring, warnings
from rigopt.rig.audit.causes import causes
from rigopt.rig.audit.finding import Rule, finding
from rigopt.rig.types import ClockSetting
from tests.rig import line_worlds, link_worlds
from tests.rig.link_worlds import SIXTEEN
from tests.rig.rig_builders import OPT, World, with_device, with_link, with_needs, with_unit
from tests.wires import link

Bend = Callable[[World], World]


def made(name: str) -> World:
    where = link_worlds if hasattr(link_worlds, name) else line_worlds
    found: World = getattr(where, name)()
    return found


def converter(world: World) -> World:
    """The expander has direct outs too, and is wired digitally."""
    return with_device(world, "expander-1", direct_out=1)


WIRED: list[tuple[str, Bend, list[Rule]]] = [
    # A cable of light that is said to go on is named once, and is no chain of word clock.
    ("stereo", lambda w: with_link(w, 1, after="host-1"), ["chain-start"]),
    # Direct outs do not make a rate needless where a digital cable is in use.
    (
        "staged",
        lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)),
        ["rate"],
    ),
    # What is idle runs at every rate only if it has direct outs.
    ("idle", lambda w: with_device(w, "expander-1", rates_hz=(44100,)), ["rate"]),
    ("idle", lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)), []),
]


@pytest.mark.parametrize(("name", "bend", "rules"), WIRED)
def test_of_a_rig_as_it_is_wired(name: str, bend: Bend, rules: list[Rule]) -> None:
    rig = bend(made(name)).rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    assert [one.rule for one in found] == rules


ANSWERED: list[tuple[str, Bend, list[Rule]]] = [
    # Two light-pipes, one cable to the host's T-piece and one from it are the long runs.
    ("chained", lambda w: with_needs(w, host_to_rack_mm=1001), ["cable-short"] * 4),
    ("chained", lambda w: with_needs(w, within_rack_mm=1001), ["cable-short"]),
    # Of two cables on one output the second is no chain's, and what follows it begins nowhere.
    (
        "chained",
        lambda w: with_link(w, 3, after=None),
        ["socket-taken", "chain-start", "piece-extra", "piece-extra"],
    ),
    (
        "chained",
        lambda w: with_unit(w, "host-1", clock=None),
        ["clock-none", "carries-clock", "chain-lock"],
    ),
]


@pytest.mark.parametrize(("name", "bend", "rules"), ANSWERED)
def test_of_an_answer(name: str, bend: Bend, rules: list[Rule]) -> None:
    assert bend(made(name)).rules() == rules


def test_an_input_that_hangs_alone_need_not_be_what_its_unit_is_locked_to(
    clocked: World,
) -> None:
    """In a chain of two it must."""
    assert lock_to_light(clocked).rules() == ["carries-clock"] * 2 + ["clock-far", "clock-hops"]
    world = lock_to_light(made("chained"))
    units = [unit for unit in world.rig.units if unit.name != "expander-2"]
    links = [one for one in world.rig.links if "expander-2" not in (one.from_unit, one.to_unit)]
    found = [one.rule for one in audit_wiring(units, links, 48000)]
    # The T-piece of what is now the last one is needless.
    assert found == ["carries-clock", "carries-clock", "chain-lock", "piece-extra"]


def lock_to_light(world: World) -> World:
    """The host is locked to the cable from the expander, and not to word clock."""
    return with_unit(world, "host-1", clock=ClockSetting("optical", 1, "expander-1"))


@pytest.mark.parametrize(
    ("most", "length", "told"),
    [
        (None, 5000, False),
        (None, 5001, True),
        (9000, 5001, True),
        (9000, 9000, True),
        (9000, 9001, False),
    ],
)
def test_a_doubtful_length_is_told_up_to_the_longest(
    most: int | None, length: int, told: bool
) -> None:
    world = made("apart")
    row = SIXTEEN._replace(warn_mm=5000, max_mm=most)
    one = link(row, "expander-1", 1, "host-1", 1, 8, ("audio",), replace(OPT, length_mm=length))
    found = warnings(world.rig.units, [one], 48000)
    assert [each.rule for each in found] == ["optical-long"] * told


@pytest.mark.parametrize(
    ("first", "following", "kept"),
    [
        ("socket-missing", "channels", False),
        ("socket-missing", "demand", True),
        ("rate", "line-outputs", False),
        ("rate", "input-order", True),
        ("socket-dead", "demand", False),
        ("socket-dead", "input-channel", True),
        ("budget", "channels", True),
    ],
)
def test_what_only_follows_is_not_told(first: Rule, following: Rule, kept: bool) -> None:
    one, other = finding(first), finding(following)
    assert causes([other, one]) == ((other, one) if kept else (one,))


def test_a_circle_is_told_unless_the_cable_is_missing() -> None:
    circle, other = finding("clock-loop", unit="a"), finding("clock-loop", unit="b")
    missing = finding("clock-link", unit="a")
    assert causes([circle, missing, other]) == (missing, other)
