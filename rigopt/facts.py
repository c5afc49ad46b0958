"""Facts of the formats, each with its source. Nothing here depends on a catalogue.

Marks: *text* read in the standard, handbook or source named; *restated* read in a
restatement; *memory* from memory, not verified; *practice* common practice, no source.
"""

from __future__ import annotations

from typing import Final, Literal

Kind = Literal["optical", "coax", "word"]
"""A kind of digital socket: light-pipe, stereo coaxial (IEC 60958), word clock (BNC)."""

KINDS: Final[tuple[Kind, ...]] = ("optical", "coax", "word")
AUDIO_KINDS: Final[tuple[Kind, ...]] = ("optical", "coax")
"""Those that carry audio, the preferred one first: where either would do, the wider is used."""

NUMBERED: Final[tuple[Kind, ...]] = ("coax", "optical")
"""The same in the order in which a host numbers its sockets, after its own channels (practice:
1-8 analogue, 9-10 stereo, 11-18 light-pipe, whichever unit is clock master)."""

RATE_MULTIPLIER: Final[dict[int, int]] = {
    # Hz -> m. AES5-2018 cl. 5.1-5.3 (restated) names the classes; 8/m channels a
    # light-pipe: lib_xua feat_adat_tx.rst (text).
    32000: 1,
    44100: 1,
    48000: 1,
    88200: 2,
    96000: 2,
    176400: 4,
    192000: 4,
}

LIGHTPIPE_FRAME_CHANNELS: Final = 8
"""Audio channels in one light-pipe frame at a 1x rate (US patent 5,297,181, text)."""

STEREO_CHANNELS: Final = 2
"""Channels of the two-channel format at any rate (IEC 60958-1, AES3, text)."""

CABLE_LIMIT_MM: Final[dict[Kind, int]] = {
    # Plastic fibre: 5 m safe, 10 m limit (practice). 75-ohm runs of room length are
    # far inside what the formats allow (AES11-2009 cl. 5.3, restated); the figures
    # for coax and word are practice.
    "optical": 10_000,
    "coax": 10_000,
    "word": 30_000,
}

OPTICAL_WARNING_MM: Final = 5_000
"""Above this an optical cable works only if it is a good one (practice)."""


def link_channels(kind: Kind, rate_hz: int) -> int:
    """Audio channels one link of `kind` carries at `rate_hz`: 8/m, 2, or 0 for word."""
    if kind == "optical":
        return LIGHTPIPE_FRAME_CHANNELS // RATE_MULTIPLIER[rate_hz]
    return STEREO_CHANNELS if kind == "coax" else 0
