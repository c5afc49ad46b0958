"""What a source or the trade asks of the steps, by what it does to a rig.

Each test changes the rig or the question and looks at what the steps make of it. The source
stands beside each; 'practice' is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from wcwidth import width

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue, Source
from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from rigopt.output.sheets import cautions
from rigopt.output.sheets.steps import steps
from rigopt.output.terminal.steps import steps_text
from rigopt.output.terminal.text import plan_text
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.sheets import analogue
from tests.sheets.analogue import boxed, led, shut
from tests.sheets.linked import apart, chained, converted, stereo, trunked
from tests.sheets.rigs import DESK, HOSTILE, INTERNAL, LIST, OPT, PRE, clocked, lone, made, two
from tests.sheets.rigs import named as by_name
from tests.wires import wire

EVERY = (
    *(lone(), two(), two(96000), clocked(), by_name(), apart(), chained("none"), converted()),
    *(stereo(), trunked(), *analogue.EVERY),
)

ALL = Needs(mic=8, phantom=8)
"""Every microphone is said to need 48 V."""


def titles(rig: Rig, needs: Needs = ALL) -> list[str]:
    return [step.title for step in steps(rig, needs)]


def said(rig: Rig, title: str, needs: Needs = ALL) -> str:
    """The lines of the steps whose titles begin so; nothing without one."""
    told = steps(rig, needs)
    exact = [one for one in told if one.title == title]
    found = exact or [one for one in told if one.title.startswith(title)]
    return "\n".join(line for one in found for line in one.lines)


def warned(rig: Rig, needs: Needs = ALL) -> list[str]:
    return [caution for one in steps(rig, needs) for caution in one.cautions]


def everything(rig: Rig, needs: Needs = ALL) -> str:
    return "\n".join(line for one in steps(rig, needs) for line in one.lines)


def place(rig: Rig, title: str) -> int:
    return next(n for n, told in enumerate(titles(rig)) if told.startswith(title))


def swapped(rig: Rig, name: str, **changes: Any) -> Rig:
    """The rig with another type for one of its units."""
    units = tuple(
        replace(unit, device=replace(unit.device, **changes)) if unit.name == name else unit
        for unit in rig.units
    )
    return replace(rig, units=units)


def used(rig: Rig, kind: Source) -> Rig:
    """The rig with a source of one kind on every input."""
    inputs = tuple(replace(item, use=kind) for item in rig.inputs)
    return replace(rig, inputs=inputs)


# --- the order -------------------------------------------------------------------------

# Linux kernel hdsp_set_rate() (text): rate on internal clock, then the source. Makers' notes
# (restated): loudspeakers on last, off first. The rest is practice.
ORDER = (
    *("Power off", "Plug in the digital", "Plug in monitors", "Switch on", "Set the optical"),
    *("Set 48 kHz", "Choose the clock", "Wait until", "Join", "Plug in the sources"),
    *("Switch on 48 V", "Set the levels", "Prove", "Monitors on", "At the end"),
)


def test_what_comes_after_what() -> None:
    found = [place(clocked(), title) for title in ORDER]
    assert found == sorted(found)
    assert len(set(found)) == len(ORDER)


@pytest.mark.parametrize("rig", EVERY)
def test_monitors_are_mentioned_as_off_until_the_proof_is_done(rig: Rig) -> None:
    """Practice: what is not proven is not loud."""
    told = list(steps(rig, ALL))
    before = told[: place(rig, "Monitors on")]
    for step in before:
        for line in step.lines:
            assert not re.search(r"(?i)switch on the monitors|monitors on\b", line)
    if rig.inputs:
        assert all(one in said(rig, "Prove") for one in ("monitors stay off", "5 minutes"))


# --- rate and clock --------------------------------------------------------------------


def test_units_that_follow_are_on_their_internal_clock_while_the_rate_is_set() -> None:
    """Linux kernel hdsp_set_rate() (text): on external clock such a rate is refused."""
    assert "Set 48 kHz, every unit on its internal clock" in titles(two())
    assert "internal clock on host-1 and expander-1, then set 48 kHz" in said(two(), "Set 48")
    bound = swapped(two(), "expander-1", internal_clock=False)
    told = said(bound, "Set 48")
    assert "internal clock on host-1, then set 48 kHz" in told
    assert "expander-1 has no clock to choose, and runs at the rate that comes in." in told
    both = swapped(
        swapped(clocked(), "host-1", internal_clock=False), "host-2", internal_clock=False
    )
    assert "host-1 and host-2 have no clock to choose, and run at" in said(both, "Set 48")


def test_one_clock_alone_is_not_told_to_follow_or_to_wait() -> None:
    assert "Set 48 kHz" in titles(lone())
    assert "refused" not in everything(lone())
    assert not any(title.startswith(("Choose", "Wait")) for title in titles(lone()))


def test_a_unit_without_a_clock_gets_no_clock_step() -> None:
    for title in ("Set 48", "Choose", "Wait"):
        assert "preamp-1" not in said(led(), title)
    required = replace(two().units[1], name="expander-2", clock=None)
    rig = replace(two(), units=(*two().units, required))
    for title in ("Set 48", "Choose", "Wait"):
        assert "expander-1" in said(rig, title)
        assert "expander-2" not in said(rig, title)


@pytest.mark.parametrize(
    ("rate", "full", "base"),
    # An open PCIe driver, FireWire control services (text): base rate only, or system rate;
    # at 192 kHz then 48.
    [(96000, "96", "48"), (192000, "192", "48"), (88200, "88.2", "44.1"), (48000, "", "")],
)
def test_both_ends_of_a_word_clock_have_to_speak_of_the_same_rate(
    rate: int, full: str, base: str
) -> None:
    told = said(replace(chained(), rate_hz=rate), "Set ")
    ends = "expander-1 word in 1, expander-2 word in 1 and expander-3 word in 1"
    if full:
        line = f"clock-1 word out 1 may send {full} kHz or the base rate, {base} kHz"
        assert line in told
        assert f"look which, and set {ends} to the same" in told
    else:
        assert "base rate" not in told
    assert "base rate" not in said(two(rate), "Set ")


def test_the_recording_program_opens_after_the_lock_and_after_the_hosts_are_one() -> None:
    """Linux kernel hdsp.c (text): no rate class changes while a stream is open."""
    for rig, where in (
        (lone(), "Set 48"),
        (two(), "Wait until"),
        (clocked(), "Join"),
        (apart(), "Join"),
    ):
        opened = [one.title for one in steps(rig, ALL) if "open the recording" in str(one)]
        assert [title.startswith(where) for title in opened] == [True]
        assert said(rig, "Set 48").startswith("Close every program")


# --- units that run without the computer -----------------------------------------------


def alone(**changes: Any) -> Rig:
    """An interface that could be a host, as an expander at 96 kHz with two light-pipes out."""
    either = replace(PRE, role="either", optical_out=2, **changes)
    units = [
        Unit("host-1", DESK, "host", INTERNAL),
        Unit("expander-1", either, "expander", ClockSetting("optical", 1, "host-1")),
    ]
    wires = [wire("optical", "expander-1", n, "host-1", n, OPT) for n in (1, 2)]
    wires.append(wire("optical", "host-1", 1, "expander-1", 1, OPT))
    return made(units, wires, 96000, dict.fromkeys((1, 11), ("mic", None)))


def test_a_unit_that_stands_alone_is_saved_at_the_computer_first() -> None:
    """Makers' notes (restated): routing, rate and clock of a stand-alone unit are saved."""
    assert said(alone(computer="thunderbolt"), "Save").splitlines() == [
        "Connect expander-1 (pre) alone to the computer by Thunderbolt, switch it on, and open "
        "its control program.",
        "expander-1: internal clock, 96 kHz.",
        "expander-1: optical in 1 and optical out 1–2 to light-pipe, if there is a choice.",
        "expander-1: send channels 1–4 to optical out 1.",
        "expander-1: send channels 5–8 to optical out 2.",
        "expander-1: send what comes in on optical in 1 to line outputs 1–4.",
        "expander-1: last of all clock from optical in 1, though nothing is in it yet.",
        "Save that in expander-1 itself, switch it off and unplug it from the computer.",
    ]
    assert place(alone(), "Save") < place(alone(), "Place")
    assert "expander-1" not in said(alone(), "Set the optical")
    assert "internal clock on host-1, then" in said(alone(), "Set 96")
    assert "expander-1 keeps what was saved." in said(alone(), "Set 96")
    assert "which host-1 feeds, as it was saved." in said(alone(), "Choose")


def test_no_other_unit_is_saved() -> None:
    assert "saved" not in everything(two())
    assert not said(swapped(two(), "host-1", role="either"), "Save")
    unclocked = swapped(led(), "preamp-1", role="either")
    assert not said(unclocked, "Save")


def test_its_own_clock_is_saved_where_it_is_the_master() -> None:
    rig = swapped(stereo(), "expander-1", role="either")
    told = said(rig, "Save")
    assert "expander-1: internal clock, 48 kHz." in told
    assert "last of all" not in told
    assert "send channels 1–2 to optical out 1." in told
    assert "expander-1: internal clock, as it was saved." in said(rig, "Choose")


def test_optical_sockets_are_set_by_the_format_of_the_link() -> None:
    """Channel tables of open drivers (text): an optical socket is in stereo or light-pipe."""
    assert "optical in 1 to stereo, not to light-pipe" in said(stereo(), "Set the optical")
    choice = swapped(two(), "host-1", optical_stereo=1)
    told = said(choice, "Set the optical")
    assert "host-1: optical in 1 and optical out 1 to light-pipe, not to stereo." in told
    assert "expander-1: optical in 1 and optical out 1 to light-pipe, if there is" in told
    assert not said(trunked(), "Set the optical")


# --- several hosts ---------------------------------------------------------------------


def test_hosts_on_one_clock_are_joined_without_resampling() -> None:
    """An OS maker's guide, pcm_multi.c, pipewire-props.7.md (text)."""
    told = said(clocked(), "Join")
    assert "Name host-1 as the clock of that device." in told
    assert "Leave drift correction off for host-2" in told
    assert "ALSA's 'multi' joins them" in told
    assert "unless host-1 and host-2 have the same clock.name" in told
    assert "resampling" not in told
    assert [line.split(":")[0] for line in told.splitlines()[3:6]] == [
        *("macOS", "Linux", "Windows"),
    ]


def test_hosts_on_clocks_of_their_own_are_resampled() -> None:
    """The same."""
    told = said(apart(), "Join")
    assert "Name host-1 as the clock of that device." in told
    assert "drift correction (resampling) on for host-2" in told
    assert "drift correction off" not in told
    assert "'multi' does not" in told
    assert "clock.name" not in told
    assert "tie the clocks by a cable" in told


def test_the_host_that_leads_is_the_clock_of_the_device() -> None:
    second = Unit("host-2", DESK, "host", INTERNAL)
    first = replace(second, name="host-1", clock=ClockSetting("optical", 1, "host-2"))
    rig = made([first, second], [wire("optical", "host-2", 1, "host-1", 1, OPT)])
    told = said(rig, "Join")
    assert "Name host-2 as the clock of that device." in told
    assert "Leave drift correction off for host-1" in told


def test_one_host_is_not_joined() -> None:
    for rig in (lone(), two(), chained(), trunked()):
        assert not said(rig, "Join")
        assert "clap" not in said(rig, "Prove")


def test_one_sound_goes_into_each_host() -> None:
    """Practice; inputs by number: the second host's begin after the first one's 42."""
    assert "inputs 1 (host-1) and 43 (host-2) at once" in said(clocked(), "Prove")
    silent = replace(clocked(), inputs=clocked().inputs[:8])
    assert "clap" not in said(silent, "Prove")


# --- the proof -------------------------------------------------------------------------


def test_the_tone_passes_every_unit_with_a_clock() -> None:
    """Practice. AES11-2009 cl. 5.2 (restated): 10 ppm are 144 samples in five minutes."""
    assert "inputs 1 and 11, which host-1 and expander-1 bring" in said(two(), "Prove")
    moved = replace(two().links[0], to_socket=2)
    units = two().units
    rig = made(units, [wire("optical", "expander-1", 1, "host-1", moved.to_socket, OPT)])
    assert "inputs 1 and 19, which" in said(rig, "Prove")
    assert "tone into input 1, and" in said(lone(), "Prove")
    assert "tone into input 9, which host-1 and expander-1" in said(
        used_only(analogue.loomed(), 9), "Prove"
    )


def used_only(rig: Rig, first: int) -> Rig:
    """With microphones on the inputs from `first`, and on no other."""
    return replace(
        rig,
        inputs=tuple(
            replace(item, use="mic") if item.computer_input >= first else item
            for item in rig.inputs
        ),
    )


def test_a_tap_is_for_microphones() -> None:
    assert "tap beside a microphone" in said(used(led(), "mic"), "Prove")
    assert "tap" not in said(used(led(), "line"), "Prove")


def test_what_has_a_plug_or_a_clock_is_switched_on() -> None:
    """Practice; a preamp has a plug and no clock, and some units are fed by another way."""
    assert "in this order: host-1 and preamp-1;" in said(led(), "Switch on")
    assert "and expander-1;" in said(swapped(two(), "expander-1", mains=0), "Switch on")
    assert "Switch on host-1;" in said(boxed(), "Switch on")


def test_a_line_too_hot_is_thought_of_where_there_is_one() -> None:
    for rig in (led(), analogue.loomed()):
        assert "Distorted" in said(rig, "If something")
    assert "Distorted" not in said(two(), "If something")


# --- levels ----------------------------------------------------------------------------


def test_every_gain_that_went_down_comes_up_again() -> None:
    """Guides, practice: peaks of -18 to -12 dBFS in the loudest passage, monitors muted."""
    assert "'Set the levels'" in said(two(), "Power off")
    told = said(two(), "Set the levels")
    assert "between -18 and -12 dBFS. Then leave it." in told
    assert "direct monitoring is muted" in told
    assert "where it is plugged in: host-1 and expander-1." in told
    assert "where it is plugged in" not in said(lone(), "Set the levels")


def test_ears_help_where_there_is_a_headphone_output() -> None:
    assert "go by the meters." in said(lone(), "Set the levels")
    assert "meters and closed headphones" in said(lone(phones=1), "Set the levels")
    assert "Closed headphones: at host-1." in said(lone(phones=1), "Plug in monitors")
    assert "headphones:" not in said(lone(), "Plug in monitors")


def test_a_line_input_behind_a_preamp_keeps_its_gain() -> None:
    assert "line inputs of host-1 that a preamp" in said(led(), "Set the levels")
    assert "line inputs" not in said(two(), "Set the levels")


def test_monitors_take_outputs_that_are_left() -> None:
    assert "line outputs 1–2 of host-1" in said(two(), "Plug in monitors")
    assert "Monitors" not in said(analogue.heard(), "Plug in monitors")
    assert not said(lone(line_out=0), "Plug in monitors")


# --- 48 V ------------------------------------------------------------------------------


def unpowered() -> Rig:
    """Microphones on a desk with two banks and on an expander with one; all switches off."""
    units = tuple(replace(unit, phantom_banks_on=()) for unit in two().units)
    inputs = tuple(replace(item, phantom=False) for item in two().inputs)
    return replace(two(), units=units, inputs=inputs)


ASK = "Are any"


def test_whoever_said_nothing_of_48_v_is_asked_first() -> None:
    """Practice: a condenser without 48 V is silent."""
    assert titles(unpowered(), Needs(mic=5))[0].startswith(ASK)
    told = said(unpowered(), ASK, Needs(mic=5))
    assert "host-1: one 48 V switch for channels 1–4, another for channels 5–8." in told
    assert "expander-1: one 48 V switch for channels 1–8." in told
    each = swapped(unpowered(), "host-1", phantom_bank=1)
    assert "host-1: each channel has a 48 V switch" in said(each, ASK, Needs(mic=5))
    assert "No input of this rig has 48 V" in said(lone(), ASK, Needs(mic=8))
    assert "No input" not in told


@pytest.mark.parametrize(
    ("rig", "needs"),
    [
        (unpowered(), Needs(mic=5, phantom=1)),
        (unpowered(), Needs(mic=5, no_phantom=5)),
        (two(), Needs(mic=5)),
        (used(lone(), "line"), Needs(line=8)),
        (replace(lone(), inputs=()), Needs()),
    ],
)
def test_nobody_else_is_asked(rig: Rig, needs: Needs) -> None:
    assert not said(rig, ASK, needs)


def test_one_that_may_be_a_condenser_is_enough_to_ask() -> None:
    assert said(unpowered(), ASK, Needs(mic=5, no_phantom=4))


def test_48_v_that_comes_back_at_power_up_is_looked_for() -> None:
    """Linux kernel sound/usb, an open panel's manual (text): a setting brings it back."""
    assert "48 V lamps of host-1 and expander-1 now" in said(two(), "Switch on")
    one = swapped(two(), "expander-1", phantom_bank=0)
    assert "48 V lamps of host-1 now" in said(one, "Switch on")
    assert "See that every 48 V switch is off." in said(one, "Power off")
    none = swapped(one, "host-1", phantom_bank=0)
    assert "48 V" not in said(none, "Switch on")
    assert "48 V" not in said(none, "Power off")


def test_a_condenser_is_thought_of_where_one_bank_is_on() -> None:
    """Practice."""
    assert "needs its 48 V bank" in said(two(), "If something")
    assert "needs its 48 V bank" not in said(unpowered(), "If something")


def test_the_session_ends_with_48_v_off_before_anything_is_unplugged() -> None:
    """Guides, practice: levels down, 48 V off, wait, unplug; power in the reverse order."""
    monitors, phantom, unplug, power = said(two(), "At the end").splitlines()
    assert monitors.startswith("Switch off the monitors first")
    assert phantom.startswith("Switch 48 V off on expander-1, and wait")
    assert unplug == "Only then unplug the sources."
    assert power.endswith("Switch off the computer; then expander-1 and host-1.")
    assert "48 V" not in said(unpowered(), "At the end")
    assert "the computer, which powers host-1." in said(lone(mains=0), "At the end")
    assert "unplug" not in said(replace(lone(), inputs=()), "At the end")


def test_each_microphone_has_its_place_by_what_it_asks() -> None:
    """Practice notes (restated): 48 V harms ribbons. Inputs 11 and 12 have 48 V."""
    needs = Needs(mic=5, phantom=1, no_phantom=2)
    first, second, ribbon, *_ = said(two(), "Plug in the sources", needs).splitlines()
    assert first == (
        "Channels of host-1: 2 microphones that must not get 48 V on 1–2; 1 microphone on 4."
    )
    assert second == (
        "Channels of expander-1: 1 microphone that needs 48 V on 1; 1 microphone on 2."
    )
    assert ribbon.startswith("A ribbon microphone may only be on host-1 1–2, 4:")
    all_on = said(two(), "Plug in the sources", Needs(mic=5, phantom=2, no_phantom=3))
    assert "A ribbon" not in all_on
    assert "3 microphones that must not get 48 V on 1–2, 4." in all_on
    assert "A ribbon" not in said(unpowered(), "Plug in the sources", Needs(mic=5))


def test_a_name_is_told_with_what_it_asks() -> None:
    told = said(by_name(), "Plug in the sources", Needs(sources=LIST))
    assert "Overhead L (needs 48 V) on 2" in told
    assert "Bass on 1;" in told
    off = (replace(LIST[0], phantom="off"), *LIST[1:])
    assert "Kick (never 48 V)" in said(by_name(), "Plug in", Needs(sources=off))


def test_channels_that_nothing_goes_into_are_named() -> None:
    """lib_xua feat_adat_tx.rst (text): four channels a light-pipe at 2x."""
    told = said(two(96000), "Plug in the sources")
    assert "Channels 5–8 of expander-1 do not reach the computer" in told
    assert "do not reach" not in said(two(), "Plug in the sources")
    assert "Nothing else goes into host-1 line in 5–8" in said(led(), "Plug in the sources")
    assert "Nothing else" not in said(two(), "Plug in the sources")


# --- cautions --------------------------------------------------------------------------

BUS = lone(mains=0)
"""One box that the computer feeds, without 48 V."""


@pytest.mark.parametrize(
    ("caution", "there", "elsewhere"),
    [
        # 29 CFR 1910.334(a)(3) (text), WAC 296-24-985(1)(c)(ii) (memory)
        (cautions.EARTH, lone(), BUS),
        # Electrical Safety First; BS 1363 (restated)
        (cautions.strips(lone()), lone(), BUS),
        # HSE, INDG247 (restated)
        (cautions.RCD, lone(), BUS),
        # Electrical Safety First (restated)
        (cautions.LEADS, lone(), BUS),
        # NIOSH lifting equation (restated)
        (cautions.LIFTING, two(), led()),
        (cautions.LIFTING, two(), lone()),
        # practice notes (restated)
        (cautions.PHANTOM, two(), BUS),
        # makers' notes (restated)
        (cautions.OUTPUTS, shut(), led()),
        (cautions.JACKS, boxed(), two()),
        # HSE (restated)
        (cautions.WALKWAYS, lone(), replace(lone(), inputs=())),
        # practice
        (cautions.STANDS, used(lone(), "mic"), used(lone(), "line")),
        (cautions.FEEDBACK, used(lone(), "mic"), used(lone(), "line")),
        (cautions.LEVELS, two(), lone()),
    ],
)
def test_a_caution_stands_where_it_applies_and_nowhere_else(
    caution: str, there: Rig, elsewhere: Rig
) -> None:
    assert warned(there).count(caution) == 1
    assert caution not in warned(elsewhere)


@pytest.mark.parametrize("rig", [*EVERY, lone(phones=2), replace(lone(), inputs=())])
def test_ears_are_spared_once_where_it_first_gets_loud(rig: Rig) -> None:
    """NIOSH 98-126 (text): 85 dBA for 8 h, 3 dB; 29 CFR 1910.95, 2003/10/EC (restated)."""
    where = [one.title for one in steps(rig, ALL) if cautions.HEARING in one.cautions]
    heard = "headphones" in said(rig, "Set the levels")
    assert where == ["Set the levels" if heard else "Monitors on"]


def test_limits_are_told_with_their_owners() -> None:
    """By arithmetic: 8 h halved five times from 85 to 100 dBA is 15 minutes."""
    assert 8 * 60 / 2 ** ((100 - 85) / 3) == 15
    owned = re.findall(r"(NIOSH|OSHA|2003/10/EC)[^,;]*?(\d+) dB", cautions.HEARING)
    assert owned == [("NIOSH", "85"), ("OSHA", "90"), ("2003/10/EC", "87")]
    assert "15 minutes at 100 dBA" in cautions.HEARING


@pytest.mark.parametrize("rig", EVERY)
def test_the_rules_of_the_place_and_qualified_people_come_first(rig: Rig) -> None:
    assert warned(rig)[0] == cautions.MANUALS
    assert len(warned(rig)) == len(set(warned(rig)))


# --- the forms -------------------------------------------------------------------------


def forms(rig: Rig) -> dict[str, Callable[[], str]]:
    shop = Catalogue("tiny", "Tiny", "EUR", {u.device.id: u.device for u in rig.units}, {})
    answer = Answered(rig, 0, True)
    return {
        "text": lambda: plan_text(answer, shop, ALL, steps=True),
        "plain": lambda: plan_text(answer, shop, ALL),
        "page": lambda: plan_page(answer, shop, ALL),
    }


def test_steps_of_any_name_keep_to_eighty_columns() -> None:
    assert max(map(width, steps_text(two(name=HOSTILE), ALL).splitlines())) <= 80


@pytest.mark.parametrize("rig", EVERY)
def test_the_terminal_tells_every_step_in_eighty_columns(rig: Rig) -> None:
    text = forms(rig)["text"]()
    assert max(map(len, text.splitlines())) <= 80
    plain, _, told = text.partition("\nSET-UP, STEP BY STEP\n")
    assert plain == forms(rig)["plain"]()
    found = re.findall(r"^(\d+)\. (.*)$", told, re.MULTILINE)
    assert found == [(str(n), title) for n, title in enumerate(titles(rig), start=1)]
    marks = re.findall(r"^   ([-!]) ", told, re.MULTILINE)
    assert marks.count("!") == len(warned(rig))
    assert marks.count("-") == sum(len(one.lines) for one in steps(rig, ALL))


def test_the_page_asks_the_same_as_the_terminal() -> None:
    page = forms(two())["page"]()
    assert all(f"<h3>{title}</h3>" in page for title in titles(two()))
