"""Light-pipe and its neighbours: every figure is built up from the parts of the format.

Marks beside the checks: *text* read in the source named, *restated* read in a restatement,
*memory* from memory, not verified.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import ACCEPTS, Cable, Device
from rigopt.facts import FORMATS, RATE_MULTIPLIER
from rigopt.needs.types import Needs
from rigopt.output.terminal.text import plan_text
from rigopt.rig.audit.numbers import places
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.figures import recording_gb_hour
from rigopt.rig.numbering import visible_inputs
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.world import ALL, BOTH, DESK, HUB, PRE, catalogue, rig

BASE = {
    32000: 32000,
    44100: 44100,
    48000: 48000,
    88200: 44100,
    96000: 48000,
    176400: 44100,
    192000: 48000,
}
"""The 1x rate of each rate's family: the rate at which the frames of a line go out."""


def carries(name: str, rate: int) -> int:
    """Channels of one link of a format of the program at a rate."""
    return FORMATS[name].carries(RATE_MULTIPLIER[rate])


SYNC = 1 + 10 + 1
USER_BITS = 4
SLOT = 6 * (4 + 1)
AUDIO_BITS = 24
FRAME = SYNC + USER_BITS + 8 * SLOT
"""Bits of a light-pipe frame, before NRZI: ten 0s between 1s, user bits, then 8 channels.

US patent 5,297,181 and the open HDL core adat-core, `transmitter.py` (text): each nibble of a
sample is followed by a 1.
"""


@pytest.mark.parametrize(("rate", "mbit"), [(48000, "12.288"), (44100, "11.2896")])
def test_what_a_light_pipe_brings_is_three_quarters_of_its_line_rate(
    rate: int, mbit: str
) -> None:
    # US patent 5,297,181 (text) and arithmetic: 256 fs, of which 192 are sound. The bits a
    # second of a recording, as the program tells them, of all channels that one link brings.
    assert Fraction(FRAME * rate, 10**6) == Fraction(mbit)
    for faster in (rate, 2 * rate, 4 * rate):
        gigabytes = recording_gb_hour(carries("light-pipe", faster), faster)
        assert Fraction(gigabytes) * 8 * 1000 / 3600 == Fraction(mbit) * Fraction(192, 256)


@pytest.mark.parametrize("rate", ALL)
def test_channels_follow_from_an_unchanged_line_rate(rate: int) -> None:
    # lib_xua, feat_adat_tx.rst (text): 8, 4, 2, the line rate being that of the 1x rate.
    words = Fraction(FRAME * BASE[rate], FRAME) * (FRAME - SYNC - USER_BITS) / SLOT
    assert carries("light-pipe", rate) == words / rate
    assert carries("light-pipe", rate) * RATE_MULTIPLIER[rate] == 8


@pytest.mark.parametrize(
    ("channels", "sockets"), [(24, (3, 6, 12)), (9, (2, 3, 5))], ids=["24", "9"]
)
def test_sockets_for_a_number_of_channels(channels: int, sockets: tuple[int, ...]) -> None:
    # lib_xua, feat_adat_tx.rst (text) and arithmetic: ceil(N / (8 / m)), here counted on
    # the cables of the cheapest rig of one host and one large converter.
    plenty: dict[str, Any] = {"optical_2x": 12, "optical_4x": 12, "rates_hz": ALL}
    host = replace(HUB, optical_in=12, optical_out=0, **plenty)
    converter = Device("adc", "adc", "expander", 100, line=channels, optical_out=12, **plenty)
    found = []
    for rate in (48000, 96000, 192000):
        answer = rig(host, converter, line=channels, rate_hz=rate, master="expander")
        assert len(answer.units) == 2
        assert sum(link.channels for link in answer.links) == channels
        found.append(sum("audio" in link.carries for link in answer.links))
    assert tuple(found) == sockets


def test_every_format_says_where_it_is_from_and_carries_sound_or_is_for_clock_alone() -> None:
    for row in FORMATS.values():
        assert row.source
        assert row.clock or row.socket == "analogue"
        assert row.carries(1) > 0 or row.id == "word"


@pytest.mark.parametrize(
    ("name", "longest", "warned"),
    # Plastic fibre: 5 m safe, 10 m limit; coax and word: common practice, no source.
    [
        ("light-pipe", 10_000, 5_000),
        ("stereo", 10_000, 5_000),
        ("coax", 10_000, None),
        ("word", 30_000, None),
    ],
)
def test_how_long_a_cable_may_be(name: str, longest: int, warned: int | None) -> None:
    assert (FORMATS[name].max_mm, FORMATS[name].warn_mm) == (longest, warned)
    assert FORMATS[name].reaches(longest)
    assert not FORMATS[name].reaches(longest + 1)


def test_stereo_over_optical_is_dead_at_4x() -> None:
    # Linux kernel, sound/usb and firewire: two channels at 1x and 2x (text); 4x: practice.
    assert [carries("stereo", rate) for rate in (48000, 96000, 192000)] == [2, 2, 0]
    assert [FORMATS["stereo"].live(m) for m in (1, 2, 4)] == [True, True, False]


def counted(host: Device, rate: int) -> int:
    """How far the numbers of a host go, as the audit counts them."""
    unit = Unit("host-1", host, "host", ClockSetting("internal"))
    return len(places(Wiring((unit,), (), rate)))


@pytest.mark.parametrize(
    ("host", "inputs"),
    [
        # Linux kernel hdspm.c, channel maps (text).
        (
            Device("a", "", "host", line=4, optical_in=4, optical_2x=4, optical_4x=4),
            (36, 20, 12),
        ),
        # Linux kernel hdsp.c, channel maps (text); it has no 4x rate.
        (Device("b", "", "host", line=2, optical_in=3, optical_2x=3), (26, 14)),
        # Linux kernel, firewire dice stream-format tables (text).
        (Device("c", "", "host", optical_in=1, optical_2x=1), (8, 4, 0)),
        (Device("d", "", "host", optical_in=2, optical_2x=1), (16, 4, 0)),
    ],
    ids=["36-20-12", "26-14", "8-4-0", "16-4-0"],
)
def test_the_two_ways_in_which_inputs_are_counted_agree(
    host: Device, inputs: tuple[int, ...]
) -> None:
    # The rig and the audit count on their own; the drivers' maps are a third opinion.
    for rate, expected in zip((48000, 96000, 192000), inputs, strict=False):
        seen = visible_inputs(host, rate)
        by_socket = len(seen.own) + sum(map(len, seen.sockets.values()))
        assert (seen.total, by_socket, counted(host, rate)) == (expected,) * 3


def answer_text(found: Rig, **needs: object) -> str:
    shop = catalogue(DESK, PRE)
    said = plan_text(Answered(found, found.total, True), shop, Needs(**needs))  # type: ignore[arg-type]
    return " ".join(said.split())


@pytest.mark.parametrize(("rate", "told"), [(48000, False), (88200, True), (96000, True)])
def test_the_rate_must_be_set_by_hand_where_no_receiver_can_tell(rate: int, told: bool) -> None:
    # Linux kernel hdspm.c, comment over hdspm_rate_multiplier() (text): 2x and 4x on the
    # optical input cannot be told, for the line rate is the same (above).
    found = rig(DESK, PRE, mic=9, rate_hz=rate)
    assert ("by hand at both ends" in answer_text(found, mic=9, rate_hz=rate)) is told
    alone = rig(DESK, mic=8, rate_hz=96000)
    assert "by hand" not in answer_text(alone, mic=8, rate_hz=96000)


SUBFRAME_BITS = 4 + 4 + 20 + 4
"""Preamble, auxiliary bits, the rest of the sample, then V U C P (IEC 60958-1; memory)."""


@pytest.mark.parametrize(
    ("rate", "mbit"),
    [(44100, "2.8224"), (48000, "3.072"), (96000, "6.144"), (192000, "12.288")],
)
def test_the_two_channel_format(rate: int, mbit: str) -> None:
    # IEC 60958-1 and AES3; open library lib_spdif, lib_spdif.rst (text): the line gets
    # faster with the rate, so there are two channels at every rate.
    assert carries("coax", rate) == Fraction(mbit) * 10**6 / (SUBFRAME_BITS * rate)


def test_multichannel_coax_fits_on_its_line_and_is_no_stereo() -> None:
    # AES10-2008 (restated): 100 Mbit/s payload, of words of 32 bits (memory); with vari-speed
    # of 12.5 % (memory) 56 and 28 are left of 64 and 32.
    payload, word, fast = 100 * 10**6, 32, Fraction(9, 8)
    row = read_folder(shipped.demo_catalogue()).formats["aes10"]
    for rate in (48000, 96000, 192000):
        fixed = row.carries(RATE_MULTIPLIER[rate])
        assert fixed * word * rate <= payload < fixed * word * rate * fast
        assert Fraction(fixed * 7, 8) * word * rate * fast <= payload
    pair = Device("pre", "", "expander", 100, line=64, coax_out=1, rates_hz=BOTH)
    coax = Cable("c", "", "coax", 1000, 1)
    assert len(rig(DESK, pair, mic=8, line=2, cables=(coax,)).inputs) == 10


def test_rate_classes() -> None:
    # AES5-2018 cl. 5.1-5.3 (restated): 31-54, 62-108, 124-216 kHz; 48 kHz is preferred.
    classes = {1: (31, 54), 2: (62, 108), 4: (124, 216)}
    for rate, multiplier in RATE_MULTIPLIER.items():
        found = [m for m, (low, high) in classes.items() if low * 1000 <= rate <= high * 1000]
        assert found == [multiplier]
        assert rate == BASE[rate] * multiplier
    assert Needs().rate_hz == 48000


def test_word_clock_carries_no_sound() -> None:
    # Common practice, no source.
    assert [row.id for row in FORMATS.values() if not any(row.channels)] == ["word"]


def test_what_a_channel_accepts_is_what_its_column_is_called() -> None:
    # The names of the columns say it: mic, line, inst.
    for column, accepts in ACCEPTS.items():
        assert [source[:4] for source in accepts] == column.split("_")


def test_each_format_by_class_and_length() -> None:
    """By hand, as the table of the reference has them."""
    found = {
        name: (row.channels, row.clock, row.duplex, row.max_mm, row.warn_mm)
        for name, row in FORMATS.items()
    }
    assert found == {
        "light-pipe": ((8, 4, 2), True, False, 10_000, 5_000),
        "stereo": ((2, 2, 0), True, False, 10_000, 5_000),
        "coax": ((2, 2, 2), True, False, 10_000, None),
        "word": ((0, 0, 0), True, False, 30_000, None),
        "analogue": ((1, 1, 1), False, False, 30_000, None),
    }
    pipe = FORMATS["light-pipe"]
    assert [pipe.carries(multiplier) for multiplier in (1, 2, 4)] == [8, 4, 2]
    assert [pipe.reaches(length) for length in (10_000, 10_001)] == [True, False]
    assert pipe._replace(max_mm=None).reaches(10**9)
    assert [FORMATS["stereo"].live(multiplier) for multiplier in (1, 2, 4)] == [
        True,
        True,
        False,
    ]
    assert all(FORMATS["word"].live(multiplier) for multiplier in (1, 2, 4))
