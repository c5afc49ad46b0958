"""Which unit stands where.

x[u,b] = 1 if place u holds build b. The first `max_hosts` places hold hosts or nothing, the
rest hold other units or nothing; each group is filled from the front in a fixed order.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from rigopt.catalogue.types import Catalogue, Device
from rigopt.facts import RATE_MULTIPLIER
from rigopt.needs.types import Needs
from tests.oracle.mip.builds import Build, builds, unlinked
from tests.oracle.mip.linear import Linear, Terms, total

ANALOGUE = ("preamp", "di", "headphones")
"""Roles of what has no rate."""

MOST_UNITS = 12
"""Places when the needs set no limit; the answer then holds for rigs up to this size."""


class Units:
    """The places and what they hold."""

    def __init__(self, lin: Linear, catalogue: Catalogue, needs: Needs) -> None:
        self.lin, self.catalogue, self.needs = lin, catalogue, needs
        rows = catalogue.formats.items()
        # Direct outs have a module of their own, lines.py.
        self.formats = {name: form for name, form in rows if form.socket != "analogue"}
        self.m = RATE_MULTIPLIER[needs.rate_hz]
        size = needs.units if needs.units is not None else MOST_UNITS
        self.hosts = range(min(needs.max_hosts, size))
        self.others = range(len(self.hosts), len(self.hosts) + size - 1)
        self.places = range(len(self.hosts) + len(self.others))
        self.kinds = {True: self.all_builds(True), False: self.all_builds(False)}
        self.x = {(u, b.name): lin.variable() for u in self.places for b in self.builds(u)}
        for u in self.places:
            lin.row(self.filled(u), most=1)
        for group in (self.hosts, self.others):
            for u, following in pairwise(group):
                lin.within(self.rank(following), self.rank(u))
        lin.row(total(*map(self.filled, self.hosts)), least=1)
        lin.row(self.count(), most=size)
        self.limits()

    def all_builds(self, host: bool) -> list[Build]:
        """Builds that the places of hosts, or the others, may hold."""
        needs = self.needs
        rated = [d for d in self.catalogue.devices.values() if needs.rate_hz in d.rates_hz]
        fit = [
            d
            for d in rated
            if (d.may_host and d.computer in needs.ports if host else d.may_expand)
        ]
        found = [b for d in fit for b in builds(d, self.formats, self.m, host)]
        return found if host else [*found, *self.without_rate()]

    def without_rate(self) -> list[Build]:
        """What stands anywhere: analogue types, and those used by direct outs alone."""
        rate, plain = self.needs.rate_hz, map(unlinked, self.catalogue.devices.values())
        return [
            b
            for b in plain
            if b.device.role in ANALOGUE or (b.outs and rate not in b.device.rates_hz)
        ]

    def limits(self) -> None:
        """Height, plugs and what is required."""
        lin, needs = self.lin, self.needs
        for limit, name in ((needs.rack_units, "rack_units"), (needs.mains, "mains")):
            if limit is not None:
                lin.row(self.summed(name), most=limit)
        for wanted in needs.require:
            lin.row(self.of_type(wanted), least=1)

    def builds(self, u: int) -> list[Build]:
        """Builds that place u may hold."""
        return self.kinds[u in self.hosts]

    def expanding(self, v: int) -> list[Build]:
        """Builds that may send audio over digital cables from a place that is no host's."""
        return [b for b in self.builds(v) if b.linked and b.device.role != "clock"]

    def role(self, u: int, device: Device) -> str:
        """What a type is when it stands in place u."""
        if u in self.hosts:
            return "host"
        return "expander" if device.role == "either" else device.role

    def of(self, u: int, figure: Callable[[Build], float]) -> Terms:
        """A figure of the build that place u holds, 0 when empty."""
        return {self.x[u, b.name]: float(f) for b in self.builds(u) if (f := figure(b))}

    def of_type(self, device_id: str) -> Terms:
        """Number of units of a type."""
        places = self.places
        return total(*(self.of(u, lambda b: b.device.id == device_id) for u in places))

    def filled(self, u: int) -> Terms:
        """1 if place u holds a unit."""
        return self.of(u, lambda _: 1)

    def count(self) -> Terms:
        """Number of units."""
        return total(*map(self.filled, self.places))

    def rank(self, u: int) -> Terms:
        """0 for an empty place, else larger for builds earlier in the list."""
        kinds = self.builds(u)
        return self.of(u, lambda b: len(kinds) - kinds.index(b))

    def summed(self, name: str) -> Terms:
        """The sum of a number of the devices over the rig."""
        return total(*(self.of(u, lambda b: getattr(b.device, name)) for u in self.places))

    def converts(self, u: int, form: str) -> Terms:
        """1 if the unit in place u has rate converters on its inputs for a format."""
        return self.of(u, lambda b: b.converts(self.formats[form]))
