"""Small rigs put together by hand, and ways to bend them. Prices are invented."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Device, Source
from rigopt.needs.types import Needs
from rigopt.rig.audit import audit
from rigopt.rig.counts import by_piece
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Input, Link, Purchase, Rig, Unit
from tests.wires import wire
from tests.world import ALL, BOTH

INTERNAL = ClockSetting("internal")

DESK = Device(
    "desk-8",
    "8-channel host",
    "host",
    price=30000,
    mic_line_inst=2,
    mic_line=6,
    phantom_bank=4,
    line_out=4,
    phones=2,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    coax_in=1,
    coax_out=1,
    word_in=1,
    clock_in=("optical", "coax", "word"),
    rates_hz=BOTH,
    rack_units=1,
    watts=Decimal("15.5"),
)
PRE = Device(
    "pre-8",
    "8-channel expander",
    "expander",
    price=20000,
    mic_line=8,
    phantom_bank=8,
    line_out=8,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    word_in=1,
    clock_in=("optical", "word"),
    rates_hz=BOTH,
    rack_units=1,
    watts=Decimal(20),
)
TICK = Device(
    "tick-4",
    "word-clock generator",
    "clock",
    price=9000,
    word_out=4,
    rates_hz=ALL,
    rack_units=1,
    watts=Decimal(5),
)
OPT = Cable("opt-1m", "optical cable 1 m", "optical", 1000, price=600)
COAX = Cable("coax-1m", "coaxial cable 1 m", "coax", 1000, price=500)
WORD = Cable("bnc-1m", "word-clock cable 1 m", "word", 1000, price=700, pack=2)


@dataclass(frozen=True)
class World:
    """A rig with what it answers."""

    rig: Rig
    needs: Needs
    catalogue: Catalogue

    def rules(self) -> list[str]:
        return [found.rule for found in audit(self.rig, self.catalogue, self.needs)]


def master(name: str, device: Device, role: Any = "host", **more: Any) -> Unit:
    return Unit(name, device, role, INTERNAL, **more)


def locked(name: str, device: Device, role: Any, *lock: Any, **more: Any) -> Unit:
    """`lock` is source, socket, sender."""
    return Unit(name, device, role, ClockSetting(*lock), **more)


def optical(sender: str, out: int, to: str, into: int, audio: bool = True) -> Wire:
    return wire("optical", sender, out, to, into, OPT, audio)


def catalogue_of(devices: Sequence[Device], cables: Sequence[Cable], **more: Any) -> Catalogue:
    return Catalogue(
        "tiny",
        "Tiny",
        "GBP",
        {device.id: device for device in devices},
        {cable.id: cable for cable in cables},
        **more,
    )


def purchases(
    units: Sequence[Unit], links: Sequence[Link], needs: Needs
) -> tuple[Purchase, ...]:
    """One line an item, as many packs as what is used and not owned asks for."""
    items: dict[str, Device | Cable] = {unit.device.id: unit.device for unit in units}
    cables = [piece for link in by_piece(links) for piece in link.pieces]
    items |= {piece.id: piece for piece in cables}
    used = Counter([unit.device.id for unit in units])
    used.update(piece.id for piece in cables)
    lines = []
    for key, item in items.items():
        kind: Any = "device" if isinstance(item, Device) else "cable"
        pack = 1 if isinstance(item, Device) else item.pack
        missing = max(0, used[key] - needs.owned.get(key, 0))
        if missing:
            lines.append(
                Purchase(key, item.label, kind, -(-missing // pack), item.price or 0, pack)
            )
    return tuple(lines)


def build(
    units: Sequence[Unit],
    wires: Sequence[Wire],
    uses: Mapping[int, tuple[Source, str | None]],
    hops: int,
    needs: Needs,
    *,
    cables: Sequence[Cable] = (OPT, COAX, WORD),
) -> World:
    links = derive_links(units, wires, needs.rate_hz)
    inputs = []
    for item in derive_inputs(units, links, needs.rate_hz):
        use, source = uses.get(item.computer_input, (None, None))
        inputs.append(replace(item, use=use, source=source))
    lines = purchases(units, links, needs)
    total = sum(line.total for line in lines)
    rig = Rig(needs.rate_hz, tuple(units), links, tuple(inputs), lines, hops, total)
    return World(rig, needs, catalogue_of([unit.device for unit in units], cables))


# --- bending ---------------------------------------------------------------------------


def with_needs(world: World, **changes: Any) -> World:
    return replace(world, needs=replace(world.needs, **changes))


def with_rig(world: World, **changes: Any) -> World:
    return replace(world, rig=replace(world.rig, **changes))


def with_unit(world: World, name: str, **changes: Any) -> World:
    units = tuple(replace(u, **changes) if u.name == name else u for u in world.rig.units)
    return with_rig(world, units=units)


def with_device(world: World, name: str, **changes: Any) -> World:
    """Another device of the same id, in the catalogue too: only the rule asked for breaks."""
    device = replace(world.rig.unit(name).device, **changes)
    units = tuple(
        replace(u, device=device) if u.device.id == device.id else u for u in world.rig.units
    )
    devices = {**world.catalogue.devices, device.id: device}
    return replace(
        with_rig(world, units=units), catalogue=replace(world.catalogue, devices=devices)
    )


def with_link(world: World, index: int, **changes: Any) -> World:
    links = list(world.rig.links)
    links[index] = replace(links[index], **changes)
    return with_rig(world, links=tuple(links))


def with_cable(world: World, index: int, **changes: Any) -> World:
    """Another cable of the same id, in the catalogue too."""
    old = world.rig.links[index].cable
    assert old is not None
    new = replace(old, **changes)
    links = tuple(
        replace(link, cable=new) if link.cable == old else link for link in world.rig.links
    )
    cables = {**world.catalogue.cables, new.id: new}
    return replace(
        with_rig(world, links=links), catalogue=replace(world.catalogue, cables=cables)
    )


def with_input(world: World, number: int, **changes: Any) -> World:
    inputs = tuple(
        replace(item, **changes) if item.computer_input == number else item
        for item in world.rig.inputs
    )
    return with_rig(world, inputs=inputs)


def with_purchase(world: World, item: str, **changes: Any) -> World:
    lines = tuple(
        replace(line, **changes) if line.item == item else line for line in world.rig.purchases
    )
    return with_rig(world, purchases=lines, total=sum(line.total for line in lines))


def plus_link(world: World, link: Link) -> World:
    return with_rig(world, links=(*world.rig.links, link))


def numbers(inputs: Sequence[Input]) -> list[int]:
    return [item.computer_input for item in inputs]
