"""The question, finished: usable types at this rate, ways to buy them, what is owned.

Units, defaults and dead sockets are settled here, so the rules only loop and add.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Plug
from rigopt.facts import ANALOGUE, TEE, TERMINATOR, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.problem import supplies
from rigopt.optimiser.problem.at_rate import DeviceAtRate, at_rate
from rigopt.optimiser.problem.bargains import terms_of, unbeaten, upper
from rigopt.optimiser.problem.bounds import bounds, max_pieces, on_microphone_inputs
from rigopt.optimiser.problem.pricing import Pricing
from rigopt.optimiser.problem.supplies import OrderTerms, Supply
from rigopt.rig.orders import half_up


@dataclass(frozen=True)
class Problem:
    """A catalogue and needs, narrowed to what can be part of a rig at this rate."""

    catalogue: Catalogue
    needs: Needs
    hosts: tuple[DeviceAtRate, ...]
    satellites: tuple[DeviceAtRate, ...]
    cables: tuple[Cable, ...]
    extras: tuple[Extra, ...]
    """Things bought by the count that somebody sells."""
    supplies: Mapping[str, tuple[Supply, ...]]
    order_terms: Mapping[str, OrderTerms]
    max_extra: Mapping[str, int]
    """Most pieces of each of `extras` that a cheapest rig can need."""
    max_units: int
    """Most units that a cheapest rig can have."""
    max_links: int
    """Most links: audio, returns for outputs, and one for each unit's clock."""
    max_joined: int
    """Most links between hosts and other units that carry audio, either way."""
    max_arriving: int
    """No more channels than this reach the computer."""
    max_tees: int
    """No more T-pieces and terminators than this are of use."""
    max_leads: int
    """No more pieces of analogue cable than this are of use; 0: no direct out is."""
    sellable: Mapping[str, int]
    """Owned pieces of each item that are sold if they are not used."""
    idle_extras: tuple[Extra, ...]
    """Things bought by the count that nobody sells, and that are sold if not used."""
    most: Mapping[str, int] | None = None
    """Units of each type, at most, where that is known; what is not named is not there."""
    dropped: int = 0
    """Of what decides between equal rigs, the last that are not looked at, so that sums stay
    exact: 1, packs and orders; 2, channels for microphones that arrive as well."""
    pricing: Pricing | None = None
    """What money counts where prices are ranges; None: all at their upper ends."""
    pooled: bool = True
    """All hosts in one slot, as if their sockets were one host's. That is what a single
    host is; for several it allows all that they can do and sometimes more."""

    @property
    def rate_hz(self) -> int:
        """Sample rate of the rig."""
        return self.needs.rate_hz

    def ways(self, item: str) -> tuple[Supply, ...]:
        """The ways to buy `item`; none if it is not for sale."""
        return self.supplies.get(item, ())

    def owned(self, item: str) -> int:
        """Pieces of `item` already there."""
        return self.needs.owned.get(item, 0)

    @cached_property
    def sale(self) -> int:
        """What all that is sellable comes to; the least money is minus this."""
        prices = self.needs.resale
        return sum(prices.get(item, 0) * pieces for item, pieces in self.sellable.items())

    def unlimited(self, item: str) -> bool:
        """Whether any number can be bought."""
        return item in self._endless

    @cached_property
    def _endless(self) -> frozenset[str]:
        return frozenset(
            item
            for item, ways in self.supplies.items()
            if any(way.stock is None for way in ways)
        )

    def price(self, item: str) -> int:
        """Least price of a piece in the catalogue's minor unit; 0 if it is not for sale.

        With tax, without delivery, rounded half up.
        """
        costs = (terms_of(s, self.order_terms).rate * s.price / s.pack for s in self.ways(item))
        return half_up(min(costs, default=Fraction(0)))

    def obtainable(self, item: str) -> int:
        """Pieces of `item` that are owned or can be bought, if those are limited."""
        return self.owned(item) + sum((s.stock or 0) * s.pack for s in self.ways(item))

    @cached_property
    def max_packs(self) -> int:
        """Most packs in a cheapest rig: no more than pieces needed, and those for a limit."""
        prices: dict[str, list[int]] = {}
        for ways in self.supplies.values():
            for way in ways:
                if way.seller is not None and way.price:
                    prices.setdefault(way.seller, []).append(way.price)
        beyond = sum(
            self.order_terms[name].surplus(min(found)) for name, found in prices.items()
        )
        pieces = self.max_units + self.max_links + self.max_tees + self.max_leads
        return pieces + sum(self.max_extra.values()) + beyond

    @cached_property
    def dearest(self) -> int:
        """No pack adds more than this to what is paid, in minor units."""
        every = (way for ways in self.supplies.values() for way in ways)
        costs = (upper(way, self.order_terms) for way in every)
        return math.ceil(max(costs, default=0) + (1 if self.order_terms else 0))

    @cached_property
    def max_money(self) -> int:
        """No cheapest rig comes to more than this, in minor units, what is not sold counted."""
        most = self.dearest * self.max_packs + self.sale
        doubled = self.pricing is not None and self.pricing.counts == "middle"
        return 2 * most if doubled else most

    @property
    def capped(self) -> bool:
        """Whether the number of sellers is limited."""
        return self.needs.sellers is not None

    def only(self, types: Container[str], cables: Container[str]) -> Problem:
        """The same problem with these device types, and these and the owned cables."""
        return replace(
            self,
            hosts=tuple(d for d in self.hosts if d.id in types),
            satellites=tuple(d for d in self.satellites if d.id in types),
            cables=tuple(c for c in self.cables if c.id in cables or self.owned(c.id)),
        )

    @cached_property
    def most_lines(self) -> int:
        """No more direct outs than this find an input; whatever hosts are left out."""
        return self.needs.max_hosts * max((h.visible.row for h in self.hosts), default=0)

    @cached_property
    def plugs(self) -> frozenset[tuple[Plug, Plug]]:
        """Plugs that some analogue cable joins, that at the direct outs first."""
        if not self.max_leads:
            return frozenset()
        return frozenset(cable.ends for cable in self.cables_of(ANALOGUE) if cable.ends)

    @cached_property
    def feeds(self) -> bool:
        """Whether line outputs are of use: asked for, or to feed headphone amplifiers."""
        return self.needs.out_line > 0 or any(
            box.device.role == "headphones" for box in self.satellites
        )

    @cached_property
    def devices(self) -> tuple[DeviceAtRate, ...]:
        """Every usable type once, in the order of ids."""
        unique = {device.id: device for device in self.hosts + self.satellites}
        return tuple(unique[key] for key in sorted(unique))

    @cached_property
    def formats(self) -> dict[str, Format]:
        """What anything here can speak, by id."""
        return {row.id: row for box in self.devices for row in box.formats}

    def max_pieces(self, cable: Cable) -> int:
        """Most pieces of a cable that are of use."""
        if cable.kind == ANALOGUE:
            return self.max_leads
        return self.max_units if cable.kind in (TEE, TERMINATOR) else self.max_links

    def cables_of(self, kind: str) -> tuple[Cable, ...]:
        """Usable cables of `kind`."""
        return tuple(cable for cable in self.cables if cable.kind == kind)

    @property
    def slots(self) -> range:
        """Places for hosts: one for each, or one for all of them if they are pooled."""
        return range(1 if self.pooled else self.needs.max_hosts)

    @property
    def per_slot(self) -> int:
        """Most hosts in one slot."""
        return self.needs.max_hosts if self.pooled else 1

    def apart(self) -> Problem:
        """The same problem with each host in a slot of its own."""
        return replace(self, pooled=False)


def state(
    catalogue: Catalogue,
    needs: Needs,
    before: Container[str] = frozenset(),
    resold: Iterable[str] = (),
) -> Problem:
    """Narrow the catalogue to what the needs allow.

    `before`: items that may be there although they can no longer be bought. `resold`: items
    that may be sold then or at another time.

    Raises:
        NoRateError: When something could be bought in a currency without exchange rate.
    """
    cables = [c for c in _sorted(catalogue.cables) if _fits(c, catalogue, needs)]
    brought = on_microphone_inputs(needs)
    leads = brought > 0 and any(cable.kind == ANALOGUE for cable in cables)
    devices = [d for d in _sorted(catalogue.devices) if _of_use(d, needs, leads)]
    extras = _sorted(catalogue.extras)
    found = supplies.supplies(catalogue, needs, [*devices, *cables, *extras])
    order_terms = supplies.order_terms(found, catalogue, needs)
    capped = needs.sellers is not None
    found = {item: unbeaten(ways, order_terms, capped) for item, ways in found.items()}
    devices = [d for d in devices if d.id in found or needs.owned.get(d.id) or d.id in before]
    boxes = [at_rate(device, needs.rate_hz) for device in devices]
    hosts = tuple(
        b for b in boxes if b.runs and b.device.may_host and b.device.computer in needs.ports
    )
    beside = {
        d.role for d in devices if (leads and d.has_direct_outs) or not _in_time(d, needs)
    }
    leads = leads and any(device.has_direct_outs for device in devices)
    arriving = needs.max_hosts * max((h.visible.row for h in hosts), default=0)
    units, links, joined = bounds(needs, hosts, beside, arriving)
    sold = tuple(e for e in extras if e.id in found)
    priced = [item for item in needs.resale if needs.owned.get(item)]
    sellable = {item: needs.owned.get(item, 0) for item in (*priced, *resold)}
    idle = tuple(e for e in extras if e.id in sellable and e.id not in found)
    return Problem(
        max_units=units,
        max_links=links,
        max_arriving=arriving,
        max_leads=min(brought, arriving) if leads else 0,
        max_joined=joined,
        # For each unit in a chain of word inputs a T-piece, and a terminator at its end.
        max_tees=2 * units if any(cable.kind == TEE for cable in cables) else 0,
        catalogue=catalogue,
        needs=needs,
        hosts=hosts,
        satellites=tuple(box for box in boxes if box.device.role != "host"),
        cables=tuple(
            c for c in cables if c.id in found or needs.owned.get(c.id) or c.id in before
        ),
        extras=sold,
        max_extra={e.id: max_pieces(e, devices, needs, units) for e in (*sold, *idle)},
        sellable=sellable,
        idle_extras=idle,
        supplies=found,
        order_terms=order_terms,
    )


ItemT = TypeVar("ItemT", Device, Cable, Extra)


def _sorted(shelf: Mapping[str, ItemT]) -> list[ItemT]:
    return [shelf[key] for key in sorted(shelf)]


def _of_use(device: Device, needs: Needs, leads: bool) -> bool:
    """Whether it works at the rate, in some role, or needs no rate for what it does.

    `leads`: whether there are cables for direct outs.
    """
    if device.id in needs.require and (device.has_direct_outs or not device.digital):
        return True
    if device.role == "di":
        return needs.instrument > 0
    if device.role == "headphones":
        return needs.out_phones > 0
    return _in_time(device, needs) or (device.has_direct_outs and leads)


def _in_time(device: Device, needs: Needs) -> bool:
    """Whether it may have digital links at the rate, or be a host."""
    hosting = device.may_host and device.computer in needs.ports
    return needs.rate_hz in device.rates_hz and (hosting or device.may_expand)


def _fits(cable: Cable, catalogue: Catalogue, needs: Needs) -> bool:
    """Whether it is long enough for some run, and not too long for what goes over it."""
    if cable.kind in (TEE, TERMINATOR):
        return True
    shortest = min(needs.host_to_rack_mm, needs.within_rack_mm)
    return shortest <= cable.length_mm and any(
        row.cable == cable.kind and row.reaches(cable.length_mm)
        for row in catalogue.formats.values()
    )
