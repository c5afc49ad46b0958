"""Which groups of sources sit on which inputs, and which 48 V banks are on.

A *block* is what is seated in one piece: the group of a single source, or the two groups
of a pair. Sources of one group, and pairs of the same two, are interchangeable here; names
are given out later.

Variables: takes[b, p], 0/1, a block b sits on the inputs p (one, or two that are channels
next to each other on one unit); on[u, k], 0/1, bank k of unit u is on; split[b], how many
pairs of block b are seated as two singles.
Constraints: at most one source an input; as many of a block as there are, less those that
are split; a microphone that needs 48 V only in a bank that is on, one that must not get it
only in a bank that is off or outside any.
Cost: none of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import ACCEPTS
from rigopt.needs.types import NO_PHANTOM, PHANTOM, Group
from rigopt.optimiser.problem.demands import serves
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of
from rigopt.rig.types import Input, Unit

Bank = tuple[str, int]
"""A 48 V bank: unit name and bank number."""

Block = tuple[Group, ...]
Take = tuple[Block, tuple[int, ...]]
"""A block, and the index of a seat for each of its members."""


class Seat(NamedTuple):
    """An input as a place for a source."""

    number: int
    unit: str
    channel: int
    kind: str
    bank: Bank | None

    def may_take(self, group: Group) -> bool:
        """Whether it takes a source of that group, its bank switched as that one needs."""
        return serves(self.kind, self.bank is not None and group.phantom == "on", group)

    def wastes(self, group: Group) -> bool:
        """Whether a microphone could sit where a source of that group does."""
        return group.kind != "mic" and "mic" in ACCEPTS[self.kind]


def seats_of(units: Sequence[Unit], inputs: Sequence[Input]) -> list[Seat]:
    """A seat for each input, in the computer's order."""
    devices = {unit.name: unit.device for unit in units}
    seats = []
    for line in inputs:
        device = devices[line.unit]
        number = bank_of(device, line.channel)
        bank = None if number is None else (line.unit, number)
        kind = device.channel_kinds[line.channel - 1]
        seats.append(Seat(line.computer_input, line.unit, line.channel, kind, bank))
    return seats


@dataclass
class Places:
    """The variables and rules of one seating."""

    seats: Sequence[Seat]
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    takes: dict[Take, Var] = field(default_factory=dict)
    on: dict[Bank, Var] = field(default_factory=dict)
    split: dict[Block, Var] = field(default_factory=dict)
    options: dict[Block, list[Take]] = field(default_factory=dict)

    def is_shared(self, bank: Bank) -> bool:
        """Whether more than one seat is in `bank`."""
        return sum(seat.bank == bank for seat in self.seats) > 1

    def stray(self, powered: frozenset[Bank]) -> Terms:
        """Sources in banks that are on, `powered`, which do not ask for 48 V."""
        return [
            (var, sum(g.phantom != "on" and s.bank in powered for g, s in sat))
            for sat, var in self._sat()
        ]

    def wasted(self) -> Terms:
        """Line and instrument sources on channels that would take a microphone."""
        return [(var, sum(s.wastes(g) for g, s in sat)) for sat, var in self._sat()]

    def even(self) -> Terms:
        """Pairs that begin on a channel with an even number."""
        return [(var, int(starts_even([s for _, s in sat]))) for sat, var in self._sat()]

    def _sat(self) -> Iterator[tuple[list[tuple[Group, Seat]], Var]]:
        for (block, at), var in self.takes.items():
            yield [(g, self.seats[i]) for g, i in zip(block, at, strict=True)], var


def starts_even(seats: Sequence[Seat]) -> bool:
    """Whether these are a pair's, and the first of its channels has an even number."""
    return len(seats) == 2 and min(seat.channel for seat in seats) % 2 == 0


def places(seats: Sequence[Seat], wanted: Mapping[Block, int]) -> Places:
    """The model of how `wanted` blocks, so many of each, can sit on `seats`."""
    made = Places(seats)
    for bank in dict.fromkeys(seat.bank for seat in seats if seat.bank is not None):
        made.on[bank] = made.model.new_bool_var(f"on {bank}")
    pairs = [block for block in wanted if len(block) == 2]
    for pair in pairs:
        made.split[pair] = made.model.new_int_var(0, wanted[pair], f"split {pair}")
    singles: list[Block] = [(group,) for block in wanted for group in block]
    for block in dict.fromkeys([*wanted, *singles]):
        made.options[block] = [(block, at) for at in _where(seats, block)]
        for take in made.options[block]:
            made.takes[take] = made.model.new_bool_var("takes")
    _all_seated(made, wanted)
    _one_source_each(made)
    return made


def _where(seats: Sequence[Seat], block: Block) -> Iterator[tuple[int, ...]]:
    """Where a block may sit, lowest input first.

    Of two alike the first listed takes the lower channel; others may sit either way.
    """
    index = {(seat.unit, seat.channel): i for i, seat in enumerate(seats)}
    steps = () if len(block) == 1 else (1,) if block[0] == block[1] else (1, -1)
    for i, seat in enumerate(seats):
        beside = [index.get((seat.unit, seat.channel + step)) for step in steps]
        options: list[tuple[int, ...]] = [(i, j) for j in beside if j is not None]
        for at in options if steps else [(i,)]:
            if all(seats[j].may_take(group) for j, group in zip(at, block, strict=True)):
                yield at


def _all_seated(made: Places, wanted: Mapping[Block, int]) -> None:
    singles: Counter[Block] = Counter()
    halves: dict[Block, Terms] = {}
    for block, number in wanted.items():
        if len(block) == 1:
            singles[block] += number
            continue
        whole = [(var, 1) for (b, _), var in made.takes.items() if b == block]
        made.model.add(total([*whole, (made.split[block], 1)]) == number)
        for group in block:
            halves.setdefault((group,), []).append((made.split[block], 1))
    for single in dict.fromkeys([*singles, *halves]):
        sat = [(var, 1) for (b, _), var in made.takes.items() if b == single]
        parted = [(var, -factor) for var, factor in halves.get(single, [])]
        made.model.add(total(sat + parted) == singles[single])


def _one_source_each(made: Places) -> None:
    """At most one source on a seat, and its bank switched as that one needs."""
    here: list[dict[Group, Terms]] = [{} for _ in made.seats]
    for (block, at), var in made.takes.items():
        for group, index in zip(block, at, strict=True):
            here[index].setdefault(group, []).append((var, 1))
    for seat, groups in zip(made.seats, here, strict=True):
        made.model.add(total([term for terms in groups.values() for term in terms]) <= 1)
        if seat.bank is not None:
            on = made.on[seat.bank]
            made.model.add(total(groups.get(PHANTOM, [])) <= on)
            made.model.add(total([*groups.get(NO_PHANTOM, []), (on, 1)]) <= 1)
