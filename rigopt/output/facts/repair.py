"""A repair step by step: what to take off, move, replace, add, set, switch and plug.

The steps stand in the order in which to do them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rigopt.answers.repair import Repaired
from rigopt.answers.verdict import examine
from rigopt.rig.chains import fitted, fittings
from rigopt.rig.types import Link, Unit
from rigopt.rig.wired import WiredRig


class TakeOff(NamedTuple):
    """A cable that goes."""

    link: Link


class Move(NamedTuple):
    """A cable that goes to other sockets."""

    before: Link
    after: Link


class Replace(NamedTuple):
    """A cable that gives way to another in its sockets."""

    before: Link
    after: Link


class Add(NamedTuple):
    """A cable that comes."""

    link: Link


class Lay(NamedTuple):
    """A piece of analogue cable with several ways that comes."""

    links: tuple[Link, ...]


class Lift(NamedTuple):
    """One that goes."""

    links: tuple[Link, ...]


class PlugWay(NamedTuple):
    """A free way of a piece that stays in use is plugged in."""

    link: Link


class Unplug(NamedTuple):
    """A way of a piece that stays in use is taken out, and hangs free."""

    link: Link


class Fit(NamedTuple):
    """A T-piece, a terminator or both that come to the input where a cable ends."""

    link: Link
    tee: bool
    terminator: bool


class Strip(NamedTuple):
    """The same that go."""

    link: Link
    tee: bool
    terminator: bool


class SetFormat(NamedTuple):
    """Both sockets of a cable that stays are set to another format."""

    link: Link


class SetRate(NamedTuple):
    """Every unit is set to another rate."""

    rate_hz: int


class SetRole(NamedTuple):
    """A unit is set up in another role; it is given as it is to be."""

    unit: Unit


class SetClock(NamedTuple):
    """A unit is set to another clock; it is given as it is to be."""

    unit: Unit


class Switch(NamedTuple):
    """Banks of a unit, by number, whose 48 V is switched on or off."""

    unit: str
    banks: tuple[int, ...]
    on: bool


class Plug(NamedTuple):
    """A named source that is plugged into another channel than it was in."""

    source: str
    unit: str | None
    channel: int | None


Step = (
    TakeOff
    | Move
    | Replace
    | Add
    | Lay
    | Lift
    | PlugWay
    | Unplug
    | Fit
    | Strip
    | SetFormat
    | SetRate
    | SetRole
    | SetClock
    | Switch
    | Plug
)


def repair_steps(before: WiredRig, repair: Repaired) -> list[Step]:
    """Every step of the repair of `before`."""
    return [
        *_cables(before, repair),
        *_small(before, repair.rig),
        *_formats(before, repair.rig),
        *_settings(before, repair.rig),
        *_sources(before, repair.rig),
    ]


def _cables(before: WiredRig, repair: Repaired) -> Iterator[Step]:
    removed, gone = _by_piece(repair.removed, before.links)
    added, come = _by_piece(repair.added, repair.rig.links)
    old = {_sockets(link): link for link in removed}
    new = {_sockets(link) for link in added}
    yield from (TakeOff(link) for link in removed if _sockets(link) not in new)
    yield from (Lift(links) if whole else Unplug(*links) for links, whole in gone)
    yield from (Move(moved.before, moved.after) for moved in repair.moved)
    for link in added:
        if _sockets(link) in old:
            yield Replace(old[_sockets(link)], link)
    yield from (Add(link) for link in added if _sockets(link) not in old)
    yield from (Lay(links) if whole else PlugWay(*links) for links, whole in come)


def _by_piece(
    some: Sequence[Link], every: Sequence[Link]
) -> tuple[list[Link], list[tuple[tuple[Link, ...], bool]]]:
    """Cables of one link; and of other pieces the ways that are in `some`: all of a piece, or
    else one by one. A way that is all of a piece is a cable of one link.
    """
    alone: list[Link] = []
    ways: dict[int, list[Link]] = {}
    for link in some:
        if link.piece is None or link.kind != "analogue":
            alone.append(link)
        else:
            ways.setdefault(link.piece, []).append(link)
    found: list[tuple[tuple[Link, ...], bool]] = []
    for number, links in ways.items():
        if len(links) < sum(x.kind == "analogue" and x.piece == number for x in every):
            found += [((link,), False) for link in links]
        elif len(links) == 1:
            alone += links
        else:
            found.append((tuple(links), True))
    return alone, found


def _sockets(link: Link) -> tuple[object, ...]:
    """What a cable sits on, whichever way it is told."""
    if link.format.duplex:
        return link.kind, frozenset({link.start, link.end})
    return link.kind, link.after or link.start, link.end


def _small(before: WiredRig, after: WiredRig) -> Iterator[Step]:
    """T-pieces and terminators that go and come, by the input where they sit."""
    was = _by_end(before, fitted(before.units, before.links))
    now = _by_end(after, fittings(after.units, after.links))
    for place, (link, tee, end) in was.items():
        _, more, last = now.get(place, (link, False, False))
        if (tee and not more) or (end and not last):
            yield Strip(link, tee and not more, end and not last)
    for place, (link, tee, end) in now.items():
        _, more, last = was.get(place, (link, False, False))
        if (tee and not more) or (end and not last):
            yield Fit(link, tee and not more, end and not last)


def _by_end(
    rig: WiredRig, small: list[tuple[bool, bool]]
) -> dict[object, tuple[Link, bool, bool]]:
    """Each link of one way with its T-piece and terminator, by the input where it ends."""
    return {
        link.end: (link, *pieces)
        for link, pieces in zip(rig.links, small, strict=True)
        if not link.format.duplex
    }


def _formats(before: WiredRig, after: WiredRig) -> Iterator[SetFormat]:
    was = {_sockets(link): link.format for link in before.links}
    for link in after.links:
        if was.get(_sockets(link), link.format) != link.format:
            yield SetFormat(link)


def _set(unit: Unit) -> tuple[str, int | None] | None:
    """The source of its clock, and the socket."""
    return None if unit.clock is None else (unit.clock.source, unit.clock.socket)


def _settings(before: WiredRig, after: WiredRig) -> Iterator[Step]:
    if before.rate_hz != after.rate_hz:
        yield SetRate(after.rate_hz)
    for old, new in zip(before.units, after.units, strict=True):
        if new.role not in (old.role, "preamp"):
            yield SetRole(new)
        if new.clock is not None and _set(old) != _set(new):
            yield SetClock(new)
        was, is_on = set(old.phantom_banks_on), set(new.phantom_banks_on)
        for banks, on in ((was - is_on, False), (is_on - was, True)):
            if banks:
                yield Switch(new.name, tuple(sorted(banks)), on)


def _sources(before: WiredRig, after: WiredRig) -> Iterator[Step]:
    was = {
        item.source: (item.unit, item.channel)
        for item in examine(before, None).inputs
        if item.source is not None
    }
    for seat in after.stated:
        if seat.source is not None and was.get(seat.source) != (seat.unit, seat.channel):
            yield Plug(seat.source, seat.unit, seat.channel)
