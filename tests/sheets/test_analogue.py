"""Analogue lines, DI boxes and headphone amplifiers in text, steps, picture and lists."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import pytest

from rigopt.answers.outcome import Answered
from rigopt.answers.verdict import examine
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.data.input_list import input_list_csv
from rigopt.output.facts.cables import bundles, pieces, strands
from rigopt.output.facts.inputs import empty, unheard
from rigopt.output.facts.outputs import feeds
from rigopt.output.page.page import plan_page
from rigopt.output.page.picture.build import build
from rigopt.output.page.picture.types import Group, Tap
from rigopt.output.sheets import cautions
from rigopt.output.sheets.steps import steps
from rigopt.output.terminal.audit_rig import sections
from rigopt.output.terminal.sketch import sketch
from rigopt.output.terminal.text import plan_text
from rigopt.output.words.answer import size
from rigopt.output.words.wiring import line_rows, link_rows
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig, Unit
from rigopt.rig.wired import WiredRig
from tests.page import picture_checks
from tests.page.picture_checks import crossings, faults, rows
from tests.sheets.analogue import AD, EVERY, LEAD, boxed, fanned, heard, led, line, loomed, shut
from tests.sheets.rigs import INTERNAL, made
from tests.wires import wire


def answer(rig: Rig) -> tuple[Answered, Catalogue]:
    devices = {unit.device.id: unit.device for unit in rig.units}
    return Answered(rig, 0, True), Catalogue("tiny", "Tiny", "GBP", devices, {})


def text(rig: Rig) -> str:
    return plan_text(*answer(rig), Needs(mic=1), wiring=True)


def page(rig: Rig) -> str:
    return plan_page(*answer(rig), Needs(mic=1))


def section(rig: Rig, title: str) -> str:
    """The lines under a heading, each run of spaces one."""
    return re.sub(" +", " ", text(rig).split(f"\n{title}\n")[1].split("\n\n")[0])


def step(rig: Rig, title: str) -> tuple[str, ...]:
    return next((one.lines for one in steps(rig) if one.title == title), ())


def warned(rig: Rig) -> list[str]:
    return [caution for one in steps(rig) for caution in one.cautions]


# --- cables ----------------------------------------------------------------------------


def test_a_piece_has_one_number_and_one_line_whatever_its_ways() -> None:
    assert line_rows(led())[0] == ["1", "preamp-1 direct out 1", "host-1 in 5", "lead"]
    assert [row[0] for row in line_rows(led())] == ["1", "2", "3", "4"]
    bare = tuple(replace(link, cable=None) for link in led().links)
    assert {row[-1] for row in line_rows(replace(led(), links=bare))} == {"–"}
    assert line_rows(loomed()) == [
        ["2", "preamp-1 direct out 1–8", "expander-1 in 1–8", "db-db"]
    ]
    assert [row[0] for row in link_rows(loomed())] == ["1"]
    assert line_rows(fanned()) == [
        ["1", "preamp-1 direct out 1–4", "host-1 in 5–6 and host-2 in 5–6", "fan"]
    ]


def test_the_heading_is_there_only_with_analogue_cables() -> None:
    assert "ANALOGUE CABLES" in text(led())
    assert section(led(), "DIGITAL CABLES") == "None is needed."
    assert "ANALOGUE CABLES" not in text(boxed())
    assert ("Analogue cables" in page(led()), "Analogue cables" in page(heard())) == (
        True,
        False,
    )


def test_the_size_counts_digital_cables_and_analogue_pieces() -> None:
    assert size(figures(led())).startswith("2 units, 0 digital cables, 4 analogue cables")
    assert size(figures(loomed())).startswith("3 units, 1 digital cable, 1 analogue cable,")
    assert "analogue" not in size(figures(boxed()))


def test_pieces_strands_and_bundles() -> None:
    links = fanned().links
    assert [len(found(links)) for found in (pieces, strands, bundles)] == [1, 2, 2]
    links = led().links
    assert [len(found(links)) for found in (pieces, strands, bundles)] == [4, 4, 1]
    (whole,) = bundles(links)
    assert (whole.numbers, len(whole.links)) == ((1, 2, 3, 4), 4)


def test_the_wiring_in_text() -> None:
    assert sketch(loomed()).splitlines()[1] == (
        "2  preamp-1 out 1–8  --- analogue: 8 ch -----------------> expander-1* in 1–8"
    )
    assert len(sketch(fanned()).splitlines()) == 3


# --- the picture -----------------------------------------------------------------------


@pytest.mark.parametrize("rig", EVERY)
def test_each_is_drawn_without_a_fault_or_a_crossing(rig: Rig) -> None:
    assert faults(build(rig), rig) == []
    assert crossings(build(rig)) == 0


def test_leads_between_two_units_are_one_line() -> None:
    (cable,) = picture_checks.wires(build(led()))
    assert (cable.numbers, cable.load, cable.carries) == ("1–4", "analogue", "4 ch")
    assert cable.socket == "direct out 1–4"
    assert cable.told == (
        "Cables 1–4: analogue line, from preamp-1 direct out 1–4 to host-1 in 5–8, carries "
        "4 channels"
    )
    (port,) = [row.port for row in rows(build(led())) if row.wire]
    assert port == ("line in 5–8", "inputs 5–8")
    first, second = picture_checks.wires(build(fanned()))
    assert first.numbers == second.numbers == "1"


def test_a_preamp_reaches_an_expander_by_a_lane() -> None:
    taps = [row.left for row in rows(build(loomed())) if isinstance(row.left, Tap)]
    assert [(tap.socket, tap.inputs, tap.head) for tap in taps] == [
        ("direct out 1–8", "", False),
        ("line in 1–8", "inputs 9–16", True),
    ]


def test_di_boxes_are_drawn_with_their_instruments() -> None:
    groups = [row.left for row in rows(build(boxed())) if isinstance(row.left, Group)]
    through = {g.through.name: g.title for g in groups if g.through}
    assert through == {"di-1": "1 instrument", "di-2": "1 instrument"}
    jacks = [g.channels for g in groups if g.remark == "48 V on: jack plug only"]
    assert jacks == ["3", "4"]


def test_headphone_amplifiers_are_drawn_on_the_outputs_that_feed_them() -> None:
    drawn = build(heard())
    found = [(o.box.name, o.socket) for s in drawn.sections for o in s.outs if o.box]
    assert found == [("headphones-2", "line out 5–8"), ("headphones-3", "line out 1–4")]
    assert [box.name for box in drawn.idle] == ["headphones-1"]


@pytest.mark.parametrize("rig", EVERY)
def test_each_has_a_page_and_a_text_of_eighty_columns(rig: Rig) -> None:
    assert page(rig).count('class="step"') == len(steps(rig))
    assert max(map(len, text(rig).splitlines())) <= 80


# --- inputs ----------------------------------------------------------------------------


def test_an_input_says_which_way_it_comes() -> None:
    told = section(led(), "INPUTS AT THE COMPUTER")
    assert "5–6 preamp-1 1–2 > host-1 5–6 off" in told
    assert "7–8 preamp-1 3–4 > host-1 7–8 on" in told  # 48 V of its own unit
    assert "preamp-1 1–8 > expander-1 1–8" in section(loomed(), "INPUTS AT THE COMPUTER")
    assert "preamp-1 1–2 &gt; host-1 5–6" in page(led())


def test_the_way_in_the_input_list() -> None:
    rows = list(csv.DictReader(io.StringIO(input_list_csv(led(), Needs()), newline="")))
    ways = {row["computer_input"]: row["path"] for row in rows}
    assert (ways["1"], ways["5"]) == ("", "preamp-1 1 > host-1 5")
    rows = list(csv.DictReader(io.StringIO(input_list_csv(boxed(), Needs()), newline="")))
    assert rows[0]["path"] == "di-1 > host-1 1"


def test_a_line_source_on_48_v_is_warned_of_everywhere_but_behind_a_di_box() -> None:
    # Inputs 1 and 2 come through DI boxes, 5 has no 48 V.
    told = "48 V is on at inputs 3–4, where no microphone is plugged in: only a jack plug may"
    flat = " ".join(text(boxed()).split())
    assert told in flat
    assert told in page(boxed())
    later = "48 V comes on later at inputs 3–4, where no microphone is plugged in: only a jack"
    assert any(later in line for line in step(boxed(), "Plug in the sources, 48 V off"))
    rows = list(csv.DictReader(io.StringIO(input_list_csv(boxed(), Needs()), newline="")))
    noted = [row["computer_input"] for row in rows if "only a jack plug" in row["note"]]
    assert noted == ["3", "4"]
    assert cautions.JACKS in warned(boxed())
    assert "jack plug" not in text(led())
    assert cautions.JACKS not in warned(led())


def test_a_di_box_is_named_with_its_source() -> None:
    assert "instrument: Bass, through di-1" in text(boxed())
    (first, *_) = step(boxed(), "Plug in the sources, 48 V off")
    assert "Bass through di-1 on 1;" in first


def test_channels_that_another_unit_occupies_are_not_missed() -> None:
    rig = loomed()
    assert list(unheard(rig.units, rig.links, rig.inputs)) == []
    assert [one.numbers for one in empty(rig)] == []
    rig = shut()
    assert [(u.name, n) for u, n in unheard(rig.units, rig.links, rig.inputs)] == [
        ("preamp-1", 1)
    ]


# --- clocks ----------------------------------------------------------------------------


def test_units_without_a_clock_share_a_line() -> None:
    assert section(boxed(), "CLOCK: SET EACH UNIT TO").splitlines() == [
        "host-1 internal (clock master)",
        "No clock is needed for di-1 and di-2.",
    ]
    assert "needs no clock" not in page(boxed())
    assert not any(
        "lock lamp" in one.title or "clock of" in one.title for one in steps(boxed())
    )
    assert step(led(), "Set 48 kHz")[1] == "Set host-1 to 48 kHz, on its internal clock."


def test_a_box_without_a_mains_plug_is_not_switched_on() -> None:
    assert "unknown power" not in " ".join(warned(boxed()))
    assert "di-1" not in " ".join(step(boxed(), "Switch on"))
    assert "preamp-1" in " ".join(step(led(), "Switch on"))


# --- steps -----------------------------------------------------------------------------


def test_analogue_cables_are_a_step_of_their_own() -> None:
    assert step(loomed(), "Plug in the analogue cables") == (
        "Cable 2 (D-sub lead): from preamp-1 direct out 1–8 to expander-1 line in 1–8.",
    )
    digital = step(loomed(), "Plug in the digital cables")
    assert not any("preamp-1" in line for line in digital)
    assert step(boxed(), "Plug in the analogue cables") == ()


def test_a_bank_is_off_before_an_xlr_plug_goes_in() -> None:
    first, *_ = step(shut(), "Plug in the analogue cables")
    assert first == (
        "host-1: switch it on by itself before an XLR plug goes in. 48 V bank 2 (channels 3–4) "
        "has to be off, and to come up off again."
    )
    assert cautions.OUTPUTS in warned(shut())
    assert cautions.OUTPUTS not in warned(led())


def test_a_bank_is_shut_for_its_own_lines_alone() -> None:
    """Not for an optical link into a socket of the same number, nor for another's lines."""
    rig = shut()
    units = [
        replace(rig.units[0], device=replace(rig.units[0].device, optical_in=1)),
        *rig.units[1:],
        Unit("expander-1", replace(AD, line_plug="xlr", mic_line=4), "expander", INTERNAL),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-1", 1),
        line(1, "host-1", 3, LEAD, 1),
        line(2, "expander-1", 5, LEAD, 2),
    ]
    told = step(made(units, wires), "Plug in the analogue cables")
    assert [text for text in told if "has to be off" in text] == [
        "host-1: switch it on by itself before an XLR plug goes in. 48 V bank 2 (channels 3–4) "
        "has to be off, and to come up off again."
    ]


def test_levels_are_matched_by_the_figures_of_the_recommendations() -> None:
    first, full, switch, load = step(led(), "Match the line levels")
    assert first == "host-1 line in 5–8: set to line, at +4 dBu or its lowest gain."
    # EBU R68, SMPTE RP155 (restated): -18 dBFS is 0 dBu, -20 dBFS is +4 dBu.
    assert "+18 dBu by EBU R68 and at +24 dBu by SMPTE RP155" in full
    assert "clips an input for +13 dBu by 11 dB" in full
    assert "-10 dBV instead of +4 dBu makes it 11.8 dB too loud" in switch
    assert "10 times the ohms of the output takes 0.83 dB" in load
    assert step(boxed(), "Match the line levels") == ()


def test_di_boxes_tell_what_they_live_on() -> None:
    told = " ".join(step(boxed(), "Plug in the sources, 48 V off"))
    assert "di-1: active, fed by the 48 V of the channel, or by a battery." in told
    assert "di-2: a passive box of 10 to 1 takes 20 dB" in told


def test_a_preamp_on_lines_has_no_clock_that_could_differ() -> None:
    assert "rate converter" not in " ".join(
        line for one in steps(loomed()) for line in one.lines
    )


def test_headphone_amplifiers_take_the_last_outputs_and_most_phones_win() -> None:
    # 8 outputs: 4 + 4 give 16 headphones, 2 + 4 only 12.
    told = step(heard(), "Plug in monitors and headphones")
    same = "into it; its 8 headphones hear the same."
    assert told[-3:] == (
        "headphones-1: no line output is left to feed it.",
        f"headphones-2: plug line outputs 5–8 of host-1 {same}",
        f"headphones-3: plug line outputs 1–4 of host-1 {same}",
    )
    fed = sum(feed.unit.device.phones for feed in feeds(heard()) if feed.outputs)
    assert fed == figures(heard()).phones == 16


# --- a rig that is wired already -------------------------------------------------------


def test_the_verdict_on_a_rig_tells_lines_and_channels_that_do_not_arrive() -> None:
    rig = led()
    wired = WiredRig(rig.rate_hz, rig.units, rig.links)
    parts = "\n".join(sections(examine(wired, None)))
    assert "preamp-1 1–2 > host-1 5–6" in parts
    assert "No clock is needed for preamp-1." in parts
    assert "of the 4 channels of" not in parts
    rig = shut()
    parts = "\n".join(sections(examine(WiredRig(48000, rig.units, rig.links), None)))
    assert "1 of the 4 channels of preamp-1 reaches the computer." in parts
