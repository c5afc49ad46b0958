"""Sockets: each exists, does at the rate what its cable speaks, and takes one cable."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import lru_cache

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import FORMATS, LIGHT_PIPE, OPTICAL_STEREO, Format
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, khz, link_name, step_of
from rigopt.rig.types import End, Link, Way


def ends(link: Link) -> tuple[End, ...]:
    """The sockets a link sits on; one that goes on from a T-piece has none at its start."""
    out, into = sides(link.format)
    end = End(link.to_unit, link.kind, into, link.to_socket)
    start = End(link.from_unit, link.kind, out, link.from_socket)
    return (end,) if link.after else (start, end)


def sides(row: Format) -> tuple[Way, Way]:
    """The ways of the sockets where a link of a format starts and ends."""
    return ("socket", "socket") if row.duplex else ("output", "input")


def ways(device: Device, kind: str) -> tuple[Way, ...]:
    """The ways of its sockets of a kind: those of a duplex trunk are both at once."""
    both = kind == "trunk" and device.trunk is not None and device.trunk.duplex
    return ("socket",) if both else ("input", "output")


def fitted(device: Device, kind: str, way: str) -> int:
    """Sockets of `kind` on the box, dead or live; `way` is one of its `ways`."""
    number: int = getattr(device, f"{kind}_{'out' if way == 'output' else 'in'}")
    return number


def formats(device: Device, kind: str) -> tuple[Format, ...]:
    """What sockets of a kind of the box may speak, at some rate."""
    if kind == "trunk":
        return () if device.trunk is None else (device.trunk,)
    return tuple(row for row in FORMATS.values() if row.socket == kind)


def last(device: Device, row: Format, way: str, rate_hz: int) -> int:
    """The last socket of a way that speaks a format at the rate; they are 1 to this."""
    step, limit = step_of(rate_hz), fitted(device, row.socket, way)
    if row not in formats(device, row.socket) or (any(row.channels) and not row.channels[step]):
        return 0
    if row.id == LIGHT_PIPE:
        side = (device.optical_1x, device.optical_2x, device.optical_4x)[step]
        if isinstance(side, tuple):
            side = side.outputs if way == "output" else side.inputs
        limit = min(limit, side)
    if row.id == OPTICAL_STEREO:
        limit = min(limit, device.optical_stereo)
    if row.socket == "coax":
        limit = (limit, min(limit, device.coax_2x), min(limit, device.coax_4x))[step]
    return limit


def live(device: Device, kind: str, way: str, rate_hz: int) -> int:
    """Sockets that carry something at the rate; they are sockets 1 to this."""
    rows = formats(device, kind)
    return max((last(device, row, way, rate_hz) for row in rows), default=0)


def is_live(wiring: Wiring, link: Link) -> bool:
    """Whether both sockets of `link` are there and speak its format at the rate."""
    row, rate_hz = link.format, wiring.rate_hz
    out, into = sides(row)
    start, end = wiring.unit(link.from_unit).device, wiring.unit(link.to_unit).device
    return 1 <= link.from_socket <= last(
        start, row, out, rate_hz
    ) and 1 <= link.to_socket <= last(end, row, into, rate_hz)


def locks(device: Device, kind: str, socket: int | None) -> bool:
    """Whether the box can lock to that socket; without a number, to some of the kind."""
    single = [one for one in device.clock_in if isinstance(one, SocketRef)]
    return kind in device.clock_in or any(
        one.kind == kind and socket in (None, one.number) for one in single
    )


def converts(device: Device, kind: str) -> bool:
    """Whether a sample-rate converter stands behind its input sockets of a kind."""
    return kind in device.rate_converter


def shared(device: Device, name: str) -> Iterator[tuple[End, ...]]:
    """Groups of sockets of the unit `name` of which only one works at a time."""
    for group in device.either:
        yield tuple(
            End(name, kind, "output" if way == "out" else ways(device, kind)[0], number)
            for kind, way, number in group
        )


@lru_cache(maxsize=4)
def closed(wiring: Wiring) -> frozenset[End]:
    """Sockets that take no cable any more: they have one, or another that excludes it."""
    plugged = {end for link in wiring.links for end in ends(link)}
    groups = (group for unit in wiring.units for group in shared(unit.device, unit.name))
    return frozenset(plugged.union(*(g for g in groups if not plugged.isdisjoint(g))))


def check_sockets(wiring: Wiring) -> Iterator[Finding]:
    """Rules socket-missing, socket-dead, socket-format, socket-taken, socket-either."""
    plugged: dict[End, list[Link]] = defaultdict(list)
    for link in wiring.links:
        for end in ends(link):
            plugged[end].append(link)
    for end, links in plugged.items():
        yield from _works(wiring, end, links)
        if len(links) > 1:
            yield _taken(end, len(links))
    for unit in wiring.units:
        for group in shared(unit.device, unit.name):
            yield from _one_of(unit.name, group, [end for end in group if end in plugged])


def _works(wiring: Wiring, end: End, links: list[Link]) -> Iterator[Finding]:
    name, kind, way, socket = end
    device = wiring.unit(name).device
    count = fitted(device, kind, way)
    alive = live(device, kind, way, wiring.rate_hz)
    if device.trunk is not None and way not in ways(device, kind):
        yield from (_mute(wiring, end, link) for link in links)
    elif not 1 <= socket <= count:
        yield finding(
            "socket-missing",
            unit=name,
            kind=kind,
            way=way,
            socket=socket,
            device=device.id,
            count=count,
            link=link_name(links[0]),
        )
    elif socket > alive:
        yield finding(
            "socket-dead",
            "" if alive else "all",
            unit=name,
            kind=kind,
            way=way,
            socket=socket,
            rate=khz(wiring.rate_hz),
            live=alive,
            link=link_name(links[0]),
        )
    else:
        for link in links:
            if socket > last(device, link.format, way, wiring.rate_hz):
                yield _mute(wiring, end, link)


def _mute(wiring: Wiring, end: End, link: Link) -> Finding:
    name, kind, way, socket = end
    return finding(
        "socket-format",
        unit=name,
        kind=kind,
        way=way,
        socket=socket,
        format=link.format.label,
        rate=khz(wiring.rate_hz),
        link=link_name(link),
    )


def _taken(end: End, count: int) -> Finding:
    name, kind, way, socket = end
    return finding("socket-taken", unit=name, kind=kind, way=way, socket=socket, count=count)


def _one_of(name: str, group: tuple[End, ...], plugged: list[End]) -> Iterator[Finding]:
    if len(plugged) > 1:
        yield finding(
            "socket-either",
            unit=name,
            sockets=", ".join(f"{kind} {way} {socket}" for _, kind, way, socket in group),
            count=len(plugged),
        )
