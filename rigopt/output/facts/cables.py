"""Cables as they lie on the floor: each digital one, and each piece of analogue cable.

Several analogue links may be ways of one piece; a piece has one number on every sheet.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from typing import NamedTuple

from rigopt.rig.types import Link


class Bundle(NamedTuple):
    """Links told together, and the numbers of their cables, counted from 1."""

    numbers: tuple[int, ...]
    links: tuple[Link, ...]

    @property
    def first(self) -> Link:
        """Its first link, the only one of a digital cable."""
        return self.links[0]


def is_line(link: Link) -> bool:
    """Whether it is one channel of analogue line, which carries no clock."""
    return link.kind == "analogue"


def pieces(links: Iterable[Link]) -> list[Bundle]:
    """Every cable by itself: a digital link, or all ways of one analogue piece."""
    return _grouped((number, link, number) for number, link in _numbered(links))


def strands(links: Iterable[Link]) -> list[Bundle]:
    """The same, where a piece that goes to several units is one for each of them."""
    return _grouped(
        (number, link, (number, link.from_unit, link.to_unit))
        for number, link in _numbered(links)
    )


def bundles(links: Iterable[Link]) -> list[Bundle]:
    """The same, where all analogue links between two units are one."""
    return _grouped(
        (number, link, (link.from_unit, link.to_unit) if is_line(link) else number)
        for number, link in _numbered(links)
    )


def _numbered(links: Iterable[Link]) -> Iterator[tuple[int, Link]]:
    numbers: dict[object, int] = {}
    for place, link in enumerate(links):
        key = ("alone", place) if link.piece is None else ("piece", link.piece)
        yield numbers.setdefault(key, len(numbers) + 1), link


def _grouped(found: Iterable[tuple[int, Link, Hashable]]) -> list[Bundle]:
    groups: dict[Hashable, list[tuple[int, Link]]] = {}
    for number, link, key in found:
        groups.setdefault(key, []).append((number, link))
    return [
        Bundle(tuple(dict.fromkeys(number for number, _ in group)), tuple(x for _, x in group))
        for group in groups.values()
    ]
