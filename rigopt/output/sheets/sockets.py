"""What sockets are set to: the format that they speak, and which of a group works."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigopt.catalogue.types import SocketRef
from rigopt.facts import FORMATS
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import grouped, numbered, sockets, stands_alone
from rigopt.output.words.phrases import listed
from rigopt.rig.sockets import sockets as live
from rigopt.rig.types import Rig, Unit


def optical(rig: Rig) -> Iterator[Step]:
    """Optical sockets often carry light-pipe or stereo, by a setting."""
    spoken = _spoken(rig)
    units = [unit for unit in rig.units if not stands_alone(unit)]
    lines = grouped((unit.name, text) for unit in units for text in settings(rig, unit))
    if lines:
        yield Step(f"Set the optical sockets to {listed(spoken)}", tuple(lines))


def settings(rig: Rig, unit: Unit) -> Iterator[str]:
    """What the optical sockets of a unit are set to.

    A row of the catalogue may not tell that a socket speaks another format too.
    """
    links = [link for _, link in numbered(rig, "optical")]
    either = {s.ref for s in live(unit.device, rig.rate_hz) if len(s.formats) > 1}
    for name in _spoken(rig):
        ends = [x.end[1] for x in links if x.format.id == name and x.to_unit == unit.name]
        ends += [x.start[1] for x in links if x.format.id == name and x.from_unit == unit.name]
        for refs, choice in (
            (either.intersection(ends), f", not to {_other(name)}"),
            (set(ends) - either, ", if there is a choice"),
        ):
            ways = [(w, [ref.number for ref in refs if ref.way == w]) for w in ("in", "out")]
            if refs:
                yield f"{sockets('optical', ways)} to {name}{choice}."


def _spoken(rig: Rig) -> list[str]:
    return list(dict.fromkeys(link.format.id for _, link in numbered(rig, "optical")))


def shared(rig: Rig) -> Iterator[Step]:
    """Sockets that share a receiver or a sender with others of their unit, which stay dead."""
    lines = [x for unit in rig.units if not stands_alone(unit) for x in choices(rig, unit)]
    if lines:
        yield Step("Choose among the sockets that share something", tuple(lines))


def choices(rig: Rig, unit: Unit) -> Iterator[str]:
    """Which of the sockets that share something is the one in use."""
    plugged = {end for link in rig.links for end in (link.start, link.end)}
    for group in unit.device.either:
        for ref in group:
            if (unit.name, ref) in plugged and len(group) > 1:
                others = _sockets([other for other in group if other != ref])
                yield f"{unit.name}: to {_sockets([ref])}, not to {others}."


def _sockets(refs: Iterable[SocketRef]) -> str:
    return listed([f"{ref.kind} {ref.way} {ref.number}" for ref in refs], "or")


def _other(name: str) -> str:
    """What such a socket carries by its other setting."""
    kind = FORMATS[name].socket
    return listed([row.id for row in FORMATS.values() if row.socket == kind and row.id != name])
