"""Analogue rigs priced by hand. All prices are invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.needs.types import Needs
from rigopt.rig.types import Rig
from tests.analogue.agree import rig_of, trouble
from tests.analogue.checks import faults
from tests.oracle.keys import key_of
from tests.oracle.mip import milp_key

DESK = Device(
    "desk",
    "4 preamps, 4 line inputs, one light-pipe pair",
    "host",
    30000,
    mic_line=4,
    line=4,
    phantom_bank=4,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    clock_in=("optical",),
    rates_hz=(48000, 96000),
)
PRE = Device("pre-4", "4 preamps", "preamp", 8000, mic=4, phantom_bank=4, direct_out=4)
DIGITAL = Device(
    "digital-8",
    "8 preamps to light-pipe",
    "expander",
    12000,
    mic=8,
    phantom_bank=8,
    optical_out=1,
    optical_2x=1,
    rates_hz=(48000, 96000),
)
LEAD = Cable("lead", "jack lead", "analogue", 1500, 500, ends=("jack", "jack"))
OPT = Cable("opt", "optical", "optical", 1500, 600)


def shop(*things: Device | Cable | Extra) -> Catalogue:
    return Catalogue(
        "tiny",
        "Tiny",
        "GBP",
        {one.id: one for one in things if isinstance(one, Device)},
        {one.id: one for one in things if isinstance(one, Cable)},
        {one.id: one for one in things if isinstance(one, Extra)},
    )


def asked(*things: Device | Cable | Extra, **needs: Any) -> Rig | None:
    """The answer; both opinions agree, and no rule is broken."""
    question = shop(*things), Needs(units=4, **needs)
    assert not trouble(question)
    found = rig_of(question)
    assert key_of(found) == milp_key(*question)
    return found


def rig(*things: Device | Cable | Extra, **needs: Any) -> Rig:
    found = asked(*things, **needs)
    assert found is not None
    return found


def sorts(found: Rig) -> list[str]:
    return [link.kind for link in found.links]


# --- a preamp and leads, or light-pipe -------------------------------------------


def test_four_line_inputs_and_a_preamp_cost_less_than_light_pipe() -> None:
    found = rig(DESK, PRE, DIGITAL, LEAD, OPT, mic=8, rate_hz=96000)
    # 300.00 + 80.00 + 4 leads at 5.00; light-pipe: 300.00 + 120.00 + 6.00 = 426.00.
    assert found.total == 40000
    assert sorts(found) == ["analogue"] * 4
    rows = [(row.computer_input, row.unit, row.channel) for row in found.inputs]
    assert rows[4:] == [(5 + n, "preamp-1", 1 + n) for n in range(4)]
    assert found.unit("preamp-1").clock is None
    digital = rig(DESK, DIGITAL, LEAD, OPT, mic=8, rate_hz=96000)
    assert (digital.total, sorts(digital)) == (42600, ["optical"])


def test_dear_leads_turn_the_choice() -> None:
    # 300.00 + 80.00 + 4 at 12.00 = 428.00 is more than 426.00.
    found = rig(DESK, PRE, DIGITAL, replace(LEAD, price=1200), OPT, mic=8, rate_hz=96000)
    assert (found.total, sorts(found)) == (42600, ["optical"])
    owned = {"lead": 1}  # 300.00 + 80.00 + 3 at 12.00 = 416.00
    dear = replace(LEAD, price=1200)
    found = rig(DESK, PRE, DIGITAL, dear, OPT, mic=8, rate_hz=96000, owned=owned)
    assert (found.total, sorts(found)) == (41600, ["analogue"] * 4)


def test_an_expander_without_the_rate_still_has_its_direct_outs() -> None:
    slow = replace(DIGITAL, direct_out=4, rates_hz=(48000,))
    found = rig(DESK, slow, LEAD, OPT, mic=8, rate_hz=96000)
    assert (found.total, sorts(found)) == (30000 + 12000 + 4 * 500, ["analogue"] * 4)
    assert found.unit("preamp-1").device == slow
    assert asked(DESK, replace(slow, direct_out=0), LEAD, OPT, mic=8, rate_hz=96000) is None


# --- a line-only converter and a loom --------------------------------------------


def test_microphones_on_a_loom_have_the_numbers_of_the_converter() -> None:
    host = Device("box", "2 preamps", "host", 10000, mic=2, optical_in=1, clock_in=("optical",))
    converter = Device(
        "line-8", "8 line", "expander", 9000, line=8, line_plug="dsub", optical_out=1
    )
    preamp = Device("pre-8", "8", "preamp", 15000, mic=8, direct_out=8, direct_plug="dsub")
    loom = Cable("loom", "loom", "analogue", 1000, 2500, ends=("dsub", "dsub"), ways=8)
    found = rig(host, converter, preamp, loom, OPT, mic=10)
    assert found.total == 10000 + 9000 + 15000 + 2500 + 600
    assert key_of(found) == (37100, 3, 2, 1, -10)  # the loom is one link, its clock one hop
    rows = [(row.computer_input, row.unit, row.channel) for row in found.inputs]
    assert rows == [(1, "host-1", 1), (2, "host-1", 2)] + [
        (3 + n, "preamp-1", 1 + n) for n in range(8)
    ]
    assert found.inputs[2].path == ("preamp-1", "expander-1", "host-1")


# --- 48 V --------------------------------------------------------------------------

MIXER = replace(DESK, line=0)
"""4 combined inputs in one bank of 48 V."""
TWO = Device("pre-2", "2 preamps", "preamp", 6000, mic=2, phantom_bank=2, direct_out=2)


def test_a_preamp_with_48_v_of_its_own_solves_a_conflict() -> None:
    ribbons = {"mic": 4, "phantom": 2, "no_phantom": 2}
    assert asked(MIXER, LEAD, **ribbons) is None
    found = rig(MIXER, TWO, LEAD, **ribbons)
    assert found.total == 30000 + 6000 + 2 * 500


def test_an_xlr_into_a_combined_input_finds_its_bank_off() -> None:
    ribbons = {"mic": 4, "phantom": 2, "no_phantom": 2}
    plugs = replace(LEAD, ends=("jack", "xlr"))
    xlr = replace(MIXER, line_plug="xlr")
    found = rig(xlr, TWO, plugs, **ribbons)
    assert found.unit("host-1").phantom_banks_on == ()
    # Without 48 V of its own the preamp has to take the ribbons, and the host is on.
    dark = replace(TWO, phantom_bank=0)
    assert asked(xlr, dark, plugs, **ribbons) is None
    assert rig(MIXER, dark, LEAD, **ribbons).unit("host-1").phantom_banks_on == (1,)


def test_the_48_v_of_active_di_boxes_counts() -> None:
    active = Device("active", "DI", "di", 2000, inst=1, di_phantom=True)
    passive = Device("passive", "DI", "di", 3500, inst=1)
    one = {"mic": 1, "instrument": 1}
    assert rig(MIXER, active, passive, **one).total == 32000
    # A ribbon in the same bank: the box that needs no 48 V.
    assert rig(MIXER, active, passive, no_phantom=1, **one).total == 33500
    assert asked(MIXER, active, no_phantom=1, **one) is None
    single = replace(MIXER, phantom_bank=1)
    assert rig(single, active, passive, no_phantom=1, **one).total == 32000


# --- what bounds once forgot ---------------------------------------------------------


def test_extras_for_microphones_count_instruments_in_di_boxes() -> None:
    box = Device("box", "DI", "di", 2000, inst=1)
    stand = Extra("stand", "stand", "mic", 1000)
    found = rig(MIXER, box, stand, mic=1, instrument=1)
    assert found.total == 30000 + 2000 + 2 * 1000


def test_an_instrument_alone_can_be_what_a_preamp_is_for() -> None:
    lines = replace(DESK, mic_line=0, phantom_bank=0)
    able = replace(TWO, mic=0, mic_line_inst=2)
    assert rig(lines, able, LEAD, instrument=2).total == 30000 + 6000 + 2 * 500
    boxes = Device("boxes", "2 DI", "di", 2000, inst=2)
    assert rig(lines, TWO, boxes, LEAD, instrument=2).total == 30000 + 6000 + 2000 + 2 * 500


def test_ways_to_spare_bring_more_inputs_for_microphones() -> None:
    multicore = replace(LEAD, ways=4, price=1500)
    lines = replace(DESK, mic_line=0, phantom_bank=0)
    found = rig(lines, PRE, multicore, mic=1)
    assert key_of(found) == (30000 + 8000 + 1500, 2, 1, 0, -4)


def test_a_channel_that_leaves_by_its_direct_out_is_no_input_of_its_connector() -> None:
    """Channel 10 leaves by its direct out, and would be place 2 of a connector of inputs."""
    host = Device(
        "box", "", "host", 20000, mic_line=1, line=1, optical_in=1, clock_in=("optical",)
    )
    lines = Device(
        "line-9",
        "",
        "expander",
        1000,
        mic_line=1,
        line=9,
        channel_order=("line", "mic_line"),
        line_plug="dsub",
        direct_out=1,
        optical_out=1,
    )
    snake = Cable("snake", "", "analogue", 1000, 400, ends=("jack", "dsub"), ways=8)
    found = rig(host, lines, snake, LEAD, OPT, mic=2, line=1)
    assert found.total == 20000 + 1000 + 600 + 500


def test_a_fed_amplifier_takes_its_line_outputs() -> None:
    host = replace(DESK, line_out=4, phones=1)
    amplifier = Device("amp", "4 headphones", "headphones", 4000, phones=4, line_in=2)
    assert rig(host, amplifier, mic=1, out_phones=5, out_line=2).total == 34000
    assert asked(host, amplifier, mic=1, out_phones=5, out_line=3) is None
    assert asked(host, amplifier, mic=1, out_phones=9, out_line=2) is None
    # A second one has two outputs left to feed it.
    assert rig(host, amplifier, mic=1, out_phones=9).total == 38000


def test_no_rule_is_broken_by_a_rig_that_is_whole() -> None:
    found = rig(DESK, PRE, LEAD, mic=8)
    moved = replace(found, units=tuple(replace(u, phantom_banks_on=(1,)) for u in found.units))
    assert not faults(found, Needs(mic=8))
    assert faults(moved, Needs(mic=8, no_phantom=1))
