"""Small rigs of stereo over optical, trunks, chains of word inputs and several clocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rigopt.catalogue.types import Cable, Device
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from rigopt.rig.links import Wire
from rigopt.rig.types import Unit
from tests.rig.rig_builders import (
    ALL,
    COAX,
    DESK,
    OPT,
    PRE,
    TICK,
    WORD,
    World,
    build,
    catalogue_of,
    locked,
    master,
)
from tests.wires import wire

SIXTEEN = Format("sixteen", "trunk", "trunk of 16", "fibre", (16, 8, 4), max_mm=20_000)
BOTH = Format("both-12", "trunk", "both ways", "net", (12, 6, 0), duplex=True)
STILL = Format("still-8", "trunk", "without clock", "flat", (8, 4, 2), clock=False)
TRUNKS = {row.id: row for row in (SIXTEEN, BOTH, STILL)}

FIBRE = Cable("fibre-1m", "fibre 1 m", "fibre", 1000, price=900)
NET = Cable("net-1m", "network cable 1 m", "net", 1000, price=300)
FLAT = Cable("flat-1m", "flat cable 1 m", "flat", 1000, price=300)
TEE = Cable("tee", "T-piece", "tee", 0, price=400)
END = Cable("end", "75-ohm terminator", "terminator", 0, price=300)
CABLES = (OPT, COAX, WORD, FIBRE, NET, FLAT, TEE, END)

HUB = Device(
    "hub",
    "host with every socket",
    "host",
    price=50000,
    mic_line=8,
    phantom_bank=(4, 2),
    line_out=2,
    optical_in=2,
    optical_out=1,
    optical_2x=2,
    optical_stereo=1,
    coax_in=1,
    coax_out=1,
    trunk=BOTH,
    trunk_in=2,
    word_in=1,
    clock_in=("optical", "trunk", "word"),
    rates_hz=ALL,
)
STAGE = Device(
    "stage",
    "stage box on a trunk",
    "expander",
    price=40000,
    mic=12,
    line_out=8,
    trunk=BOTH,
    trunk_in=2,
    clock_in=("trunk",),
    rates_hz=ALL,
)
PAIR = Device(
    "pair",
    "two channels, stereo over optical",
    "expander",
    price=9000,
    mic=2,
    optical_in=1,
    optical_out=1,
    optical_1x=0,
    optical_2x=0,
    optical_stereo=1,
    line_out=2,
    clock_in=("optical",),
    rates_hz=ALL,
)


def world(
    units: Sequence[Unit],
    wires: Sequence[Wire],
    hops: int,
    needs: Needs = Needs(),  # noqa: B008
) -> World:
    """A rig with the catalogue of all these formats and cables."""
    made = build(units, wires, {}, hops, needs, cables=CABLES)
    devices = [unit.device for unit in units]
    return replace(made, catalogue=catalogue_of(devices, CABLES, formats={**FORMATS, **TRUNKS}))


def stereo() -> World:
    """Host of 8, coax at 9 and 10, stereo at 11 and 12, a light-pipe at 13 to 20."""
    units = [
        locked("host-1", HUB, "host", "optical", 1, "expander-1"),
        master("expander-1", PAIR, "expander"),
        Unit("expander-2", PRE, "expander", locked("", PRE, "", "optical", 1, "host-1").clock),
    ]
    wires = [
        wire("stereo", "expander-1", 1, "host-1", 1, OPT),
        wire("optical", "expander-2", 1, "host-1", 2, OPT),
        wire("optical", "host-1", 1, "expander-2", 1, OPT),
    ]
    return world(units, wires, 2, Needs(out_line=10))


def staged() -> World:
    """A host as master and a stage box: one cable both ways, clock included."""
    units = [
        master("host-1", HUB),
        locked("expander-1", STAGE, "expander", "trunk", 1, "host-1"),
    ]
    wires = [wire(BOTH, "expander-1", 1, "host-1", 2, NET)]
    return world(units, wires, 1, Needs(out_line=10))


def chained() -> World:
    """One word output, three inputs: two T-pieces, and a terminator where there is no end."""
    tick = replace(TICK, word_out=1)
    open_end = replace(PRE, id="pre-open", word_end="none")
    units = [
        locked("host-1", replace(HUB, optical_stereo=0), "host", "word", 1, "clock-1"),
        locked("expander-1", PRE, "expander", "word", 1, "clock-1"),
        locked("expander-2", open_end, "expander", "word", 1, "clock-1"),
        master("clock-1", tick, "clock"),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-1", 1, OPT),
        wire("optical", "expander-2", 1, "host-1", 2, OPT),
        wire("word", "clock-1", 1, "host-1", 1, WORD, tee=TEE),
        wire("word", "clock-1", 1, "expander-1", 1, WORD, after="host-1", tee=TEE),
        wire(
            "word",
            "clock-1",
            1,
            "expander-2",
            1,
            WORD,
            after="expander-1",
            tee=TEE,
            terminator=END,
        ),
    ]
    return world(units, wires, 1, Needs(max_hops=1, word_inputs=3))


def apart() -> World:
    """A box on its own clock into an input with a converter: two trees, no return cable."""
    hub = replace(HUB, rate_converter=("optical",))
    units = [master("host-1", hub), master("expander-1", PRE, "expander")]
    wires = [wire("optical", "expander-1", 1, "host-1", 2, OPT)]
    return world(units, wires, 0, Needs(master="host"))


def two_hosts() -> World:
    """Two hosts on clocks of their own, as the needs allow: two trees, no cable."""
    units = [master("host-1", DESK), master("host-2", HUB)]
    return world(units, [], 0, Needs(max_hosts=2, own_clocks=True))


def idle() -> World:
    """A unit that is only required: it has no link and needs no clock."""
    units = [master("host-1", DESK), Unit("expander-1", PRE, "expander", None)]
    return world(units, [], 0, Needs(require=("pre-8",), master="host"))
