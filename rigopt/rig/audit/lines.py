"""Analogue lines: a direct out and an input for line, plugs that fit, one piece a connector.

Every rule looks at single channels; what a direct out carries is counted on the fingers.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from rigopt.catalogue.types import Device
from rigopt.rig.audit.banks import accepts, banks, microphones
from rigopt.rig.audit.channels import Channel, of_themselves
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, line_name
from rigopt.rig.types import Link

CONNECTOR = 8
"""Channels of a 25-way D-sub connector (AES59, restated)."""


def check_lines(wiring: Wiring) -> Iterator[Finding]:
    """Rules line-out, line-in, line-self, line-twice, line-idle, line-needless, line-bank,
    line-channels.
    """
    outs, ins = Counter(map(_start, wiring.lines)), Counter(map(_end, wiring.lines))
    reached = of_themselves(wiring)
    for link in wiring.lines:
        wrong = list(_ends(wiring, link))
        yield from wrong
        if outs[_start(link)] > 1 or ins[_end(link)] > 1:
            yield finding("line-twice", link=line_name(link))
        if wrong:  # of a line that is nowhere nothing follows
            continue
        if _source(wiring, link) in reached:
            yield finding("line-needless", link=line_name(link), unit=link.from_unit)
        if _end(link) not in reached:
            yield finding("line-idle", link=line_name(link), unit=link.to_unit)
        yield from _bank(wiring, link)
        if (link.channels, link.carries, link.back) != (1, ("audio",), 0):
            yield finding("line-channels", link=line_name(link))
    for unit in wiring.units:
        if unit.role == "preamp" and unit.name in wiring.linked:
            yield finding("preamp-linked", unit=unit.name)


def _start(link: Link) -> tuple[str, int]:
    return link.from_unit, link.from_socket


def _end(link: Link) -> Channel:
    return link.to_unit, link.to_socket


def _source(wiring: Wiring, link: Link) -> Channel | None:
    """The channel that a line carries, if there is one."""
    outs = direct_outs(wiring.unit(link.from_unit).device)
    if not 1 <= link.from_socket <= len(outs):
        return None
    return link.from_unit, outs[link.from_socket - 1]


def direct_outs(device: Device) -> list[int]:
    """The channel that each direct out carries, direct out 1 first."""
    return microphones(device)[: device.direct_out]


def _ends(wiring: Wiring, link: Link) -> Iterator[Finding]:
    sender, taker = wiring.unit(link.from_unit), wiring.unit(link.to_unit)
    name, takes = line_name(link), accepts(taker.device)
    if _source(wiring, link) is None:
        yield finding(
            "line-out",
            link=name,
            unit=sender.name,
            device=sender.device.id,
            count=len(direct_outs(sender.device)),
        )
    if not (1 <= link.to_socket <= len(takes) and "line" in takes[link.to_socket - 1]):
        yield finding("line-in", link=name, unit=taker.name, channel=link.to_socket)
    if sender is taker:
        yield finding("line-self", link=name, unit=sender.name)


def _bank(wiring: Wiring, link: Link) -> Iterator[Finding]:
    """Rule line-bank: an XLR input that takes microphones too has its 48 V off."""
    unit = wiring.unit(link.to_unit)
    for number, channels in enumerate(banks(unit.device), start=1):
        on = number in unit.phantom_banks_on and link.to_socket in channels
        if on and unit.device.line_plug == "xlr":
            yield finding("line-bank", link=line_name(link), unit=unit.name, bank=number)


def pieces(links: Sequence[Link]) -> list[list[Link]]:
    """The lines of each piece: those with one number; without a number each is one."""
    found: dict[object, list[Link]] = defaultdict(list)
    for place, link in enumerate(links):
        found[("alone", place) if link.piece is None else ("piece", link.piece)].append(link)
    return list(found.values())


def check_line_pieces(wiring: Wiring) -> Iterator[Finding]:
    """Rules piece-units, piece-differs, piece-plugs, piece-ways, piece-places,
    connector-taken.
    """
    together = pieces(wiring.lines)
    for links in together:
        yield from _piece(wiring, links)
    for side in ("out", "in"):
        yield from _connectors(wiring, together, side)


def _piece(wiring: Wiring, links: Sequence[Link]) -> Iterator[Finding]:
    name, senders = line_name(links[0]), {link.from_unit for link in links}
    if len(senders) > 1:
        yield finding("piece-units", link=name)
        return
    if len({link.cable for link in links}) > 1:
        yield finding("piece-differs", link=name)
    cable = links[0].cable
    start = wiring.unit(*senders).device.direct_plug
    ends = {wiring.unit(link.to_unit).device.line_plug for link in links}
    if (
        cable is not None
        and cable.ends is not None
        and {(start, e) for e in ends} != {cable.ends}
    ):
        yield finding(
            "piece-plugs",
            link=name,
            cable=cable.id,
            plugs="-".join(cable.ends),
            wanted=" and ".join(f"{start}-{end}" for end in sorted(ends)),
        )
    if cable is not None and len(links) > cable.ways:
        yield finding(
            "piece-ways", link=name, cable=cable.id, ways=cable.ways, count=len(links)
        )
    if start == "dsub" and "dsub" in ends:
        for link in links:
            into = _end_place(wiring, link)
            if into is not None and (_start_place(link) - into) % CONNECTOR:
                yield finding("piece-places", link=line_name(link))


def _start_place(link: Link) -> int:
    """The place of a line among the direct outs, the first one 0."""
    return link.from_socket - 1


def _end_place(wiring: Wiring, link: Link) -> int | None:
    """The same among the inputs for line; None: it is not there."""
    takes = accepts(wiring.unit(link.to_unit).device)
    lines = [n for n, kinds in enumerate(takes, start=1) if "line" in kinds]
    return lines.index(link.to_socket) if link.to_socket in lines else None


def _connectors(
    wiring: Wiring, together: Sequence[Sequence[Link]], side: str
) -> Iterator[Finding]:
    """Rule connector-taken: each D-sub connector has one piece, and each piece one."""
    holds: dict[tuple[str, int], set[int]] = defaultdict(set)
    sits: Mapping[int, set[tuple[str, int]]] = defaultdict(set)
    for number, links in enumerate(together):
        for link in links:
            unit = wiring.unit(link.from_unit if side == "out" else link.to_unit)
            plug = unit.device.direct_plug if side == "out" else unit.device.line_plug
            place = _start_place(link) if side == "out" else _end_place(wiring, link)
            if plug == "dsub" and place is not None:
                connector = unit.name, place // CONNECTOR + 1
                holds[connector].add(number)
                sits[number].add(connector)
    for (name, number), inside in holds.items():
        if len(inside) > 1 or {len(sits[piece]) for piece in inside} != {1}:
            yield finding("connector-taken", unit=name, connector=number, side=side)
