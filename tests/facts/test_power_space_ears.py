"""Power, space, data and ears.

Marks beside the checks: *text* read in the source named, *restated* read in a restatement,
*memory* from memory, not verified.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Device
from rigopt.facts import FORMATS, RATE_MULTIPLIER, usb_channels
from rigopt.output.sheets import cautions
from rigopt.output.terminal.about import as_text, page
from rigopt.rig.figures import Figures, delay_ms, figures, recording_gb_hour
from rigopt.rig.numbering import visible_inputs
from tests.world import ALL, DESK, HUB, PRE, rig


def of(*devices: Device, **needs: object) -> Figures:
    """The figures of the cheapest rig."""
    found = rig(*devices, **needs)
    return figures(found)


# --- 48 V ------------------------------------------------------------------------------

P48_V, FEED_OHM, MOST_A = Fraction(48), Fraction(6800), Fraction(1, 100)
"""IEC 61938 (restated): 48 V, each leg fed through 6.8 kohm, 10 mA at most."""


def at_microphone(amperes: Fraction) -> Fraction:
    """Volts that are left at a microphone: the current comes through both legs at once."""
    both_legs = 1 / (1 / FEED_OHM + 1 / FEED_OHM)
    return P48_V - both_legs * amperes


@pytest.mark.parametrize(("bank", "channels"), [(8, 8), (4, 8), (1, 5)])
def test_power_of_48_volts(bank: int, channels: int) -> None:
    # What the microphone takes and what the feed resistors turn to heat, for each channel of
    # a bank that is on: 8 channels are 3.84 W (arithmetic on IEC 61938, restated).
    found = of(replace(DESK, phantom_bank=bank), mic=8, phantom=5)
    each = at_microphone(MOST_A) * MOST_A + 2 * (MOST_A / 2) ** 2 * FEED_OHM
    assert found.phantom_channels == channels
    assert Fraction(found.phantom_watts) == channels * each
    if channels == 8:
        assert found.phantom_watts == Decimal("3.84")


@pytest.mark.parametrize(("load", "volts"), [(Fraction(1, 2), 31), (Fraction(1), 14)])
def test_volts_at_the_microphone(load: Fraction, volts: int) -> None:
    # Arithmetic on IEC 61938 (restated): 31.0 V at 5 mA, 14.0 V at 10 mA. The current is half
    # or all of what the program reckons with for a channel, and its power is the rest of it.
    found = of(DESK, mic=8, phantom=5)
    amperes = Fraction(found.phantom_ma, 1000 * found.phantom_channels)
    supply = Fraction(found.phantom_watts) / found.phantom_channels / amperes
    assert supply - FEED_OHM / 2 * load * amperes == volts == at_microphone(load * MOST_A)


# --- room ------------------------------------------------------------------------------

INCH_MM = Decimal("25.4")


def test_height() -> None:
    # EIA-310, IEC 60297-3-100 (restated): a unit is 1 3/4 inch, 44.45 mm; a panel is 19 inch,
    # 482.6 mm.
    assert (Decimal("1.75") * INCH_MM, 19 * INCH_MM) == (Decimal("44.45"), Decimal("482.6"))
    for expanders in (1, 3):
        found = of(HUB, PRE, mic=8 * expanders)
        assert found.rack_mm == found.rack_units * Decimal("1.75") * INCH_MM
        assert found.rack_units == 1 + expanders


# --- data ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("packets", "slot_bytes", "channels"),
    # xua packet_sizes.h (text) and arithmetic, at 48, 96 and 192 kHz; one packet of 32-bit
    # slots at 192 kHz: lib_xua opt_channels.rst (text).
    [
        (1, 3, (48, 26, 13)),
        (1, 4, (36, 19, 10)),
        (2, 3, (97, 52, 27)),
        (2, 4, (73, 39, 20)),
        (3, 3, (146, 78, 40)),
        (3, 4, (109, 59, 30)),
    ],
)
def test_usb_slots(packets: int, slot_bytes: int, channels: tuple[int, int, int]) -> None:
    rates = (48000, 96000, 192000)
    assert tuple(usb_channels(rate, packets, slot_bytes) for rate in rates) == channels


def test_the_page_on_adding_states_what_usb_carries() -> None:
    text = " ".join(as_text(page("adding")).split())
    found = re.search(r"USB .*?\((\d+), (\d+) and (\d+) at (\d+), (\d+) and (\d+) kHz", text)
    assert found
    numbers = [int(number) for number in found.groups()]
    assert numbers[:3] == [usb_channels(khz * 1000) for khz in numbers[3:]]


@pytest.mark.parametrize("rate", ALL)
def test_what_usb_carries_is_less_than_its_bytes(rate: int) -> None:
    # USB 2.0 sec. 5.6.3; Linux drivers/usb/core/config.c (text): 24.576 MB/s an endpoint.
    # A recording of all of it, as the program reckons it, is slower than that, and one of a
    # channel more, with two samples more in each of 8000 microframes, would be faster.
    bytes_a_second = 24_576_000
    channels = usb_channels(rate)
    recorded = Fraction(recording_gb_hour(channels, rate)) * 10**9 / 3600
    assert recorded < bytes_a_second < recorded + 3 * 8000 * (2 * channels + rate / 8000 + 2)


CATALOGUES = {
    "demo": read_folder(shipped.demo_catalogue()),
    **{name: read_folder(shipped.template(name)) for name in shipped.template_names()},
}


@pytest.mark.parametrize("name", CATALOGUES)
def test_usb_hosts_are_plausible(name: str) -> None:
    # USB 2.0 sec. 5.6.3 (text): what a USB host shows fits in one endpoint, at every rate,
    # and even in slots of 32 bits, which open firmware uses (lib_xua, opt_channels.rst, text).
    hosts = [d for d in CATALOGUES[name].devices.values() if d.may_host and d.computer == "usb"]
    assert hosts
    for host in hosts:
        for rate in host.rates_hz:
            seen = visible_inputs(host, rate).total
            assert seen <= usb_channels(rate, slot_bytes=4), (host.id, rate)


def test_recording() -> None:
    # Arithmetic: 32 channels of 24 bits at 96 kHz are 9.216 MB/s, 33.18 GB an hour.
    wide = replace(HUB, optical_in=8, optical_out=8, optical_2x=8)
    found = of(wide, PRE, mic=32, rate_hz=96000)
    a_second = Fraction(32 * 24 * 96000, 8)
    assert a_second == Fraction("9.216") * 10**6
    assert Fraction(found.recording_gb_hour_used) * 10**9 == a_second * 3600
    assert round(found.recording_gb_hour_used, 2) == Decimal("33.18")


@pytest.mark.parametrize("rate", ALL)
def test_delay_of_a_buffer(rate: int) -> None:
    # Arithmetic: samples over rate; 64 samples at 48 kHz are 1.33 ms.
    host = replace(DESK, rates_hz=ALL)
    for delay in of(host, mic=1, rate_hz=rate).delays:
        exact = Fraction(delay.samples * 1000, rate)
        assert abs(Fraction(delay.ms) - exact) <= Fraction(1, 200)
    assert delay_ms(64, 48000) == Decimal("1.33")


def test_half_the_channels_take_as_much_room_at_twice_the_rate() -> None:
    # Arithmetic on a line rate that does not change: a full light-pipe makes as many bytes.
    for slow, fast in ((44100, 88200), (48000, 96000), (96000, 192000)):
        slower, faster = (
            FORMATS["light-pipe"].carries(RATE_MULTIPLIER[rate]) for rate in (slow, fast)
        )
        assert recording_gb_hour(slower, slow) == recording_gb_hour(faster, fast) > 0


# --- ears ------------------------------------------------------------------------------


HOURS = r"(\d+) ?dBA for (\d+) hours, (?:and )?half(?: the time)? for every (\d+) (?:dB|more)"


def minutes(level_dba: int, base: int, hours: int, halving: int) -> float:
    """How long a level may last by a rule that the program prints."""
    return hours * 60 / 2 ** ((level_dba - base) / halving)


def test_hearing() -> None:
    # NIOSH 98-126 (text): 85 dBA for 8 h, 88 for 4, 100 for 15 minutes. 29 CFR 1910.95
    # (restated): 90 dBA for 8 h, 100 for 2, 115 for 15 minutes.
    rules = re.findall(HOURS, cautions.HEARING)
    niosh, osha = ([int(part) for part in rule] for rule in rules)
    assert [minutes(level, *niosh) for level in (85, 88, 100)] == [480, 240, 15]
    assert [minutes(level, *osha) for level in (90, 100, 115)] == [480, 120, 15]
    told = re.findall(r"(\d+) minutes at (\d+) dBA", cautions.HEARING)
    assert told
    assert all(int(time) == minutes(int(level), *niosh) for time, level in told)
