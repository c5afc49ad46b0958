"""The input list: each named source sits on one input that suits it, pairs side by side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from rigopt.needs.types import Needs, SourceLine
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.types import Input


def check_sources(
    inputs: Sequence[Input], needs: Needs, split: Sequence[str] = ()
) -> Iterator[Finding]:
    """Rules source-unknown, source-places, source-use, source-phantom, pair.

    `split` names the pairs that the rig itself says are not side by side.
    """
    placed = [item for item in inputs if item.source is not None]
    listed = Counter(line.name for line in needs.sources)
    for item in placed:
        if item.source not in listed:
            yield finding("source-unknown", number=item.computer_input, source=str(item.source))
    for line in needs.sources:
        yield from _check_line(line, placed, listed[line.name])
    yield from _check_pairs(placed, needs, split)


def _check_line(line: SourceLine, placed: Sequence[Input], times: int) -> Iterator[Finding]:
    """`times` lines have this name; they are told apart by nothing else."""
    mine = [item for item in placed if item.source == line.name]
    if len(mine) != times:
        yield finding("source-places", source=line.name, count=len(mine), times=times)
    for item in mine:
        if item.use != line.kind:
            yield finding(
                "source-use", source=line.name, kind=line.kind, number=item.computer_input
            )
        if line.phantom != "any" and item.phantom != (line.phantom == "on"):
            yield finding(
                "source-phantom",
                source=line.name,
                state=line.phantom,
                number=item.computer_input,
            )


def _check_pairs(
    placed: Sequence[Input], needs: Needs, split: Sequence[str]
) -> Iterator[Finding]:
    """Two sources of one pair: channels next to each other on one unit, or said not to be."""
    pairs: dict[str | None, str] = {
        line.name: line.pair for line in needs.sources if line.pair is not None
    }
    for pair in dict.fromkeys(pairs.values()):
        seats = [(i.unit, i.channel) for i in placed if pairs.get(i.source) == pair]
        seats.sort()
        apart = len(seats) == 2 and (seats[0][0], seats[0][1] + 1) != seats[1]
        if apart and pair not in split:
            yield finding(
                "pair",
                pair=pair,
                seats=" and ".join(f"channel {channel} of {unit}" for unit, channel in seats),
            )
        if pair in split and not apart:
            yield finding("pair", "whole", pair=pair)
