"""What the audit says of a list of inputs: boxes, spare ones, named sources and pairs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.needs.types import Needs, SourceLine
from rigopt.output.words.findings import says
from rigopt.rig.audit.demands import check_boxes, check_uses
from rigopt.rig.audit.sources import check_sources
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Input, Unit
from tests.rig.line_worlds import ACTIVE, HOST
from tests.rig.rig_builders import master

BOXES = Wiring(
    (
        master("host-1", replace(HOST, inst=4)),
        Unit("di-1", ACTIVE, "di", None),
        Unit("di-2", replace(ACTIVE, di_phantom=False), "di", None),
    ),
    (),
    48000,
)


def taken(number: int, **more: Any) -> Input:
    """A microphone input of the host, with 48 V."""
    plain = Input(number, "host-1", number, ("mic", "line"), True)
    return replace(plain, **more)


def boxed(number: int, box: str, **more: Any) -> Input:
    """An instrument in a box, on such an input."""
    return taken(number, use="instrument", path=(box, "host-1"), **more)


@pytest.mark.parametrize(
    ("inputs", "rules"),
    [
        ([boxed(1, "di-1"), boxed(2, "di-1")], []),
        ([boxed(1, "di-1"), boxed(2, "di-1"), boxed(3, "di-1")], ["di-missing"]),
        ([boxed(1, "di-1"), boxed(2, "di-1"), boxed(3, "di-2")], []),
        ([boxed(1, "di-1", phantom=False)], ["di-phantom"]),
        ([boxed(1, "di-2", phantom=False)], []),
        ([boxed(1, "ghost")], ["di-missing"]),
        ([boxed(1, "host-1", unit="preamp-1")], ["di-missing"]),
        ([replace(boxed(1, "di-1"), use="mic")], ["di-missing"]),
        ([taken(1, use="instrument", path=("host-1",)), taken(2, use="mic")], []),
    ],
)
def test_each_instrument_in_a_box_has_a_channel_of_it(
    inputs: list[Input], rules: list[str]
) -> None:
    assert [one.rule for one in check_boxes(BOXES, inputs)] == rules


@pytest.mark.parametrize(
    ("free", "rules"),
    [
        ({"accepts": ("mic",)}, []),
        ({"accepts": ("line",)}, ["spare"]),
        ({"use": "line"}, ["spare"]),
    ],
)
def test_what_is_spare_takes_a_microphone(free: dict[str, Any], rules: list[str]) -> None:
    needs = Needs(line=1 if free.get("use") else 0, spare=1)
    assert [one.rule for one in check_uses([taken(1, **free)], needs)] == rules


@pytest.mark.parametrize(
    ("needs", "told"),
    [
        (Needs(mic=2, phantom=2), "on; 2"),
        (Needs(mic=2, no_phantom=2), "off; 2"),
    ],
)
def test_too_few_with_or_without_48_volts(needs: Needs, told: str) -> None:
    inputs = [taken(1, use="mic"), taken(2, use="mic", phantom=False)]
    (found,) = check_uses(inputs, needs)
    state, _, _ = told.partition(";")
    assert (found.fact("state"), found.fact("found"), found.fact("asked")) == (state, 1, 2)
    assert told.partition(";")[0] in says(found)


PAIR = (SourceLine("L", "mic", "any", "Pair"), SourceLine("R", "mic", "any", "Pair"))


@pytest.mark.parametrize(
    ("seats", "together"),
    [
        ([("host-1", 1), ("host-1", 2)], True),
        ([("host-1", 2), ("host-1", 1)], True),
        ([("host-1", 1), ("host-1", 3)], False),
        ([("host-1", 1), ("host-2", 2)], False),
        ([("host-2", 1), ("host-1", 2)], False),
        ([("host-1", 1), ("host-2", 1)], False),
    ],
)
@pytest.mark.parametrize("split", [(), ("Pair",)])
def test_a_pair_is_side_by_side_or_said_not_to_be(
    seats: list[tuple[str, int]], together: bool, split: tuple[str, ...]
) -> None:
    inputs = [
        taken(number, unit=unit, channel=channel, use="mic", source=name)
        for number, ((unit, channel), name) in enumerate(zip(seats, "LR", strict=True), start=1)
    ]
    found = [(one.rule, one.case) for one in check_sources(inputs, Needs(sources=PAIR), split)]
    wrong = ("pair", "whole") if together else ("pair", "")
    assert found == ([wrong] if together == bool(split) else [])


@pytest.mark.parametrize(
    ("asks", "gets", "rules"),
    [
        ("any", True, []),
        ("any", False, []),
        ("on", True, []),
        ("on", False, ["source-phantom"]),
        ("off", True, ["source-phantom"]),
        ("off", False, []),
    ],
)
def test_a_source_gets_the_48_volts_it_asks_for(
    asks: Any, gets: bool, rules: list[str]
) -> None:
    needs = Needs(sources=(SourceLine("Voice", "mic", asks),))
    inputs = [taken(1, use="mic", source="Voice", phantom=gets)]
    assert [one.rule for one in check_sources(inputs, needs)] == rules
