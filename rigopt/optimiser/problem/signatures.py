"""What the clock needs to know of a unit, and nothing else of it.

The clock is counted apart from the wiring. Of the units of a column only their *signature*
matters to it: what they can lock to, and which output sockets they have left. Units of the
same signature are interchangeable, so for each signature the model counts how many take
their clock from where, how many links from the clock master they are, and in which tree.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from typing import Final, Literal, NamedTuple

from rigopt.catalogue.types import Device, WordEnd
from rigopt.facts import WORD
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.matching import matched
from rigopt.optimiser.problem.ports import Hosting
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.wirings import Wiring
from rigopt.rig.sockets import Socket


class Lock(NamedTuple):
    """Where the clock comes from; `format`: of the link.

    `shared`: a link that is there for its audio (towards a host) or for outputs (towards
    an expander); `alone`: a link that is there for the clock only.
    """

    by: Literal["internal", "shared", "alone"]
    format: str | None = None


INTERNAL: Final = Lock("internal")

FREE: Final = -1
"""All clock trees without a host, together: it makes no difference which unit is in which."""


class ClockState(NamedTuple):
    """Where the clock comes from, how many links away the master is, and in which tree.

    `tree`: FREE, or a number: that of the lowest slot whose host is in it.
    """

    lock: Lock
    hop: int
    tree: int


class Offer(NamedTuple):
    """Output sockets that are alike: what they speak, and whether they are duplex."""

    formats: tuple[str, ...]
    duplex: bool = False

    def covers(self, other: Offer) -> bool:
        """Whether it does whatever a socket of another sort does."""
        return self.duplex == other.duplex and set(self.formats) >= set(other.formats)


class ClockSignature(NamedTuple):
    """All that the clock needs to know of a unit.

    `slot`: the host it is, or is joined to; `sends`: the format of its links to that host,
    and `arrivals` the channels that arrive on each, where that matters to who can lock to
    them; `internal`: whether it may be the master of a tree with a host, `own_clock` of any
    other; `shared`: formats of links that are there anyway and that it can lock to (a host:
    audio links, another unit: return links, and those of a duplex format); `alone`: formats
    it can lock to by a link for clock alone; `offers`: output sockets left; `apart`: whether
    it can be in another tree than its host, where that host's sockets have converters;
    `word_end`: of its word input, if it can lock to word clock.
    """

    host: bool
    slot: int | None
    sends: str | None
    arrivals: tuple[int, ...]
    internal: bool
    own_clock: bool
    shared: tuple[str, ...]
    alone: tuple[str, ...]
    offers: tuple[tuple[Offer, int], ...]
    apart: bool
    word_end: WordEnd
    brings: str | None = None
    """Format of the links by which its audio goes to its host, if any does."""

    def states(self, hops: Iterable[int], trees: Sequence[int]) -> Iterator[ClockState]:
        """Where the clock may come from, how far the master may be, and in which trees."""
        for tree in trees:
            if self.own_clock if tree == FREE else self.internal:
                yield ClockState(INTERNAL, 0, tree)
            for hop in hops:
                for name in self.shared if tree != FREE else ():
                    yield ClockState(Lock("shared", name), hop, tree)
                for name in self.alone:
                    yield ClockState(Lock("alone", name), hop, tree)

    def left(self, lock: Lock) -> Iterator[tuple[Offer, int]]:
        """Output sockets left for the clock of others, where it has its own from `lock`."""
        for offer, number in self.offers:
            taken = lock.by == "alone" and offer.duplex and lock.format in offer.formats
            if number > taken:
                yield offer, number - taken


def may_be_master(problem: Problem, device: Device, as_host: bool) -> bool:
    """Whether the needs and the type allow it to be clock master in this role."""
    wish = problem.needs.master
    role = "host" if as_host else ("clock" if device.role == "clock" else "expander")
    return device.internal_clock and wish in ("any", role, device.id)


class Clocks:
    """What can lock to what beside some hosts, so that nothing of no use is counted."""

    def __init__(self, problem: Problem, hosts: Sequence[DeviceAtRate]) -> None:
        self.problem = problem
        boxes = (*hosts, *problem.satellites)
        self.heard = frozenset[str]().union(*(box.heard for box in boxes))
        """Formats that anything could lock to."""
        self.told = frozenset[str]().union(*(box.told for box in boxes))
        """Formats that anything could hand the clock on by."""
        self.converting = {kind for host in hosts for kind in host.device.rate_converter}
        """Kinds of socket behind which some host has a converter."""
        self.parting = bool(self.converting) or (
            problem.needs.out_line > 0
            and any(box.device.rate_converter for box in problem.satellites)
        )
        """Whether any link may join units of two clock trees."""
        self.picky = {
            name
            for host in hosts
            for name in self.heard
            if len({s.locks for s in _inputs(host.sockets) if _speaks(s, name)}) > 1
        }
        """Formats that some host can lock to on some of its sockets alone."""

    def of_host(self, host: DeviceAtRate, slot: int, hosting: Hosting) -> ClockSignature:
        """The signature of a host in one way of using its sockets."""
        ins = [port for port, _ in hosting.ports if port.locks]
        locks = list(dict.fromkeys(name for port in ins for name, _ in port.arrives))
        bringing = {
            name
            for port in ins
            for name, number in port.arrives
            if number or port.side == "both"
        }
        offers: Counter[Offer] = Counter()
        for port, number in hosting.ports:
            if port.side != "in":
                names = [name for name, _ in port.arrives]
                self._offer(offers, names, port.side == "both", number)
        return ClockSignature(
            host=True,
            slot=slot,
            sends=None,
            arrivals=(),
            internal=may_be_master(self.problem, host.device, as_host=True),
            own_clock=False,
            shared=tuple(name for name in locks if name in bringing),
            alone=tuple(name for name in locks if name in self.told),
            offers=tuple(sorted(offers.items())),
            apart=False,
            word_end=host.device.word_end,
        )

    def of_satellite(
        self, box: DeviceAtRate, wiring: Wiring, own: OwnSockets
    ) -> ClockSignature | None:
        """The signature of a unit that is no host.

        None where it has no links, or its sockets do not suffice for them.
        """
        if wiring.idle or not own.suffice:
            return None
        row, device = wiring.format, box.device
        alone = tuple(name for name in own.alone if name in self.told)
        arrivals: tuple[int, ...] = ()
        if row is not None and row.id in self.picky:
            uses = wiring.uses(box.carries(row))
            arrivals = tuple(sorted({use.arrives for use, _ in uses if use.side == "in"}))
        return ClockSignature(
            host=False,
            slot=wiring.slot,
            sends=None if row is None else row.id,
            arrivals=arrivals,
            internal=may_be_master(self.problem, device, as_host=False),
            own_clock=device.internal_clock,
            shared=own.shared,
            alone=alone,
            offers=self._offers(own),
            apart=self._apart(box, wiring),
            word_end=device.word_end if WORD in alone else "switch",
            brings=_brings(box, wiring),
        )

    def _offers(self, own: OwnSockets) -> tuple[tuple[Offer, int], ...]:
        offers: Counter[Offer] = Counter()
        for socket in own.left_out:
            self._offer(offers, (row.id for row in socket.formats), socket.duplex, 1)
        return tuple(sorted(offers.items()))

    def _offer(
        self, offers: Counter[Offer], names: Iterable[str], duplex: bool, number: int
    ) -> None:
        """Count sockets, unless nothing could lock to what they speak."""
        heard = tuple(name for name in names if name in self.heard)
        if heard:
            offers[Offer(heard, duplex)] += number

    def _apart(self, box: DeviceAtRate, wiring: Wiring) -> bool:
        """Whether it can be in a tree without its host, as far as the unit itself goes."""
        if not self.parting:
            return False
        own = box.device.rate_converter
        sockets = {r.id: r.socket for r in box.formats}
        brings = _brings(box, wiring)
        if brings is not None and sockets[brings] not in self.converting:
            return False
        fed = wiring.returns if wiring.mute or not box.device.line_out else wiring.feeding
        if not self.problem.feeds:
            fed = wiring.returns
        return all(sockets[name] in own for name in fed)


def _brings(box: DeviceAtRate, wiring: Wiring) -> str | None:
    """Format by which its audio goes to its host: by a duplex link that feeds outputs too."""
    if wiring.format is not None:
        return wiring.format.id if wiring.audio else None
    duplex = (row.id for row in box.formats if row.duplex and row.id in wiring.returns)
    return next(duplex, None) if box.analogue else None


class OwnSockets:
    """The sockets of a unit that is no host, in use for a wiring; the choosiest go first."""

    def __init__(self, wiring: Wiring, mode: Sequence[Socket]) -> None:
        in_turn = sorted(mode, key=lambda s: (len(s.formats), s.ref))
        outs = [s for s in in_turn if s.ref.way == "out"]
        both = [s for s in in_turn if s.duplex]
        row = wiring.format
        pool = both if row is not None and row.duplex else outs
        self.sending = [s for s in pool if row in s.formats][: wiring.links]
        self.row, self.returns = row, wiring.returns
        free = [s for s in both if s not in self.sending]
        self.places = [s for s in in_turn if s.ref.way == "in" and not s.duplex] + free
        self.wants = [(name, False) for name, n in self.returns.items() for _ in range(n)]
        self.suffice = len(self.sending) == wiring.links and placeable(self.wants, self.places)
        used = sum(any(_speaks(s, name) for s in free) for name, _ in self.wants)
        self.left_out = [s for s in outs if s not in self.sending] + free[used:]
        """Sockets that can hand the clock on, where it does not come in by one of them."""

    @cached_property
    def shared(self) -> tuple[str, ...]:
        """Formats of links from its host, there anyway, that it can lock to."""
        found = [
            name for name in self.returns if placeable(_locking(self.wants, name), self.places)
        ]
        if self.row is not None and self.row.duplex and any(s.locks for s in self.sending):
            found.append(self.row.id)
        return tuple(found)

    @cached_property
    def alone(self) -> tuple[str, ...]:
        """Formats that it can lock to on a socket that is left."""
        names = dict.fromkeys(row.id for s in self.places for row in s.formats)
        return tuple(n for n in names if placeable([*self.wants, (n, True)], self.places))


def _inputs(sockets: Iterable[Socket]) -> Iterator[Socket]:
    return (socket for socket in sockets if socket.ref.way == "in")


def _speaks(socket: Socket, name: str) -> bool:
    return any(row.id == name for row in socket.formats)


def _locking(wants: Sequence[tuple[str, bool]], name: str) -> list[tuple[str, bool]]:
    """The same wants, one of that format on a socket that the unit can lock to."""
    found = list(wants)
    found[found.index((name, False))] = (name, True)
    return found


def placeable(wants: Sequence[tuple[str, bool]], sockets: Sequence[Socket]) -> bool:
    """Whether each link, of a format and perhaps to lock to, finds a socket of its own."""
    return matched(
        [
            [
                index
                for index, socket in enumerate(sockets)
                if _speaks(socket, name) and lock <= socket.locks
            ]
            for name, lock in wants
        ]
    )
