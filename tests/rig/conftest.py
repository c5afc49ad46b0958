from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.catalogue.types import Offer, Seller, Source
from rigopt.needs.types import Needs, SourceLine
from rigopt.rig.types import Order, Purchase
from tests.rig.rig_builders import (
    COAX,
    DESK,
    PRE,
    TICK,
    WORD,
    World,
    build,
    locked,
    master,
    optical,
    with_needs,
    with_rig,
)
from tests.wires import wire

BAND_USES: dict[int, tuple[Source, str | None]] = {
    1: ("instrument", None),
    **dict.fromkeys(range(2, 8), ("mic", None)),
    8: ("line", None),
    **dict.fromkeys(range(11, 19), ("mic", None)),
}


@pytest.fixture
def band() -> World:
    """A host of 8 and one expander of 8 as clock master, one optical cable: 16 inputs."""
    units = [
        locked("host-1", DESK, "host", "optical", 1, "expander-1"),
        master("expander-1", PRE, "expander", phantom_banks_on=(1,)),
    ]
    needs = Needs(
        mic=14, phantom=8, no_phantom=2, line=1, instrument=1, out_line=4, out_phones=2
    )
    return build(units, [optical("expander-1", 1, "host-1", 1)], BAND_USES, 1, needs)


@pytest.fixture
def returned() -> World:
    """The same with the host as master: two optical cables, and the expander's outputs."""
    units = [
        master("host-1", DESK),
        locked("expander-1", PRE, "expander", "optical", 1, "host-1", phantom_banks_on=(1,)),
    ]
    wires = [optical("expander-1", 1, "host-1", 1), optical("host-1", 1, "expander-1", 1)]
    needs = Needs(mic=14, phantom=8, line=1, instrument=1, out_line=12, master="host")
    return build(units, wires, BAND_USES, 1, needs)


@pytest.fixture
def clocked() -> World:
    """Both units locked to a generator of word clock; one cable of two packs is spare."""
    units = [
        locked("host-1", DESK, "host", "word", 1, "clock-1"),
        locked("expander-1", PRE, "expander", "word", 1, "clock-1", phantom_banks_on=(1,)),
        master("clock-1", TICK, "clock"),
    ]
    wires = [
        optical("expander-1", 1, "host-1", 1),
        wire("word", "clock-1", 1, "host-1", 1, WORD),
        wire("word", "clock-1", 2, "expander-1", 1, WORD),
    ]
    needs = Needs(mic=14, line=1, instrument=1, master="clock", max_hops=1)
    return build(units, wires, BAND_USES, 1, needs)


@pytest.fixture
def listed() -> World:
    """The band's rig with an input list: a pair over 48 V, a voice without, a bass."""
    units = [
        locked("host-1", DESK, "host", "optical", 1, "expander-1"),
        master("expander-1", PRE, "expander", phantom_banks_on=(1,)),
    ]
    sources = (
        SourceLine("Overhead L", "mic", "on", "Overheads"),
        SourceLine("Overhead R", "mic", "on", "Overheads"),
        SourceLine("Voice", "mic", "off"),
        SourceLine("Bass", "instrument"),
    )
    uses: dict[int, tuple[Source, str | None]] = {
        1: ("instrument", "Bass"),
        3: ("mic", "Voice"),
        12: ("mic", "Overhead R"),
        13: ("mic", "Overhead L"),
    }
    needs = Needs(mic=3, phantom=2, no_phantom=1, instrument=1, sources=sources)
    return build(units, [optical("expander-1", 1, "host-1", 1)], uses, 1, needs)


@pytest.fixture
def coaxial() -> World:
    """A stereo link: two channels of the expander arrive, at 9 and 10."""
    pair = replace(PRE, id="pair-2", label="2-channel expander", mic_line=2, coax_out=1)
    units = [
        locked("host-1", DESK, "host", "coax", 1, "expander-1"),
        master("expander-1", pair, "expander"),
    ]
    wires = [wire("coax", "expander-1", 1, "host-1", 1, COAX)]
    return build(units, wires, {9: ("mic", None)}, 1, Needs(mic=1))


@pytest.fixture
def sold(band: World) -> World:
    """The band's rig from two sellers: the interface and a cable reach free delivery."""
    offers = (
        Offer("desk-8", "north", 29_000),
        Offer("opt-1m", "north", 600, 2),
        Offer("pre-8", "south", 23_400, 1, 1, "used"),
    )
    sellers = {
        "north": Seller("north", "GBP", 500, 29_600, Decimal(20)),
        "south": Seller("south", "EUR"),
    }
    lines = (
        Purchase("desk-8", "", "device", 1, 29_000, 1, "north"),
        Purchase("pre-8", "", "device", 1, 23_400, 1, "south", "used"),
        Purchase("opt-1m", "", "cable", 1, 600, 2, "north"),
    )
    # 296.00 and 20 % of it; 234.00 EUR at 1.17 for one pound.
    orders = (
        Order("north", "GBP", 29_600, 0, 5_920, 35_520),
        Order("south", "EUR", 23_400, 0, 0, 20_000),
    )
    world = with_rig(band, purchases=lines, orders=orders, total=55_520)
    world = with_needs(world, exchange={"EUR": Decimal("1.17")})
    return replace(world, catalogue=replace(world.catalogue, offers=offers, sellers=sellers))
