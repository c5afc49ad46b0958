"""What the clock needs to know of a unit, and nothing else of it.

The clock is counted apart from the wiring. Of the units of a column only their *signature*
matters to it: what they can lock to, and which output sockets they have left. Units of the
same signature are interchangeable, so for each signature the model counts how many take
their clock from where, and how many links from the clock master they are.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from rigopt.catalogue.types import Device
from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.wirings import ALONE, Wiring
from rigopt.rig.by_kind import ByKind


class Lock(NamedTuple):
    """Where the clock comes from.

    `shared`: a link that is there for its audio (towards a host) or for outputs (towards
    an expander); `alone`: a link that is there for the clock only.
    """

    by: Literal["internal", "shared", "alone"]
    kind: Kind | None = None


INTERNAL = Lock("internal")


class ClockState(NamedTuple):
    """Where the clock comes from, and how many links away the master is."""

    lock: Lock
    hop: int


class ClockSignature(NamedTuple):
    """All that the clock needs to know of a unit.

    `slot`: the host it is, or is joined to; `sends`: the kind of its audio links to that
    host; `shared`: kinds of link that may be there anyway and that it can lock to (a
    host: audio links, another unit: return links); `alone`: kinds of input socket it can
    lock to by a link for clock alone; `free_out`: output sockets left.
    """

    host: bool
    slot: int | None
    sends: Kind | None
    internal: bool
    shared: tuple[Kind, ...]
    alone: tuple[Kind, ...]
    free_out: ByKind

    def states(self, max_hops: int) -> Iterator[ClockState]:
        """Where the clock may come from, and how far the master may be."""
        if self.internal:
            yield ClockState(INTERNAL, 0)
        for hop in range(1, max_hops + 1):
            for kind in self.shared:
                yield ClockState(Lock("shared", kind), hop)
            for kind in self.alone:
                yield ClockState(Lock("alone", kind), hop)


def may_be_master(problem: Problem, device: Device, as_host: bool) -> bool:
    """Whether the needs and the type allow it to be clock master in this role."""
    wish = problem.needs.master
    role = "host" if as_host else ("clock" if device.role == "clock" else "expander")
    return device.internal_clock and wish in ("any", role, device.id)


def lockable(problem: Problem) -> frozenset[Kind]:
    """Kinds of link for clock alone that anything here could lock to."""
    return frozenset(
        kind for box in problem.devices for kind in box.device.clock_in if box.inputs[kind]
    )


def of_host(
    problem: Problem, host: DeviceAtRate, slot: int, taken: frozenset[Kind]
) -> ClockSignature:
    """The signature of a host; `taken`: the kinds of `lockable`."""
    locks = [kind for kind in host.device.clock_in if host.inputs[kind]]
    visible = host.visible
    return ClockSignature(
        host=True,
        slot=slot,
        sends=None,
        internal=may_be_master(problem, host.device, as_host=True),
        shared=tuple(
            kind
            for kind in AUDIO_KINDS
            if kind in locks and (kind in visible.whole or kind in visible.cut)
        ),
        alone=tuple(kind for kind in KINDS if kind in locks),
        free_out=_free_out(host, ALONE, taken),
    )


def of_satellite(
    problem: Problem, satellite: DeviceAtRate, wiring: Wiring, taken: frozenset[Kind]
) -> ClockSignature:
    """The signature of a unit that is no host; `taken`: the kinds of `lockable`."""
    back, live = wiring.returns, satellite.inputs
    locks = [kind for kind in KINDS if kind in satellite.device.clock_in]
    return ClockSignature(
        host=False,
        slot=wiring.slot,
        sends=wiring.kind,
        internal=may_be_master(problem, satellite.device, as_host=False),
        shared=tuple(kind for kind in locks if back[kind]),
        alone=tuple(kind for kind in locks if live[kind] > back[kind]),
        free_out=_free_out(satellite, wiring, taken),
    )


def _free_out(unit: DeviceAtRate, wiring: Wiring, taken: frozenset[Kind]) -> ByKind:
    """Output sockets left; one that nothing here could lock to is as good as none."""
    return ByKind(
        (kind, unit.outputs[kind] - (wiring.links if wiring.kind == kind else 0))
        for kind in KINDS
        if kind in taken
    )
