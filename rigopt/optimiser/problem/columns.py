"""What is counted: each way in which a type can stand in a rig.

Units of one type are interchangeable, so the model does not number them. It counts how
many stand in each *column*: device type and wiring (which host, how many links of which
kind). Hosts are few and are told apart by a slot.

The clock is counted apart from that. Of the units of a column, only their *signature*
matters to it: what they can lock to, and which output sockets they have left. Units of
the same signature are interchangeable once more, so for each signature the model counts
how many take their clock from where, and how many links from the clock master they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from rigopt.catalogue.types import Device
from rigopt.facts import AUDIO_KINDS, KINDS, Kind, link_channels
from rigopt.optimiser.problem.problem import Problem

LockBy = Literal["internal", "shared", "alone"]


class Lock(NamedTuple):
    """Where the clock comes from.

    `shared`: a link that is there for its audio (towards a host) or for outputs (towards
    an expander); `alone`: a link that is there for the clock only.
    """

    by: LockBy
    kind: Kind | None = None


INTERNAL = Lock("internal")

Cuts = dict[Kind, list[int]]
"""Numbers of channels that arrive on an input socket that some host's computer cuts."""


class VisibleInputs(NamedTuple):
    """What a host shows the computer: channels, and sockets by how much arrives.

    `whole[kind]` sockets arrive in full; at most one socket of all is cut by `max_in_…`,
    `cut` channels of it arrive.
    """

    channels: int
    whole: tuple[int, int]
    cut_kind: Kind | None
    cut: int


def visible_inputs(device: Device, rate_hz: int) -> VisibleInputs:
    """The visible inputs of `device` as a host at `rate_hz`."""
    limit = device.max_in(rate_hz)
    left = 10**9 if limit is None else limit
    shown = min(device.analogue, left)
    left -= shown
    whole: list[int] = []
    cut_kind: Kind | None = None
    cut = 0
    for kind in ("coax", "optical"):  # the order in which the computer numbers them
        capacity, sockets = link_channels(kind, rate_hz), device.live_in(kind, rate_hz)
        full = min(sockets, left // capacity)
        whole.append(full)
        left -= full * capacity
        if full < sockets:
            if 0 < left < capacity:
                cut_kind, cut = kind, left
            left = 0
    return VisibleInputs(shown, (whole[1], whole[0]), cut_kind, cut)


@dataclass(frozen=True, slots=True)
class Wiring:
    """How a unit that is no host is joined to a host, if it is.

    `links` audio links of `kind` go to the host in `slot`; of these, link number
    `cut_link` (0: none) ends on the socket of which only `cut` channels arrive. `returns`
    counts links from that host that feed line outputs: (optical, coax).
    """

    slot: int | None = None
    kind: Kind | None = None
    links: int = 0
    cut_link: int = 0
    cut: int = 0
    returns: tuple[int, int] = (0, 0)


ALONE = Wiring()


class ClockSignature(NamedTuple):
    """All that the clock needs to know of a unit.

    `slot`: the host it is, or is joined to; `sends`: the kind of its audio links to that
    host; `shared`: kinds of link that may be there anyway and that it can lock to (a
    host: audio links, another unit: return links); `alone`: kinds of input socket it can
    lock to by a link for clock alone; `free_out`: output sockets left, optical, coax, word.
    """

    host: bool
    slot: int | None
    sends: Kind | None
    internal: bool
    shared: tuple[Kind, ...]
    alone: tuple[Kind, ...]
    free_out: tuple[int, int, int]

    def states(self, max_hops: int) -> Iterator[ClockState]:
        """Where the clock may come from, and how far the master may be."""
        if self.internal:
            yield ClockState(INTERNAL, 0)
        for hop in range(1, max_hops + 1):
            for kind in self.shared:
                yield ClockState(Lock("shared", kind), hop)
            for kind in self.alone:
                yield ClockState(Lock("alone", kind), hop)


class ClockState(NamedTuple):
    """Where the clock comes from, and how many links away the master is."""

    lock: Lock
    hop: int


@dataclass(frozen=True, eq=False)
class HostColumn:
    """A type in a host slot."""

    device: Device
    slot: int
    rate_hz: int
    visible: VisibleInputs
    signature: ClockSignature

    @property
    def arriving(self) -> range:
        """Channel numbers that reach the computer."""
        return range(1, self.visible.channels + 1)

    @property
    def line_outs(self) -> int:
        """Line outputs of use."""
        return self.device.line_out


@dataclass(frozen=True, eq=False)
class SatelliteColumn:
    """A type that is no host, wired in one way."""

    device: Device
    wiring: Wiring
    rate_hz: int
    signature: ClockSignature

    @cached_property
    def arriving(self) -> tuple[int, ...]:
        """Channel numbers that reach the computer."""
        wiring = self.wiring
        numbers: list[int] = []
        if wiring.kind is None:
            return ()
        capacity = link_channels(wiring.kind, self.rate_hz)
        for link in range(1, wiring.links + 1):
            seen = wiring.cut if link == wiring.cut_link else capacity
            first = (link - 1) * capacity + 1
            numbers += range(first, min(first + seen - 1, self.device.analogue) + 1)
        return tuple(numbers)

    @cached_property
    def line_outs(self) -> int:
        """Line outputs that its return links feed."""
        return fed(self.wiring.returns, self.device, self.rate_hz)


def fed(returns: tuple[int, int], device: Device, rate_hz: int) -> int:
    """Line outputs of `device` that `returns` (optical, coax) links feed."""
    capacity = sum(
        count * link_channels(kind, rate_hz)
        for count, kind in zip(returns, AUDIO_KINDS, strict=True)
    )
    return min(device.line_out, capacity)


def host_columns(problem: Problem) -> Iterator[HostColumn]:
    """Every way in which a type can be a host."""
    taken = lockable(problem)
    for device in problem.hosts:
        shown = visible_inputs(device, problem.rate_hz)
        for slot in problem.slots:
            signature = _host_clock_signature(problem, device, slot, taken)
            yield HostColumn(device, slot, problem.rate_hz, shown, signature)


def satellite_columns(problem: Problem) -> Iterator[SatelliteColumn]:
    """Every way in which a type can stand in the rig without being a host."""
    taken = lockable(problem)
    cuts = _cuts(problem)
    for device in problem.satellites:
        for wiring in _wirings(problem, device, cuts):
            signature = _clock_signature(problem, device, wiring, taken)
            if signature.internal or signature.shared or signature.alone:
                yield SatelliteColumn(device, wiring, problem.rate_hz, signature)


def may_be_master(problem: Problem, device: Device, as_host: bool) -> bool:
    """Whether the needs and the type allow it to be clock master in this role."""
    wish = problem.needs.master
    role = "host" if as_host else ("clock" if device.role == "clock" else "expander")
    return device.internal_clock and wish in ("any", role, device.id)


def lockable(problem: Problem) -> frozenset[Kind]:
    """Kinds of link for clock alone that anything here could lock to."""
    return frozenset(
        kind
        for device in problem.devices
        for kind in device.clock_in
        if device.live_in(kind, problem.rate_hz)
    )


def _cuts(problem: Problem) -> Cuts:
    seen = [visible_inputs(host, problem.rate_hz) for host in problem.hosts]
    return {
        kind: sorted({shown.cut for shown in seen if shown.cut_kind == kind})
        for kind in AUDIO_KINDS
    }


def _host_clock_signature(
    problem: Problem, device: Device, slot: int, taken: frozenset[Kind]
) -> ClockSignature:
    rate, shown = problem.rate_hz, visible_inputs(device, problem.rate_hz)
    locks = [kind for kind in device.clock_in if device.live_in(kind, rate)]
    return ClockSignature(
        host=True,
        slot=slot,
        sends=None,
        internal=may_be_master(problem, device, as_host=True),
        shared=tuple(
            kind
            for place, kind in enumerate(AUDIO_KINDS)
            if kind in locks and (shown.whole[place] > 0 or shown.cut_kind == kind)
        ),
        alone=tuple(kind for kind in KINDS if kind in locks),
        free_out=_free_out(device, ALONE, taken, rate),
    )


def _clock_signature(
    problem: Problem, device: Device, wiring: Wiring, taken: frozenset[Kind]
) -> ClockSignature:
    rate = problem.rate_hz
    back: dict[Kind, int] = {"word": 0, **dict(zip(AUDIO_KINDS, wiring.returns, strict=True))}
    locks = [kind for kind in KINDS if kind in device.clock_in]
    return ClockSignature(
        host=False,
        slot=wiring.slot,
        sends=wiring.kind,
        internal=may_be_master(problem, device, as_host=False),
        shared=tuple(kind for kind in locks if back[kind]),
        alone=tuple(kind for kind in locks if device.live_in(kind, rate) > back[kind]),
        free_out=_free_out(device, wiring, taken, rate),
    )


def _free_out(
    device: Device, wiring: Wiring, taken: frozenset[Kind], rate: int
) -> tuple[int, int, int]:
    """Output sockets left; one that nothing here could lock to is as good as none."""
    optical, coax, word = (
        device.live_out(kind, rate) - (wiring.links if wiring.kind == kind else 0)
        if kind in taken
        else 0
        for kind in KINDS
    )
    return optical, coax, word


def _wirings(problem: Problem, device: Device, cuts: Cuts) -> Iterator[Wiring]:
    rate = problem.rate_hz
    hands_on = any(device.live_out(kind, rate) for kind in KINDS)
    if hands_on or device.id in problem.needs.require:
        yield ALONE
    if device.role == "clock":
        return
    returns = list(_returns(problem, device))
    for slot in problem.slots:
        for back in returns:
            if back != (0, 0):
                yield Wiring(slot, returns=back)
        for kind, links, cut_link, cut in _sendings(cuts, device, rate):
            for back in returns:
                yield Wiring(slot, kind, links, cut_link, cut, back)


def _returns(problem: Problem, device: Device) -> Iterator[tuple[int, int]]:
    """Numbers of return links worth having: none, or each feeding something more."""
    yield (0, 0)
    if not problem.needs.out_line or not device.line_out:
        return
    rate = problem.rate_hz
    for optical in range(device.live_in("optical", rate) + 1):
        for coax in range(device.live_in("coax", rate) + 1):
            now = fed((optical, coax), device, rate)
            fewer = ((optical - 1, coax), (optical, coax - 1))
            if (optical or coax) and all(
                min(less) < 0 or fed(less, device, rate) < now for less in fewer
            ):
                yield (optical, coax)


def _sendings(cuts: Cuts, device: Device, rate: int) -> Iterator[tuple[Kind, int, int, int]]:
    """Kind, number of audio links, which link is cut and to how many channels."""
    for kind in AUDIO_KINDS:
        capacity = link_channels(kind, rate)
        useful = -(-device.analogue // capacity)
        sockets = min(useful, device.live_out(kind, rate))
        for links in range(1, sockets + 1):
            yield kind, links, 0, 0
            for cut in cuts[kind]:
                for cut_link in range(1, links + 1):
                    yield kind, links, cut_link, cut


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that a model counts."""

    hosts: Sequence[HostColumn]
    satellites: Sequence[SatelliteColumn]

    def __len__(self) -> int:
        return len(self.hosts) + len(self.satellites)

    def only(self, wanted: Callable[[HostColumn | SatelliteColumn], bool]) -> Columns:
        """Those that are wanted."""
        return Columns(
            [column for column in self.hosts if wanted(column)],
            [column for column in self.satellites if wanted(column)],
        )
