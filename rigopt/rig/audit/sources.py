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
            yield finding(
                "source-unknown", "input {number} is for {source}, which is not asked for",
                "leave the name out", number=item.computer_input, source=str(item.source),
            )  # fmt: skip
    for line in needs.sources:
        yield from _check_line(line, placed, listed[line.name])
    yield from _check_pairs(placed, needs, split)


def _check_line(line: SourceLine, placed: Sequence[Input], times: int) -> Iterator[Finding]:
    """`times` lines have this name; they are told apart by nothing else."""
    mine = [item for item in placed if item.source == line.name]
    if len(mine) != times:
        yield finding(
            "source-places", "{source} sits on {count} inputs; it needs {times}",
            "put {source} on {times} inputs", source=line.name, count=len(mine), times=times,
        )  # fmt: skip
    for item in mine:
        if item.use != line.kind:
            yield finding(
                "source-use", "{source} is a {kind} source; its input {number} is not",
                "use input {number} as {kind}", source=line.name, kind=line.kind,
                number=item.computer_input,
            )  # fmt: skip
        if line.phantom != "any" and item.phantom != (line.phantom == "on"):
            yield finding(
                "source-phantom", "{source} needs 48 V {state}; input {number} has it not so",
                "put {source} on an input with 48 V {state}, or switch its bank",
                source=line.name, state=line.phantom, number=item.computer_input,
            )  # fmt: skip


def _check_pairs(
    placed: Sequence[Input], needs: Needs, split: Sequence[str]
) -> Iterator[Finding]:
    """Two sources of one pair: channels next to each other on one unit, or said not to be."""
    pairs = {line.name: line.pair for line in needs.sources if line.pair is not None}
    for pair in dict.fromkeys(pairs.values()):
        seats = [(i.unit, i.channel) for i in placed if pairs.get(i.source or "") == pair]
        seats.sort()
        apart = len(seats) == 2 and (seats[0][0], seats[0][1] + 1) != seats[1]
        if apart and pair not in split:
            yield finding(
                "pair", "the pair {pair} is split: {seats}",
                "put the two on neighbouring channels of one unit", pair=pair,
                seats=" and ".join(f"channel {channel} of {unit}" for unit, channel in seats),
            )  # fmt: skip
        if pair in split and not apart:
            yield finding(
                "pair", "the pair {pair} is said to be split, and is not",
                "do not list it as split", pair=pair,
            )  # fmt: skip
