"""Trunks, chains of word inputs, several clocks and stereo, in steps, words and pictures."""

from __future__ import annotations

import json

import pytest

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.data.json_parts import link_json, unit_json
from rigopt.output.facts.inputs import empty
from rigopt.output.facts.sockets import free_sockets
from rigopt.output.page.page import plan_page
from rigopt.output.page.picture.build import build
from rigopt.output.sheets.steps import steps
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.sketch import sketch
from rigopt.output.terminal.text import plan_text
from rigopt.output.terminal.wiring import clock_lines
from rigopt.output.words.inputs import empty_line
from rigopt.output.words.wiring import link_rows
from rigopt.rig.types import Rig
from tests.page.picture_checks import boxes, crossings, faults, wires
from tests.sheets.linked import apart, chained, converted, stereo, trunked

EVERY = (trunked(), chained(), chained("none"), apart(), converted(), stereo())


def said(rig: Rig) -> str:
    return "\n".join(line for step in steps(rig) for line in step.lines)


def rows(rig: Rig) -> list[str]:
    return [" | ".join(row) for row in link_rows(rig)]


# --- a trunk both ways -----------------------------------------------------------------


def test_a_trunk_in_the_table_of_cables() -> None:
    assert rows(trunked()) == [
        "1 | Stage-box link | expander-1 socket 1 | host-1 socket 2 | "
        "16 ch, 8 ch back + clock back | net-20m"
    ]


def test_a_trunk_in_the_steps() -> None:
    told = said(trunked())
    assert (
        "Cable 1 (Network lead, 20 m): from expander-1 trunk socket 1 to host-1 trunk socket "
        "2, 16 channels, and 8 channels and clock back." in told
    )
    assert "expander-1: clock from trunk socket 1, which host-1 feeds." in told
    assert "expander-1 trunk socket 1 and host-1 trunk socket 2 (cable 1) show lock." in told
    fed = "line outputs 1–8 play what comes in by trunk socket 1, cable 1 from host-1."
    assert f"expander-1: {fed}" in told
    assert "expander-1: bank 2, channels 5–8." in told
    assert "light-pipe" not in told


def test_a_trunk_in_the_sketch_and_the_picture() -> None:
    assert sketch(trunked()).splitlines()[0] == (
        "1  expander-1 socket 1 <-- trunk: 16/8 ch and clock --> host-1* socket 2"
    )
    (cable,) = wires(build(trunked()))
    assert (cable.left, cable.right) == (True, True)
    assert cable.carries == "16 ch, 8 ch back + clock back"


def test_free_trunk_sockets_count_as_inputs() -> None:
    host = trunked().units[:1]
    found = [s for s in free_sockets(host, trunked().links, 48000) if s.free or s.dead]
    assert [(s.kind, s.way, s.free) for s in found] == [("trunk", "input", (1,))]


# --- a chain of word inputs ------------------------------------------------------------


def test_a_chain_goes_from_tee_to_tee() -> None:
    assert rows(chained())[3:] == [
        "4 | word clock | clock-1 out 1 | expander-1 in 1 | clock | bnc + tee",
        "5 | word clock | expander-1 tee | expander-2 in 1 | clock | bnc + tee",
        "6 | word clock | expander-2 tee | expander-3 in 1 | clock | bnc",
    ]
    drawn = {one.numbers: one for one in wires(build(chained("none")))}
    assert drawn["6"].socket == "expander-2 word tee"
    assert drawn["5"].fitted == "T-piece"
    assert drawn["6"].fitted == "T-piece and terminator"
    assert "6  expander-2 tee   --- word: clock alone" in sketch(chained())


@pytest.mark.parametrize(
    ("last", "told"),
    [
        ("switch", "expander-3 word in 1: switch the 75-ohm end on there."),
        ("fixed", "expander-3 word in 1: the 75-ohm end is built in."),
        ("none", "plug the 75-ohm terminator into the free side of the T-piece there."),
    ],
)
def test_only_the_last_is_terminated(last: str, told: str) -> None:
    # Operating guides (restated): T-pieces with the last input alone terminated.
    lines = said(chained(last))
    assert told in lines
    assert "Switch the 75-ohm end off on expander-1 word in 1 and expander-2 word in 1" in lines
    assert "75 ohm at expander-3, where a chain ends" in " ".join(advice(chained(last)).split())


def test_a_tee_and_a_terminator_are_named_where_they_sit() -> None:
    assert rows(chained("none"))[5].endswith("bnc + tee + end")
    assert "It ends at a T-piece on expander-1 word in 1." in said(chained())


# --- several clocks --------------------------------------------------------------------


def test_hosts_on_clocks_of_their_own() -> None:
    flat = " ".join(clock_lines(apart()).split())
    assert "2 clocks: host-1 by itself; expander-1 leads host-2." in flat
    assert "The computer must resample between host-1 and host-2." in flat
    told = said(apart())
    assert "host-1: internal clock. It runs by itself." in told
    assert "It is the clock master of host-2." in told
    assert "Name host-1 as the clock of that device." in told
    assert "Switch drift correction (resampling) on for host-2: nothing else" in told
    assert "Only host-1 and expander-1 may be on their internal clock" in told
    assert "host-1 (a clock master)" in told
    assert "drift correction on for host-2" in " ".join(advice(apart()).split())
    assert sketch(apart()).splitlines()[0].startswith("1  expander-1* out 1 ")
    assert sum(box.master for box in boxes(build(apart()))) == 2


def test_a_rate_converter_is_named() -> None:
    told = said(converted())
    assert (
        "host-1 optical in 2: switch its sample-rate converter on, since expander-1 runs on "
        "another clock." in told
    )
    assert "Rate converters join them at host-1 optical in 2." in " ".join(
        clock_lines(converted()).split()
    )
    assert "converter" not in said(apart())


def test_one_clock_says_nothing_of_others() -> None:
    for rig in (trunked(), chained(), stereo()):
        assert " clocks:" not in clock_lines(rig)
        assert "It is the clock master." in said(rig)
        assert "drift correction" not in said(rig)


# --- stereo over optical, and what shares a receiver -----------------------------------


def test_an_optical_socket_is_set_to_what_it_carries() -> None:
    told = said(stereo())
    assert "host-1: optical in 1 to stereo, not to light-pipe." in told
    assert "host-1: to optical in 1, not to coax in 1." in told
    assert "stereo for cable 1" in advice(stereo())
    assert "stereo" not in advice(chained())


def test_a_shared_receiver_is_not_free() -> None:
    free = {
        (s.kind, s.way): s.free for s in free_sockets(stereo().units[:1], stereo().links, 48000)
    }
    assert free["coax", "input"] == ()
    assert free["optical", "input"] == (2, 3, 4)
    assert free["coax", "output"] == (1,)


# --- all of them -----------------------------------------------------------------------


def test_numbers_on_which_nothing_arrives() -> None:
    (line,) = empty_line(stereo())
    assert line == (
        "Nothing arrives on 9–10 (coax 1 of host-1), 13–20 (optical 2 of host-1), 21–28 "
        "(optical 3 of host-1) and 29–36 (optical 4 of host-1)."
    )
    assert sum(len(one.numbers) for one in empty(trunked())) == 2 * 48 - 16


@pytest.mark.parametrize("rig", EVERY)
def test_each_is_drawn_without_a_fault_or_a_crossing(rig: Rig) -> None:
    assert faults(build(rig), rig) == []
    assert crossings(build(rig)) == 0


@pytest.mark.parametrize("rig", EVERY)
def test_each_has_a_page_and_a_text_of_eighty_columns(rig: Rig) -> None:
    shop = Catalogue("tiny", "Tiny", "EUR", {u.device.id: u.device for u in rig.units}, {})
    page = plan_page(Answered(rig, 0, True), shop, Needs(mic=1))
    assert page.count('class="step"') == len(steps(rig))
    text = plan_text(Answered(rig, 0, True), shop, Needs(mic=1), wiring=True)
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("rig", EVERY)
def test_the_json_of_a_link_has_the_keys_of_the_schema(rig: Rig) -> None:
    for link in rig.links:
        data = json.loads(json.dumps(link_json(link)))
        assert list(data) == [
            *("kind", "format", "from", "from_socket", "to", "to_socket", "channels"),
            *("carries", "back", "cable", "after", "tee", "terminator", "piece"),
        ]
        assert data["kind"] in ("optical", "coax", "word", "trunk")
        assert (data["format"] is None) == (data["kind"] in ("coax", "word"))
        assert data["after"] is None or data["kind"] == "word"
    assert {unit_json(unit)["clock"] is None for unit in rig.units} == {False}
