"""A rig as it would stand in the room: every unit, cable and input by name.

Sockets, channels, banks and computer inputs count from 1. Money is in the minor unit of
the catalogue's currency.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal, NamedTuple

from rigopt.catalogue.types import Cable, Device, ItemKind, Source
from rigopt.facts import Kind

UnitRole = Literal["host", "expander", "clock"]
Load = Literal["audio", "clock"]
Way = Literal["input", "output"]


class End(NamedTuple):
    """One socket: where an end of a cable sits."""

    unit: str
    kind: Kind
    way: Way
    socket: int


@dataclass(frozen=True, slots=True)
class ClockSetting:
    """Where a unit takes its clock from: its own, or a socket with a link on it."""

    source: Literal["internal", "optical", "coax", "word"]
    socket: int | None = None
    from_unit: str | None = None


@dataclass(frozen=True, slots=True)
class Unit:
    """One box. `name` is unique in the rig; `role` is the role it plays here."""

    name: str
    device: Device
    role: UnitRole
    clock: ClockSetting
    owned: bool = False
    phantom_banks_on: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """One cable between an output socket and an input socket.

    `channels` counts the audio channels on it that have something at the far end: a
    computer input (towards a host) or a line output (towards an expander). `carries`
    holds 'clock' exactly if the receiving unit is locked to it. `cable` is None only in a
    rig wired by hand whose cables nobody named.
    """

    kind: Kind
    from_unit: str
    from_socket: int
    to_unit: str
    to_socket: int
    channels: int
    carries: tuple[Load, ...]
    cable: Cable | None


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

    @property
    def total(self) -> int:
        """Quantity times unit price."""
        return self.quantity * self.unit_price


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
class Rig:
    """A complete answer: what stands where, what is wired how, and what to buy.

    `split_pairs` names the pairs of the input list that found no two neighbouring channels
    on one unit.
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
    def master(self) -> Unit:
        """The first unit on its internal clock (a sound rig has exactly one)."""
        return next(unit for unit in self.units if unit.clock.source == "internal")
