"""The input list: each source by name on an input of its own.

What is wished for, most important first: pairs side by side (a rule; it gives way only
where the rig has no room for it); few 48 V banks on, and of those with several channels
the first; sources that do not ask for 48 V out of such banks; microphone channels kept
for microphones; pairs that begin on an odd channel; and the order of the list: the first
source on the lowest input that leaves the wishes before it whole, then the second, and so
on.

The solver finds what all wishes but the order cost at least. The order is then settled by
asking it how many of the next pieces of the list can have the lowest inputs that are free
at once, so a list that nothing stands in the way of takes one question.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from rigopt.needs.types import Group, SourceLine
from rigopt.optimiser.decode.places import Bank, Block, Places, Seat, Take, places
from rigopt.optimiser.decode.room import Room
from rigopt.optimiser.solver.linear import Terms, total
from rigopt.optimiser.solver.run import Deadline, Result, run

Piece = tuple[int, ...]
"""A single source or a pair, by place in the list, from 0."""


class Listed(NamedTuple):
    """Sources by the index of their seat, banks that are on, and names of split pairs."""

    sources: dict[int, SourceLine]
    on: tuple[Bank, ...]
    split: tuple[str, ...]


def listed(seats: Sequence[Seat], sources: Sequence[SourceLine]) -> Listed:
    """The best seating of `sources`; every one finds a seat."""
    groups = [source.group for source in sources]
    pieces = _pieces(sources)
    made = places(seats, Counter(_block(piece, groups) for piece in pieces))
    room, seating = _settle_wishes(made)
    split = {block: seating.value(var) for block, var in made.split.items()}
    parted = _parted(pieces, groups, split)
    pieces = sorted([p for p in pieces if p not in parted] + [(i,) for p in parted for i in p])
    where = _in_order(made, [_block(piece, groups) for piece in pieces], room, seating)
    seated = {
        seat: source
        for piece, at in zip(pieces, where, strict=True)
        for source, seat in zip(piece, at, strict=True)
    }
    powered = [seats[i].bank for i in sorted(seated) if groups[seated[i]].phantom == "on"]
    return Listed(
        {seat: sources[source] for seat, source in seated.items()},
        tuple(dict.fromkeys(bank for bank in powered if bank is not None)),
        tuple(sources[piece[0]].pair or "" for piece in parted),
    )


def _pieces(sources: Sequence[SourceLine]) -> list[Piece]:
    """The list in pieces, in the order of their first source."""
    pairs: dict[str, list[int]] = {}
    for number, source in enumerate(sources):
        if source.pair is not None:
            pairs.setdefault(source.pair, []).append(number)
    whole = {tuple(members) for members in pairs.values() if len(members) == 2}
    paired = {number for piece in whole for number in piece}
    return sorted([*whole, *((n,) for n in range(len(sources)) if n not in paired)])


def _block(piece: Piece, groups: Sequence[Group]) -> Block:
    return tuple(groups[number] for number in piece)


def _parted(
    pieces: Sequence[Piece], groups: Sequence[Group], split: dict[Block, int]
) -> list[Piece]:
    """The pairs to be split: of those that are alike, the last of the list."""
    found = []
    for block, number in split.items():
        alike = [piece for piece in pieces if _block(piece, groups) == block]
        found += alike[len(alike) - number :]
    return sorted(found)


def _settle_wishes(made: Places) -> tuple[Room, Result]:
    """The best seating but for the order; `made` then allows only as good ones."""
    split: Terms = [(var, 1) for var in made.split.values()]
    shared = [bank for bank in made.on if made.is_shared(bank)]
    on: Terms = [(var, 1) for var in made.on.values()]
    first = [(made.on[bank], place) for place, bank in enumerate(shared, start=1)]
    best = _least(made, [split, on, first], run(made.model, Deadline(None)))
    fixed = {bank: best.value(made.on[bank]) for bank in shared}
    for bank, state in fixed.items():
        made.model.add(made.on[bank] == state)
    powered = frozenset(bank for bank, state in fixed.items() if state)
    costs = [made.stray(powered), made.wasted(), made.even()]
    best = _least(made, costs, best)
    # Which pairs give way is settled last: it may decide what the wishes above cost.
    for var in made.split.values():
        made.model.add(var == best.value(var))
    stray, wasted, even = (_cost(cost, best) for cost in costs)
    off = frozenset(fixed) - powered
    return Room(made.seats, powered, off, _cost(on, best), stray, wasted, even), best


def _least(made: Places, wishes: Sequence[Terms], best: Result) -> Result:
    """The least cost of each wish, given those before it; `made` then allows no more.

    `best` is any seating; one that costs nothing needs no better one. One call each is
    many times faster than one call for a sum with large weights.
    """
    for wish in wishes:
        if _cost(wish, best):
            made.model.minimize(total(wish))
            best = run(made.model, Deadline(None))
            made.model.clear_objective()  # type: ignore[no-untyped-call]
        made.model.add(total(wish) == _cost(wish, best))
    return best


def _cost(wish: Terms, seating: Result) -> int:
    return sum(factor * seating.value(var) for var, factor in wish)


def _in_order(
    made: Places, blocks: Sequence[Block], room: Room, seating: Result
) -> list[tuple[int, ...]]:
    """Seats for each block in turn, each the lowest that those before it leave possible."""
    settled: list[Take] = []
    barred: set[Take] = set()
    while len(settled) < len(blocks):
        hoped = _hoped(made, blocks[len(settled) :], room, barred)
        good, bad = _kept(made, hoped, seating), len(hoped) + 1
        trial = len(hoped)
        while bad - good > 1:
            found = _ask(made, [*settled, *hoped[:trial]])
            if found.found:
                seating, good = found, _kept(made, hoped, found)
            else:
                bad = trial
            trial = (good + bad) // 2
        # What is impossible once stays so as more is settled, for others of the block too.
        barred.update(hoped[good : good + 1])
        settled += hoped[:good]
        room = room.after(hoped[:good])
    return [at for _, at in settled]


def _hoped(made: Places, blocks: Sequence[Block], room: Room, barred: set[Take]) -> list[Take]:
    """The lowest free seats for as many of the next blocks as can be hoped for at once."""
    hoped: list[Take] = []
    for block in blocks:
        open_to = (
            take for take in made.options[block] if take not in barred and room.has(take)
        )
        best = next(open_to, None)
        if best is None:
            break
        hoped.append(best)
        room = room.after([best])
    return hoped


def _kept(made: Places, hoped: Sequence[Take], seating: Result) -> int:
    """How many of `hoped`, from the first, a known seating already has."""
    new = (n for n, take in enumerate(hoped) if not seating.value(made.takes[take]))
    return next(new, len(hoped))


def _ask(made: Places, takes: Sequence[Take]) -> Result:
    """A seating with all of these, or none."""
    made.model.clear_assumptions()
    made.model.add_assumptions([made.takes[take] for take in takes])
    return run(made.model, Deadline(None))
