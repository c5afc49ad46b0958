"""Chains of word inputs: who hangs on whose T-piece, and where a chain ends."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rigopt.facts import WORD
from rigopt.optimiser.decode.boxes import Box
from rigopt.optimiser.model.variables import RACK, Chain, Counted
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import Lock


class Listener(NamedTuple):
    """A unit locked to an output; `after`: the one at whose T-piece its cable begins."""

    box: Box
    after: Box | None
    tee: bool = False
    terminator: bool = False


def chains(
    problem: Problem, found: Sequence[Box], counted: Counted
) -> Iterator[tuple[Chain, tuple[Listener, ...]]]:
    """Every chain with its units in their order."""
    waiting: dict[tuple[int, int], list[Box]] = defaultdict(list)
    for box in found:
        if box.state is not None and box.state.lock == Lock("alone", WORD):
            waiting[box.state.hop, box.state.tree].append(box)
    for (hop, tree), boxes in sorted(waiting.items()):
        kinds = {
            kind: number
            for kind, number in counted.chains.items()
            if (kind.hop, kind.tree) == (hop, tree)
        }
        yield from _of(problem, kinds, counted, boxes)


def _of(
    problem: Problem, kinds: dict[Chain, int], counted: Counted, waiting: list[Box]
) -> Iterator[tuple[Chain, tuple[Listener, ...]]]:
    begun: list[tuple[Chain, Box, list[Box]]] = []
    for kind, number in kinds.items():
        for _ in range(number):
            last = next(b for b in reversed(waiting) if _is(b, kind.to_host, kind.end))
            waiting.remove(last)
            begun.append((kind, last, []))
    most = problem.needs.word_inputs - 1
    following = {key: n for key, n in counted.followers.items() if key[0] in kinds}
    for (kind, host), number in following.items():
        chains_of_kind = [inside for k, _, inside in begun if k == kind]
        # Those whose end is fixed are all last, and wait no more.
        followers = [box for box in waiting if (box.role == "host") == host][:number]
        waiting[:] = [box for box in waiting if box not in followers]
        opposite = kind.detour and host != kind.to_host
        for inside in chains_of_kind if opposite else ():
            inside.append(followers.pop(0))  # each detour has someone to go round by
        for inside in chains_of_kind:
            # Room is kept for those by whom a detour still has to go: hosts come last.
            room = most - len(inside) - (kind.detour and not opposite and not host)
            while followers and room > 0:
                inside.append(followers.pop(0))
                room -= 1
    for kind, last, inside in begun:
        yield kind, tuple(_listeners(_in_order(kind, inside, last), kind.end))


def _is(box: Box, host: bool, end: str) -> bool:
    return (box.role == "host") == host and box.column.device.word_end == end


def _in_order(kind: Chain, inside: Sequence[Box], last: Box) -> list[Box]:
    """Those like the sender first, so that few cables run between a host and the rack."""
    fed_by_host = kind.sender != RACK
    like = [box for box in inside if (box.role == "host") == fed_by_host]
    return [*like, *(box for box in inside if box not in like), last]


def _listeners(boxes: Sequence[Box], end: str) -> Iterator[Listener]:
    after: Box | None = None
    for box in boxes:
        last = box is boxes[-1]
        open_end = last and end == "none"
        yield Listener(box, after, tee=not last or open_end, terminator=open_end)
        after = box
