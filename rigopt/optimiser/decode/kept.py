"""Names and sockets that units keep from what stood before, as stages of growth do.

A unit that stands again has the name that it had first, and no other unit ever gets it. Of
several of a type each takes the name that fits it best: one of its role, then one of the
rig just before, then the one with the most links to the same host. Hosts come in the order
in which they first stood, so that their numbers at the computer stay, and a link to a host
wishes for the socket that it had there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import count
from typing import NamedTuple

from rigopt.optimiser.decode.boxes import Box, Sockets
from rigopt.optimiser.problem.columns import SatelliteColumn
from rigopt.rig.types import Rig, Unit


class Stood(NamedTuple):
    """A unit as it stood last, whether just before, and the sockets of its links at hosts."""

    unit: Unit
    just: bool
    sockets: Sockets


def keep(boxes: Sequence[Box], rigs: Sequence[Rig]) -> list[Box]:
    """`boxes` in the order and by the names that stay, and with what their links wish for."""
    before = _stood(rigs)
    named = _Names(boxes, before)
    for box in boxes:
        box.name = named.names[box]
        box.wishes = before[box.name].sockets if box.name in before else {}
    order = {name: place for place, name in enumerate(before)}
    return sorted(boxes, key=lambda b: (b.role != "host", order.get(b.name, len(order))))


def _stood(rigs: Sequence[Rig]) -> dict[str, Stood]:
    """Every unit by name, in the order in which they first stood."""
    found: dict[str, Stood] = {}
    for rig in rigs:
        hosts = {unit.name for unit in rig.units if unit.role == "host"}
        for unit in rig.units:
            sockets: dict[tuple[str, str], tuple[int, ...]] = {}
            for link in sorted(rig.links, key=lambda link: link.from_socket):
                if link.from_unit == unit.name and link.to_unit in hosts and link.channels:
                    place = link.to_unit, link.format.id
                    sockets[place] = (*sockets.get(place, ()), link.to_socket)
            found[unit.name] = Stood(unit, rig is rigs[-1], sockets)
    return found


class _Names:
    """A name for each box: first for hosts, then for what is joined to them."""

    def __init__(self, boxes: Sequence[Box], before: dict[str, Stood]) -> None:
        self.names: dict[Box, str] = {}
        self._before = before
        self._hosts = {box.place: box for box in boxes if box.role == "host"}
        self._joined = {place: Counter[tuple[str, str]]() for place in self._hosts}
        for box in boxes:
            if (joint := _joint(box)) is not None:
                self._joined[joint[0]][box.column.device.id, joint[1]] += 1
        self._match(self._hosts.values(), same_role=True)
        self._match([box for box in boxes if box.role != "host"], same_role=True)
        self._match(boxes, same_role=False)
        for box in boxes:
            if box not in self.names:
                taken = {*before, *self.names.values()}
                options = (f"{box.role}-{number}" for number in count(1))
                self.names[box] = next(name for name in options if name not in taken)

    def _match(self, boxes: Iterable[Box], *, same_role: bool) -> None:
        fits = [
            (box, name)
            for box in boxes
            for name, was in self._before.items()
            if was.unit.device.id == box.column.device.id
            and (was.unit.role == box.role or not same_role)
        ]
        for box, name in sorted(fits, key=lambda fit: self._fitness(*fit), reverse=True):
            if box not in self.names and name not in self.names.values():
                self.names[box] = name

    def _fitness(self, box: Box, name: str) -> tuple[bool, int]:
        """Whether that one stood just before, and how many of its links stay."""
        was = self._before[name]
        if box.role == "host":
            return was.just, (self._joined[box.place] & self._sent_to(name)).total()
        joint = _joint(box)
        host = None if joint is None else self.names.get(self._hosts[joint[0]])
        stay = was.sockets.get((host, joint[1]), ()) if joint and host else ()
        return was.just, len(stay)

    def _sent_to(self, host: str) -> Counter[tuple[str, str]]:
        """What was joined to a host: types, by format."""
        return Counter(
            (was.unit.device.id, row)
            for was in self._before.values()
            for to, row in was.sockets
            if to == host
        )


def _joint(box: Box) -> tuple[int, str] | None:
    """Slot of the host that it sends audio to, and the id of the format."""
    if not isinstance(box.column, SatelliteColumn):
        return None
    wiring = box.column.wiring
    if wiring.slot is None or wiring.format is None or not wiring.audio:
        return None
    return wiring.slot, wiring.format.id
