"""The steps follow from the rig: its names, its cables, its rate, and nothing else."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.output.sheets import cautions
from rigopt.output.sheets.steps import steps
from rigopt.output.sheets.types import Step
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.sheets.rigs import (
    BNC,
    DESK,
    HOSTILE,
    INTERNAL,
    OPT,
    PRE,
    TICK,
    clocked,
    lone,
    made,
    named,
    two,
)
from tests.wires import wire

TITLES = {
    "ask": "Are any of your microphones condensers\\?",
    "down": "Power off, levels down",
    "place": "Place the unit(s and label them)?",
    "computer": "Connect the computer",
    "cables": "Plug in the digital cables",
    "listen": "Plug in monitors and headphones",
    "power": "Switch on",
    "optical": "Set the optical sockets to light-pipe",
    "rate": "Set [0-9.]+ kHz(, every unit on its internal clock)?",
    "clock": "Choose the clock of every unit, the masters? first",
    "lock": "Wait until every lock lamp is on",
    "join": "Join the hosts on the computer",
    "patch": "Plug in the sources(, 48 V off)?",
    "phantom": "Switch on 48 V",
    "levels": "Set the levels",
    "prove": "Prove it with a take",
    "monitor": "Monitors on",
    "end": "At the end of the session",
    "trouble": "If something is wrong",
}
"""Steps by what they are about; a title may depend on the rig."""


def topics(rig: Rig) -> list[str]:
    found = [
        [topic for topic, title in TITLES.items() if re.fullmatch(title, one.title)]
        for one in steps(rig)
    ]
    assert all(len(names) == 1 for names in found)
    return [names[0] for names in found]


def step(rig: Rig, topic: str) -> Step | None:
    return dict(zip(topics(rig), steps(rig), strict=True)).get(topic)


def present(rig: Rig, topic: str) -> Step:
    found = step(rig, topic)
    assert found is not None
    return found


def texts(rig: Rig, topic: str) -> list[str]:
    found = step(rig, topic)
    return list(found.lines) if found else []


def every(rig: Rig) -> str:
    return "\n".join(line for one in steps(rig) for line in one.lines)


def warned(rig: Rig) -> list[str]:
    return [caution for one in steps(rig) for caution in one.cautions]


def test_a_careful_order() -> None:
    said = ("ask", "join")
    assert topics(two()) == [topic for topic in TITLES if topic not in said]
    assert topics(clocked()) == [topic for topic in TITLES if topic != "ask"]


def test_one_box_has_no_cable_clock_or_lock_step() -> None:
    several = ("cables", "optical", "clock", "lock", "join", "phantom")
    assert topics(lone()) == [topic for topic in TITLES if topic not in several]
    assert not re.search(r"cable [0-9]|\block|light-pipe|master", every(lone()))
    assert present(lone(), "patch").title == "Plug in the sources"
    assert texts(lone(), "rate")[1:] == [
        "Set host-1 to 48 kHz, on its internal clock.",
        "Only now open the recording program, and set it to 48 kHz.",
    ]


@pytest.mark.parametrize("rig", [two(), clocked(), two(96000), lone(), named()])
@pytest.mark.parametrize("topic", ["cables", "lock"])
def test_cables_of_the_steps_are_those_of_the_rig_both_ways(rig: Rig, topic: str) -> None:
    """Each cable has one line of its own, and each line tells the sockets of its cable."""
    found = [(line, re.search("[Cc]able ([0-9]+)", line)) for line in texts(rig, topic)]
    lines = {int(number[1]): line for line, number in found if number}
    assert list(lines) == [n + 1 for n in range(len(rig.links))]
    for line, link in zip(lines.values(), rig.links, strict=True):
        end = f"{link.to_unit} {link.kind} in {link.to_socket}"
        assert end in line
        if topic == "cables":
            start = f"{link.from_unit} {link.kind} out {link.from_socket}"
            assert f"from {start} to {end}" in line
            assert ("clock" in line.split(", ")[-1]) == ("clock" in link.carries)


@pytest.mark.parametrize("rig", [two(), clocked(), two(96000), lone(), named()])
def test_every_name_and_number_is_one_of_the_rig(rig: Rig) -> None:
    names = set(re.findall("(?:host|expander|clock)-[0-9]+", every(rig)))
    assert names == {unit.name for unit in rig.units}
    numbers = {int(number) for number in re.findall("[Cc]able ([0-9]+)", every(rig))}
    assert numbers == {n + 1 for n in range(len(rig.links))}


def test_another_wiring_makes_another_sheet() -> None:
    before = two()
    moved = replace(before.links[0], to_socket=3)
    after = replace(before, links=(moved, before.links[1]))
    assert "to host-1 optical in 3, 8 channels." in every(after)
    assert "optical in 3 and optical out 1 to light-pipe" in every(after)
    assert "host-1 optical in 3 (cable 1) shows lock." in every(after)
    assert "optical in 3" not in every(before)


def test_cables_tell_their_load_and_label() -> None:
    lines = texts(clocked(), "cables")
    assert lines[0] == (
        "Cable 1 (Optical lead, 8 m): from expander-1 optical out 1 to host-1 optical in 2, "
        "8 channels. It is longer than 5 m: test it before you rely on it."
    )
    assert lines[1].startswith(
        "Cable 2 (bnc): from clock-1 word out 1 to host-1 word in 1, clock"
    )
    assert lines[4].startswith(
        "Cable 5: from host-1 coax out 1 to expander-1 coax in 1, 2 chan"
    )
    assert [line[:9] for line in lines[5:]] == ["Optical p", "Word cloc"]
    assert "Word clock" not in every(two())
    assert "longer than" not in every(two())


def test_light_pipe_is_set_on_the_sockets_in_use() -> None:
    assert texts(two(), "optical") == [
        "host-1 and expander-1: optical in 1 and optical out 1 to light-pipe, if there is a "
        "choice.",
    ]
    assert texts(clocked(), "optical") == [
        "host-1: optical in 2 to light-pipe, if there is a choice.",
        "expander-1: optical out 1 to light-pipe, if there is a choice.",
    ]


def test_the_clock_of_every_unit() -> None:
    assert texts(two(), "clock") == [
        "host-1: internal clock. It is the clock master.",
        "expander-1: clock from optical in 1, which host-1 feeds.",
    ]
    assert texts(clocked(), "clock") == [
        "clock-1: internal clock. It is the clock master.",
        "host-1: clock from word in 1, which clock-1 feeds.",
        "host-2: clock from word in 1, which clock-1 feeds.",
        "expander-1: clock from word in 1, which clock-1 feeds.",
    ]


@pytest.mark.parametrize(
    ("rate", "channels"),
    # lib_xua, feat_adat_tx.rst: 8, 4 and 2 channels a socket.
    [(48000, 8), (44100, 8), (96000, 4), (88200, 4), (192000, 2)],
)
def test_high_rates_are_set_by_hand_at_both_ends(rate: int, channels: int) -> None:
    """Linux kernel hdspm.c: a receiver normally cannot detect 2x and 4x."""
    by_hand = [line for line in texts(two(rate), "rate") if "by hand" in line]
    if channels == 8:
        assert by_hand == []
        assert "scrambled" not in every(two(rate))
        return
    assert [line[:8] for line in by_hand] == ["Cable 1:", "Cable 2:"]
    assert "expander-1 optical out 1 and host-1 optical in 1" in by_hand[0]
    assert f"carries {channels} channels now" in by_hand[0]
    assert "scrambled" in every(two(rate))


def test_coax_and_word_need_no_rate_by_hand() -> None:
    high = replace(clocked(), rate_hz=96000)
    assert re.findall("Cable ([0-9]+)", " ".join(texts(high, "rate"))) == ["1"]


def test_locked_is_told_from_synchronous() -> None:
    """Linux kernel hdsp.c: unlocked, locked, synchronous."""
    assert any("Locked is not yet synchronous" in line for line in texts(two(), "lock"))


def test_several_hosts_are_joined_in_their_order() -> None:
    assert texts(clocked(), "join")[0].startswith("Join host-1 and host-2 into one device, in")
    assert "another order than host-1 and host-2" in every(clocked())
    assert "another order" not in every(two())


def test_power_goes_along_the_clock_and_monitors_come_last() -> None:
    assert texts(two(), "power")[1] == (
        "Switch on in this order: host-1 (the clock master) and expander-1; then the computer."
    )
    assert "clock-1 (the clock master), host-1, host-2 and expander-1;" in every(clocked())


def test_what_the_computer_powers_has_no_mains() -> None:
    bus = lone(mains=0, computer="pcie")
    assert texts(bus, "power") == [
        "Leave the monitors off.",
        "Switch on the computer, which powers host-1.",
    ]
    assert cautions.EARTH not in warned(bus)
    assert "with its mains plug pulled out" in texts(bus, "computer")[0]
    rig = two()
    desk = replace(rig.units[0], device=replace(DESK, mains=0))
    assert texts(replace(rig, units=(desk, rig.units[1])), "power")[1] == (
        "Switch on expander-1; then the computer, which powers host-1."
    )


@pytest.mark.parametrize(
    ("port", "said"),
    [
        ("usb", "Connect host-1 to the computer by USB."),
        ("thunderbolt", "Connect host-1 to the computer by Thunderbolt."),
        ("network", "Connect host-1 to the computer's network port."),
    ],
)
def test_the_port(port: str, said: str) -> None:
    assert texts(lone(computer=port), "computer") == [said]


def test_height_in_units_and_millimetres() -> None:
    """EIA-310: 1 U is 44.45 mm."""
    assert "In a rack they take 3 U, 133.35 mm of height." in texts(clocked(), "place")
    assert texts(clocked(), "place")[:3] == [
        "host-1 and host-2: Desk interface (desk), 1 U",
        "expander-1: Preamp expander (pre), 1 U",
        "clock-1: Word-clock generator (tick)",
    ]
    assert "In a rack" not in every(lone(rack_units=0))


def test_sources_go_to_their_channels() -> None:
    assert texts(two(), "patch") == [
        "Channels of host-1: 3 microphones on 1–2, 4.",
        "Channels of expander-1: 2 microphones on 1–2.",
        "A ribbon microphone may only be on host-1 1–2, 4: the rest get 48 V. A dynamic one "
        "may be on any.",
        "Free: channels 3, 5–8 of host-1 (inputs 3, 5–8) and channels 3–8 of expander-1 "
        "(inputs 13–18).",
    ]
    assert texts(named(), "patch")[:-1] == [
        "Channels of host-1: Bass on 1; Overhead L on 2; Overhead R on 3.",
        "Channels of expander-1: Kick on 1.",
        "A ribbon microphone may be on none of these: the rest get 48 V. A dynamic one may be "
        "on any.",
        "48 V comes on later at input 1, where no microphone is plugged in: only a jack plug "
        "may go in there.",
    ]
    assert cautions.JACKS in warned(named())
    assert cautions.JACKS not in warned(two())
    assert texts(lone(), "patch") == ["Channels of host-1: 8 sources on 1–8."]


def test_only_banks_that_are_on_are_switched_on() -> None:
    assert texts(two(), "phantom")[1:-1] == ["expander-1: bank 1, channels 1–8."]
    assert texts(clocked(), "phantom")[1:-1] == [
        "host-1: banks 1–2, channels 1–8.",
        "expander-1: bank 1, channels 1–8.",
    ]
    single = replace(two().units[1], device=replace(DESK, phantom_bank=1))
    rig = replace(two(), units=(two().units[0], single))
    assert texts(rig, "phantom")[1:-1] == ["expander-1: on for channel 1."]
    off = replace(two(), units=tuple(replace(u, phantom_banks_on=()) for u in two().units))
    assert step(off, "phantom") is None
    assert "needs its 48 V bank" not in every(off)
    assert present(off, "patch").title == "Plug in the sources, 48 V off"


def test_outputs_that_a_cable_feeds() -> None:
    assert texts(two(), "listen")[1:] == [
        "expander-1: line outputs 1–8 play what comes in by optical in 1, cable 2 from host-1."
    ]
    assert texts(clocked(), "listen")[1:] == [
        "expander-1: line outputs 1–2 play what comes in by coax in 1, cable 5 from host-1."
    ]


def test_outputs_go_on_from_cable_to_cable_at_high_rates() -> None:
    rig = two(96000)
    wires = [
        wire(k.format, k.from_unit, k.from_socket, k.to_unit, k.to_socket) for k in rig.links
    ]
    more = made(
        rig.units, [wires[0], wire("optical", "host-1", 2, "expander-1", 2), wires[1]], 96000
    )
    assert texts(more, "listen")[1:] == [
        "expander-1: line outputs 1–4 play what comes in by optical in 1, cable 3 from host-1.",
        "expander-1: line outputs 5–8 play what comes in by optical in 2, cable 2 from host-1.",
    ]


def test_the_take_names_every_input_in_use() -> None:
    assert texts(two(), "prove")[1:-1] == [
        "host-1 channels 1–2: inputs 1–2.",
        "host-1 channel 4: input 4.",
        "expander-1 channels 1–2: inputs 11–12.",
    ]
    assert texts(named(), "prove")[1:-1] == [
        "Inputs of host-1: 1 Bass; 2 Overhead L; 3 Overhead R.",
        "Input of expander-1: 11 Kick.",
    ]
    assert "record all inputs for 5 minutes" in texts(two(), "prove")[-1]


def test_a_tone_and_a_clap_go_through_every_unit_used_or_not() -> None:
    """One input of the first host is in use; the second brings an expander's alone."""
    deaf = replace(DESK, id="deaf", mic_line_inst=0, mic_line=0, phantom_bank=0)
    units = [
        Unit("host-1", DESK, "host", ClockSetting("word", 1, "clock-1")),
        Unit("host-2", deaf, "host", ClockSetting("word", 1, "clock-1")),
        Unit("expander-1", PRE, "expander", ClockSetting("word", 1, "clock-1")),
        Unit("clock-1", TICK, "clock", INTERNAL),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-2", 1, OPT),
        *(
            wire("word", "clock-1", n, name, 1, BNC)
            for n, name in enumerate(("host-1", "host-2", "expander-1"), start=1)
        ),
    ]
    rig = made(units, wires, uses={2: ("mic", None)})
    first = next(item.computer_input for item in rig.inputs if item.unit == "expander-1")
    tone, clap = texts(rig, "prove")[-2:]
    assert f"into inputs 2 and {first}, which host-1, host-2 and expander-1 bring" in tone
    assert f"reach inputs 2 (host-1) and {first} (host-2) at once" in clap


def test_one_master_or_several_are_set_first() -> None:
    hosts = [Unit(f"host-{n}", DESK, "host", INTERNAL) for n in (1, 2)]
    assert present(made(hosts, []), "clock").title.endswith("the masters first")
    assert present(two(), "clock").title.endswith("the master first")


def test_microphones_in_the_room_are_muted_before_monitors_come_on() -> None:
    told = "Mute the microphones that are in the same room."
    assert texts(two(), "monitor")[0] == told
    lines = made(two().units, [], uses={1: ("line", None)})
    assert told not in texts(lines, "monitor")


def test_a_rig_for_one_input_or_none() -> None:
    one = replace(lone(), inputs=lone().inputs[:1])
    assert texts(one, "prove")[-1] == (
        "Play a steady tone into input 1, and record it for 5 minutes: no tick, no gap."
    )
    assert texts(one, "patch")[0] == "Channels of host-1: 1 source on 1."
    none = replace(lone(), inputs=())
    assert step(none, "patch") is None
    assert step(none, "prove") is None
    assert step(none, "levels") is None


@pytest.mark.parametrize(
    ("rig", "said"),
    [
        (clocked(), "draw 44 W in all, not counting 1 unit of unknown power."),
        (lone(watts=Decimal("2.50")), "draw 2.5 W in all."),
        (lone(watts=Decimal(0)), "marked on it. Add what else"),
    ],
)
def test_the_watts_of_a_strip(rig: Rig, said: str) -> None:
    assert said in present(rig, "power").cautions[1]


def test_any_name_is_told_as_it_is() -> None:
    """Sheets hold plain text; braces, quotes and signs have no meaning in them."""
    rig = two(name=HOSTILE + "{0}%s")
    assert f"Cable 1 (Optical lead, 1 m): from {HOSTILE}{{0}}%s optical out 1 to" in every(rig)
    cut = replace(rig, inputs=tuple(replace(i, source="{x}") for i in rig.inputs if i.use))
    assert "Inputs of host-1: 1 {x}; 2 {x}; 4 {x}." in every(cut)


def test_coax_alone_speaks_of_no_light_pipe() -> None:
    rig = clocked()
    coax = replace(rig, links=rig.links[1:])
    assert "ptical" not in every(coax)
    assert "No lock" in every(coax)
    assert step(coax, "optical") is None
