"""Hosts that cannot do their part of what is needed, whatever stands beside them.

A host brings the computer its own channels and what its input sockets carry; the other
hosts bring no more than the best of them. A type that falls short even so is in no rig.
Leaving it out keeps the linear relaxation from mixing a little of it into a bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from rigopt.needs.types import Needs
from rigopt.optimiser.problem.columns import HostColumn
from rigopt.optimiser.problem.problem import Problem


def _line_outs(host: HostColumn) -> int:
    """Most line outputs on it and on what it feeds."""
    box = host.at_rate
    fed = sum(
        max(map(box.carries, socket.formats))
        for socket in box.sockets
        if socket.ref.way == "out" or socket.duplex
    )
    return host.line_outs + fed


PARTS: Final[tuple[tuple[Callable[[Needs], int], Callable[[HostColumn], int]], ...]] = (
    (lambda needs: needs.inputs + needs.spare, lambda host: host.at_rate.visible.total),
    (lambda needs: needs.out_line, _line_outs),
    (lambda needs: needs.out_phones, lambda host: host.device.phones),
)
"""What is asked for in all, and the most that one host can bring of it; headphones, which
amplifiers can have as well, are the last."""


def reaching(problem: Problem, columns: Iterable[HostColumn]) -> list[HostColumn]:
    """The hosts that do not fall short of inputs or outputs."""
    others = problem.needs.max_hosts - 1
    hosts = list(columns)
    amplified = any(box.device.role == "headphones" for box in problem.satellites)
    for wanted, brings in PARTS[:-1] if amplified else PARTS:
        best = others * max(map(brings, hosts), default=0)
        hosts = [host for host in hosts if brings(host) + best >= wanted(problem.needs)]
    return hosts
