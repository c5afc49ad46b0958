"""Sound rigs with analogue lines, DI boxes and headphone amplifiers. Prices are invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Device
from rigopt.needs.types import Needs
from rigopt.rig.links import Wire
from rigopt.rig.types import Unit
from tests.rig.rig_builders import OPT, World, build, locked, master, optical, with_input
from tests.wires import wire
from tests.world import BOTH

HOST = Device(
    "host-4",
    "host with lines",
    "host",
    price=20000,
    mic_line=4,
    line=4,
    phantom_bank=2,
    line_out=4,
    phones=1,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    rates_hz=BOTH,
)
PREAMP = Device("preamp-4", "", "preamp", 9000, mic=4, phantom_bank=4, direct_out=4)
BIG = Device(
    "preamp-16", "", "preamp", 30000, mic=16, phantom_bank=16, direct_out=16, direct_plug="dsub"
)
ACTIVE = Device("di-2", "", "di", 4000, inst=2, di_phantom=True)
EARS = Device("ears-4", "", "headphones", 5000, phones=4, line_in=2)
CONVERTER = Device(
    "ad-8", "", "expander", 15000, line=8, line_out=0, optical_out=1, rates_hz=(44100, 48000)
)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
PLUG = Cable("jack-xlr", "", "analogue", 1000, 600, ends=("jack", "xlr"))
LOOM = Cable("loom", "", "analogue", 1000, 2500, ends=("jack", "jack"), ways=4)
COMB = Cable("comb", "", "analogue", 1000, 3000, ends=("dsub", "dsub"), ways=8)
TAIL = Cable("tail", "", "analogue", 1000, 2800, ends=("dsub", "jack"), ways=8)
PIECES = (OPT, LEAD, PLUG, LOOM, COMB, TAIL)


def line(out: int, into: int, cable: Cable = LEAD, piece: int | None = None) -> Wire:
    """A line from the preamp to the host."""
    more: dict[str, Any] = {"cable": cable, "piece": piece or out}
    return wire("analogue", "preamp-1", out, "host-1", into, **more)


def preamp(device: Device = PREAMP, name: str = "preamp-1", **more: Any) -> Unit:
    return Unit(name, device, "preamp", None, **more)


def _built(units: Sequence[Unit], wires: Sequence[Wire], uses: Any, needs: Needs) -> World:
    return build(units, wires, uses, 0, needs, cables=PIECES)


def leads() -> World:
    """Four microphones of a preamp on four line inputs, two of the host, a bass and a line;
    an amplifier for headphones. One microphone input of the host is left.
    """
    units = [
        master("host-1", HOST, phantom_banks_on=(1,)),
        preamp(phantom_banks_on=(1,)),
        Unit("di-1", ACTIVE, "di", None),
        Unit("ears-1", EARS, "headphones", None),
    ]
    lines = [line(n, n + 4) for n in range(1, 5)]
    mics = dict.fromkeys((1, 5, 6, 7, 8), ("mic", None))
    uses = {**mics, 2: ("instrument", None), 4: ("line", None)}
    needs = Needs(mic=5, phantom=5, line=1, instrument=1, spare=1, out_phones=5, out_line=2)
    world = _built(units, lines, uses, needs)
    return with_input(world, 2, path=("di-1", "host-1"))


def loomed() -> World:
    """The same four on a loom."""
    units = [master("host-1", HOST), preamp(phantom_banks_on=(1,))]
    lines = [line(n, n + 4, LOOM, 1) for n in range(1, 5)]
    uses = dict.fromkeys(range(5, 9), ("mic", None))
    return _built(units, lines, uses, Needs(mic=4, phantom=4))


def combs() -> World:
    """Sixteen microphones over two D-sub cables."""
    host = replace(HOST, id="host-16", line=16, mic_line=0, phantom_bank=0, line_plug="dsub")
    lines = [line(n, n, COMB, (n + 7) // 8) for n in range(1, 17)]
    uses = dict.fromkeys(range(1, 17), ("mic", None))
    units = [master("host-1", host), preamp(BIG, phantom_banks_on=(1,))]
    return _built(units, lines, uses, Needs(mic=16, phantom=16))


def tails() -> World:
    """Four channels of a D-sub connector on jacks."""
    units = [master("host-1", HOST), preamp(BIG, phantom_banks_on=(1,))]
    lines = [line(n, n + 4, TAIL, 1) for n in range(1, 5)]
    uses = dict.fromkeys(range(5, 9), ("mic", None))
    return _built(units, lines, uses, Needs(mic=4, phantom=4))


def shut() -> World:
    """Two direct outs in XLR inputs for microphones, whose bank of 48 V is off."""
    host = replace(HOST, id="host-x", line_plug="xlr")
    units = [master("host-1", host, phantom_banks_on=(2,)), preamp(phantom_banks_on=(1,))]
    lines = [line(1, 1, PLUG), line(2, 2, PLUG)]
    uses = dict.fromkeys((1, 2, 3), ("mic", None))
    return _built(units, lines, uses, Needs(mic=3, phantom=3))


def dry() -> World:
    """Two direct outs in XLR inputs that take no microphone, beside banks that are on."""
    host = replace(HOST, id="host-x", line_plug="xlr")
    units = [master("host-1", host, phantom_banks_on=(1, 2)), preamp(phantom_banks_on=(1,))]
    lines = [line(1, 5, PLUG), line(2, 6, PLUG)]
    uses = dict.fromkeys((1, 2, 3, 4, 5, 6), ("mic", None))
    return _built(units, lines, uses, Needs(mic=6, phantom=6))


def converted() -> World:
    """Eight lines over a converter, the clock master; microphones have its numbers."""
    host = replace(HOST, id="host-o")
    far = replace(PREAMP, id="preamp-8", mic=8, phantom_bank=8, direct_out=8)
    units = [
        locked("host-1", host, "host", "optical", 1, "expander-1"),
        master("expander-1", CONVERTER, "expander"),
        preamp(far),
    ]
    lines = [
        wire("analogue", "preamp-1", n, "expander-1", n, LEAD, piece=n) for n in range(1, 9)
    ]
    wires = [optical("expander-1", 1, "host-1", 1), *lines]
    uses: Any = dict.fromkeys(range(9, 17), ("mic", None))
    return build(units, wires, uses, 1, Needs(mic=8), cables=PIECES)
