"""From a rig to a picture as numbers: columns of boxes, and a lane for every cable.

Cables run level from a socket into the channel beside its column, and upright in a lane of
their own there. One that has to pass a whole column does so above all boxes. So no cable
can run through a box, whatever the rig.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from rigopt.output.facts.cables import Bundle, bundles
from rigopt.output.facts.clocks import goes_back, goes_there
from rigopt.output.page.arrange import CableEnd, Form, columns, ends, places
from rigopt.output.page.geometry import LOAD, Anchor, Cable, Drawing, Lettering, Point
from rigopt.output.page.lanes import Lane, in_order
from rigopt.output.page.lettering import width
from rigopt.output.page.place import COLUMN, GAP, boxes, plugs, rows
from rigopt.output.page.words import cable_told, load_lines
from rigopt.rig.types import Link, Rig, Unit

MARGIN: Final = 8
TRACK: Final = 8
"""From one lane to the next."""

PLATE: Final = 9
"""Half the width of the plate with a cable's number."""

PLUG: Final = 34
"""Room beside a box for the end of a cable: arrow head and plate."""

LABELLED: Final = 91
"""Room beside a box for the beginning of a cable: plate and load."""


@dataclass(frozen=True, slots=True)
class _Way:
    """One cable's ends, and the channels (by the column on their left) it is in."""

    source: CableEnd
    target: CableEnd
    from_channel: int
    to_channel: int

    @property
    def over(self) -> bool:
        return self.from_channel != self.to_channel

    @property
    def both(self) -> tuple[CableEnd, CableEnd]:
        return self.source, self.target


def draw(rig: Rig, form: Form) -> Drawing:
    """The picture of `rig`; narrow for a telephone, wide for anything broader."""
    placed = columns(rig, form)
    where = places(placed)
    pairs = ends(bundles(rig.links), where)
    ways = [
        _Way(
            source, target, *(_channel(end, where[end.unit].column) for end in (source, target))
        )
        for source, target in pairs
    ]
    lefts, firsts, whole = _across(ways, len(placed), rig.units)
    tracks = [way.source.number for way in ways if way.over]
    top = {number: MARGIN + i * TRACK for i, number in enumerate(tracks)}
    at_edge = rows(pairs, where)
    first_y = MARGIN + len(tracks) * TRACK + (TRACK if tracks else 0)
    drawn = boxes(rig, placed, lefts, first_y, at_edge)
    plug = plugs(rig, drawn, at_edge)
    lanes = _lanes(ways, firsts, plug, top)
    cables = tuple(_cable(way, rig.units, plug, lanes, top) for way in ways)
    return Drawing(whole, max(box.rect.bottom for box in drawn) + MARGIN, drawn, cables)


def _channel(end: CableEnd, column: int) -> int:
    return column if end.side == "right" else column - 1


def _across(
    ways: Sequence[_Way], count: int, units: Sequence[Unit]
) -> tuple[list[int], list[int], int]:
    """The left edges of the columns, the first lane of each channel, the whole width."""
    lefts, firsts, x = [], [], MARGIN
    for channel in range(count):
        lefts.append(x)
        x += COLUMN
        x += _beside(ways, channel, "right", units)
        firsts.append(x + TRACK // 2)
        x += TRACK * sum(channel in (way.from_channel, way.to_channel) for way in ways)
        x += _beside(ways, channel, "left", units)
        if channel < count - 1:
            x = max(x, lefts[-1] + COLUMN + GAP)
    return lefts, firsts, x + MARGIN


def _beside(ways: Sequence[_Way], channel: int, side: str, units: Sequence[Unit]) -> int:
    """Room in `channel` between the lanes and the boxes whose `side` edge faces it."""
    here = [
        _words_end(end.bundle, units) if end.outgoing else PLUG
        for way in ways
        for end, lies in ((way.source, way.from_channel), (way.target, way.to_channel))
        if lies == channel and end.side == side
    ]
    return max(here, default=0)


def _words_end(bundle: Bundle, units: Sequence[Unit]) -> int:
    """How far the load of a cable reaches from the box where the cable begins."""
    wide = max(width(text, LOAD) for text in load_lines(bundle, units))
    return max(LABELLED, _lead(bundle.first, units) + PLATE + 4 + wide + 2)


def _lead(link: Link, units: Sequence[Unit]) -> int:
    """From the box where a cable begins to its plate: an arrow may stand between."""
    return 22 if goes_back(link, units) else 15


def _lanes(
    ways: Sequence[_Way],
    firsts: Sequence[int],
    plug: Mapping[tuple[int, bool], Point],
    top: Mapping[int, int],
) -> dict[tuple[int, int], int]:
    """The x of each cable's lane, by channel and number of the cable."""
    found = {}
    for channel, first in enumerate(firsts):
        here = [_lane(way, channel, plug, top) for way in ways if channel in _channels(way)]
        here.sort(key=lambda lane: (lane.bottom - lane.top, lane.number))
        for i, lane in enumerate(in_order(here)):
            found[channel, lane.number] = first + i * TRACK
    return found


def _channels(way: _Way) -> tuple[int, int]:
    return way.from_channel, way.to_channel


def _lane(
    way: _Way, channel: int, plug: Mapping[tuple[int, bool], Point], top: Mapping[int, int]
) -> Lane:
    here = [end for end, lies in zip(way.both, _channels(way), strict=True) if lies == channel]
    y = {end: plug[end.number, end.outgoing][1] for end in here}
    heights = [*y.values(), *([top[way.source.number]] if way.over else [])]
    return Lane(
        way.source.number,
        min(heights),
        max(heights),
        # A box's right edge is on the left of the channel.
        tuple(y[end] for end in here if end.side == "right"),
        tuple(y[end] for end in here if end.side == "left"),
    )


def _cable(
    way: _Way,
    units: Sequence[Unit],
    plug: Mapping[tuple[int, bool], Point],
    lanes: Mapping[tuple[int, int], int],
    top: Mapping[int, int],
) -> Cable:
    number, link, bundle = way.source.number, way.source.link, way.source.bundle
    start, end = plug[number, True], plug[number, False]
    down, up = lanes[way.from_channel, number], lanes[way.to_channel, number]
    bends = [(down, start[1]), (up, end[1])]
    if way.over:
        bends[1:1] = [(down, top[number]), (up, top[number])]
    out = 1 if way.source.side == "right" else -1
    into = 1 if way.target.side == "right" else -1
    lead = _lead(link, units)
    tags = ((start[0] + out * lead, start[1]), (end[0] + into * 22, end[1]))
    said = load_lines(bundle, units)
    letters = _load(said, start[0] + out * (lead + PLATE + 4), start[1], out)
    return Cable(
        bundle.numbers[0],
        bundle,
        (start, *bends, end),
        tags,
        letters,
        cable_told(bundle, units),
        goes_there(link, units),
        goes_back(link, units),
    )


def _load(said: Sequence[str], x: int, y: int, out: int) -> tuple[Lettering, ...]:
    """The load beside the output socket, above the line and below it."""
    anchor: Anchor = "start" if out == 1 else "end"
    bases = (y - 4, y + LOAD.size + 2)
    return tuple(
        Lettering(x, base, text, LOAD, anchor) for base, text in zip(bases, said, strict=False)
    )
