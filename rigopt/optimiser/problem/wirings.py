"""How a unit that is no host can be joined to one: every wiring that may be of use."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.by_kind import NONE, ByKind

Cuts = dict[Kind, list[int]]
"""Numbers of channels that arrive on an input socket that some host's computer cuts."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """How a unit that is no host is joined to a host, if it is.

    `links` audio links of `kind` go to the host in `slot`; of these, link number
    `cut_link` (0: none) ends on the socket of which only `cut` channels arrive. `returns`
    counts links from that host that feed line outputs.
    """

    slot: int | None = None
    kind: Kind | None = None
    links: int = 0
    cut_link: int = 0
    cut: int = 0
    returns: ByKind = NONE


ALONE = Wiring()


def fed(returns: ByKind, satellite: DeviceAtRate) -> int:
    """Line outputs of a unit that so many links from its host feed."""
    return min(satellite.device.line_out, returns.times(satellite.width))


def cuts(problem: Problem) -> Cuts:
    """What arrives on sockets that are cut, of all hosts."""
    return {
        kind: sorted({host.visible.cut[kind] for host in problem.hosts} - {0})
        for kind in AUDIO_KINDS
    }


def wirings(problem: Problem, satellite: DeviceAtRate, cut: Cuts) -> Iterator[Wiring]:
    """Every wiring of a type."""
    device = satellite.device
    if satellite.outputs or device.id in problem.needs.require:
        yield ALONE
    if device.role == "clock":
        return
    returns = [NONE, *(_returns(satellite) if problem.needs.out_line else ())]
    for slot in problem.slots:
        for back in returns[1:]:
            yield Wiring(slot, returns=back)
        for kind, links, cut_link, arriving in _sendings(cut, satellite):
            for back in returns:
                yield Wiring(slot, kind, links, cut_link, arriving, back)


def _returns(satellite: DeviceAtRate) -> Iterator[ByKind]:
    """Numbers of return links, each of which feeds something more."""
    for numbers in product(*(range(satellite.inputs[kind] + 1) for kind in AUDIO_KINDS)):
        links = ByKind(zip(AUDIO_KINDS, numbers, strict=True))
        now = fed(links, satellite)
        if links and all(fed(links.less(kind), satellite) < now for kind in links):
            yield links


def _sendings(cut: Cuts, satellite: DeviceAtRate) -> Iterator[tuple[Kind, int, int, int]]:
    """Kind, number of audio links, which link is cut and to how many channels."""
    for kind in AUDIO_KINDS:
        useful = -(-satellite.device.analogue // satellite.width[kind])
        for links in range(1, min(useful, satellite.outputs[kind]) + 1):
            yield kind, links, 0, 0
            for arriving in cut[kind]:
                for cut_link in range(1, links + 1):
                    yield kind, links, cut_link, arriving
