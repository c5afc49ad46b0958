import datetime
from collections.abc import Callable
from dataclasses import fields, replace
from decimal import Decimal

import pytest
from wcwidth import width

from rigopt.answers.choice import Fact
from rigopt.answers.outcome import Answered, Impossible, Outcome, OutOfTime
from rigopt.catalogue.types import Extra, Seller
from rigopt.facts import FORMATS
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs, SourceLine
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.layout import COLUMNS
from rigopt.output.terminal.text import plan_text, summary
from rigopt.output.words.answer import asked
from rigopt.rig.types import ClockSetting, Order, Rig, Unit
from tests.output.rigs import (
    CATALOGUE,
    DESK,
    INTERNAL,
    LEAD,
    LONG,
    NEEDS,
    answered,
    lone,
    ordered,
    sixteen,
)

HOSTILE = "\x1b[31m\u202e=cmd|' /C x'!A0\n漢字🎤🎤 " + "x" * 200


def text(rig: Rig | None = None, **changes: object) -> str:
    return plan_text(answered(rig), CATALOGUE, replace(NEEDS, **changes))  # type: ignore[arg-type]


def section(shown: str, name: str) -> list[str]:
    return next(part for part in shown.split("\n\n") if part.startswith(name)).splitlines()[1:]


def test_the_head_says_question_price_proof_and_size() -> None:
    assert text().split("\n\n", maxsplit=1)[0].splitlines() == [
        "Four-piece band",
        "===============",
        "Asked:  48 kHz, 10 microphones (2 with 48 V, 1 kept off 48 V), 2 line outputs",
        "Total:  206.00 GBP; 12.88 GBP for each of 16 microphone inputs",
        "Proof:  complete; no rig of this catalogue costs less.",
        "Size:   2 units, 1 digital cable, 1 U of rack, 2 mains plugs, 32.5 W",
    ]


def test_a_question_without_title_or_sources_has_a_head_too() -> None:
    rig = replace(lone(), inputs=())
    bare = replace(DESK, watts=type(DESK.watts)(0), mains=0)
    rig = replace(rig, units=(replace(rig.units[0], device=bare),))
    shown = text(rig, title=" ", mic=0, phantom=0, no_phantom=0, out_line=0, out_phones=1)
    assert shown.startswith("The cheapest rig\n================\nAsked:  48 kHz, 1 headphone")
    assert "Total:  0.00 GBP\n" in shown
    assert "Size:   1 unit, 0 digital cables\n" in shown
    assert "None: this rig brings no input to the computer." in shown
    assert "48 kHz, no source\n" in text(rig, mic=0, out_line=0)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"master": "host"}, "a host as clock master"),
        ({"max_hops": 1}, "up to 1 cable between clock master and unit"),
        ({"own_clocks": True}, "hosts on clocks of their own"),
        ({"word_inputs": 2}, "up to 2 word inputs fed by one output"),
        ({"ports": ("usb", "pcie")}, "hosts on usb or pcie"),
        ({"max_hosts": 2}, "up to 2 hosts"),
        ({"host_to_rack_mm": 2500}, "2.5 m from a host to other units"),
        ({"within_rack_mm": 1000}, "1 m between other units"),
        ({"budget": 50000}, "a budget of 500.00 GBP"),
        ({"rack_units": 4}, "up to 4 U of rack"),
        ({"mains": 3}, "up to 3 mains plugs"),
        ({"units": 2}, "up to 2 units"),
        ({"sellers": 1}, "up to 1 seller"),
        ({"owned": {"desk-8": 1, "opt-1m": 2}}, "owned: 1 desk-8 and 2 opt-1m"),
        ({"avoid": ("rack-8",)}, "rack-8 avoided"),
        ({"require": ("rack-8",)}, "rack-8 in the rig"),
        ({"owned_only": True}, "nothing bought"),
        ({"new_only": True}, "new things only"),
        ({"exchange": {"EUR": Decimal("1.17")}}, "1 GBP buys 1.17 EUR"),
        (
            {"sources": (SourceLine("L", pair="p"), SourceLine("R", pair="p"))},
            "1 pair side by side",
        ),
    ],
)
def test_every_need_that_is_not_at_its_default_is_repeated(
    changes: dict[str, object], told: str
) -> None:
    plain = Needs(mic=8)
    assert asked(plain, "GBP") == "48 kHz, 8 microphones"
    assert asked(replace(plain, **changes), "GBP") == f"48 kHz, 8 microphones; {told}"  # type: ignore[arg-type]


def test_no_need_is_forgotten() -> None:
    """Every field of the needs is told of, but for titles and stages, which have their own."""
    told = {row.name for row in TABLE} | {"title", "stages", "sources", "resale"}
    assert {field.name for field in fields(Needs)} <= told


def test_other_sources_are_named() -> None:
    asked = text(mic=1, phantom=0, no_phantom=0, line=2, instrument=1, out_line=0)
    assert "Asked:  48 kHz, 1 microphone, 2 line sources, 1 instrument\n" in asked


def test_without_a_proof_the_gap_is_named() -> None:
    shown = plan_text(Answered(sixteen(), 20000, False), CATALOGUE, NEEDS)
    flat = " ".join(shown.split())
    assert "best found in the time. No rig of this catalogue costs less than 200.00 GBP" in flat
    assert "at most 6.00 GBP could still be saved" in flat


def test_a_bound_that_is_reached_is_not_called_a_gap() -> None:
    rig = sixteen()
    flat = " ".join(plan_text(Answered(rig, rig.total, False), CATALOGUE, NEEDS).split())
    assert "no rig of this catalogue costs less, but one with fewer units" in flat
    assert "saved" not in flat


def test_invented_prices_are_called_so_in_every_outcome() -> None:
    demo = replace(CATALOGUE, invented=True)
    outcomes: list[Outcome] = [answered(), Impossible(), OutOfTime(1.0)]
    for outcome in outcomes:
        assert "prices are invented" in plan_text(outcome, demo, NEEDS)
        assert "prices are invented" in summary(outcome, demo, NEEDS)
        assert "invented" not in plan_text(outcome, CATALOGUE, NEEDS)


def test_units() -> None:
    assert section(text(), "UNITS")[2:] == [
        "host-1      desk-8: Desk interface, 8 in  host      bank 1 (ch 1–4)  –  no",
        "expander-1  rack-8: Rack expander,        expander  none             1  yes",
        "            8 microphones",
    ]


@pytest.mark.parametrize(
    ("bank", "on", "shown"),
    [
        (1, (1, 2, 5), "ch 1–2, 5"),
        (4, (1, 2), "banks 1–2 (ch 1–8)"),
        (6, (2,), "bank 2 (ch 7–8)"),
        (0, (), "–"),
        (4, (), "none"),
    ],
)
def test_48_v_banks(bank: int, on: tuple[int, ...], shown: str) -> None:
    unit = Unit("host-1", replace(DESK, phantom_bank=bank), "host", INTERNAL, False, on)
    row = section(text(replace(lone(), units=(unit,))), "UNITS")[2]
    assert row == f"host-1  desk-8: Desk interface, 8 in  host  {shown.ljust(7)}  –  no"


def test_a_unit_without_microphone_channels_has_no_48_v_to_switch() -> None:
    device = replace(DESK, mic_line_inst=0, mic_line=0, line=8)
    unit = Unit("host-1", device, "host", INTERNAL)
    assert section(text(replace(lone(), units=(unit,))), "UNITS")[2].split()[-3] == "–"


def test_cables_and_clock() -> None:
    shown = text()
    assert section(shown, "DIGITAL CABLES")[2:] == [
        " 1  light-pipe  expander-1 out 1  host-1 in 1  8 ch + clock  opt-1m"
    ]
    assert section(shown, "CLOCK") == [
        "host-1      locked to optical in 1, from expander-1",
        "expander-1  internal (clock master)",
    ]


def test_a_clock_cable_an_unnamed_cable_and_a_label_left_blank() -> None:
    link = replace(sixteen().links[0], channels=0, carries=("clock",), cable=None)
    rows = section(text(replace(sixteen(), links=(link,))), "DIGITAL CABLES")
    assert rows[2] == " 1  light-pipe  expander-1 out 1  host-1 in 1  clock    –"
    link = replace(link, cable=replace(LEAD, label=""))
    assert section(text(replace(sixteen(), links=(link,))), "DIGITAL")[2].endswith("opt-1m")


def test_a_longer_clock_chain_says_how_long() -> None:
    last = section(text(replace(sixteen(), clock_hops=2)), "CLOCK")[-1]
    assert last == "The farthest unit is 2 cables away from its master."


def test_inputs_are_folded_by_use() -> None:
    assert section(text(), "INPUTS")[2:] == [
        "     1–2  host-1 1–2        on    mic (needs 48 V)",
        "     3–4  host-1 3–4        on    spare (mic or line)",
        "     5–8  host-1 5–8        off   spare (mic or line)",
        "      11  expander-1 1      off   mic (never 48 V)",
        "   12–18  expander-1 2–8    off   mic",
        "6 inputs spare: each takes a microphone or a line source.",
        "Nothing arrives on 9–10 (coax 1 of host-1).",
    ]


def test_a_named_source_has_a_row_of_its_own() -> None:
    rig = sixteen()
    first = replace(rig.inputs[0], source="Overhead L")
    second = replace(rig.inputs[1], source="Overhead R")
    rows = section(text(replace(rig, inputs=(first, second, *rig.inputs[2:]))), "INPUTS")
    assert rows[2].endswith("mic: Overhead L (needs 48 V)")
    assert rows[3].endswith("mic: Overhead R (needs 48 V)")


def test_spare_inputs_of_different_kinds_are_counted_by_kind() -> None:
    rig = sixteen()
    free = tuple(replace(item, use=None) for item in rig.inputs)
    last = section(text(replace(rig, inputs=free)), "INPUTS")[-2]
    assert last == (
        "16 inputs spare. Free for a microphone: 16; a line source: 16; an instrument: 2."
    )
    one = section(text(replace(rig, inputs=free[-1:])), "INPUTS")[3]
    assert one == "1 input spare: it takes a microphone or a line source."


def test_nothing_spare() -> None:
    rig = sixteen()
    used = tuple(replace(item, use="mic") for item in rig.inputs)
    assert "No input is left over." in text(replace(rig, inputs=used))


def test_the_bill_adds_up() -> None:
    assert section(text(), "TO BUY") == [
        "Qty  Item                          Unit price  Total GBP",
        "---  ----------------------------  ----------  ---------",
        "  1  desk-8: Desk interface, 8 in      200.00     200.00",
        "  1  opt-1m: Optical lead, 1 m           6.00       6.00",
        "---  ----------------------------  ----------  ---------",
        "     Total                                        206.00",
    ]


def test_a_table_for_each_order() -> None:
    rig, catalogue = ordered()
    needs = replace(NEEDS, exchange={"EUR": Decimal("1.170")})
    shown = plan_text(answered(rig), catalogue, needs, datetime.date(2025, 3, 4))
    assert (
        shown[shown.index("TO BUY") :]
        == """\
TO BUY
At plain prices
Qty  Item                                  Unit price  Total GBP
---  ------------------------------------  ----------  ---------
  1  rack-8: Rack expander, 8 microphones      300.00     300.00
---  ------------------------------------  ----------  ---------
     Together                                             300.00

Order at corner
Qty  Item                                   Unit price  Total GBP
---  -------------------------------------  ----------  ---------
  2  opt-1m: Optical lead, 1 m (pack of 3)        3.00       6.00
---  -------------------------------------  ----------  ---------
     Delivery                                                4.99
     Tax, 20 %                                               2.20
     Order                                                  13.19

Order at far
Qty  Item                                          Unit price  Total EUR
---  --------------------------------------------  ----------  ---------
  1  desk-8: Desk interface, 8 in (used, price of      234.00     234.00
     2025-01-02)
---  --------------------------------------------  ----------  ---------
     Delivery, free from 200.00                                     0.00
     Order                                                        234.00
At 1.17 EUR for 1 GBP this is 200.00 GBP.

Total: 513.19 GBP
Bought only to get free delivery: 3 of Optical lead, 1 m (opt-1m).
Left over from packs: 2 of Optical lead, 1 m (opt-1m).

MIND
- Switch 48 V off, and wait, before you plug or unplug a microphone. Ribbon
  microphones can be harmed: follow their makers' manuals.
- On 2025-03-04 these prices are older than 60 days: Desk interface, 8 in
  (desk-8) at far (2025-01-02). Ask again before you order.
"""
    )


@pytest.mark.parametrize(("day", "old"), [(3, False), (4, True)])
def test_a_price_is_old_after_60_days(day: int, old: bool) -> None:
    """2 January to 3 March 2025 are 60 days."""
    rig, _ = ordered()
    assert ("Ask again" in advice(rig, datetime.date(2025, 3, day))) is old
    assert "Ask again" not in advice(rig)


def test_a_seller_without_an_order_keeps_its_lines() -> None:
    rig, catalogue = ordered()
    shown = plan_text(answered(replace(rig, orders=())), catalogue, NEEDS)
    assert "Order at corner" in shown
    assert "Together" in shown


def test_what_is_owned_left_over_and_missing() -> None:
    rig = sixteen()
    pack = replace(rig.purchases[1], pack=3, label="")
    shown = section(text(replace(rig, purchases=(rig.purchases[0], pack))), "TO BUY")
    assert shown[3] == "  1  opt-1m (pack of 3)                  6.00       6.00"
    assert shown[-1] == "Left over from packs: 2 of Optical lead, 1 m (opt-1m)."
    stands = replace(CATALOGUE, extras={"stand": Extra("stand", "Stand", "mic")})
    needs = replace(NEEDS, owned={"opt-1m": 1, "opt-8m": 2, "rack-8": 1, "stand": 4})
    bought = replace(rig, purchases=rig.purchases[:1])
    assert section(plan_text(answered(bought), stands, needs), "TO BUY")[-4:] == [
        "Owned and in use: 1 of Rack expander, 8 microphones (rack-8); 1 of Optical lead,",
        "1 m (opt-1m); 4 of Stand (stand).",
        "Owned and not needed: 2 of Optical lead, 8 m (opt-8m).",
        "Also needed, and not for sale here: 6 of Stand (stand).",
    ]


def test_nothing_to_buy() -> None:
    assert section(text(lone()), "TO BUY") == ["Nothing: everything in this rig is owned."]
    assert section(text(lone()), "DIGITAL CABLES") == ["None is needed."]
    assert "MIND" not in text(lone())


def _long(rig: Rig) -> Rig:
    return replace(rig, links=(replace(rig.links[0], cable=LONG),))


def _two_long(rig: Rig) -> Rig:
    return replace(rig, links=(*_long(rig).links, replace(_long(rig).links[0], to_socket=2)))


def _coax(rig: Rig) -> Rig:
    return replace(
        rig, rate_hz=96000, links=(replace(rig.links[0], format=FORMATS["coax"], cable=LONG),)
    )


@pytest.mark.parametrize(
    ("change", "wanted", "unwanted"),
    [
        (lambda rig: rig, "48 V off", "longer than"),
        (_long, "Cable 1 is optical and longer than 5 m", "by hand"),
        (_two_long, "Cables 1–2 are optical and longer than 5 m", "by hand"),
        (lambda rig: replace(rig, rate_hz=96000), "Set 96 kHz by hand at both ends", "longer"),
        (_coax, "48 V off", "by hand"),
        (lambda rig: replace(rig, units=(rig.units[0],) * 2), "join the 2 hosts", "longer"),
    ],
)
def test_advice_is_given_when_it_applies(
    change: Callable[[Rig], Rig], wanted: str, unwanted: str
) -> None:
    mind = " ".join(section(text(change(sixteen())), "MIND"))
    assert wanted in mind
    assert unwanted not in mind


def test_an_optical_cable_of_5_m_is_no_cause_for_a_warning() -> None:
    link = replace(sixteen().links[0], cable=replace(LONG, length_mm=5000))
    assert "longer than" not in text(replace(sixteen(), links=(link,)))


def test_impossible_gives_the_reasons() -> None:
    long, wild = Fact("not_had", "word " * 30), Fact("not_had", "second\x1b[2J")
    shown = plan_text(Impossible(facts=(long, wild)), CATALOGUE, NEEDS)
    lines = shown.split("\n\n")[1].splitlines()
    assert lines[0] == "No rig of this catalogue can meet these needs, because:"
    assert [line[0] for line in lines[1:]] == ["-", " ", " ", "-"]
    assert lines[-1] == "- second␛[2J is neither for sale nor owned."


def test_out_of_time_says_what_to_do() -> None:
    shown = plan_text(OutOfTime(2.5), CATALOGUE, NEEDS)
    assert "within 2.5 s" in shown
    assert "--time-limit" in shown


def test_the_summary_is_the_head() -> None:
    assert summary(answered(), CATALOGUE, NEEDS) == text().split("\n\n", maxsplit=1)[0] + "\n"


def test_hostile_labels_stay_inside_80_columns_and_do_nothing() -> None:
    rig = sixteen()
    rig = replace(
        rig,
        units=tuple(replace(u, device=replace(u.device, label=HOSTILE)) for u in rig.units),
        links=tuple(replace(link, cable=replace(LEAD, label=HOSTILE)) for link in rig.links),
        inputs=tuple(replace(item, source=HOSTILE) for item in rig.inputs),
        purchases=tuple(
            replace(p, label=HOSTILE, seller=HOSTILE, note=HOSTILE) for p in rig.purchases
        ),
    )
    shown = text(rig, title=HOSTILE)
    assert max(map(width, shown.splitlines())) <= COLUMNS
    assert not set(shown) & set("\x1b\u202e\r\t")
    assert "漢字🎤🎤" in shown


def test_many_units_stay_inside_80_columns() -> None:
    locked = ClockSetting("word", 12, "clock-10")
    units = tuple(
        replace(sixteen().units[1], name=f"expander-{n}", clock=locked) for n in range(1, 129)
    )
    link = replace(
        sixteen().links[0], from_unit="expander-128", from_socket=12, to_unit="host-12"
    )
    shown = text(replace(sixteen(), units=(sixteen().units[0], *units), links=(link,) * 120))
    assert max(map(width, shown.splitlines())) <= COLUMNS


def test_a_seller_without_fees_has_no_rows_for_them() -> None:
    rig, catalogue = ordered()
    line = replace(rig.purchases[1], quantity=1)
    free = replace(catalogue, sellers={"corner": Seller("corner", "GBP")}, extras={}, offers=())
    order = Order("corner", "GBP", 300, 0, 0, 300)
    shown = plan_text(
        answered(replace(rig, purchases=(line,), orders=(order,), total=300)), free, NEEDS
    )
    assert section(shown, "TO BUY")[3:] == [
        "  1  opt-1m: Optical lead, 1 m (pack of 3)        3.00       3.00",
        "---  -------------------------------------  ----------  ---------",
        "     Order                                                   3.00",
    ]


def test_a_price_of_0_gets_a_remark() -> None:
    rig = sixteen()
    first, *rest = rig.purchases
    assert "price of 0" not in advice(rig)
    said = advice(replace(rig, purchases=(replace(first, unit_price=0), *rest)))
    assert f"At a price of 0: {first.label}" in " ".join(said.split())
