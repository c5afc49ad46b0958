"""Facts of the catalogue that explain a conflict, as far as its members ask for them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from rigopt.answers.choice import Fact, Need
from rigopt.catalogue.types import Catalogue, Device
from rigopt.facts import ANALOGUE, FORMATS, LIGHT_PIPE
from rigopt.needs.sources import COUNTS
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.problem.signatures import may_be_master
from rigopt.optimiser.problem.supplies import supplies

_SOURCES: Final = frozenset(COUNTS)
_PLACES: Final = frozenset(["rate_hz", "max_hosts", "ports"])
"""Needs that decide how many inputs there can be at most."""


def facts(catalogue: Catalogue, needs: Needs, conflict: Sequence[Need]) -> tuple[Fact, ...]:
    """What to know of `catalogue` to understand that `conflict` cannot be met."""
    names = {need.name for need in conflict}
    problem = state(catalogue, needs)
    found = [*_hosts(problem, alone=not conflict)]
    if problem.hosts:
        if names & _SOURCES and names <= _SOURCES | _PLACES:
            found += _sockets(problem)
        told = dict.fromkeys(tell for name, tell in _TOLD.items() if name in names)
        found += [fact for tell in told for fact in tell(problem)]
    required = [str(need.value) for need in conflict if need.name == "require"]
    return (*found, *(fact for item in required for fact in _required(problem, item)))


def obtainable(problem: Problem) -> list[Device]:
    """Device types that are owned or for sale, whatever else is asked."""
    devices = list(problem.catalogue.devices.values())
    sold = supplies(problem.catalogue, problem.needs, devices)
    return [device for device in devices if device.id in sold or problem.owned(device.id)]


def _hosts(problem: Problem, alone: bool) -> Iterator[Fact]:
    """That there is no host, if so, and what is wrong with those that could be had."""
    if problem.hosts:
        return
    hosts = [device for device in obtainable(problem) if device.may_host]
    at_rate = [host for host in hosts if problem.rate_hz in host.rates_hz]
    if alone or not hosts:
        yield Fact("no_host")
    elif not at_rate:
        rates = {rate for host in hosts for rate in host.rates_hz}
        yield Fact("no_host_at_rate", rates_hz=tuple(sorted(rates)))
    else:
        yield Fact("no_host_on_ports", ports=tuple(sorted({host.computer for host in at_rate})))


def _sockets(problem: Problem) -> Iterator[Fact]:
    """The most inputs, and the most light-pipe inputs, that one host has at the rate."""
    largest = _most(problem, lambda host: host.visible.total)
    yield Fact("most_inputs", largest.id, largest.visible.total)
    piped = _most(problem, _light_pipes)
    each = FORMATS[LIGHT_PIPE].carries(piped.multiplier)
    yield Fact("most_optical", piped.id, _light_pipes(piped), each=each)


def _light_pipes(host: DeviceAtRate) -> int:
    """Light-pipe inputs of a host that arrive whole."""
    row = FORMATS[LIGHT_PIPE]
    return sum(
        row in socket.formats and len(host.visible.sockets[socket.ref]) == host.carries(row)
        for socket in host.sockets
        if socket.ref.way == "in"
    )


def _most(problem: Problem, of: Callable[[DeviceAtRate], int]) -> DeviceAtRate:
    """The host with the most of something, the first by id if there are several."""
    return min(problem.hosts, key=lambda host: (-of(host), host.id))


def _line_outputs(problem: Problem) -> Iterator[Fact]:
    host = _most(problem, lambda host: host.device.line_out)
    yield Fact("most_line_out", host.id, host.device.line_out)


def _phones(problem: Problem) -> Iterator[Fact]:
    host = _most(problem, lambda host: host.device.phones)
    yield Fact("most_phones", host.id, host.device.phones)
    amplifiers = [d for d in obtainable(problem) if d.role == "headphones"]
    if amplifiers:
        most = min(amplifiers, key=lambda device: (-device.phones, device.id))
        yield Fact("amplifier", most.id, most.phones, each=most.line_in)


def _banks(problem: Problem) -> Iterator[Fact]:
    """How finely 48 V can be switched, if at all."""
    devices = [box.device for box in problem.devices]
    sizes = [d.phantom_bank for d in devices if d.phantom_bank and d.mic_capable]
    smallest = [size if isinstance(size, int) else min(size) for size in sizes]
    yield Fact("smallest_bank", number=min(smallest, default=0))


def _cables(problem: Problem) -> Iterator[Fact]:
    """The longest cable of each kind that can be had and is not too long to work."""
    rows = (*FORMATS.values(), *problem.formats.values())
    leads = any(device.has_direct_outs for device in obtainable(problem))
    limits = {row.cable: row.max_mm for row in rows if leads or row.id != ANALOGUE}
    for kind, limit in limits.items():
        lengths = [c.length_mm for c in problem.cables if c.kind == kind]
        yield Fact("longest_cable", kind, max(lengths, default=0), each=limit or 0)


def _master(problem: Problem) -> Iterator[Fact]:
    """That nothing here can be the clock master that is asked for, if so."""
    hosts = any(may_be_master(problem, box.device, as_host=True) for box in problem.hosts)
    rest = any(
        box.device.digital and may_be_master(problem, box.device, as_host=False)
        for box in problem.satellites
    )
    if not (hosts or rest):
        yield Fact("no_master")


def _required(problem: Problem, item: str) -> Iterator[Fact]:
    if item not in {device.id for device in obtainable(problem)}:
        yield Fact("not_had", item)
    elif not problem.catalogue.devices[item].may_stand(problem.rate_hz):
        yield Fact("not_at_rate", item, rates_hz=problem.catalogue.devices[item].rates_hz)


_TOLD: Final[dict[str, Callable[[Problem], Iterator[Fact]]]] = {
    "phantom": _banks,
    "no_phantom": _banks,
    "out_line": _line_outputs,
    "out_phones": _phones,
    "host_to_rack_mm": _cables,
    "within_rack_mm": _cables,
    "master": _master,
}
