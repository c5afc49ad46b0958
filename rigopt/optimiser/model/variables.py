"""The variables of one rig, in the words of the trade, and reading a solution.

`model.build` creates the counts of columns, each rule those that its docstring names.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple, TypeVar

from rigopt.catalogue.types import ACCEPTS, Plug, WordEnd
from rigopt.facts import WORD
from rigopt.needs.types import PHANTOM, Group
from rigopt.optimiser.problem.analogue import Cell, Cells, Face, Inlet, Tap
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockSignature, ClockState
from rigopt.optimiser.solver.linear import Terms, Var, amount

RACK = -1
"""Stands for 'any unit that is no host' where hosts are named by slot."""


class ClockRoute(NamedTuple):
    """Links for clock alone, other than word clock, to units of a hop and a tree.

    `format` by its id; who gives and who takes, a slot or RACK.
    """

    format: str
    hop: int
    tree: int
    sender: int
    receiver: int

    @property
    def to_rack(self) -> bool:
        """Whether its run is that between a host and a unit that is no host."""
        return (self.sender == RACK) != (self.receiver == RACK)


class Chain(NamedTuple):
    """Chains of word inputs, each fed by one output, to units of a hop and a tree.

    `sender` is a slot or RACK; `to_host`: whether the last in the chain is a host, and `end`
    what its input has; `detour`: units of the other role stand between two of the same one.
    """

    hop: int
    tree: int
    sender: int
    to_host: bool
    end: WordEnd
    detour: bool = False

    @property
    def far(self) -> int:
        """Cables in one such chain that run between a host and a unit that is none."""
        return ((self.sender != RACK) != self.to_host) + 2 * self.detour


class Moved(NamedTuple):
    """Channels of a sort that direct outs occupy or bring: of banks, or of none, on or off."""

    bank: Cells | None
    cell: Cell
    on: bool


class Lead(NamedTuple):
    """Pieces of analogue cable on the direct outs of like units: plugs, channels, and whether
    it spans the run between a host and another unit."""

    tap: Tap
    plug: Plug
    ways: int
    far: bool

    @property
    def ends(self) -> tuple[Plug, Plug]:
        """Its plugs."""
        return self.tap.plug, self.plug

    @property
    def of_use(self) -> int:
        """Its channels that one unit can use."""
        return min(self.ways, self.tap.free)


class Site(NamedTuple):
    """A unit by its face, and its place among the units of that."""

    face: Face
    place: int


class Stub(NamedTuple):
    """Where analogue cables leave or enter: a D-sub connector of a unit, or all of its single
    plugs (`connector` None); any unit with such plugs, if `site` is None."""

    site: Site | None
    connector: int | None
    channels: tuple[int, ...]


class Bunch(NamedTuple):
    """Lines from a place of a unit to inputs of a plug."""

    stub: Stub
    end: Stub
    tap: Tap
    inlet: Inlet
    lines: Var


class Piece(NamedTuple):
    """Pieces of a cable on a place of a unit."""

    stub: Stub
    end: Stub
    lead: Lead
    number: Var


class Joined(NamedTuple):
    """Who feeds whom by analogue cables: channels that are occupied or come by direct outs,
    lines, and pieces of cable for them, none of them nothing."""

    moved: tuple[tuple[Site, int], ...]
    lines: tuple[tuple[Bunch, int], ...]
    pieces: tuple[tuple[Piece, int], ...]


class Counted(NamedTuple):
    """A solution without its zeros: the hosts by slot, and counts."""

    hosts: tuple[HostColumn, ...]
    satellites: dict[SatelliteColumn, int]
    clocked: dict[ClockSignature, dict[ClockState, int]]
    routes: dict[ClockRoute, int]
    chains: dict[Chain, int]
    followers: dict[tuple[Chain, bool], int]
    packs: dict[str, tuple[int, ...]]
    joined: Joined
    boxed: dict[bool, int]
    laid: dict[str, int]
    kept: dict[str, int]


class Kept(NamedTuple):
    """Owned pieces that are not sold, of those there were `before`: a number and terms."""

    pieces: Var
    number: int
    before: Terms


class OrderVars(NamedTuple):
    """An order at a named seller: whether there is one, and what it comes to."""

    used: Var
    cost: Terms


@dataclass
class RigVars:
    """Variables of one rig.

    hosts: how many stand in each host column (at most one in all of a slot, unless hosts
    are pooled); satellites: how many stand in each other column; clocked: how many of
    each signature are in each clock state; routes: links for clock alone; chains: chains of
    word inputs, and followers: units in them, hosts or not, beside the last of each; locked:
    hosts locked to a link by which so many channels arrive, by slot and format, where not
    every socket will do; deepest: 0/1 for each hop from 1, 'some unit is that far'; on:
    banks that are switched on, by composition, where that is open; moved: channels occupied
    by direct outs, or brought by them; lines: direct outs by where they go; leads: pieces of
    cable for them; boxed: instruments in a DI box, by whether it needs 48 V; phones: headphone
    amplifiers that are fed; bunches, pieces and stubs: the same by the names of units, where
    these are told apart; packs:
    packs bought of each supply, by item; kept: what of an item is not sold, where it could be;
    laid: pieces of such a cable that are in use; orders: what is ordered at each named seller.
    """

    problem: Problem
    hosts: dict[HostColumn, Var] = field(default_factory=dict)
    satellites: dict[SatelliteColumn, Var] = field(default_factory=dict)
    clocked: dict[ClockSignature, dict[ClockState, Var]] = field(default_factory=dict)
    routes: dict[ClockRoute, Var] = field(default_factory=dict)
    chains: dict[Chain, Var] = field(default_factory=dict)
    followers: dict[tuple[Chain, bool], Var] = field(default_factory=dict)
    locked: dict[tuple[int, str, int], Terms] = field(default_factory=dict)
    deepest: dict[int, Var] = field(default_factory=dict)
    on: dict[Cells, Var] = field(default_factory=dict)
    moved: dict[Moved, Var] = field(default_factory=dict)
    lines: dict[tuple[Tap, Inlet], Var] = field(default_factory=dict)
    leads: dict[Lead, Var] = field(default_factory=dict)
    boxed: dict[bool, Var] = field(default_factory=dict)
    phones: Terms = field(default_factory=list)
    bunches: list[Bunch] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    stubs: dict[tuple[Site, int], Terms] = field(default_factory=dict)
    packs: dict[str, tuple[Terms, ...]] = field(default_factory=dict)
    kept: dict[str, Kept] = field(default_factory=dict)
    laid: dict[str, Var] = field(default_factory=dict)
    orders: dict[str, OrderVars] = field(default_factory=dict)
    counted: Terms | None = None
    """Money that counts in the objective where prices are ranges."""
    regret: Var | None = None
    """The largest regret, where that is what counts."""
    one: Var | None = None
    """Is always 1, for sums with a constant."""
    stock: Mapping[str, Terms] | None = None
    """Pieces bought by item, where not only this rig is bought for: it then buys nothing."""
    beat: Callable[[], None] = lambda: None
    """To be called now and then while rules are added; it may raise what ends that."""

    @property
    def slots(self) -> range:
        """The host slots."""
        return self.problem.slots

    @property
    def hops(self) -> range:
        """Distances from the clock master of those that are locked."""
        return range(1, self.problem.needs.max_hops + 1)

    def columns(self) -> Iterable[tuple[HostColumn | SatelliteColumn, Var]]:
        """All columns with their counts."""
        yield from self.hosts.items()
        yield from self.satellites.items()

    def units(self) -> Terms:
        """Number of units."""
        return [(count, 1) for _, count in self.columns()]

    @cached_property
    def units_by_type(self) -> dict[str, Terms]:
        """Number of units of every usable type."""
        counts: dict[str, Terms] = {device.id: [] for device in self.problem.devices}
        for column, count in self.columns():
            counts[column.device.id].append((count, 1))
        return counts

    def slot(self, slot: int) -> list[tuple[HostColumn, Var]]:
        """The host columns of one slot."""
        return [(column, var) for column, var in self.hosts.items() if column.slot == slot]

    def joined(self, slot: int) -> list[tuple[SatelliteColumn, Var]]:
        """The columns joined to the host in one slot."""
        return [(c, n) for c, n in self.satellites.items() if c.wiring.slot == slot]

    def clocked_at(
        self, end: int, hop: int, tree: int
    ) -> Iterable[tuple[ClockSignature, ClockState, Var]]:
        """Units that are `hop` links from a tree's master: hosts of a slot, or the RACK."""
        return self._near[end, hop, tree]

    @cached_property
    def _near(self) -> dict[tuple[int, int, int], list[tuple[ClockSignature, ClockState, Var]]]:
        """The clock states by where they are; all are there before they are asked for."""
        found: dict[tuple[int, int, int], list[tuple[ClockSignature, ClockState, Var]]]
        found = defaultdict(list)
        for end in (*self.slots, RACK):
            for signature, states in self.at(end):
                for state, number in states.items():
                    found[end, state.hop, state.tree].append((signature, state, number))
        return found

    def locked_by(self, end: int, state: ClockState) -> Terms:
        """Hosts of a slot, or units of the RACK, that are in this clock state."""
        near = self.clocked_at(end, state.hop, state.tree)
        return [(number, 1) for _, other, number in near if other.lock == state.lock]

    def at(self, end: int) -> Iterable[tuple[ClockSignature, Mapping[ClockState, Var]]]:
        """The clock states of the hosts of a slot, or of the RACK."""
        for signature, states in self.clocked.items():
            if signature.host == (end != RACK) and (end in (RACK, signature.slot)):
                yield signature, states

    def runs(self) -> dict[tuple[str, bool], Terms]:
        """Links by format, and by whether they run between a host and a unit that is none."""
        found: dict[tuple[str, bool], Terms] = defaultdict(list)
        for column, count in self.satellites.items():
            wiring = column.wiring
            if wiring.format is not None:
                found[wiring.format.id, True].append((count, wiring.links))
            for name, number in wiring.returns.items():
                found[name, True].append((count, number))
        for route, count in self.routes.items():
            found[route.format, route.to_rack].append((count, 1))
        for chain, count in self.chains.items():
            found[WORD, True].append((count, chain.far))
            found[WORD, False].append((count, 1 - chain.far))
        for count in self.followers.values():
            found[WORD, False].append((count, 1))
        return found

    def tees(self) -> tuple[Terms, Terms]:
        """T-pieces and terminators: n - 1 for n inputs, and both where the last has no end."""
        open_ended: Terms = [(n, 1) for chain, n in self.chains.items() if chain.end == "none"]
        return [*((n, 1) for n in self.followers.values()), *open_ended], open_ended

    def microphones(self) -> Terms:
        """Inputs at the computer that take a microphone."""
        own = [(n, c.microphones) for c, n in self.columns() if c.microphones]
        moved = [
            (var, 1 if isinstance(place, Tap) else -1)
            for (_, (kind, place), _), var in self.moved.items()
            if "mic" in ACCEPTS[kind]
        ]
        return own + moved

    def wanted(self) -> dict[Group, tuple[int, Terms]]:
        """The groups of sources that there may be: how many, and what adds to that."""
        base = self.problem.needs.wanted
        found: dict[Group, tuple[int, Terms]] = {g: (n, []) for g, n in base.items()}
        for powered, var in self.boxed.items():
            group = PHANTOM if powered else Group("mic")
            found.setdefault(group, (0, []))[1].append((var, 1))
            found[Group("instrument")][1].append((var, -1))
        return found

    @property
    def most_powered(self) -> int:
        """No more banks than this are switched on."""
        boxes = self.problem.needs.instrument if True in self.boxed else 0
        return self.problem.needs.phantom + boxes

    def spent(self) -> Terms:
        """Money, minor units: at plain prices, in orders, and what is not got for what is
        kept."""
        plain = [
            (var, factor * supply.price)
            for item, bought in self.packs.items()
            for terms, supply in zip(bought, self.problem.ways(item), strict=True)
            if supply.seller is None
            for var, factor in terms
        ]
        prices = self.problem.needs.resale
        unsold = [(kept.pieces, prices[item]) for item, kept in self.kept.items()]
        return plain + unsold + [t for order in self.orders.values() for t in order.cost]

    def dearer(self, before: Problem, after: Problem) -> Terms:
        """How much more is spent at the prices of one problem than at those of another, which
        differ in plain prices alone."""
        ways = before.supplies
        return [
            (var, factor * (now.price - then.price))
            for item, bought in self.packs.items()
            if after.supplies.get(item) is not ways.get(item)
            for terms, then, now in zip(bought, ways[item], after.supplies[item], strict=True)
            for var, factor in terms
        ]

    def paid(self) -> Terms:
        """Money as it counts in the objective."""
        return self.spent() if self.counted is None else self.counted

    def net(self) -> Terms:
        """What counts less all that could be sold: what the rig costs."""
        assert self.one is not None
        if self.regret is not None:
            return [(self.regret, 1)]
        sale, money = self.problem.sale, self.paid()
        return [*money, (self.one, -sale)] if sale else money

    def ordered(self) -> Terms:
        """Number of orders."""
        return [(order.used, 1) for order in self.orders.values()]

    def read(self, value: Callable[[Var], int]) -> Counted:
        """The solution that `value` tells."""
        hosts = sorted((c.slot, c.device.id, c) for c, var in self.hosts.items() if value(var))
        packs = {
            item: tuple(amount(terms, value) for terms in bought)
            for item, bought in self.packs.items()
        }
        return Counted(
            hosts=tuple(column for _, _, column in hosts),
            satellites=_positive(self.satellites, value),
            clocked={work: _positive(states, value) for work, states in self.clocked.items()},
            routes=_positive(self.routes, value),
            chains=_positive(self.chains, value),
            followers=_positive(self.followers, value),
            packs={item: numbers for item, numbers in packs.items() if any(numbers)},
            joined=Joined(
                tuple(key for key, terms in self.stubs.items() if amount(terms, value)),
                tuple((b, value(b.lines)) for b in self.bunches if value(b.lines)),
                tuple((p, value(p.number)) for p in self.pieces if value(p.number)),
            ),
            boxed=_positive(self.boxed, value),
            laid=_positive(self.laid, value),
            kept={item: value(kept.pieces) for item, kept in self.kept.items()},
        )


KeyT = TypeVar("KeyT")


def _positive(counts: Mapping[KeyT, Var], value: Callable[[Var], int]) -> dict[KeyT, int]:
    return {key: value(var) for key, var in counts.items() if value(var)}


def upper_of(problem: Problem, column: SatelliteColumn) -> int:
    """Most units of a column that can be in a cheapest rig."""
    wiring = column.wiring
    links = wiring.links + sum(wiring.returns.values())
    upper = problem.max_joined // links if links else problem.max_units
    if problem.most is not None:
        upper = min(upper, problem.most.get(column.device.id, 0))
    if problem.unlimited(column.device.id):
        return min(upper, problem.max_units)
    return min(upper, problem.max_units, problem.obtainable(column.device.id))
