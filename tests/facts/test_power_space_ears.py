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
from rigopt.facts import FORMATS, RATE_MULTIPLIER
from rigopt.output.sheets import cautions
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


def test_volts_at_the_microphone() -> None:
    # Arithmetic on IEC 61938 (restated): 31.0 V at 5 mA, 14.0 V at 10 mA.
    assert at_microphone(Fraction(0)) == 48
    assert at_microphone(MOST_A / 2) == 31
    assert at_microphone(MOST_A) == 14


@pytest.mark.parametrize(("bank", "channels"), [(8, 8), (4, 8), (1, 5)])
def test_power_of_48_volts(bank: int, channels: int) -> None:
    # What the microphone takes and what the feed resistors turn to heat, for each channel of
    # a bank that is on: 8 channels are 3.84 W (arithmetic on IEC 61938, restated).
    found = of(replace(DESK, phantom_bank=bank), mic=8, phantom=5)
    each = at_microphone(MOST_A) * MOST_A + 2 * (MOST_A / 2) ** 2 * FEED_OHM
    assert found.phantom_channels == channels
    assert Fraction(found.phantom_watts) == channels * each
    assert Fraction(found.phantom_ma, 1000) == channels * MOST_A
    if channels == 8:
        assert found.phantom_watts == Decimal("3.84")


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

PACKET, PACKETS, MICROFRAMES = 1024, 3, 8000
"""High-speed isochronous: bytes in a packet, packets in a microframe, microframes a second.

USB 2.0 sec. 5.6.3 (text); Linux drivers/usb/core/config.c (text).
"""

SAMPLE = 4
"""Bytes of one sample on the bus (lib_xua, opt_channels.rst, text)."""


def usb_channels(rate: int, packets: int) -> int:
    """Channels that fit in `packets` a microframe, the extra sample of a fast clock included.

    Asynchronous devices send a sample more now and then, so room is kept for it (memory).
    """
    samples = -(-rate // MICROFRAMES) + (rate % MICROFRAMES == 0)
    return PACKET * packets // (samples * SAMPLE)


def test_usb() -> None:
    # USB 2.0 sec. 5.6.3 (text): 24.576 MB/s an endpoint; lib_xua opt_channels.rst (text): ten
    # channels at 192 kHz in one packet a microframe.
    assert Fraction(PACKET * PACKETS * MICROFRAMES, 10**6) == Fraction("24.576")
    assert usb_channels(192000, packets=1) == 10
    assert usb_channels(48000, packets=1) > usb_channels(96000, packets=1) > 10


CATALOGUES = {
    "demo": read_folder(shipped.demo_catalogue()),
    **{name: read_folder(shipped.template(name)) for name in shipped.template_names()},
}


@pytest.mark.parametrize("name", CATALOGUES)
def test_usb_hosts_are_plausible(name: str) -> None:
    # USB 2.0 sec. 5.6.3 (text): what a USB host shows fits in one endpoint, at every rate.
    hosts = [d for d in CATALOGUES[name].devices.values() if d.may_host and d.computer == "usb"]
    assert hosts
    for host in hosts:
        for rate in host.rates_hz:
            seen = visible_inputs(host, rate).total
            assert seen <= usb_channels(rate, PACKETS), (host.id, rate)


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


def minutes(level_dba: int) -> float:
    """How long a level may last: 85 dBA for 8 h, half the time for every 3 dB more."""
    return 8 * 60 / Fraction(2) ** Fraction(level_dba - 85, 3)


def test_hearing() -> None:
    # NIOSH 98-126 (text): what is printed of it lies on this curve.
    assert [minutes(85), minutes(88), minutes(100)] == [480, 240, 15]
    loud = [int(level) for level in re.findall(r"(\d+) dBA", cautions.HEARING)]
    allowed = [int(number) for number in re.findall(r"(\d+) minutes", cautions.HEARING)]
    assert 85 in loud
    assert allowed
    assert {*allowed} <= {minutes(level) for level in loud}
