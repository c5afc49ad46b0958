"""Sentences of the steps that are there for one thing in a rig, and not without it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.catalogue.types import InOut, SocketRef
from rigopt.needs.types import Needs
from rigopt.output.sheets.cautions import HEARING, strips
from rigopt.output.sheets.listening import fed
from rigopt.output.sheets.sockets import choices, settings
from rigopt.output.sheets.steps import steps
from rigopt.output.sheets.wording import load, stands_alone
from rigopt.rig.types import Link, Rig, Unit
from tests.sheets.analogue import boxed, heard, led, shut
from tests.sheets.linked import apart, chained, converted, trunked
from tests.sheets.rigs import INTERNAL, OPT, TICK, clocked, lone, two
from tests.sheets.test_practice import alone, everything, said, swapped, titles
from tests.wires import link

WRONG = "If something is wrong"


def unused(rig: Rig) -> Rig:
    """The rig with nothing plugged in."""
    inputs = tuple(replace(item, use=None, source=None) for item in rig.inputs)
    return replace(rig, inputs=inputs)


def test_a_di_box_that_nothing_is_plugged_into_is_not_told_of() -> None:
    assert "active, fed by the 48 V" in everything(boxed())
    assert "active, fed by the 48 V" not in everything(unused(boxed()))
    only = [item for item in boxed().inputs if item.use or item.source]
    (first, *_) = [item for item in only if item.path and item.path[0].startswith("di-")]
    rig = boxed()
    one = replace(
        rig, inputs=tuple(i if i is first else replace(i, use=None, source=None) for i in only)
    )
    boxes = [unit.name for unit in rig.units if unit.role == "di"]
    told = said(one, "Plug in the sources").split("which the preamp has to give")[0]
    assert [name for name in boxes if f"{name}: a" in told] == [
        name for name in boxes if name == first.path[0]
    ]
    # A source that is named is plugged in, whatever it is.
    voice = replace(unused(rig), inputs=(replace(first, use=None, source="Voice"),))
    assert f"{first.path[0]}: a" in said(voice, "Plug in the sources")
    nameless = replace(unused(rig), inputs=(replace(first, use="instrument", source=None),))
    assert f"{first.path[0]}: a" in said(nameless, "Plug in the sources")


def test_of_one_headphone_output_it_is_not_said_that_its_others_hear_the_same() -> None:
    assert "its 8 headphones hear the same" in everything(heard())
    single = heard()
    for unit in single.units:
        if unit.role == "headphones":
            single = swapped(single, unit.name, phones=1)
    assert "headphones hear the same" not in everything(single)
    pair = swapped(single, "headphones-1", phones=2)
    assert "its 2 headphones hear the same" in everything(pair)


def test_what_a_cable_carries() -> None:
    def told(channels: int, back: int, *carries: str) -> str:
        one = link("optical", "host-1", 1, "expander-1", 1, channels, carries, OPT, back=back)
        return load(one, two().units)

    assert told(0, 0, "clock") == "clock alone"
    assert told(8, 0, "audio") == "8 channels"
    assert told(0, 8, "audio") == "8 channels back"
    assert told(0, 8, "audio", "clock").startswith("clock, and 8 channels back")


def test_a_socket_that_shares_with_none_is_no_choice() -> None:
    def told(*others: SocketRef) -> list[str]:
        group = (SocketRef("optical", "out", 1), *others)
        rig = swapped(two(), "expander-1", either=(group,))
        return list(choices(rig, rig.unit("expander-1")))

    assert told() == []
    assert len(told(SocketRef("optical", "out", 2))) == 1


def test_two_hosts_on_their_own_clocks_are_kept_in_step() -> None:
    rig = apart()
    assert "nothing else keeps it in step" in said(rig, "Join")
    assert "Drift correction has to be on for" in said(rig, WRONG)
    assert "Drift correction has to be on for" not in said(two(), WRONG)
    (name,) = [
        u.name
        for u in rig.units
        if f"Drift correction has to be on for {u.name}" in said(rig, WRONG)
    ]
    third = replace(rig.unit(name), name="host-9")
    both = said(replace(rig, units=(*rig.units, third)), "Join")
    assert "nothing else keeps them in step" in both


def test_one_clock_alone_does_not_run_free_of_another() -> None:
    assert "Ticks or gaps: try" in said(lone(), WRONG)
    assert "two clocks run free" not in said(lone(), WRONG)
    assert "two clocks run free" in said(two(), WRONG)
    assert "Ticks or gaps" not in said(two(), WRONG)
    assert "two clocks run free" in said(clocked(), WRONG)


def test_a_wrong_number_may_come_of_a_cable_only_where_there_is_one() -> None:
    assert "in another socket than this sheet says" in said(two(), WRONG)
    assert "in another socket than this sheet says" not in said(lone(), WRONG)


def test_each_optical_socket_is_set_to_what_it_carries() -> None:
    """Two outputs of one unit, of which one is for light-pipe and one for stereo."""
    rig = two()
    wide = swapped(rig, "expander-1", optical_out=2, optical_1x=InOut(1, 2), optical_stereo=2)
    wide = swapped(wide, "host-1", optical_in=2, optical_stereo=2)
    more: Link = link("stereo", "expander-1", 2, "host-1", 2, 2, ("audio",), OPT)
    both = replace(wide, links=(*wide.links, more))
    told = list(settings(both, both.unit("expander-1")))
    outs = [line for line in told if "optical out" in line]
    assert len(outs) == 2
    assert "optical out 1 to light-pipe" in outs[0]
    assert "optical out 2 to " in outs[1]
    ins = [line for line in settings(both, both.unit("host-1")) if "optical in" in line]
    assert ["optical in 1 and" in line for line in ins] == [True, False]
    assert "optical in 2 to stereo" in ins[1]


def test_without_48_v_the_sources_may_be_unplugged_at_once() -> None:
    def off(unit: Unit) -> Unit:
        return replace(unit, phantom_banks_on=())

    rig = two()
    dark = replace(rig, units=tuple(map(off, rig.units)))
    lit = replace(rig, units=tuple(replace(u, phantom_banks_on=(1,)) for u in rig.units))
    assert "Now the sources may be unplugged." in said(dark, "At the end")
    assert "Only then unplug the sources." in said(lit, "At the end")
    assert "Now the sources" not in said(lit, "At the end")


def test_units_that_were_set_up_before_keep_what_was_saved() -> None:
    two_of_them = alone()
    third = replace(two_of_them.unit("expander-1"), name="expander-2")
    several = replace(two_of_them, units=(*two_of_them.units, third))
    assert "expander-1 keeps what was saved" in said(alone(), "Set 96")
    assert "no clock to choose" not in said(alone(internal_clock=False), "Set 96")
    assert "expander-1 and expander-2 keep what was saved" in said(several, "Set 96")


def test_what_comes_back_over_a_trunk_comes_in_where_the_cable_starts() -> None:
    """From socket 1 of the expander to socket 2 of the host."""
    saved = everything(swapped(trunked(), "expander-1", role="either"))
    assert "send what comes in on trunk socket 1 to line outputs 1" in saved
    assert "last of all clock from trunk socket 1, though nothing is in it" in saved
    assert "last of all clock from optical in 1, though nothing is in it" in everything(alone())


def test_over_a_cable_for_clock_alone_no_channels_are_sent() -> None:
    rig = alone()
    links = tuple(replace(x, channels=0) if x.from_socket == 2 else x for x in rig.links)
    told = said(replace(rig, links=links), "Save")
    assert "send channels 1–4 to optical out 1" in told
    assert "to optical out 2." not in told


@pytest.mark.parametrize(
    ("sentence", "there", "elsewhere"),
    [
        ("both optical sockets are set to the same format", two(), trunked()),
        ("sample-rate converters named above have to be on", converted(), two()),
        ("if all channels of a cable are silent, look at its lock", two(), lone()),
        ("plan again with the number of them (--phantom 2, say)", two(), lone()),
        ("no clock to choose", swapped(two(), "expander-1", internal_clock=False), two()),
        ("Switch on the monitors last, turned down", lone(), None),
    ],
)
def test_a_sentence_is_there_where_it_is_needed(
    sentence: str, there: Rig, elsewhere: Rig | None
) -> None:
    dark = replace(there, units=tuple(replace(u, phantom_banks_on=()) for u in there.units))
    assert sentence in everything(dark, Needs(mic=1))
    assert elsewhere is None or sentence not in everything(elsewhere, Needs(mic=1))


def test_without_outputs_nothing_is_plugged_into_them() -> None:
    assert "Plug in monitors and headphones" in titles(lone())
    assert "Plug in monitors and headphones" not in titles(lone(line_out=0))


def test_what_an_expander_sends_feeds_no_outputs_of_another() -> None:
    """All three send to the host, which sends nothing back."""
    assert " what comes in by " not in everything(chained())
    assert " what comes in by optical in 1" in everything(two())


def test_banks_stay_off_where_a_direct_out_goes_in() -> None:
    rig = shut()
    other = replace(rig.unit("host-1"), name="host-2")
    told = said(replace(rig, units=(*rig.units, other)), "Plug in the analogue cables")
    assert "host-1: switch it on by itself" in told
    assert "host-2" not in told
    jacks = swapped(rig, "host-1", line_plug="jack")
    assert "switch it on by itself" not in said(jacks, "Plug in the analogue cables")


def test_a_piece_of_cable_without_a_type_is_named_by_its_number() -> None:
    rig = led()
    bare = replace(rig, links=tuple(replace(one, cable=None) for one in rig.links))
    assert "Cable 1 (Jack lead): from" in said(rig, "Plug in the analogue cables")
    assert "Cable 1: from" in said(bare, "Plug in the analogue cables")


def test_two_sources_are_recorded_together() -> None:
    def told(number: int) -> str:
        rig = unused(two())
        ins = [replace(one, use="mic") for one in rig.inputs[:number]]
        return said(replace(rig, inputs=(*ins, *rig.inputs[number:])), "Prove")

    assert "and record it for 5 minutes: no tick, no gap." in told(1)
    assert "and record all inputs for 5 minutes" in told(2)
    assert "and every track of the same length" in told(2)


def test_what_draws_an_unknown_power_is_counted() -> None:
    """By a plug or, where it has a clock, by its computer; a DI box has neither."""
    fed = replace(TICK, mains=0)
    plugged = replace(led().unit("preamp-1").device, mains=1, watts=Decimal(0))
    units = (
        Unit("clock-1", fed, "clock", INTERNAL),
        Unit("preamp-1", plugged, "preamp", None),
        *boxed().units,
    )
    told = strips(replace(boxed(), units=units))
    assert "draw 12 W in all, not counting 2 units of unknown power" in told


def test_outputs_are_fed_in_the_order_of_the_sockets() -> None:
    """The cable with the lower number goes into the higher socket."""
    rig = two()
    back = rig.links[1]
    links = (
        rig.links[0],
        replace(back, to_socket=2, channels=2),
        replace(back, from_socket=2, channels=6),
    )
    found = fed(replace(rig, links=links), rig.unit("expander-1"))
    assert [(one.number, one.outputs) for one in found] == [(3, range(1, 7)), (2, range(7, 9))]


def test_the_clock_of_several_hosts_is_that_of_the_first() -> None:
    """It hangs on an expander; the second runs by its own."""
    rig = apart()
    first, second, *rest = rig.units
    turned = replace(rig, units=(second, first, *rest))
    assert "Name host-1 as the clock of that device." in said(rig, "Join")
    assert "Name host-2 as the clock of that device." in said(turned, "Join")


def test_an_end_that_is_none_is_not_switched_off() -> None:
    told = said(chained(), "Plug in the digital cables")
    assert "Switch the 75-ohm end off on expander-1 word in 1 and expander-2" in told
    bare = said(swapped(chained(), "expander-2", word_end="none"), "Plug in the digital cables")
    assert "Switch the 75-ohm end off on expander-1 word in 1: the clock" in bare


def test_the_computer_is_connected_to_hosts_alone() -> None:
    told = "Connect host-1 to the computer by USB."
    assert said(two(), "Connect the computer") == told
    assert "Leave room for air, as the manuals say." in said(two(), "Place the units")


def test_the_mains_come_before_the_switches() -> None:
    first, *_ = said(two(), "Switch on").splitlines()
    assert first == "Plug in the mains. Leave the monitors off."


def test_a_socket_that_shares_is_chosen_while_the_unit_is_at_the_computer() -> None:
    group = (SocketRef("optical", "in", 1), SocketRef("coax", "in", 1))
    rig = alone(either=(group,))
    assert "expander-1: to optical in 1, not to coax in 1." in said(rig, "Save")
    assert not said(rig, "Choose among the sockets")


def test_no_channels_are_sent_to_a_direct_out() -> None:
    rig = alone()
    lead = link("analogue", "expander-1", 3, "host-1", 3, 1, ("audio",), None, piece=9)
    assert "direct out" not in said(replace(rig, links=(*rig.links, lead)), "Save")


def test_where_nothing_is_recorded_the_ears_are_spared_before_the_monitors_come_on() -> None:
    def careful(rig: Rig) -> list[str]:
        return [one.title for one in steps(rig) if HEARING in one.cautions]

    assert careful(heard()) == ["Set the levels"]
    assert careful(replace(heard(), inputs=())) == ["Monitors on"]


def test_outputs_of_two_hosts_feed_one_amplifier() -> None:
    (host, ears, *_) = heard().units
    few = replace(host.device, line_out=2, mains=1)
    units = (
        replace(host, device=few),
        replace(host, name="host-2", device=replace(few, line_out=5)),
        replace(ears, device=replace(ears.device, line_in=6, phones=1)),
    )
    told = said(replace(heard(), units=units), "Plug in monitors")
    assert told.splitlines() == [
        "Monitors, still off: line output 1 of host-1.",
        "headphones-1: plug line output 2 of host-1 and outputs 1–5 of host-2 into it.",
    ]


def test_an_active_box_is_told_apart_from_a_passive_one() -> None:
    told = said(boxed(), "Plug in the sources").splitlines()
    assert [line[: line.index("box")] for line in told if " box" in line] == [
        "di-2: a passive "
    ]
    assert "di-1: active, fed by the 48 V of the channel, or by a battery." in told


def test_what_has_no_clock_is_not_set_up_at_the_computer() -> None:
    unit = alone().unit("expander-1")
    assert stands_alone(unit)
    assert not stands_alone(replace(unit, clock=None))
    assert not stands_alone(replace(unit, role="host"))
    assert not stands_alone(two().unit("expander-1"))
