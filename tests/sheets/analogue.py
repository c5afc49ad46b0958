"""Rigs with analogue lines, DI boxes and headphone amplifiers."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from rigopt.catalogue.types import Cable, Device
from rigopt.facts import ANALOGUE, FORMATS
from rigopt.rig.links import Wire
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.sheets.rigs import INTERNAL, OPT, made
from tests.wires import wire

LINES = Device(
    "lines",
    "Interface with line inputs",
    "host",
    mic_line_inst=4,
    line=4,
    phantom_bank=2,
    line_out=8,
    optical_in=1,
    watts=Decimal(12),
)
AMP = Device(
    "amp", "Four preamps", "preamp", mic=4, phantom_bank=2, direct_out=4, watts=Decimal(8)
)
AMP_8 = replace(AMP, id="amp-8", mic=8, direct_out=8, direct_plug="dsub", label="Eight preamps")
AD = Device(
    "ad", "Converter", "expander", line=8, line_plug="dsub", optical_out=1, watts=Decimal(9)
)
ACTIVE = Device("di", "Active box", "di", inst=1, di_phantom=True, mains=0)
PASSIVE = replace(ACTIVE, id="di-p", label="Passive box", di_phantom=False)
PHONES = Device("phones", "Headphone amplifier", "headphones", phones=4, watts=Decimal(5))

LEAD = Cable("lead", "Jack lead", ANALOGUE, 1000, 350, ends=("jack", "jack"))
LOOM = Cable("db-db", "D-sub lead", ANALOGUE, 2000, 2800, ends=("dsub", "dsub"), ways=8)
FAN = Cable("fan", "Loom of jacks", ANALOGUE, 2000, 2400, ends=("jack", "jack"), ways=8)


def line(out: int, to: str, into: int, cable: Cable | None, piece: int) -> Wire:
    """From a direct out of preamp-1."""
    return wire(FORMATS[ANALOGUE], "preamp-1", out, to, into, cable, piece=piece)


def led() -> Rig:
    """Four preamps on four leads."""
    units = [
        Unit("host-1", LINES, "host", INTERNAL),
        Unit("preamp-1", AMP, "preamp", None, False, (2,)),
    ]
    return made(units, [line(n, "host-1", n + 4, LEAD, n) for n in (1, 2, 3, 4)])


def loomed() -> Rig:
    """Eight preamps by one piece into a converter, which sends them on."""
    units = [
        Unit("host-1", LINES, "host", ClockSetting("optical", 1, "expander-1")),
        Unit("expander-1", AD, "expander", INTERNAL),
        Unit("preamp-1", AMP_8, "preamp", None),
    ]
    wires = [wire("optical", "expander-1", 1, "host-1", 1, OPT)]
    wires += [line(n, "expander-1", n, LOOM, 1) for n in range(1, 9)]
    return made(units, wires)


def fanned() -> Rig:
    """One loom that goes to two units."""
    host = replace(LINES, id="lines-2")
    units = [
        Unit("host-1", LINES, "host", INTERNAL),
        Unit("host-2", host, "host", INTERNAL),
        Unit("preamp-1", replace(AMP_8, direct_plug="jack"), "preamp", None),
    ]
    wires = [line(n, "host-1", n + 4, FAN, 1) for n in (1, 2)]
    wires += [line(n, "host-2", n + 2, FAN, 1) for n in (3, 4)]
    return made(units, wires)


def shut() -> Rig:
    """A direct out by XLR into an input for microphones, whose bank is off."""
    host = replace(LINES, line_plug="xlr")
    units = [Unit("host-1", host, "host", INTERNAL), Unit("preamp-1", AMP, "preamp", None)]
    return made(units, [line(1, "host-1", 3, LEAD, 1)])


def boxed() -> Rig:
    """Two instruments in DI boxes, one straight in, and a line source on 48 V."""
    units = [
        Unit("host-1", LINES, "host", INTERNAL, False, (1, 2)),
        Unit("di-1", ACTIVE, "di", None),
        Unit("di-2", PASSIVE, "di", None),
    ]
    uses = {
        1: ("instrument", "Bass"),
        2: ("instrument", "Guitar"),
        3: ("instrument", "Piano"),
        4: ("line", None),
        5: ("line", None),
    }
    rig = made(units, [], uses=uses)
    paths = {1: ("di-1", "host-1"), 2: ("di-2", "host-1")}
    inputs = tuple(replace(x, path=paths.get(x.computer_input, x.path)) for x in rig.inputs)
    return replace(rig, inputs=inputs)


def heard() -> Rig:
    """Two headphone amplifiers on eight outputs, and one too many."""
    units = [Unit("host-1", LINES, "host", INTERNAL)]
    for number, taken in enumerate((2, 4, 4), start=1):
        device = replace(PHONES, line_in=taken, phones=2 * taken)
        units.append(Unit(f"headphones-{number}", device, "headphones", None))
    return made(units, [])


EVERY = (led(), loomed(), fanned(), shut(), boxed(), heard())
