"""Clock: what two clocks do to each other, and how much a cable may delay one.

Marks beside the checks: *text* read in the source named, *restated* read in a restatement,
*memory* from memory, not verified.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from math import floor

import pytest

from rigopt.catalogue.types import Cable, Device
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.output.sheets.steps import steps
from rigopt.output.terminal.about import as_text, page
from rigopt.rig.audit import audit_wiring, warnings
from rigopt.rig.types import ClockSetting, Link, Rig
from tests.world import ALL, DESK, HUB, PRE, cables_of, impossible, rig

HOUR = 3600


def samples(rate: int, seconds: int, ppm: Fraction) -> int:
    """Whole samples that a clock which is `ppm` fast has counted after `seconds`."""
    return floor(rate * (1 + ppm / 10**6) * seconds)


def slips(rate: int, seconds: int, *, apart: Fraction) -> int:
    """Samples by which two clocks `apart` ppm are apart after `seconds`."""
    return samples(rate, seconds, apart / 2) - samples(rate, seconds, -apart / 2)


def test_two_clocks_slip() -> None:
    # AES11-2009 cl. 5.2 (restated): references of grade 2 are within 10 ppm. The figures are
    # those that the page on clocks states; the slips of two clocks follow from its first.
    found = re.search(
        r"at (\d+) parts in a million they slip (\d+) samples an hour at (\d+) kHz",
        " ".join(as_text(page("rules")).split()),
    )
    assert found
    apart, told, rate_khz = (int(number) for number in found.groups())
    assert apart == 10
    assert told == slips(rate_khz * 1000, HOUR, apart=Fraction(apart))


def test_the_take_that_proves_a_clock_is_long_enough() -> None:
    # AES11-2009 cl. 5.2 (restated): the best references are within 1 ppm. Even two of those,
    # each on its own, are some samples apart by the end of the take that the steps ask for.
    needs = Needs(mic=16)
    told = [line for step in steps(rig(HUB, PRE, mic=16), needs) for line in step.lines]
    (minutes,) = (int(n) for line in told for n in re.findall(r"for (\d+) minutes", line))
    assert slips(min(ALL), 60 * minutes, apart=Fraction(1)) >= 1
    assert slips(min(ALL), 60 * minutes, apart=Fraction(0)) == 0


def set_clock(found: Rig, name: str, clock: ClockSetting) -> list[str]:
    """The rules that `found` breaks once the clock menu of one unit is turned."""
    units = tuple(replace(u, clock=clock) if u.name == name else u for u in found.units)
    links = tuple(_as_locked(link, name, clock) for link in found.links)
    return [item.rule for item in audit_wiring(units, links, found.rate_hz)]


def _as_locked(link: Link, name: str, clock: ClockSetting) -> Link:
    if link.to_unit != name:
        return link
    locked = (clock.source, clock.socket) == (link.kind, link.to_socket)
    loads = [load for load in link.carries if load != "clock"]
    return replace(link, carries=tuple([*loads, "clock"] if locked else loads))


def test_two_units_on_internal_clock_are_a_fault() -> None:
    # Follows from AES11-2009 cl. 5.2 (restated) and the slips above.
    found = rig(HUB, PRE, mic=16)
    assert audit_wiring(found.units, found.links, found.rate_hz) == ()
    for unit in found.units:
        if unit.clock != ClockSetting("internal"):
            broken = set_clock(found, unit.name, ClockSetting("internal"))
            assert "clock-tree" in broken


def test_locked_is_not_synchronous() -> None:
    # Linux kernel hdsp.c, hdspm.rst (text): an input is unlocked, locked, or synchronous,
    # and only the last is right. Two units locked to each other are locked, to no master.
    found = rig(DESK, PRE, mic=16, master="host")
    broken = set_clock(found, "host-1", ClockSetting("optical", 1, "expander-1"))
    assert {"clock-master", "clock-loop"} <= set(broken)
    # Unlocked: a unit that waits for a clock on a socket with nothing in it.
    alone = rig(DESK, PRE, mic=16, master="expander")
    broken = set_clock(alone, "host-1", ClockSetting("coax", 1, "expander-1"))
    assert "clock-link" in broken


VELOCITY = Fraction(2, 3) * 299_792_458
"""Metres a second in solid-dielectric coax and in plastic fibre, roughly (memory)."""


def delay_room_m(rate: int) -> Fraction:
    """Metres of cable that delay a signal by a quarter of a frame."""
    return Fraction(1, 4 * rate) * VELOCITY


def test_no_cable_of_a_room_breaks_the_timing() -> None:
    # AES11-2009 cl. 5.3 (restated): an input takes 25 % of a frame early or late, 5.2 us at
    # 48 kHz, which is about a kilometre of coax. No chain that the needs allow is that long.
    for rate in ALL:
        for row in FORMATS.values():
            assert row.max_mm is not None
            assert Fraction(row.max_mm, 1000) * Needs().max_hops < delay_room_m(rate)


@pytest.mark.parametrize(
    ("length_mm", "warned", "works"),
    [(5000, False, True), (5001, True, True), (10000, True, True), (10001, True, False)],
)
def test_plastic_fibre(length_mm: int, warned: bool, works: bool) -> None:
    # Common practice, no source: 5 m is safe, 10 m the limit.
    piece = Cable("long", "", "optical", length_mm, 100)
    assert impossible(DESK, PRE, mic=9, cables=(piece,)) is not works
    if works:
        found = rig(DESK, PRE, mic=9, cables=(piece,))
        told = [item.rule for item in warnings(found.units, found.links, found.rate_hz)]
        assert told == ["optical-long"] * (warned * len(found.links))


def test_an_expander_at_1x_only_as_master() -> None:
    # Common practice, no source: it offers 44.1 and 48 kHz, and nothing else.
    slow = replace(PRE, rates_hz=(44100, 48000))
    host = replace(DESK, rates_hz=ALL, optical_4x=1)
    offered = [
        r for r in ALL if not impossible(host, slow, mic=8, rate_hz=r, master="expander")
    ]
    assert offered == [44100, 48000]
    assert not impossible(host, slow, mic=8, rate_hz=96000, master="host")


DEAF = replace(PRE, id="pre-w", optical_in=0, word_in=1, clock_in=("word",), line_out=0)
STAR = Device("star-4", "", "clock", 100, word_out=4)


def test_a_distributor_is_a_star() -> None:
    # Several operating guides agree (restated): each receiver on an output of its own. No
    # T-pieces are for sale here.
    hub = replace(HUB, optical_out=0, word_in=1, clock_in=("word",))
    found = rig(hub, DEAF, STAR, mic=24, max_hops=1)
    star = [link for link in found.links if link.kind == "word"]
    assert found.master.device is STAR
    assert sorted(link.from_socket for link in star) == [1, 2, 3, 4]
    assert found.clock_hops == 1
    # Without T-pieces an output takes one cable.
    shared = tuple(
        replace(link, from_socket=1) if link in star else link for link in found.links
    )
    broken = {item.rule for item in audit_wiring(found.units, shared, found.rate_hz)}
    assert broken == {"socket-taken"}


@pytest.mark.parametrize("loads", [1, 2, 3])
def test_ends_at_75_ohm(loads: int) -> None:
    # Own arithmetic: 5 V behind 75 ohm, into so many ends of 75 ohm; the figures are those
    # that the page on word clock states.
    text = " ".join(as_text(page("rules")).split())
    word = ("one end", "two", "three")[loads - 1]
    found = re.search(rf"5 V behind 75 ohm are .*?([\d.]+) V into {word}\b", text)
    assert found
    end = 75 / Fraction(loads)
    assert Fraction(found[1]) == round(5 * end / (75 + end), 2)


def test_the_master_costs_cables() -> None:
    # Common practice, no source: audio carries clock for nothing, so each expander that is
    # not master needs a second cable only if the clock has to go towards it.
    for expanders in (1, 2, 3, 4):
        asked = 8 * expanders
        assert cables_of(rig(HUB, PRE, mic=asked, master="host")) == 2 * expanders
        assert cables_of(rig(HUB, PRE, mic=asked, master="expander")) == 2 * expanders - 1
