"""Hosts that cannot do their part of what is needed, whatever stands beside them.

A host brings the computer its own channels and what its input sockets carry; the other
hosts bring no more than the best of them. A type that falls short even so is in no rig.
Leaving it out keeps the linear relaxation from mixing a little of it into a bound.
"""

from __future__ import annotations

from collections.abc import Callable

from rigopt.facts import AUDIO_KINDS, link_channels
from rigopt.optimiser.problem.columns import Columns, HostColumn
from rigopt.optimiser.problem.problem import Problem


def reaching(problem: Problem, counted: Columns) -> Columns:
    """The columns without the hosts that fall short of inputs or outputs."""
    needs = problem.needs
    for wanted, brings in (
        (needs.inputs, _inputs),
        (needs.out_line, _line_outs),
        (needs.out_phones, _phones),
    ):
        counted = _enough(counted, wanted, brings, needs.max_hosts - 1)
    return counted


def _enough(
    counted: Columns, wanted: int, brings: Callable[[HostColumn], int], others: int
) -> Columns:
    best = max(map(brings, counted.hosts), default=0)
    hosts = [host for host in counted.hosts if brings(host) + others * best >= wanted]
    return Columns(hosts, counted.satellites)


def _inputs(host: HostColumn) -> int:
    """Most channels that reach the computer through it."""
    visible = host.visible
    carried = sum(
        sockets * link_channels(kind, host.rate_hz)
        for sockets, kind in zip(visible.whole, AUDIO_KINDS, strict=True)
    )
    return visible.channels + carried + visible.cut


def _line_outs(host: HostColumn) -> int:
    """Most line outputs on it and on what it feeds."""
    device, rate = host.device, host.rate_hz
    fed = sum(device.live_out(kind, rate) * link_channels(kind, rate) for kind in AUDIO_KINDS)
    return host.line_outs + fed


def _phones(host: HostColumn) -> int:
    return host.device.phones
