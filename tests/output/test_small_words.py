"""Small pieces of text that no whole output of these tests has to show."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.outcome import NotAsked, Regret
from rigopt.answers.series import Column, Curve, Point, Scenario
from rigopt.catalogue.types import Device, InOut
from rigopt.needs.types import Needs
from rigopt.output.facts.cables import bundles
from rigopt.output.facts.curve import marks
from rigopt.output.words.compare_notes import compare_title
from rigopt.output.words.curve import rows
from rigopt.output.words.device import sentence
from rigopt.output.words.doubts import doubts
from rigopt.output.words.inputs import silent_lines, used_for
from rigopt.output.words.labels import labels
from rigopt.output.words.lookups import all_known
from rigopt.output.words.regret import regret_proof
from rigopt.output.words.ribbon import ribbon_line
from rigopt.output.words.wiring import (
    both_ways,
    clock_notes,
    clockless,
    end_sockets,
    load,
    piece,
    start_sockets,
    switch_each,
)
from rigopt.rig.types import ClockSetting, Input, Unit
from tests.output.rigs import CATALOGUE, DESK, LEAD, RACK, answered, sixteen
from tests.rig.link_worlds import BOTH
from tests.sheets.analogue import FAN
from tests.sheets.linked import apart, converted
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


@pytest.mark.parametrize(
    ("channels", "carries", "back", "master", "said"),
    [
        (8, ("audio", "clock"), 0, "expander-1", "8 ch + clock"),
        (8, ("audio",), 0, "expander-1", "8 ch"),
        (0, ("clock",), 0, "expander-1", "clock"),
        (8, ("audio", "clock"), 4, "host-1", "8 ch, 4 ch back + clock back"),
        (0, ("audio",), 4, "expander-1", "4 ch back"),
        (0, (), 0, "expander-1", ""),
    ],
)
def test_what_a_duplex_cable_carries(
    channels: int, carries: Any, back: int, master: str, said: str
) -> None:
    cable = link(BOTH, "expander-1", 1, "host-1", 1, channels, carries, None, back=back)
    clock = (
        ClockSetting("trunk", 1, "host-1") if master == "host-1" else ClockSetting("internal")
    )
    assert load(cable, [Unit("expander-1", RACK, "expander", clock)]) == said


CLASSES = [
    *((f"{kind}_2x", "88.2 or 96") for kind in ("optical", "coax", "analogue", "max_in")),
    *((f"{kind}_4x", "176.4 or 192") for kind in ("optical", "coax", "analogue", "max_in")),
]


@pytest.mark.parametrize(("column", "rates"), CLASSES)
def test_a_column_for_rates_that_a_unit_does_not_have(column: str, rates: str) -> None:
    """Nor does what another class has say anything of it; nothing filled in is no doubt."""
    slow = replace(DESK, rates_hz=(48_000,), coax_2x=0, analogue_2x=0, analogue_4x=0)
    fast = replace(slow, rates_hz=(48_000, 96_000 if column.endswith("2x") else 192_000))
    other = replace(slow, rates_hz=(48_000, 192_000 if column.endswith("2x") else 96_000))
    says = f"{column} is filled in, but there is no {rates} here"
    for device, wanted in ((slow, [says]), (fast, []), (other, [says])):
        cell: dict[str, Any] = {column: 1}
        found = doubts(replace(device, **cell), CATALOGUE)
        assert [one.says for one in found if "filled in" in one.says] == wanted
    assert not [one for one in doubts(slow, CATALOGUE) if "filled in" in one.says]


@pytest.mark.parametrize(
    ("titles", "said"),
    [
        (("", ""), "2 columns side by side"),
        (("Band", "Band"), "Band: 2 columns side by side"),
        (("Band", "Choir"), "2 columns side by side"),
    ],
)
def test_the_title_of_a_comparison(titles: tuple[str, ...], said: str) -> None:
    columns = [Column(Scenario(title, CATALOGUE, Needs()), NotAsked()) for title in titles]
    assert compare_title(columns) == said


def test_what_is_written_on_a_unit() -> None:
    """The interface has banks of 48 V, bank 1 on; the cable's other end has none."""
    rig = sixteen()
    _, _, host, far = labels(rig)
    assert host.lines == (
        "desk-8: Desk interface, 8 in",
        "clock: locked to optical in 1, from expander-1",
        "48 V: bank 1 (ch 1–4)",
        "computer inputs 1–8",
    )
    assert far.lines[2:] == ("48 V: none", "computer inputs 11–18")
    bare = replace(rig.units[1], device=replace(RACK, phantom_bank=0))
    one = replace(rig, units=(rig.units[0], bare), inputs=rig.inputs[:9])
    assert labels(one)[3].lines == (
        "rack-8: Rack expander, 8 microphones",
        "clock: internal (clock master)",
        "computer input 11",
    )


@pytest.mark.parametrize(
    ("lost", "said"),
    [
        ((), []),
        ((8,), ["Channel 8 of host-1 does not reach the computer: nothing goes in there."]),
        ((7, 8), ["Channels 7–8 of host-1 do not reach the computer: nothing goes in there."]),
        (
            (8, 16),
            [
                "Channel 8 of host-1 and channel 8 of expander-1 do not reach the computer: "
                "nothing goes in there."
            ],
        ),
    ],
)
def test_channels_that_do_not_reach_the_computer(
    lost: tuple[int, ...], said: list[str]
) -> None:
    rig = sixteen()
    left = [item for n, item in enumerate(rig.inputs, start=1) if n not in lost]
    assert silent_lines(replace(rig, inputs=tuple(left))) == said


@pytest.mark.parametrize(
    ("proven", "regret", "said"),
    [
        (True, Regret(0, 0), "complete; whatever the true prices in their ranges, no rig of "),
        (False, Regret(0, 0), "complete but for ties; whatever the true prices in their "),
        (True, Regret(9, 9), "0.09 GBP more than the best one. No rig promises less."),
        (False, Regret(9, 9), "the best one. No rig promises less; ties are open."),
        (
            False,
            Regret(9, 0),
            "best one. Whether one promises less than 0.09 GBP is open.",
        ),
        (
            False,
            Regret(9, 5, (("a", 100), ("b", 200))),
            "best one, and that only with a at 1.00 GBP and b at 2.00 GBP. Whether one "
            "promises less than 0.09 GBP is open, but none promises less than 0.05 GBP.",
        ),
    ],
)
def test_how_right_a_rig_is_at_any_prices(proven: bool, regret: Regret, said: str) -> None:
    told = regret_proof(proven, regret, "GBP")
    assert said in told
    start = "none yet; " if regret.bound < regret.most else "complete"
    assert told.startswith(start)
    assert ("but for ties" in told) is (not proven and regret.bound == regret.most)


def test_what_is_written_on_an_analogue_cable() -> None:
    """Two ways of one piece go to one unit; a word clock says all by itself."""
    ways = [
        link("analogue", "preamp-1", n, "host-1", n + 4, 1, ("audio",), FAN, piece=3)
        for n in (1, 2)
    ]
    tick = link("word", "expander-1", 1, "host-1", 1, 0, ("clock",), None)
    start, end, first, second, *_ = labels(replace(sixteen(), links=(*ways, tick)))
    below = ("analogue line, 2 ch", "fan: Loom of jacks")
    assert (start.name, end.name) == ("1", "1")
    assert start.lines == ("preamp-1 direct out 1–2", "to host-1 line in 5–6", *below)
    assert end.lines == ("host-1 line in 5–6", "from preamp-1 direct out 1–2", *below)
    assert first.lines == ("expander-1 word out 1", "to host-1 word in 1", "word clock", "")
    assert second.lines[:2] == ("host-1 word in 1", "from expander-1 word out 1")


@pytest.mark.parametrize(
    ("unknown", "said"),
    [
        (0, "Every price is known."),
        (1, "No more prices are needed: 1 unknown price never mattered."),
        (2, "No more prices are needed: 2 unknown prices never mattered."),
    ],
)
def test_when_no_more_prices_are_needed(unknown: int, said: str) -> None:
    assert all_known(unknown) == said


def test_which_units_are_joined_how() -> None:
    """Two hosts are resampled by the computer; a converter joins an expander."""
    assert clock_notes(apart()) == [
        "2 clocks: host-1 by itself; expander-1 leads host-2.",
        "The computer must resample between host-1 and host-2.",
    ]
    assert clock_notes(converted()) == [
        "2 clocks: host-1 by itself; expander-1 by itself.",
        "Rate converters join them at host-1 optical in 2.",
    ]
    assert clock_notes(sixteen()) == []


def test_of_what_nobody_looks_for_a_clock_menu() -> None:
    unit = Unit("preamp-1", RACK, "preamp", None)
    assert clockless(unit)
    assert not clockless(replace(unit, role="expander"))
    assert not clockless(replace(unit, clock=ClockSetting("internal")))


def test_sockets_that_are_both_ways() -> None:
    duplex = Unit("box", replace(RACK, trunk=BOTH), "expander", None)
    one_way = replace(duplex, device=replace(RACK, trunk=BOTH._replace(duplex=False)))
    assert both_ways(duplex, "trunk")
    assert not both_ways(duplex, "optical")
    assert not both_ways(one_way, "trunk")
    assert not both_ways(replace(duplex, device=RACK), "trunk")


@pytest.mark.parametrize(
    ("sizes", "each"), [(1, True), ((1, 1), True), ((1, 2), False), (4, False), (0, True)]
)
def test_a_switch_of_48_v_for_each_channel(sizes: Any, each: bool) -> None:
    assert switch_each(Unit("box", replace(RACK, phantom_bank=sizes), "host", None)) is each


@pytest.mark.parametrize(
    ("item", "want", "said"),
    [
        (Input(1, "host-1", 1, ("mic", "line"), False), "any", "spare (mic or line)"),
        (Input(1, "host-1", 1, ("mic",), True, "mic"), "on", "mic (needs 48 V)"),
        (
            Input(1, "host-1", 1, ("mic",), True, "mic", "Voice"),
            "off",
            "mic: Voice (never 48 V)",
        ),
        (
            Input(1, "host-1", 1, ("mic",), True, "instrument", "Bass", ("di-1", "host-1")),
            "any",
            "instrument: Bass, through di-1",
        ),
    ],
)
def test_what_an_input_is_used_for(item: Input, want: Any, said: str) -> None:
    assert used_for(item, want) == said
