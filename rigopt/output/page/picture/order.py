"""The order of the units beside each host, and the lanes at their left, without crossings.

A *stem* is a lane's line: it begins at one unit and has a branch to each unit that gets a
cable of the same kind from there, all of them above it or all below. Drawn on one side of a
row of units, the cables of a tree do not cross if the units stand in the order in which one
walks through the tree from branch to branch. What is no tree is tried.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Final, NamedTuple

from rigopt.output.facts.cables import Bundle
from rigopt.output.page.picture.homes import origin

Order = tuple[tuple[str, ...], ...]
"""The units of each section from the top; a host is the first of its own."""

MOST_WORK: Final = 500_000
"""Orders that are tried at the most, times the pairs of cables looked at in each: a second."""


class End(NamedTuple):
    """Where a stem reaches a unit; of the sending end `bundle` is None."""

    unit: str
    bundle: Bundle | None


class Stem(NamedTuple):
    """The cables that share a lane's line, in the order of their numbers."""

    sender: str
    bundles: tuple[Bundle, ...]

    @property
    def ends(self) -> tuple[End, ...]:
        """The sending end, then one for each cable."""
        return End(self.sender, None), *(End(b.first.to_unit, b) for b in self.bundles)


class Lanes(NamedTuple):
    """Stems, each with its lane counted from the units outwards, and where their ends are.

    `ends` are those of each unit from the top, by the stem's place and the end's within it.
    """

    stems: tuple[Stem, ...]
    lanes: tuple[int, ...]
    ends: Mapping[str, Sequence[tuple[int, int]]]
    crossings: int


def best_order(sections: Order, strays: Sequence[Bundle]) -> Order:
    """The order with the fewest crossings that was found; the first of each stays first."""
    order = _walked(sections, strays)
    fewest = lanes(order, strays).crossings
    left = MOST_WORK // (1 + len(strays) ** 2)
    better = fewest > 0
    while better:
        better = False
        for other in islice(_moved(order), left):
            left -= 1
            if (now := lanes(other, strays).crossings) < fewest:
                order, fewest, better = other, now, now > 0
                break
    return order


def lanes(order: Order, strays: Sequence[Bundle]) -> Lanes:
    """The stems of `strays` for units in that order, in lanes."""
    flat = [name for names in order for name in names]
    place = {name: number for number, name in enumerate(flat)}
    stems = _stems(strays, place)
    ends = {name: _ends(name, stems, place) for name in flat}
    at = {end: i for i, end in enumerate(end for name in flat for end in ends[name])}
    rows = [sorted(at[i, j] for j in range(len(stem.ends))) for i, stem in enumerate(stems)]
    found = _nested(rows)
    crossed = sum(
        rows[inner][0] < row < rows[inner][-1]
        for outer in range(len(stems))
        for inner in range(len(stems))
        if found[inner] < found[outer]
        for row in rows[outer]
    )
    return Lanes(tuple(stems), tuple(found), ends, crossed)


def _stems(strays: Iterable[Bundle], place: Mapping[str, int]) -> list[Stem]:
    together: dict[tuple[object, ...], list[Bundle]] = defaultdict(list)
    for bundle in strays:
        link = bundle.first
        up = place[link.to_unit] < place[origin(link)]
        key = (origin(link), link.format.id, link.carries, link.after is None, up)
        together[key].append(bundle)
    return [Stem(origin(found[0].first), tuple(found)) for found in together.values()]


def _ends(name: str, stems: Sequence[Stem], place: Mapping[str, int]) -> list[tuple[int, int]]:
    """The ends at a unit from the top: what leads up, the nearest first; then what leads
    down, the farthest first. So one is within another and none across."""
    here = place[name]
    found = []
    for i, stem in enumerate(stems):
        targets = [place[b.first.to_unit] for b in stem.bundles]
        far = max(targets, key=lambda at: abs(at - place[stem.sender]))
        for j, end in enumerate(stem.ends):
            if end.unit == name:
                there = far if end.bundle is None else place[stem.sender]
                found.append((there > here, -there, i, j))
    return [(i, j) for _, _, i, j in sorted(found)]


def _nested(rows: Sequence[Sequence[int]]) -> list[int]:
    """A lane for each stem: the shorter of two that have rows in common is inside."""
    found: dict[int, int] = {}
    for one in sorted(range(len(rows)), key=lambda i: (rows[i][-1] - rows[i][0], i)):
        beside = [
            lane
            for other, lane in found.items()
            if rows[other][0] <= rows[one][-1] and rows[one][0] <= rows[other][-1]
        ]
        found[one] = max(beside, default=-1) + 1
    return [found[i] for i in range(len(rows))]


def _walked(sections: Order, strays: Sequence[Bundle]) -> Order:
    """Each section in the order of a walk along its cables, from those that only send."""
    home = {name: i for i, names in enumerate(sections) for name in names}
    near: dict[str, list[str]] = defaultdict(list)
    led = set()
    for bundle in strays:
        sender, receiver = origin(bundle.first), bundle.first.to_unit
        if home[sender] == home[receiver]:
            near[sender].append(receiver)
            near[receiver].append(sender)
            led.add(receiver)
    found = []
    for names in sections:
        seen: list[str] = []
        for name in [*names[:1], *(n for n in names if n not in led), *names]:
            _walk(name, near, seen)
        found.append(tuple(seen))
    return tuple(found)


def _walk(start: str, near: Mapping[str, Sequence[str]], seen: list[str]) -> None:
    ahead = [start]
    while ahead:
        name = ahead.pop()
        if name not in seen:
            seen.append(name)
            ahead += reversed(near.get(name, ()))


def _moved(order: Order) -> Iterable[Order]:
    """Every order in which one unit stands elsewhere in its section."""
    for i, names in enumerate(order):
        for old in range(1, len(names)):
            rest = names[:old] + names[old + 1 :]
            for new in range(1, len(names)):
                if new != old:
                    moved = (*rest[:new], names[old], *rest[new:])
                    yield (*order[:i], moved, *order[i + 1 :])
