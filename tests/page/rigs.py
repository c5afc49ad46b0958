"""Rigs for the page: as small as can be, as large as can be, and with names that harm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Cable, Catalogue, Device, Source
from rigopt.needs.types import Needs, SourceLine
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Order, Purchase, Rig, Unit
from tests.wires import wire

HUB = Device(
    "hub-4",
    "USB interface without preamps, four light-pipe pairs",
    "host",
    34900,
    line_out=2,
    phones=1,
    optical_in=4,
    optical_out=4,
    optical_2x=4,
    coax_in=1,
    coax_out=1,
    word_in=1,
    word_out=1,
    clock_in=("optical", "coax", "word"),
    rack_units=1,
    watts=Decimal(12),
)
PRE = Device(
    "pre-8",
    "8-preamp expander, two light-pipe pairs, word clock in and out",
    "expander",
    42900,
    mic_line_inst=2,
    mic_line=6,
    phantom_bank=4,
    line_out=8,
    optical_in=2,
    optical_out=2,
    optical_2x=2,
    word_in=1,
    word_out=1,
    clock_in=("optical", "word"),
    rack_units=1,
    watts=Decimal(35),
)
CLOCK = Device(
    "clock-10",
    "Word clock generator, ten outputs",
    "clock",
    39900,
    word_out=10,
    rack_units=1,
    watts=Decimal(15),
)
OPT = Cable("opt-1m", "Optical cable, 1 m", "optical", 1000, 600)
LONG = Cable("opt-8m", "Optical cable, 8 m", "optical", 8000, 1500)
WORD = Cable("word-2m", "Word clock cable, 2 m", "word", 2000, 900, 2)

NASTY = (
    "<script>alert(1)</script>",
    "&amp; \"quoted\" 'too' ]]> -->",
    "=HYPERLINK(1)",
    "🎤🎹🥁 solo 👩‍🎤",
    "W" * 200,
    "\x1b[31mred\u202eback\nnext",
    "e" + "\u0301" * 60 + " ﷽ 𒐫 漢字漢字漢字漢字漢字漢字漢字漢字漢字",
    "</style></title></svg>{{ 7 * 7 }}{% raw %}",
)


def catalogue(*devices: Device, invented: bool = False) -> Catalogue:
    return Catalogue(
        "tiny",
        "Tiny shop",
        "EUR",
        {device.id: device for device in devices},
        {cable.id: cable for cable in (OPT, LONG, WORD)},
        invented=invented,
    )


def rig(
    units: Sequence[Unit],
    wires: Sequence[Wire],
    uses: Mapping[int, tuple[Source, str | None]],
    hops: int,
    rate_hz: int = 48000,
) -> Rig:
    links = derive_links(units, wires, rate_hz)
    inputs = tuple(
        replace(item, use=use, source=source)
        for item in derive_inputs(units, links, rate_hz)
        for use, source in [uses.get(item.computer_input, (None, None))]
    )
    bought = []
    for device in dict.fromkeys(unit.device for unit in units):
        number = sum(unit.device == device for unit in units)
        bought.append(Purchase(device.id, device.label, "device", number, device.price or 0))
    for cable in dict.fromkeys(link.cable for link in links if link.cable):
        number = sum(link.cable == cable for link in links)
        packs = -(-number // cable.pack)
        bought.append(
            Purchase(cable.id, cable.label, "cable", packs, cable.price or 0, cable.pack)
        )
    total = sum(line.total for line in bought)
    return Rig(rate_hz, tuple(units), links, inputs, tuple(bought), hops, total)


def locked(name: str, device: Device, role: Any, kind: Any, sender: str, **more: Any) -> Unit:
    return Unit(name, device, role, ClockSetting(kind, 1, sender), **more)


def word(sender: str, out: int, to: str) -> Wire:
    return wire("word", sender, out, to, 1, WORD)


def sixteen_units() -> Answered:
    """Three hosts, twelve expanders and a clock: 96 inputs, 31 cables, all three loads."""
    hosts = [locked(f"host-{i}", HUB, "host", "word", "clock-1") for i in (1, 2, 3)]
    names = [f"expander-{i}" for i in range(1, 13)]
    pres, wires = [], [word("clock-1", i, f"host-{i}") for i in (1, 2, 3)]
    for i, name in enumerate(names):
        host, socket = f"host-{i // 4 + 1}", i % 4 + 1
        wires.append(wire("optical", name, 1, host, socket, OPT))
        if i < 7:
            wires.append(word("clock-1", i + 4, name))
            lock = ("word", "clock-1")
        elif i == 7:
            wires.append(word("expander-1", 1, name))
            lock = ("word", "expander-1")
        else:
            lock = ("optical", host)
        if i > 5:
            wires.append(wire("optical", host, socket, name, 1, LONG))
        pres.append(locked(name, PRE, "expander", *lock, phantom_banks_on=(1,)))
    clock = Unit("clock-1", CLOCK, "clock", ClockSetting("internal"))
    uses: Any = dict.fromkeys(range(1, 80), ("mic", None))
    built = rig([*hosts, *pres, clock], wires, uses, 2)
    return Answered(built, built.total - 4200, False)


def lone(device: Device = HUB) -> Answered:
    """One host, no cable, nothing bought."""
    unit = Unit("host-1", device, "host", ClockSetting("internal"), owned=True)
    built = replace(rig([unit], [], {}, 0), purchases=(), total=0)
    return Answered(built, 0, True)


def listed(count: int = 32) -> tuple[Answered, Needs]:
    """A host, four expanders, and a named source on each of `count` inputs."""
    host = locked("host-1", HUB, "host", "optical", "expander-1")
    first = Unit("expander-1", PRE, "expander", ClockSetting("internal"))
    rest = [
        locked(f"expander-{i}", PRE, "expander", "optical", "host-1", phantom_banks_on=(1, 2))
        for i in (2, 3, 4)
    ]
    wires = [wire("optical", f"expander-{i}", 1, "host-1", i, OPT) for i in (1, 2, 3, 4)]
    wires += [wire("optical", "host-1", i, f"expander-{i}", 1, OPT) for i in (2, 3, 4)]
    sources = tuple(SourceLine(f"Voice {i}, row {i % 4 + 1}") for i in range(1, count + 1))
    built = rig([host, first, *rest], wires, {}, 2)
    inputs = tuple(
        replace(item, use="mic", source=source.name) if source else item
        for item, source in zip(
            built.inputs, [*sources, *[None] * (len(built.inputs) - count)], strict=True
        )
    )
    needs = Needs("Choir in the chapel", mic=count, phantom=12, sources=sources)
    built = replace(built, inputs=inputs)
    return Answered(built, built.total, True), needs


def nasty() -> tuple[Answered, Catalogue, Needs]:
    """Every text that a file can bring in is one that does harm where it is not escaped."""
    hub = replace(HUB, label=NASTY[0], note=NASTY[4])
    devices = [
        hub,
        *(replace(PRE, id=f"id{i}", label=text) for i, text in enumerate(NASTY[1:])),
    ]
    units = [locked("host-1", hub, "host", "optical", "expander-1")]
    units += [Unit("expander-1", devices[1], "expander", ClockSetting("internal"))]
    units += [
        locked(f"expander-{i}", device, "expander", "optical", "host-1")
        for i, device in enumerate(devices[2:8], start=2)
    ]
    wires = [wire("optical", f"expander-{i}", 1, "host-1", i, OPT) for i in (1, 2, 3, 4)]
    wires += [wire("optical", "host-1", i, f"expander-{i}", 1, OPT) for i in (2, 3, 4)]
    lead = replace(OPT, label=NASTY[1])
    wires = [replace(wire, cable=lead) for wire in wires]
    uses: Any = {n: ("mic", NASTY[n % len(NASTY)]) for n in range(3, 20)}
    built = rig(units, wires, uses, 2)
    bought = tuple(replace(p, seller=NASTY[2], note=NASTY[6]) for p in built.purchases)
    goods = built.total
    order = Order(NASTY[2], "EUR", goods, 500, 0, goods + 500)
    built = replace(built, purchases=bought, total=order.total, orders=(order,))
    needs = Needs(NASTY[7] + NASTY[4], mic=17)
    stock = replace(catalogue(*devices, invented=True), title=NASTY[0], note=NASTY[5])
    stock = replace(stock, cables={"opt-1m": lead})
    return Answered(built, built.total, True), stock, needs
