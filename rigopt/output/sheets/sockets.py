"""What sockets are set to: the format that they speak, and which of a group works."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigopt.catalogue.types import SocketRef
from rigopt.facts import FORMATS
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered, sockets
from rigopt.output.words.phrases import listed
from rigopt.rig.types import Rig


def optical(rig: Rig) -> Iterator[Step]:
    """Optical sockets often carry light-pipe or stereo, by a setting."""
    links = numbered(rig, "optical")
    lines = []
    spoken = list(dict.fromkeys(link.format.id for _, link in links))
    for unit in rig.units:
        for name in spoken:
            here = [link for _, link in links if link.format.id == name]
            ins = [link.to_socket for link in here if link.to_unit == unit.name]
            outs = [link.from_socket for link in here if link.from_unit == unit.name]
            if ins or outs:
                used = sockets("optical", (("in", ins), ("out", outs)))
                lines.append(f"{unit.name}: {used} to {name}, not to {_other(name)}.")
    if lines:
        yield Step(f"Set the optical sockets to {listed(spoken)}", tuple(lines))


def shared(rig: Rig) -> Iterator[Step]:
    """Sockets that share a receiver or a sender with others of their unit, which stay dead."""
    plugged = {end for link in rig.links for end in (link.start, link.end)}
    lines = [
        f"{unit.name}: to {_sockets([ref])}, not to {_sockets([x for x in group if x != ref])}."
        for unit in rig.units
        for group in unit.device.either
        for ref in group
        if (unit.name, ref) in plugged and len(group) > 1
    ]
    if lines:
        yield Step("Choose among the sockets that share something", tuple(lines))


def _sockets(refs: Iterable[SocketRef]) -> str:
    return listed([f"{ref.kind} {ref.way} {ref.number}" for ref in refs], "or")


def _other(name: str) -> str:
    """What such a socket carries by its other setting."""
    kind = FORMATS[name].socket
    return listed([row.id for row in FORMATS.values() if row.socket == kind and row.id != name])
