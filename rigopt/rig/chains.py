"""Chains of word inputs: where T-pieces and terminators are called for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.rig.types import Link, Unit


def fittings(units: Iterable[Unit], links: Sequence[Link]) -> list[tuple[bool, bool]]:
    """For each link, whether a T-piece and whether a terminator is to sit where it ends.

    A T-piece does where the chain goes on; both do at a last input without an end of its own.
    """
    ends = {unit.name: unit.device.word_end for unit in units}
    going_on = {(link.start, link.after) for link in links if link.after is not None}
    found = []
    for link in links:
        inside = (link.start, link.to_unit) in going_on
        last = not any(link.format.channels) and not inside and ends[link.to_unit] == "none"
        found.append((inside or last, last))
    return found


def fitted(units: Iterable[Unit], links: Sequence[Link]) -> list[tuple[bool, bool]]:
    """The same of what is there: pieces that are named, and those that are called for where
    nobody names the cable either.
    """
    return [
        (
            link.tee is not None or (tee and link.cable is None),
            link.terminator is not None or (end and link.cable is None),
        )
        for link, (tee, end) in zip(links, fittings(units, links), strict=True)
    ]
