"""Questions with answers worked out by hand; all prices are invented, in pence.

Where an answer is common practice of the trade it says so; the rest is arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs

DESK = Device(
    "desk",
    "host with 8 preamps and a light-pipe pair",
    "host",
    price=20_000,
    mic_line=8,
    phantom_bank=8,
    line_out=2,
    phones=1,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    clock_in=("optical",),
    rates_hz=(44_100, 48_000, 96_000),
)
PRE = Device(
    "pre",
    "8 preamps with a light-pipe pair",
    "expander",
    price=15_000,
    mic_line=8,
    phantom_bank=8,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    clock_in=("optical",),
    rates_hz=(44_100, 48_000, 96_000),
)
HEADLESS = Device(
    "headless",
    "host without preamps, four light-pipe pairs",
    "host",
    price=30_000,
    optical_in=4,
    optical_out=4,
    optical_2x=4,
    clock_in=("optical",),
    rates_hz=(44_100, 48_000, 96_000),
)
WORD = Device("star", "word clock, four outputs", "clock", price=9000, word_out=4)
CABLE = Cable("opt", "optical 1 m", "optical", 1000, price=600)
BNC = Cable("bnc", "word 1 m", "word", 1000, price=500)


def catalogue(*things: Device | Cable) -> Catalogue:
    """A catalogue of these."""
    return Catalogue(
        name="known",
        title="Known",
        currency="GBP",
        devices={thing.id: thing for thing in things if isinstance(thing, Device)},
        cables={thing.id: thing for thing in things if isinstance(thing, Cable)},
    )


@dataclass(frozen=True)
class Known:
    """A question and the key of its answer.

    The key is (money, units, links, hops, minus the microphone-capable channels that arrive).
    """

    name: str
    catalogue: Catalogue
    needs: Needs
    key: tuple[int, int, int, int, int] | None


ONE = catalogue(DESK, PRE, CABLE)
RACK = catalogue(HEADLESS, PRE, CABLE)
SYNCED = catalogue(
    DESK, replace(PRE, word_in=1, clock_in=("optical", "word")), WORD, CABLE, BNC
)
TRUNCATED = catalogue(replace(DESK, coax_in=1, max_in_1x=12), PRE, CABLE)
WIDE = catalogue(
    replace(DESK, optical_in=2, optical_2x=2), replace(PRE, optical_out=2, optical_2x=2), CABLE
)
OUTPUTS = catalogue(DESK, replace(PRE, line_out=8), CABLE)
THREE = Needs(units=3)

KNOWN = [
    Known("the host alone", ONE, replace(THREE, mic=8), (20_000, 1, 0, 0, -8)),
    # One expander: one cable if the expander is master, two if the host is (practice).
    Known("expander leads", ONE, replace(THREE, mic=16), (35_600, 2, 1, 1, -16)),
    Known("host leads", ONE, replace(THREE, mic=16, master="host"), (36_200, 2, 2, 1, -16)),
    Known("one pair takes no second", ONE, replace(THREE, mic=17), None),
    Known(
        "a pack of two beats two singles",
        catalogue(DESK, PRE, CABLE, Cable("two", "two", "optical", 1000, 1100, pack=2)),
        replace(THREE, mic=16, master="host"),
        (36_100, 2, 2, 1, -16),
    ),
    Known("a cable too short", ONE, replace(THREE, mic=16, host_to_rack_mm=1001), None),
    Known(
        "an owned cable and an owned expander are free",
        ONE,
        replace(THREE, mic=16, owned={"pre": 1, "opt": 1}),
        (20_000, 2, 1, 1, -16),
    ),
    # Headless host with four pairs: 3 expanders 24 inputs, 4 expanders 32 (practice);
    # all but a leading expander need the clock brought to them.
    Known("24 by three", RACK, Needs(mic=24, units=5), (78_000, 4, 5, 2, -24)),
    Known(
        "24, host leads", RACK, Needs(mic=24, units=5, master="host"), (78_600, 4, 6, 1, -24)
    ),
    Known("24, one hop", RACK, Needs(mic=24, units=5, max_hops=1), (78_600, 4, 6, 1, -24)),
    Known("32 by four", RACK, Needs(mic=32, units=5), (94_200, 5, 7, 2, -32)),
    Known(
        "32, host leads", RACK, Needs(mic=32, units=5, master="host"), (94_800, 5, 8, 1, -32)
    ),
    Known("33 are too many", RACK, Needs(mic=33, units=6), None),
    # 8/m channels a light-pipe (lib_xua feat_adat_tx.rst): 4 at 96 kHz.
    Known(
        "half of it at 96", ONE, Needs(mic=12, units=3, rate_hz=96_000), (35_600, 2, 1, 1, -12)
    ),
    Known("13 do not pass at 96", ONE, Needs(mic=13, units=3, rate_hz=96_000), None),
    Known(
        "two cables at 96", WIDE, Needs(mic=16, units=3, rate_hz=96_000), (36_200, 2, 2, 1, -16)
    ),
    # 8 analogue, 2 of the empty stereo socket, then 2 of the light-pipe below the 12.
    Known("max_in lets two pass", TRUNCATED, replace(THREE, mic=10), (35_600, 2, 1, 1, -10)),
    Known("max_in stops the third", TRUNCATED, replace(THREE, mic=11), None),
    # One switch for all eight: both sorts of microphone need two units.
    Known(
        "one bank on, one off",
        ONE,
        replace(THREE, mic=2, phantom=1, no_phantom=1),
        (35_600, 2, 1, 1, -16),
    ),
    Known("a return cable alone", OUTPUTS, replace(THREE, out_line=10), (35_600, 2, 1, 1, -8)),
    Known("both ways", OUTPUTS, replace(THREE, mic=16, out_line=10), (36_200, 2, 2, 1, -16)),
    Known("a ninth output is not fed", OUTPUTS, replace(THREE, out_line=11), None),
    # The clock box to the expander by word, the expander to the host by light-pipe.
    Known(
        "clock box leads",
        SYNCED,
        replace(THREE, mic=16, master="clock"),
        (45_100, 3, 2, 2, -16),
    ),
    Known(
        "clock box, one hop", SYNCED, Needs(mic=16, units=3, master="star", max_hops=1), None
    ),
]
