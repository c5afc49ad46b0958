"""Analogue cables by name: which direct out goes to which input, by which piece.

The model settled which channels are occupied, which come by direct outs, how many lines go
where, and whose the pieces are; they are dealt out in order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from rigopt.facts import ANALOGUE, FORMATS
from rigopt.optimiser.decode.boxes import Box
from rigopt.optimiser.decode.deal import deal
from rigopt.optimiser.model.variables import Bunch, Counted, Lead, Piece, Site, Stub
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.links import Wire


class Line(NamedTuple):
    """A channel on its way from a direct out to an input."""

    sender: Box
    channel: int
    taker: Box
    into: int


class Laid(NamedTuple):
    """A piece of cable, and the lines on it."""

    lead: Lead
    lines: tuple[Line, ...]


Group = tuple[Stub, Stub, str]
"""Where pieces leave, where they end, and the plug there."""


def laid(problem: Problem, found: Sequence[Box], counted: Counted) -> list[Laid]:
    """Every piece with its lines, unit by unit."""
    joined = counted.joined
    by_site = {box.site: box for box in found}
    moved: dict[Site, list[int]] = defaultdict(list)
    for site, channel in sorted(joined.moved, key=lambda key: key[1]):
        moved[site].append(channel)
    pieces: dict[Group, list[Piece]] = defaultdict(list)
    for piece, number in joined.pieces:
        pieces[piece.stub, piece.end, piece.lead.plug] += [piece] * number
    bunches = [
        (bunch, _channels(bunch, number, moved))
        for bunch, number in _in_order(found, by_site, joined.lines)
    ]
    lines: dict[Group, list[Line]] = defaultdict(list)
    for bunch, way in [
        *_into_connectors(bunches, by_site, moved),
        *_singles(bunches, by_site, moved),
    ]:
        lines[bunch.stub, bunch.end, bunch.inlet.plug].append(way)
    order = dict.fromkeys((b.stub, b.end, b.inlet.plug) for b, _ in bunches)
    return [piece for key in order for piece in _on_pieces(problem, lines[key], pieces[key])]


def _in_order(
    found: Sequence[Box],
    by_site: Mapping[Site, Box],
    lines: Sequence[tuple[Bunch, int]],
) -> list[tuple[Bunch, int]]:
    """By the unit they leave and its connector, if it has any, those to hosts first."""

    def key(item: tuple[Bunch, int]) -> tuple[object, ...]:
        bunch, _ = item
        assert bunch.stub.site is not None
        sender = found.index(by_site[bunch.stub.site])
        end = -1 if bunch.end.site is None else found.index(by_site[bunch.end.site])
        return sender, bunch.stub.connector, not bunch.inlet.host, bunch.inlet, end

    return sorted(lines, key=key)


def _channels(bunch: Bunch, number: int, moved: Mapping[Site, list[int]]) -> list[int]:
    """The channels whose direct outs a bunch takes, from those that are left."""
    assert bunch.stub.site is not None
    left = moved[bunch.stub.site]
    free = set(left).intersection(bunch.stub.site.face.direct)
    channels = [channel for channel in bunch.stub.channels if channel in free][:number]
    left[:] = [channel for channel in left if channel not in channels]
    return channels


Dealt = Sequence[tuple[Bunch, Sequence[int]]]


def _into_connectors(
    bunches: Dealt, by_site: Mapping[Site, Box], moved: Mapping[Site, list[int]]
) -> Iterator[tuple[Bunch, Line]]:
    """Lines to D-sub connectors; from another of them, place by place."""
    for bunch, channels in bunches:
        end = bunch.end.site
        if end is None or bunch.stub.site is None:
            continue
        taken = set(moved[end]).intersection(end.face.inlets)
        inputs = [c for c in bunch.end.channels if c in taken]
        if bunch.stub.connector is not None:
            places = [bunch.stub.channels.index(channel) for channel in channels]
            inputs = [bunch.end.channels[place] for place in places]
        for channel, into in zip(channels, inputs, strict=False):
            moved[end].remove(into)
            yield bunch, Line(by_site[bunch.stub.site], channel, by_site[end], into)


def _singles(
    bunches: Dealt, by_site: Mapping[Site, Box], moved: Mapping[Site, list[int]]
) -> Iterator[tuple[Bunch, Line]]:
    """Lines to plugs of their own: each to the next input that is not of its own unit."""
    for inlet in dict.fromkeys(bunch.inlet for bunch, _ in bunches):
        free = [
            (box, channel)
            for site, box in by_site.items()
            if site.face.inlet == inlet
            for channel in moved[site]
            if channel in site.face.inlets
        ]
        wants = [
            (bunch, by_site[bunch.stub.site], channel)
            for bunch, channels in bunches
            if bunch.end.site is None and bunch.stub.site is not None and bunch.inlet == inlet
            for channel in channels
        ]
        places = deal(wants, free, lambda want, place: place[0] is not want[1])
        for (bunch, sender, channel), place in zip(wants, places, strict=True):
            yield bunch, Line(sender, channel, *place)


def _on_pieces(
    problem: Problem, lines: Sequence[Line], pieces: Sequence[Piece]
) -> Iterator[Laid]:
    """The lines on their pieces: those with the longest runs on pieces for such runs."""
    runs = {
        True: problem.needs.host_to_rack_mm,
        False: problem.needs.within_rack_mm,
    }
    left = sorted(lines, key=lambda line: -runs[line.taker.role == "host"])
    for piece in sorted(pieces, key=lambda p: (-runs[p.lead.far], -p.lead.ways)):
        ways, left = left[: piece.lead.ways], left[piece.lead.ways :]
        if ways:
            yield Laid(piece.lead, tuple(ways))


def wires(pieces: Sequence[Laid]) -> list[Wire]:
    """The wires of all pieces, which are numbered from 1."""
    return [
        Wire(
            FORMATS[ANALOGUE],
            line.sender.name,
            line.sender.column.device.direct_channels.index(line.channel) + 1,
            line.taker.name,
            line.into,
            piece=number,
        )
        for number, piece in enumerate(pieces, 1)
        for line in piece.lines
    ]
