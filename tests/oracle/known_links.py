"""Questions about sockets, numbers and trunks, with answers worked out by hand.

Prices are invented, in pence. A cable is 6.00 (optical), 4.00 (coax) or 20.00 (trunk).
The key is that of known.py.
"""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Blank, Cable, Catalogue, Device, InOut, SocketRef
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from tests.oracle.known import CABLE, DESK, ONE, PRE, THREE, Known, catalogue

COAX = Cable("coax", "coax 1 m", "coax", 1000, price=400)
OPTICAL_1 = SocketRef("optical", "in", 1)
OPTICAL_2 = SocketRef("optical", "in", 2)
COAX_1 = SocketRef("coax", "in", 1)

# --- sockets ---------------------------------------------------------------------

# One receiver behind two sockets: a light-pipe from PRE or the two channels of PAIR.
PAIR = Device(
    "pair",
    "2 preamps with a coax output",
    "expander",
    price=5000,
    mic_line=2,
    coax_out=1,
    rates_hz=(44_100, 48_000, 192_000),
)
TWO_INS = replace(DESK, coax_in=1, clock_in=("optical", "coax"))
RECEIVER = replace(TWO_INS, either=((COAX_1, OPTICAL_1),))
SHARED = catalogue(RECEIVER, PRE, PAIR, CABLE, COAX)
UNSHARED = catalogue(TWO_INS, PRE, PAIR, CABLE, COAX)
# 8 analogue, 2 of the coax socket, 2 of 8 of the light-pipe, whichever has the cable.
SHARED_CUT = catalogue(replace(RECEIVER, max_in_1x=12), PRE, PAIR, CABLE, COAX)

# Two sockets that carry 8 at 1x, in the first alone, and 8 at 2x, in both.
EIGHT = replace(DESK, optical_in=2, optical_1x=InOut(1, 1), optical_2x=2)
PRE_2 = replace(PRE, optical_out=2, optical_2x=2)
EIGHTS = catalogue(EIGHT, PRE_2, CABLE)
# It can follow the second socket alone, which is dead at 1x.
EIGHTS_2 = catalogue(replace(EIGHT, clock_in=(OPTICAL_2,)), PRE_2, CABLE)

# Stereo in the optical socket: 2 numbers, then the 8 analogue inputs, cut at 10.
PIPED = replace(
    DESK, optical_stereo=1, max_in_1x=10, input_order=("optical", "analogue", "coax", "trunk")
)
TOS = Device(
    "tos",
    "2 preamps, optical stereo output",
    "expander",
    price=5000,
    mic_line=2,
    optical_out=1,
    optical_1x=0,
    optical_stereo=1,
)
STEREO = catalogue(PIPED, TOS, CABLE)
NO_STEREO = catalogue(replace(PIPED, optical_stereo=0), TOS, CABLE)
PIPES = catalogue(PIPED, PRE, CABLE)
# A clock generator over optical, in one format or the other.
TICK = Device(
    "tick", "clock", "clock", price=9000, optical_out=1, optical_stereo=1, optical_1x=0
)
TOCK = replace(TICK, optical_stereo=0, optical_1x=1)
AFTER_CLOCK = replace(THREE, mic=2, master="clock")

FAST_DESK = replace(DESK, coax_in=1, clock_in=("coax",), rates_hz=(48_000, 192_000))
DEAD_COAX = catalogue(FAST_DESK, replace(PAIR, coax_4x=1), COAX)
LIVE_COAX = catalogue(replace(FAST_DESK, coax_4x=1), replace(PAIR, coax_4x=1), COAX)

SOCKETS = [
    # PAIR has no clock input, so it leads: desk after it over coax, PRE after the desk.
    Known("two receivers", UNSHARED, replace(THREE, mic=18), (41_600, 3, 3, 2, -18)),
    Known("one receiver, two cables", SHARED, replace(THREE, mic=18), None),
    Known("one receiver, light-pipe", SHARED, replace(THREE, mic=11), (35_600, 2, 1, 1, -16)),
    Known("one receiver, coax", SHARED, replace(THREE, mic=10), (25_400, 2, 1, 1, -10)),
    Known("numbers stay", SHARED_CUT, replace(THREE, mic=11), None),
    Known("8 in two at 1x", EIGHTS, replace(THREE, mic=16), (35_600, 2, 1, 1, -16)),
    Known("the second is dead at 1x", EIGHTS, replace(THREE, mic=17), None),
    Known(
        "8 in two at 2x",
        EIGHTS,
        replace(THREE, mic=16, rate_hz=96_000),
        (36_200, 2, 2, 1, -16),
    ),
    # A dead socket brings no clock: the desk leads, over a cable of its own.
    Known("no clock in", EIGHTS_2, replace(THREE, mic=16), (36_200, 2, 2, 1, -16)),
    Known("none at all", EIGHTS_2, replace(THREE, mic=16, master="expander"), None),
    Known(
        "clock by the second at 2x",
        EIGHTS_2,
        replace(THREE, mic=12, rate_hz=96_000, master="expander"),
        (35_600, 2, 1, 1, -12),
    ),
    # Empty, the socket may come to hold a light-pipe: 8 numbers, and 2 analogue.
    Known("eight numbers for none", STEREO, replace(THREE, mic=2), (20_000, 1, 0, 0, -2)),
    Known("two numbers for stereo", STEREO, replace(THREE, mic=10), (25_600, 2, 1, 1, -10)),
    # A cable for clock alone counts too.
    Known(
        "two for a clock",
        catalogue(PIPED, TICK, CABLE),
        AFTER_CLOCK,
        (29_600, 2, 1, 1, -8),
    ),
    Known(
        "eight for a clock",
        catalogue(PIPED, TOCK, CABLE),
        AFTER_CLOCK,
        (29_600, 2, 1, 1, -2),
    ),
    Known("one format, both ends", NO_STEREO, replace(THREE, mic=3), None),
    Known("eight for a light-pipe", PIPES, replace(THREE, mic=10), (35_600, 2, 1, 1, -10)),
    Known("no stereo at 4x", DEAD_COAX, replace(THREE, mic=9, rate_hz=192_000), None),
    Known(
        "stereo at 4x",
        LIVE_COAX,
        replace(THREE, mic=10, rate_hz=192_000),
        (25_400, 2, 1, 1, -10),
    ),
]

# --- numbers ---------------------------------------------------------------------

# Light-pipe 1-8, analogue 9-12 of 9-16: cut at 12, cable or not.
PIPE_FIRST = replace(DESK, max_in_1x=12, input_order=("optical", "analogue", "coax", "trunk"))
FIRST = catalogue(PIPE_FIRST, PRE, CABLE)
# Analogue 1-8, nothing on 9-10, light-pipe on 11-12 of 11-18.
LOOPBACK = replace(
    DESK, max_in_1x=12, input_order=("analogue", Blank(2, 2, 2), "optical", "coax", "trunk")
)
LOOP = catalogue(LOOPBACK, PRE, CABLE)
# Line 1-8, microphones 9-10, of which 9 is converted at 2x.
LATE = Device(
    "late",
    "microphones last",
    "host",
    price=10_000,
    mic_line=2,
    line=8,
    channel_order=("line", "mic_line"),
    analogue_2x=9,
    rates_hz=(48_000, 96_000),
)
LAST = catalogue(LATE)
# Banks of 4 and 2, and two microphone inputs without 48 V.
BANKED = catalogue(replace(DESK, phantom_bank=(4, 2)), CABLE)
# As dear as PRE, with half of its inputs.
HALF_PRE = replace(PRE, id="half", mic_line=4)
EQUALS = catalogue(DESK, HALF_PRE, PRE, CABLE)

NUMBERS = [
    Known("light-pipe first, alone", FIRST, replace(THREE, mic=4), (20_000, 1, 0, 0, -4)),
    Known("light-pipe first", FIRST, replace(THREE, mic=5), (35_600, 2, 1, 1, -12)),
    Known("light-pipe first, full", FIRST, replace(THREE, mic=13), None),
    Known("a loopback between", LOOP, replace(THREE, mic=10), (35_600, 2, 1, 1, -10)),
    Known("a loopback takes two", LOOP, replace(THREE, mic=11), None),
    Known("microphones last", LAST, replace(THREE, mic=2, line=8), (10_000, 1, 0, 0, -2)),
    Known(
        "one of them at 2x",
        LAST,
        replace(THREE, mic=1, line=8, rate_hz=96_000),
        (10_000, 1, 0, 0, -1),
    ),
    Known("not both", LAST, replace(THREE, mic=2, rate_hz=96_000), None),
    Known(
        "both banks on",
        BANKED,
        replace(THREE, mic=8, phantom=6, no_phantom=2),
        (20_000, 1, 0, 0, -8),
    ),
    Known(
        "the first on",
        BANKED,
        replace(THREE, mic=8, phantom=4, no_phantom=4),
        (20_000, 1, 0, 0, -8),
    ),
    Known("no bank of three", BANKED, replace(THREE, mic=8, phantom=5, no_phantom=3), None),
    Known("two without any", BANKED, replace(THREE, mic=8, phantom=7), None),
    # Both are 350.00 + 6.00: the one that brings more microphones.
    Known("the larger of equals", EQUALS, replace(THREE, mic=10), (35_600, 2, 1, 1, -16)),
    # It is asked for and does nothing: no cable, no clock.
    Known(
        "required and idle", ONE, replace(THREE, mic=8, require=("pre",)), (35_000, 2, 0, 0, -8)
    ),
]

# --- trunks ----------------------------------------------------------------------

# AES50, 48/24/12 both ways (its owner's table, restated); AES10, 64/32/16 (restated).
STAGE = Format("stage", "trunk", "48 both ways", "cat", (48, 24, 12), duplex=True)
MANY = Format("many", "trunk", "64 one way", "many", (64, 32, 16))
CAT = Cable("cat", "cat 1 m", "cat", 1000, price=2000)
MANY_CABLE = Cable("many", "many 1 m", "many", 1000, price=2000)
BOX_16 = Device(
    "box",
    "16 preamps and 8 outputs on a trunk",
    "expander",
    price=40_000,
    mic_line=16,
    line_out=8,
    trunk=STAGE,
    trunk_in=1,
    clock_in=("trunk",),
    rates_hz=(44_100, 48_000, 96_000),
)
TRUNKED = replace(DESK, trunk=STAGE, trunk_in=1, clock_in=("trunk",))


def on_trunks(*things: Device | Cable) -> Catalogue:
    """A catalogue with both trunks."""
    formats = {**FORMATS, "stage": STAGE, "many": MANY}
    return replace(catalogue(*things), formats=formats)


DUPLEX = on_trunks(TRUNKED, BOX_16, CAT)
ONE_WAY = on_trunks(
    replace(TRUNKED, trunk=MANY, trunk_out=1),
    replace(BOX_16, trunk=MANY, trunk_out=1),
    MANY_CABLE,
)
TWO_BOXES = Needs(units=3, mic=40)
# Nobody follows anybody: a box with a rate converter keeps its own clock.
DEAF_TRUNKED = replace(TRUNKED, clock_in=())
OWN_CLOCK = replace(BOX_16, clock_in=(), rate_converter=("trunk",))
OUTS_ONLY = replace(OWN_CLOCK, mic_line=0)
BOTH_CONVERT = on_trunks(replace(DEAF_TRUNKED, rate_converter=("trunk",)), OWN_CLOCK, CAT)
FED = replace(THREE, mic=8, out_line=10)

TRUNKS = [
    Known("a stage box", DUPLEX, replace(THREE, mic=24), (62_000, 2, 1, 1, -24)),
    Known(
        "and its outputs", DUPLEX, replace(THREE, mic=24, out_line=10), (62_000, 2, 1, 1, -24)
    ),
    Known("host leads", DUPLEX, replace(THREE, mic=24, master="host"), (62_000, 2, 1, 1, -24)),
    Known("at 2x", DUPLEX, replace(THREE, mic=24, rate_hz=96_000), (62_000, 2, 1, 1, -24)),
    Known("one socket, one box", DUPLEX, TWO_BOXES, None),
    Known("one way", ONE_WAY, replace(THREE, mic=24), (62_000, 2, 1, 1, -24)),
    Known(
        "one way at 2x", ONE_WAY, replace(THREE, mic=24, rate_hz=96_000), (62_000, 2, 1, 1, -24)
    ),
    Known(
        "one way, and its outputs",
        ONE_WAY,
        replace(THREE, mic=24, out_line=10),
        (64_000, 2, 2, 1, -24),
    ),
    Known(
        "one way, host leads",
        ONE_WAY,
        replace(THREE, mic=24, master="host"),
        (64_000, 2, 2, 1, -24),
    ),
    # A duplex cable carries audio both ways: outputs alone need no converter in the host.
    Known("outputs alone", on_trunks(DEAF_TRUNKED, OUTS_ONLY, CAT), FED, (62_000, 2, 1, 0, -8)),
    Known("inputs come with it", on_trunks(DEAF_TRUNKED, OWN_CLOCK, CAT), FED, None),
    # A converter behind another kind of socket is of no use to it.
    Known(
        "a converter elsewhere",
        on_trunks(replace(DEAF_TRUNKED, rate_converter=("optical",)), OWN_CLOCK, CAT),
        FED,
        None,
    ),
    Known("both ends convert", BOTH_CONVERT, FED, (62_000, 2, 1, 0, -24)),
    # Only the format's own rows join: a trunk of another format stays out.
    Known(
        "two formats do not meet",
        on_trunks(TRUNKED, replace(BOX_16, trunk=MANY, trunk_out=1), CAT, MANY_CABLE),
        replace(THREE, mic=24),
        None,
    ),
    # 12 channels at 4x: 8 + 12 of the 16.
    Known(
        "dead for some at 4x",
        on_trunks(
            replace(TRUNKED, rates_hz=(192_000,)), replace(BOX_16, rates_hz=(192_000,)), CAT
        ),
        replace(THREE, mic=20, rate_hz=192_000),
        (62_000, 2, 1, 1, -20),
    ),
]

KNOWN_LINKS = [*SOCKETS, *NUMBERS, *TRUNKS]
