"""Locks: a unit is locked to an input that it can lock to, with a cable that brings clock."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import SocketRef
from rigopt.rig.audit import relock
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.sockets import is_live, locks
from rigopt.rig.audit.wiring import Wiring, directions, link_name
from rigopt.rig.types import ClockSetting, Link, Unit


def check_lock(wiring: Wiring, unit: Unit, clock: ClockSetting) -> Iterator[Finding]:
    """Rules clock-kind, clock-link and clock-format of one unit that is not a master."""
    source, socket, sender = clock.source, clock.socket, clock.from_unit
    if not locks(unit.device, source, socket):
        single = [one for one in unit.device.clock_in if isinstance(one, SocketRef)]
        listed = [one for one in unit.device.clock_in if not isinstance(one, SocketRef)]
        yield finding(
            "clock-kind",
            unit=unit.name,
            kind=f"{source} {socket}" if any(one.kind == source for one in single) else source,
            device=unit.device.id,
            listed=", ".join([*listed, *(f"{one.kind} {one.number}" for one in single)])
            or "nothing",
            way=relock.way(wiring, unit),
        )
    arrivals = wiring.arrivals[unit.name]
    there = [x for x in arrivals if (x.link.kind, x.socket) == (source, socket)]
    if not any(x.sender == sender for x in there):
        yield finding(
            "clock-link",
            unit=unit.name,
            kind=source,
            sender=f" from {sender}" if sender else "",
            socket="without a number" if socket is None else socket,
            way=relock.missing(wiring, unit),
        )
    for link, _, _ in there:
        if not link.format.clock:
            yield finding(
                "clock-format",
                unit=unit.name,
                link=link_name(link),
                way=relock.way(wiring, unit),
            )


def check_carries(wiring: Wiring) -> Iterator[Finding]:
    """Rule carries-clock: 'clock' is on a link exactly if a unit at its end is locked to it."""
    for link in wiring.links:
        ends = [name for _, name, _ in directions(link)]
        locked = [name for name in ends if _is_locked(link, wiring.unit(name))]
        if bool(locked) != ("clock" in link.carries):
            yield finding(
                "carries-clock",
                link=link_name(link),
                unit=(locked or ends)[0],
                said="no clock" if locked else "clock",
                does="is" if locked else "is not",
                cure="put" if locked else "leave out",
            )


def check_lowest(wiring: Wiring) -> Iterator[Finding]:
    """Rule clock-lowest: of links of one kind that are there anyway, from units as near.

    One that brings clock alone is there for it, or to move a host's numbers.
    """
    for unit in wiring.clocked:
        place, clock = wiring.places.get(unit.name), unit.clock
        if place is None or clock is None or clock.socket is None:
            continue
        before, here = place._replace(hops=place.hops - 1), (clock.source, clock.socket)
        arrivals = wiring.arrivals[unit.name]
        alone = any(
            (x.link.kind, x.socket) == here and "audio" not in x.link.carries for x in arrivals
        )
        for link, sender, socket in () if alone else arrivals:
            if (
                link.kind == clock.source
                and socket < clock.socket
                and wiring.places.get(sender) == before
                and link.format.clock
                and locks(unit.device, link.kind, socket)
                and is_live(wiring, link)
            ):
                yield finding(
                    "clock-lowest",
                    unit=unit.name,
                    kind=link.kind,
                    said=clock.socket,
                    socket=socket,
                )


def _is_locked(link: Link, unit: Unit) -> bool:
    """Whether a unit takes its clock from the socket that the link is in.

    Over one of a duplex format it may come from either end, so the setting says from which.
    """
    clock = unit.clock
    return clock is not None and any(
        (receiver, link.kind, socket) == (unit.name, clock.source, clock.socket)
        and (not link.format.duplex or sender == clock.from_unit)
        for sender, receiver, socket in directions(link)
    )
