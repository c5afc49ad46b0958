"""Small pieces of text that no whole output of these tests has to show."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.series import Curve, Point
from rigopt.catalogue.types import Device, InOut
from rigopt.output.facts.cables import bundles
from rigopt.output.facts.curve import marks
from rigopt.output.words.curve import rows
from rigopt.output.words.device import sentence
from rigopt.output.words.ribbon import ribbon_line
from rigopt.output.words.wiring import end_sockets, piece, start_sockets
from rigopt.rig.types import Input
from tests.output.rigs import CATALOGUE, LEAD, answered, sixteen
from tests.wires import link


def test_sockets_of_cables_between_two_units() -> None:
    digital = sixteen().links[0]
    ways = [
        link("analogue", "preamp-1", n, "host-1", n + 4, 1, ("audio",), None, piece=1)
        for n in (1, 2)
    ]
    (light, leads) = bundles((digital, *ways))
    assert (start_sockets(light), end_sockets(light)) == ("optical out 1", "optical in 1")
    assert (start_sockets(leads), end_sockets(leads)) == ("direct out 1–2", "line in 5–6")


def test_a_cable_without_a_label_is_told_by_its_id() -> None:
    cable = sixteen().links[0]
    assert piece(cable, "any") == LEAD.label
    assert piece(replace(cable, cable=replace(LEAD, label="")), "any") == LEAD.id
    assert piece(replace(cable, cable=None), "any") == "any"


def inputs(*phantom: bool, use: Any = "mic", accepts: Any = ("mic",)) -> list[Input]:
    return [Input(n, "host-1", n, accepts, on, use) for n, on in enumerate(phantom, start=1)]


@pytest.mark.parametrize(
    ("there", "said"),
    [
        ([], ""),
        (inputs(False, use="line"), ""),
        (inputs(False, use=None, accepts=("line",)), ""),
        (inputs(True, True), "No microphone may be a ribbon one: 48 V is on at all of them."),
        (
            inputs(False, False, use=None),
            "Any microphone may be a ribbon one: 48 V is off at all of them.",
        ),
        (
            inputs(True, False),
            "A ribbon microphone may be on input 2 alone, where 48 V is off.",
        ),
        (
            inputs(False, True, False),
            "A ribbon microphone may be on inputs 1, 3 alone, where 48 V is off.",
        ),
    ],
)
def test_where_a_ribbon_microphone_may_be(there: list[Input], said: str) -> None:
    assert ribbon_line(there) == said


def test_the_rows_of_a_curve() -> None:
    """Where every rig is proven, what it costs at least says nothing more."""
    end = answered()
    dearer = replace(end, rig=replace(end.rig, total=30000), bound=30000)
    curve = Curve((8, 16), (Point(8, end), Point(16, dearer)))
    head, told = rows(marks(curve), CATALOGUE)
    assert head == ["Mics", "Total GBP", "More", "Per input", "Inputs", "Units"]
    assert told == [
        ["8", "206.00", "", "12.88", "16", "1 desk-8 + 1 rack-8"],
        ["16", "300.00", "+94.00", "18.75", "16", "1 desk-8 + 1 rack-8"],
    ]
    unsure = replace(curve, points=(Point(8, replace(end, bound=1, proven=False)),))
    head, told = rows(marks(unsure), CATALOGUE)
    assert head[:4] == ["Mics", "Total GBP", "At least", "More"]
    assert told[0][:4] == ["8", "206.00", "0.01", ""]


def test_a_unit_that_sends_nothing_at_its_lowest_rates() -> None:
    device = Device(
        *("x", "X", "expander"),
        mic=8,
        optical_out=2,
        optical_1x=InOut(0, 0),
        optical_2x=2,
        rates_hz=(48_000, 96_000),
    )
    assert "sends no channels by light-pipe over 2 sockets at 48 kHz, 8 at 96" in sentence(
        device
    )
