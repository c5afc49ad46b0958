"""Sockets: each exists, is live at the rate, and takes one cable of its own kind."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from rigopt.catalogue.types import Device
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, khz, link_name
from rigopt.rig.types import End, Link


def ends(link: Link) -> tuple[End, End]:
    """The two sockets a link sits on."""
    return (
        End(link.from_unit, link.kind, "output", link.from_socket),
        End(link.to_unit, link.kind, "input", link.to_socket),
    )


def fitted(device: Device, kind: str, way: str) -> int:
    """Sockets of `kind` on the box, dead or live; `way` is 'input' or 'output'."""
    counts = {
        ("optical", "input"): device.optical_in,
        ("optical", "output"): device.optical_out,
        ("coax", "input"): device.coax_in,
        ("coax", "output"): device.coax_out,
        ("word", "input"): device.word_in,
        ("word", "output"): device.word_out,
    }
    return counts[kind, way]


def dead_from(device: Device, kind: str, rate_hz: int) -> int | None:
    """First socket, each way, that is dead at the rate; None where the rate kills none."""
    if kind != "optical" or rate_hz <= 48000:
        return None
    return 1 + (device.optical_2x if rate_hz <= 96000 else device.optical_4x)


def live(device: Device, kind: str, way: str, rate_hz: int) -> int:
    """Sockets that carry something at the rate; they are sockets 1 to this."""
    count, dead = fitted(device, kind, way), dead_from(device, kind, rate_hz)
    return count if dead is None else min(count, dead - 1)


def is_live(wiring: Wiring, link: Link) -> bool:
    """Whether both sockets of `link` are there and carry something at the rate."""
    return all(
        1 <= socket <= live(wiring.unit(name).device, kind, way, wiring.rate_hz)
        for name, kind, way, socket in ends(link)
    )


def check_sockets(wiring: Wiring) -> Iterator[Finding]:
    """Rules socket-missing, socket-dead, socket-taken."""
    plugged: dict[End, list[Link]] = defaultdict(list)
    for link in wiring.links:
        for end in ends(link):
            plugged[end].append(link)
    for end, links in plugged.items():
        yield from _exists(wiring, end, links[0])
        if len(links) > 1:
            yield _taken(end, len(links))


def _exists(wiring: Wiring, end: End, link: Link) -> Iterator[Finding]:
    name, kind, way, socket = end
    device = wiring.unit(name).device
    count = fitted(device, kind, way)
    dead = dead_from(device, kind, wiring.rate_hz)
    if not 1 <= socket <= count:
        yield finding(
            "socket-missing",
            unit=name,
            kind=kind,
            way=way,
            socket=socket,
            device=device.id,
            count=count,
            link=link_name(link),
        )
    elif dead is not None and socket >= dead:
        yield finding(
            "socket-dead",
            unit=name,
            kind=kind,
            way=way,
            socket=socket,
            rate=khz(wiring.rate_hz),
            live=dead - 1,
            link=link_name(link),
        )


def _taken(end: End, count: int) -> Finding:
    name, kind, way, socket = end
    return finding("socket-taken", unit=name, kind=kind, way=way, socket=socket, count=count)
