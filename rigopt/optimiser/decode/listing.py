"""The input list: each source by name on an input of its own.

What is wished for, most important first: line and instrument sources without 48 V; pairs
side by side (a rule; it gives way only where the rig has no room for it); sources that stay
where they were, and banks as they were, if there was anything before; few 48 V banks on;
sources that do not ask for 48 V out of those with several channels; of such banks the first;
microphone channels kept for microphones; pairs that begin on an odd channel; and the order
of the list: the first source where it was, else on the lowest input that leaves the
wishes before it whole, then the second, and so on.

The solver finds what all wishes but the order cost at least. The order is then settled by
asking it how many of the next pieces of the list can have the best inputs that are free
at once, so a list that nothing stands in the way of takes one question.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Final

from rigopt.needs.types import Group, SourceLine
from rigopt.optimiser.decode.places import (
    Bank,
    Block,
    Chosen,
    Member,
    Place,
    Places,
    Seat,
    Take,
    Use,
    places,
)
from rigopt.optimiser.decode.room import Room
from rigopt.optimiser.solver.lexicographic import optimise
from rigopt.optimiser.solver.linear import Terms, amount
from rigopt.optimiser.solver.run import GRACE_S, NO_END, Deadline, Result, run, run_even_late

Piece = tuple[int, ...]
"""A single source or a pair, by place in the list, from 0."""

AT_ONCE: Final = 30
"""Banks in one sum of powers of two, which stays far from the largest number."""


def listed(  # noqa: PLR0917
    seats: Sequence[Seat],
    sources: Sequence[SourceLine],
    before: Mapping[str, Place],
    given: Collection[Bank],
    shut: Collection[Bank] = (),
    boxed: Mapping[int, Group] = {},
    deadline: Deadline = NO_END,
) -> Chosen:
    """The best seating of `sources`; every one finds a seat.

    `before` says where sources were, by name, `given` which banks were on, and `shut` which
    stay off. `boxed`: what instruments in DI boxes ask for, by place in the list. Past the
    deadline no wish but that for pairs is looked after.
    """
    members = [
        Member(boxed.get(place, source.group), before.get(source.name), place in boxed)
        for place, source in enumerate(sources)
    ]
    pieces = _pieces(sources)
    made = places(seats, Counter(_block(piece, members) for piece in pieces), shut)
    room, seating = _settle_wishes(made, given, deadline)
    split = {block: seating.value(var) for block, var in made.split.items()}
    parted = _parted(pieces, members, split)
    pieces = sorted([p for p in pieces if p not in parted] + [(i,) for p in parted for i in p])
    blocks = [_block(piece, members) for piece in pieces]
    where, seating = _in_order(made, blocks, room, seating, deadline)
    at = {
        source: seats[seat].number
        for piece, taken in zip(pieces, where, strict=True)
        for source, seat in zip(piece, taken, strict=True)
    }
    uses: dict[int, Use] = {
        number: (sources[source].kind, sources[source].name) for source, number in at.items()
    }
    on = tuple(bank for bank, var in made.on.items() if seating.value(var))
    return Chosen(
        uses,
        on,
        tuple(sources[piece[0]].pair or "" for piece in parted),
        {at[n]: members[n] for n in boxed},
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


def _block(piece: Piece, members: Sequence[Member]) -> Block:
    return tuple(members[number] for number in piece)


def _parted(
    pieces: Sequence[Piece], members: Sequence[Member], split: dict[Block, int]
) -> list[Piece]:
    """The pairs to be split: of those that are alike, the last of the list."""
    found = []
    for block, number in split.items():
        alike = [piece for piece in pieces if _block(piece, members) == block]
        found += alike[len(alike) - number :]
    return sorted(found)


def _settle_wishes(
    made: Places, given: Collection[Bank], deadline: Deadline
) -> tuple[Room, Result]:
    """The best seating but for the order; `made` then allows only as good ones."""
    split: Terms = [(var, 1) for var in made.split.values()]
    moved = made.moved()
    changed = [(var, -1 if bank in given else 1) for bank, var in made.on.items() if given]
    shared = [bank for bank in made.on if made.is_shared(bank)]
    on: Terms = [(var, 1) for var in made.on.values()]
    strays = made.strays(shared)  # brings variables, which a result before it has no values of
    best = run_even_late(made.model, deadline)
    hot: Terms = [(var, 1) for var in made.hot]
    if deadline.over:  # a pair gives way for want of room, not of time
        best = optimise(made.model, [split], Deadline(GRACE_S), best).result
    wishes = [hot, split, moved, changed, on, strays, *_first(made, shared)]
    best = optimise(made.model, wishes, deadline, best).result
    fixed = {bank: best.value(made.on[bank]) for bank in shared}
    for bank, state in fixed.items():
        made.model.add(made.on[bank] == state)
    powered = frozenset(bank for bank, state in fixed.items() if state)
    stray, wasted, even = made.stray(powered), made.wasted(), made.even()
    best = optimise(made.model, [stray, wasted, even], deadline, best).result
    # Which pairs give way is settled last: it may decide what the wishes above cost.
    for var in made.split.values():
        made.model.add(var == best.value(var))
    room = Room(
        made.seats,
        powered,
        frozenset(fixed) - powered,
        banks=amount(on, best.value),
        moved=amount(moved, best.value),
        stray=amount(stray, best.value),
        wasted=amount(wasted, best.value),
        even=amount(even, best.value),
    )
    return room, best


def _first(made: Places, banks: Sequence[Bank]) -> Iterator[Terms]:
    """Those on whose places make the least sum; of equal sums that with the first bank."""
    yield [(made.on[bank], place) for place, bank in enumerate(banks, start=1)]
    for start in range(0, len(banks), AT_ONCE):
        part = [made.on[bank] for bank in banks[start : start + AT_ONCE]]
        yield [(var, -(1 << place)) for place, var in enumerate(reversed(part))]


def _in_order(
    made: Places, blocks: Sequence[Block], room: Room, seating: Result, deadline: Deadline
) -> tuple[list[tuple[int, ...]], Result]:
    """Seats for each block in turn, each the best that those before it leave possible; and
    a seating that has them all."""
    settled: list[Take] = []
    barred: set[Take] = set()
    while len(settled) < len(blocks) and not deadline.over:
        hoped = _hoped(made, blocks[len(settled) :], room, barred)
        good, bad = _kept(made, hoped, seating), len(hoped) + 1
        trial = len(hoped)
        while bad - good > 1:
            found = _ask(made, [*settled, *hoped[:trial]], deadline)
            if found.found:
                seating, good = found, _kept(made, hoped, found)
            else:
                bad = trial
            trial = (good + bad) // 2
        # What is impossible once stays so as more is settled, for others of the block too.
        barred.update(hoped[good : good + 1])
        settled += hoped[:good]
        room = room.after(hoped[:good])
    settled += _as_found(made, blocks[len(settled) :], seating, settled)
    return [at for _, at in settled], seating


def _as_found(
    made: Places, blocks: Sequence[Block], seating: Result, settled: Sequence[Take]
) -> list[Take]:
    """The rest of a seating as it is."""
    left: list[Take] = [
        take for take, var in made.takes.items() if seating.value(var) and take not in settled
    ]
    found = []
    for block in blocks:
        found.append(next(take for take in left if take[0] == block))
        left.remove(found[-1])
    return found


def _hoped(made: Places, blocks: Sequence[Block], room: Room, barred: set[Take]) -> list[Take]:
    """The best free seats for as many of the next blocks as can be hoped for at once."""
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


def _ask(made: Places, takes: Sequence[Take], deadline: Deadline) -> Result:
    """A seating with all of these, or none."""
    made.model.clear_assumptions()
    made.model.add_assumptions([made.takes[take] for take in takes])
    return run(made.model, deadline)
