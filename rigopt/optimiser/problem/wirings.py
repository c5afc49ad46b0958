"""How a unit that is no host can be joined to one: every wiring that may be of use."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from rigopt.catalogue.types import Device
from rigopt.facts import Format
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.links import NONE, Links
from rigopt.optimiser.problem.ports import Hosting, Use
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.sockets import Socket

Cuts = Mapping[str, list[int]]
"""By format: numbers of channels that arrive on an input socket that is cut, of any host."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """How a unit that is no host is joined to a host, if it is.

    `links` links of `format` go to the host in `slot`, of which the first `audio` bring
    channels; of these, number `cut_link` (0: none) ends on a socket of which only `cut`
    channels arrive. `returns` counts links from that host that are there to feed line
    outputs, beside those of a duplex format, which feed them too. `idle`: without any link.
    `mute`: what the links of a duplex format feed does not count, for the clocks at their
    ends differ.
    """

    slot: int | None = None
    format: Format | None = None
    links: int = 0
    audio: int = 0
    cut_link: int = 0
    cut: int = 0
    returns: Links = NONE
    idle: bool = False
    mute: bool = False

    def uses(self, width: int) -> Iterator[tuple[Use, int]]:
        """What its links want of the host's sockets, with how many want it."""
        if self.format is not None:
            name, whole = self.format.id, self.audio - (self.cut_link > 0)
            if whole:
                yield Use("in", name, width), whole
            if self.cut_link:
                yield Use("in", name, self.cut), 1
            if self.links > self.audio:
                yield Use("in", name), self.links - self.audio
        for name, number in self.returns.items():
            yield Use("out", name), number

    @property
    def own(self) -> tuple[str | None, int, Links]:
        """What its links take of the unit's own sockets."""
        return None if self.format is None else self.format.id, self.links, self.returns

    @property
    def feeding(self) -> Links:
        """All links that feed line outputs."""
        if self.format is None or not self.format.duplex:
            return self.returns
        return self.returns.plus(self.format.id, self.links)


ALONE = Wiring()
IDLE = Wiring(idle=True)


def fed(feeding: Links, satellite: DeviceAtRate) -> int:
    """Line outputs of a unit that so many links from its host feed."""
    width = {row.id: satellite.carries(row) for row in satellite.formats}
    carried = sum(number * width[name] for name, number in feeding.items())
    return min(satellite.device.line_out, carried)


def most_fed(satellite: DeviceAtRate) -> int:
    """Line outputs of a unit that links from its host can feed, whatever else it does."""
    carried = sum(
        max(map(satellite.carries, socket.formats))
        for socket in satellite.sockets
        if socket.ref.way == "in" or socket.duplex
    )
    return min(satellite.device.line_out, carried)


def cuts(hosts: Iterable[tuple[Hosting, DeviceAtRate]]) -> Cuts:
    """What arrives on sockets that are cut, of all hosts."""
    found: dict[str, set[int]] = {}
    for hosting, box in hosts:
        width = {row.id: box.carries(row) for row in box.formats}
        for port, _ in hosting.ports:
            for name, arriving in port.arrives:
                if 0 < arriving < width[name]:
                    found.setdefault(name, set()).add(arriving)
    return {name: sorted(numbers) for name, numbers in found.items()}


def sent(
    problem: Problem, satellite: DeviceAtRate, mode: tuple[Socket, ...], cut: Cuts
) -> Iterator[Wiring]:
    """What a type can send to a host with the sockets of one mode, without anything back.

    Nothing, in a slot, is for links that come back alone.
    """
    device = satellite.device
    if device.id in problem.needs.require or not device.digital or taps(problem, device):
        yield IDLE
    if any(socket.ref.way == "out" or socket.duplex for socket in mode):
        yield ALONE
    if device.role == "clock":
        return
    for slot in problem.slots:
        if problem.feeds and most_fed(satellite):
            yield Wiring(slot)
        for sending in _sendings(problem, cut, satellite, mode):
            yield Wiring(slot, *sending)


def wirings(
    problem: Problem,
    satellite: DeviceAtRate,
    mode: tuple[Socket, ...],
    cut: Cuts,
    sending: Container[Wiring] | None = None,
) -> Iterator[Wiring]:
    """Every wiring of a type with the sockets of one mode; or those that send one of these."""
    returns = list(_returns(satellite, mode)) if problem.feeds else []
    for wiring in sent(problem, satellite, mode, cut):
        if sending is not None and wiring not in sending:
            continue
        if wiring.format is not None or wiring.slot is None:
            yield wiring
        if _may_be_mute(problem, wiring, satellite):
            yield replace(wiring, mute=True)
        for back in returns if wiring.slot is not None else ():
            both = replace(wiring, returns=back)
            if _each_feeds(both, satellite):
                yield both


def taps(problem: Problem, device: Device) -> bool:
    """Whether its direct outs can be used: some cable suits their plug."""
    return device.has_direct_outs and any(device.direct_plug == p for p, _ in problem.plugs)


def _returns(satellite: DeviceAtRate, mode: tuple[Socket, ...]) -> Iterator[Links]:
    """Numbers of return links, each of which feeds something more."""
    rows = [row for row in satellite.formats if satellite.carries(row)]
    sockets = [sum(row in s.formats and s.ref.way == "in" for s in mode) for row in rows]
    for numbers in product(*(range(number + 1) for number in sockets)):
        links = Links((row.id, n) for row, n in zip(rows, numbers, strict=True))
        if links and _needed(links, NONE, satellite):
            yield links


def _needed(returns: Links, others: Links, satellite: DeviceAtRate) -> bool:
    """Whether each return link feeds an output that the rest do not."""
    every = others.with_(returns)
    now = fed(every, satellite)
    return all(fed(every.plus(name, -1), satellite) < now for name in returns)


def _each_feeds(wiring: Wiring, satellite: DeviceAtRate) -> bool:
    """Whether return links feed something beside the links of a duplex format."""
    row = wiring.format
    if row is None or not row.duplex:
        return True
    own = Links([(row.id, wiring.links)])
    return not wiring.returns[row.id] and _needed(wiring.returns, own, satellite)


def _may_be_mute(problem: Problem, wiring: Wiring, satellite: DeviceAtRate) -> bool:
    """Whether it could do without outputs that it feeds, to run on a clock of its own."""
    row = wiring.format
    return (
        row is not None
        and row.duplex
        and wiring.links == wiring.audio
        and row.socket not in satellite.device.rate_converter
        and any(row.socket in host.device.rate_converter for host in problem.hosts)
        and fed(wiring.feeding, satellite) > 0
        and problem.feeds
    )


def _sendings(
    problem: Problem, cut: Cuts, satellite: DeviceAtRate, mode: tuple[Socket, ...]
) -> Iterator[tuple[Format, int, int, int, int]]:
    """Format, number of links, of those with audio, which is cut and to how many channels."""
    outputs = satellite.device.line_out if problem.feeds else 0
    for row in satellite.formats:
        width = satellite.carries(row)
        if not width:
            continue
        sending = -(-satellite.analogue // width)
        useful = max(sending, -(-outputs // width)) if row.duplex else sending
        sockets = sum(row in s.formats and (s.ref.way == "out" or s.duplex) for s in mode)
        for links in range(1, min(useful, sockets) + 1):
            audio = min(links, sending)
            yield row, links, audio, 0, 0
            for arriving in cut.get(row.id, ()):
                for cut_link in range(1, audio + 1):
                    yield row, links, audio, cut_link, arriving
