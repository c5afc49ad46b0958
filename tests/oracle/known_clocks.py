"""Questions about clock trees and word clock, with answers worked out by hand.

Prices are invented, in pence. A cable is 6.00 (optical) or 5.00 (word). The key is that of
known.py.
"""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Cable, SocketRef
from rigopt.needs.types import Needs
from tests.oracle.known import BNC, CABLE, DESK, HEADLESS, PRE, THREE, WORD, Known, catalogue

TEE = Cable("tee", "T-piece", "tee", 0, price=300)
TERMINATOR = Cable("end", "75-ohm terminator", "terminator", 0, price=200)
OPTICAL_1 = SocketRef("optical", "in", 1)
OPTICAL_2 = SocketRef("optical", "in", 2)

# --- clocks ----------------------------------------------------------------------

DEAF = replace(DESK, clock_in=())
CONVERTING = catalogue(replace(DEAF, rate_converter=("optical",)), PRE, CABLE)
PLAIN = catalogue(DEAF, PRE, CABLE)
DESKS = catalogue(DESK, CABLE)
TWO = Needs(units=2, max_hosts=2, mic=16)
# Sees 12 numbers: all 8 of the first socket and 4 of the second.
PICKY = replace(HEADLESS, optical_in=2, optical_2x=2, max_in_1x=12, clock_in=(OPTICAL_1,))
HALF = replace(PRE, id="half", mic_line=4, price=8000, internal_clock=False)
BY_FIRST = catalogue(PICKY, PRE, HALF, CABLE)
BY_SECOND = catalogue(replace(PICKY, clock_in=(OPTICAL_2,)), PRE, HALF, CABLE)

CLOCKS = [
    # The box keeps its own clock; the host, which nothing has to follow, its own.
    Known("into a converter", CONVERTING, replace(THREE, mic=16), (35_600, 2, 1, 0, -16)),
    Known(
        "a master is for hosts' trees",
        CONVERTING,
        replace(THREE, mic=16, master="host"),
        (35_600, 2, 1, 0, -16),
    ),
    Known("without a converter", PLAIN, replace(THREE, mic=16), (36_200, 2, 2, 1, -16)),
    # Outputs of the box, in its own tree, are not fed: it has no converter.
    Known(
        "outputs the other way",
        catalogue(replace(DEAF, rate_converter=("optical",)), replace(PRE, line_out=8), CABLE),
        replace(THREE, mic=16, out_line=10),
        (36_200, 2, 2, 1, -16),
    ),
    Known(
        "two hosts, two clocks", DESKS, replace(TWO, own_clocks=True), (40_000, 2, 0, 0, -16)
    ),
    Known("two hosts, one clock", DESKS, TWO, (40_600, 2, 1, 1, -16)),
    Known(
        "each tree has the master wished",
        DESKS,
        replace(TWO, own_clocks=True, master="expander"),
        None,
    ),
    # PRE (8) in the first socket, HALF (4) in the second. PRE leads the host, and the host
    # HALF, which has no clock of its own.
    Known(
        "clock on optical 1",
        BY_FIRST,
        replace(THREE, mic=12),
        (54_800, 3, 3, 2, -12),
    ),
    # Here the host could follow HALF alone, so it leads: a cable to each.
    Known(
        "clock on optical 2",
        BY_SECOND,
        replace(THREE, mic=12),
        (55_400, 3, 4, 1, -12),
    ),
    # After PRE only where it stands second; a second PRE then has to be first.
    Known(
        "PRE leads by optical 2",
        BY_SECOND,
        replace(THREE, mic=12, master="pre"),
        (61_800, 3, 3, 2, -12),
    ),
]

# --- word clock ------------------------------------------------------------------

# A headless host with one word output leads; three boxes that know word clock alone.
HUB = replace(HEADLESS, word_out=1)
BOX = replace(PRE, optical_in=0, word_in=1, clock_in=("word",), internal_clock=False)
STAR = replace(WORD, word_in=1, clock_in=("word",))
FIXED = replace(BOX, id="fixed", word_end="fixed")
OPEN = replace(BOX, id="open", word_end="none")
DEARER = replace(BOX, id="dearer", price=15_100)
# Passes the clock on, from a socket of its own or from the one it comes in on.
PASS = replace(BOX, word_out=1)
TURN = replace(PASS, either=((SocketRef("word", "in", 1), SocketRef("word", "out", 1)),))
PARTS = (CABLE, BNC, TEE, TERMINATOR)
FIVE = Needs(units=5, mic=24)
BOXES = 30_000 + 3 * 15_000 + 3 * 600

WORDS = [
    # Three BNC cables and two tees.
    Known("tees", catalogue(HUB, BOX, STAR, *PARTS), FIVE, (BOXES + 2100, 4, 6, 1, -24)),
    # The star leads all three; the host follows one of them over its light-pipe.
    Known(
        "a distributor",
        catalogue(HUB, BOX, STAR, *PARTS),
        replace(FIVE, word_inputs=1),
        (BOXES + 9000 + 1500, 5, 6, 2, -24),
    ),
    Known(
        "no tee to be had",
        catalogue(HUB, BOX, STAR, CABLE, BNC),
        FIVE,
        (BOXES + 9000 + 1500, 5, 6, 2, -24),
    ),
    Known(
        "two on an output are too few",
        catalogue(HUB, BOX, *PARTS),
        replace(FIVE, word_inputs=2),
        None,
    ),
    Known(
        "one fixed end is last",
        catalogue(HUB, BOX, FIXED, *PARTS),
        replace(FIVE, require=("fixed",)),
        (BOXES + 2100, 4, 6, 1, -24),
    ),
    Known("two fixed ends", catalogue(HUB, FIXED, *PARTS), FIVE, None),
    Known(
        "fixed ends on a distributor",
        catalogue(HUB, FIXED, STAR, *PARTS),
        FIVE,
        (BOXES + 9000 + 1500, 5, 6, 2, -24),
    ),
    # The last one has no end: a tee and a terminator more.
    Known(
        "a terminator",
        catalogue(HUB, OPEN, *PARTS),
        FIVE,
        (BOXES + 2100 + 500, 4, 6, 1, -24),
    ),
    Known("no terminator to be had", catalogue(HUB, OPEN, CABLE, BNC, TEE), FIVE, None),
    # One that costs 1.00 more and has a switch stands last and saves 5.00.
    Known(
        "a terminator only where needed",
        catalogue(HUB, OPEN, DEARER, *PARTS),
        FIVE,
        (BOXES + 100 + 2100, 4, 6, 1, -24),
    ),
    # One box alone: even a single cable wants an end.
    Known(
        "one open end",
        catalogue(HUB, OPEN, *PARTS),
        replace(FIVE, mic=8),
        (30_000 + 15_000 + 600 + 500 + 500, 2, 2, 1, -8),
    ),
    # From output to input in a row, two hops, without any tee.
    Known(
        "passed on",
        catalogue(HUB, PASS, CABLE, BNC),
        Needs(units=3, mic=16),
        (30_000 + 2 * 15_000 + 2 * 600 + 2 * 500, 3, 4, 2, -16),
    ),
    Known("in or out", catalogue(HUB, TURN, CABLE, BNC), Needs(units=3, mic=16), None),
    # The host to the first box is the longer run, from box to box 0.5 m do.
    Known(
        "runs from box to box",
        catalogue(
            HUB,
            BOX,
            CABLE,
            TEE,
            replace(BNC, price=2000),
            replace(BNC, id="short", length_mm=500, price=100),
        ),
        FIVE,
        (BOXES + 2000 + 2 * 100 + 600, 4, 6, 1, -24),
    ),
]

KNOWN_CLOCKS = [*CLOCKS, *WORDS]
