"""Facts of the formats, each with its source. Nothing here depends on a catalogue.

Marks: *text* read in the standard, handbook or source named; *restated* read in a
restatement; *memory* from memory, not verified; *practice* common practice, no source.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

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

SocketKind = Literal["optical", "coax", "word", "trunk", "analogue"]
"""A kind of socket; which formats it speaks is another matter."""

SOCKET_KINDS: Final[tuple[SocketKind, ...]] = ("optical", "coax", "word", "trunk")
"""The digital ones."""


class Format(NamedTuple):
    """What a link can speak: a row of the table, with its source.

    `channels`: audio channels of one link at 1x, 2x and 4x; a format of audio is dead at a
    class where it has none. `clock`: whether a receiver can lock to it. `duplex`: one cable
    carries audio both ways, and clock one way or the other. `max_mm`: the longest cable that
    works (None: no limit here), `warn_mm`: above this only a good one does.
    """

    id: str
    socket: SocketKind
    label: str
    cable: str
    channels: tuple[int, int, int]
    clock: bool = True
    duplex: bool = False
    max_mm: int | None = None
    warn_mm: int | None = None
    source: str = ""

    def carries(self, multiplier: int) -> int:
        """Audio channels of one link at the rate class 1, 2 or 4."""
        return self.channels[(1, 2, 4).index(multiplier)]

    def reaches(self, length_mm: int) -> bool:
        """Whether a cable of that length works."""
        return self.max_mm is None or length_mm <= self.max_mm

    def live(self, multiplier: int) -> bool:
        """Whether it works at the class: it has channels there, or is for clock alone."""
        return self.carries(multiplier) > 0 or not any(self.channels)


LIGHT_PIPE: Final = "light-pipe"
OPTICAL_STEREO: Final = "stereo"
COAX: Final = "coax"
WORD: Final = "word"
ANALOGUE: Final = "analogue"

FORMATS: Final[dict[str, Format]] = {
    row.id: row
    for row in (
        Format(
            LIGHT_PIPE,
            "optical",
            "light-pipe",
            "optical",
            (8, 4, 2),
            max_mm=10_000,
            warn_mm=5_000,
            source="US patent 5,297,181 (text): 8 channels a frame; lib_xua feat_adat_tx.rst "
            "(text): 8/m; plastic fibre, 5 m safe, 10 m limit: practice",
        ),
        Format(
            OPTICAL_STEREO,
            "optical",
            "optical stereo",
            "optical",
            (2, 2, 0),
            max_mm=10_000,
            warn_mm=5_000,
            source="IEC 60958-1; lib_spdif.rst (text): 2 channels; not at 4x, and lengths "
            "as for light-pipe: practice",
        ),
        Format(
            COAX,
            "coax",
            "coax stereo",
            "coax",
            (2, 2, 2),
            max_mm=10_000,
            source="IEC 60958-1, AES3; lib_spdif.rst (text): 2 channels; 75-ohm runs of room "
            "length are far inside AES11-2009 cl. 5.3 (restated), the figure is practice",
        ),
        Format(
            WORD,
            "word",
            "word clock",
            "word",
            (0, 0, 0),
            max_mm=30_000,
            source="AES11-2009 annex on word clock (memory); length: as for coax, practice",
        ),
        Format(
            ANALOGUE,
            "analogue",
            "analogue line",
            "analogue",
            (1, 1, 1),
            clock=False,
            max_mm=30_000,
            source="one channel from a direct out to an input for line; length: practice",
        ),
    )
}
"""The formats that every catalogue has; its `formats.csv` adds trunks to them."""

TEE: Final = "tee"
TERMINATOR: Final = "terminator"
"""Kinds of cable that have no length: pieces of a chain of word inputs."""

RESERVED_WORDS: Final = (*FORMATS, "optical", "trunk", TEE, TERMINATOR)
"""What neither a trunk nor its cables may be called."""


def usb_channels(rate_hz: int, packets: int = 3, slot_bytes: int = 3) -> int:
    """Channels of sound that one stream of high-speed USB carries one way.

    A stream has at most three packets of 1024 bytes in each of 8000 microframes a second
    (USB 2.0 sec. 5.6.3, text). Room is kept for one sample more than the rate asks, since a
    clock may be fast: lib_xua `packet_sizes.h` (text). `slot_bytes`: 3 for 24 bits.
    """
    samples = -(-rate_hz // 8000) + 1
    return 1024 * packets // (slot_bytes * samples)
