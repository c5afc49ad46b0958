"""A rig as it would stand in the room: every unit, cable and input by name.

Sockets, channels, banks and computer inputs count from 1. Money is in the minor unit of
the catalogue's currency.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from rigopt.catalogue.types import Cable, Device, ItemKind, SocketRef, Source
from rigopt.facts import Format, SocketKind

UnitRole = Literal["host", "expander", "clock", "preamp", "di", "headphones"]
Load = Literal["audio", "clock"]
Way = Literal["input", "output", "socket", "tee"]
"""`socket` is one that is both ways; `tee` the T-piece at a unit's word input."""


class End(NamedTuple):
    """One socket: where an end of a cable sits."""

    unit: str
    kind: SocketKind
    way: Way
    socket: int


@dataclass(frozen=True, slots=True)
class ClockSetting:
    """Where a unit takes its clock from: its own, or a socket with a link on it."""

    source: Literal["internal"] | SocketKind
    socket: int | None = None
    from_unit: str | None = None


@dataclass(frozen=True, slots=True)
class Unit:
    """One box. `name` is unique in the rig; `role` is the role it plays here.

    `clock` is None where none is needed: it is no host and has no digital link.
    """

    name: str
    device: Device
    role: UnitRole
    clock: ClockSetting | None
    owned: bool = False
    phantom_banks_on: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """One cable between two sockets.

    It goes from an output to an input; one of a duplex format from the expander to the
    host, or, for clock alone, from the unit that gives it. `channels` counts the audio
    channels on it that have something at the far end: a computer input (towards a host) or
    a line output (towards an expander); `back` those of a duplex link that feed line outputs
    where it starts. `carries` holds 'clock' exactly if a unit at its end is locked to it.

    An analogue link is one channel, from a direct out to an input; its sockets are their
    numbers, and several may be on one piece.

    `after`: of a chain of word inputs, the unit at whose T-piece this cable begins; `from_unit`
    stays the output that feeds the chain. `tee` and `terminator` sit where the cable ends.
    Pieces are None where there are none, and in a rig wired by hand that names none.
    """

    format: Format
    from_unit: str
    from_socket: int
    to_unit: str
    to_socket: int
    channels: int
    carries: tuple[Load, ...]
    cable: Cable | None
    back: int = 0
    after: str | None = None
    tee: Cable | None = None
    terminator: Cable | None = None
    piece: int | None = None
    """Of an analogue link: the number of its piece; all ways of one piece have the same."""

    @property
    def kind(self) -> SocketKind:
        """The kind of its sockets."""
        return self.format.socket

    @property
    def pieces(self) -> tuple[Cable, ...]:
        """The cable, and what sits on it, as far as they are named."""
        return tuple(p for p in (self.cable, self.tee, self.terminator) if p is not None)

    @property
    def start(self) -> tuple[str, SocketRef]:
        """Unit and socket where it starts."""
        return self.from_unit, ref(self.format, "out", self.from_socket)

    @property
    def end(self) -> tuple[str, SocketRef]:
        """Unit and socket where it ends."""
        return self.to_unit, ref(self.format, "in", self.to_socket)


def ref(row: Format, way: Literal["in", "out"], number: int) -> SocketRef:
    """A socket of a link; one that is both ways counts as an input."""
    return SocketRef(row.socket, "in" if row.duplex else way, number)


@dataclass(frozen=True, slots=True)
class Input:
    """An input that the computer sees and that has an analogue channel behind it."""

    computer_input: int
    unit: str
    channel: int
    accepts: tuple[Source, ...]
    phantom: bool
    use: Source | None = None
    source: str | None = None
    path: tuple[str, ...] = ()
    """Units from the source to the computer, a DI box among them."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """`quantity` packs of one item at `unit_price` each.

    `seller` is None for the plain price of the catalogue; a named seller's price is in the
    minor unit of its own currency, before tax. `note` is the condition that its offer
    states, `as_of` the day of its price.
    """

    item: str
    label: str
    kind: ItemKind
    quantity: int
    unit_price: int
    pack: int = 1
    seller: str | None = None
    note: str = ""
    as_of: datetime.date | None = None
    least: int | None = None
    """Where the price is a range, of which `unit_price` is the upper end, the lower one."""
    known: bool = True
    """False where nobody knows the price: it counts as 0, and is not to be told as such."""

    @property
    def total(self) -> int:
        """Quantity times unit price."""
        return self.quantity * self.unit_price

    @property
    def total_from(self) -> int:
        """The same at the lower end of the price."""
        return self.quantity * (self.unit_price if self.least is None else self.least)


@dataclass(frozen=True, slots=True)
class Order:
    """What one named seller is paid.

    `goods`, `delivery` and `tax` are in the minor unit of `currency`, the seller's, the tax
    rounded half up; `total` is in the catalogue's, rounded once, from the exact sum.
    """

    seller: str
    currency: str
    goods: int
    delivery: int
    tax: int
    total: int


@dataclass(frozen=True, slots=True)
class Sale:
    """`quantity` owned pieces of one item that the rig does not use, sold at `unit_price`."""

    item: str
    label: str
    kind: ItemKind
    quantity: int
    unit_price: int

    @property
    def total(self) -> int:
        """Quantity times unit price."""
        return self.quantity * self.unit_price


@dataclass(frozen=True, slots=True)
class Rig:
    """A complete answer: what stands where, what is wired how, and what to buy.

    `total` is what is paid less what is sold, and may be negative. `split_pairs` names the
    pairs of the input list that found no two neighbouring channels on one unit.
    """

    rate_hz: int
    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    inputs: tuple[Input, ...]
    purchases: tuple[Purchase, ...]
    clock_hops: int
    total: int
    orders: tuple[Order, ...] = ()
    split_pairs: tuple[str, ...] = ()
    to_sell: tuple[Sale, ...] = ()

    def unit(self, name: str) -> Unit:
        """The unit of that name.

        Raises:
            KeyError: When there is none.
        """
        for unit in self.units:
            if unit.name == name:
                return unit
        raise KeyError(name)

    @property
    def total_from(self) -> int:
        """What is paid where every price that is a range is at its lower end."""
        return self.total - sum(line.total - line.total_from for line in self.purchases)

    @property
    def masters(self) -> tuple[Unit, ...]:
        """The units on their internal clocks, one for each clock tree."""
        return tuple(u for u in self.units if u.clock and u.clock.source == "internal")

    @property
    def master(self) -> Unit:
        """The clock master of the first host."""
        host = next(unit for unit in self.units if unit.role == "host")
        name = roots(self.units)[host.name]
        return self.masters[0] if name is None else self.unit(name)


def roots(units: Iterable[Unit]) -> dict[str, str | None]:
    """The clock master of each unit's tree; None for a chain that ends in none."""
    parents = {
        unit.name: unit.clock.from_unit if unit.clock.source != "internal" else unit.name
        for unit in units
        if unit.clock is not None
    }
    found: dict[str, str | None] = {}
    for name, parent in parents.items():
        seen, at = {name}, parent
        last: str | None = name
        while at is not None and at not in seen:
            seen.add(at)
            last, at = at, parents.get(at)
        found[name] = last if at is not None and at == last else None
    return found
