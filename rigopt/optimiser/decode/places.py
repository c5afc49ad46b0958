"""Which groups of sources sit on which inputs, and which 48 V banks are on.

A *block* is what is seated in one piece: a single source, or the two of a pair. Sources of
one group that were at the same place, or at none, and pairs of the same two, are
interchangeable here; names are given out later.

Variables: takes[b, p], 0/1, a block b sits on the inputs p (one, or two that are channels
next to each other on one unit); on[u, k], 0/1, bank k of unit u is on; split[b], how many
pairs of block b are seated as two singles; hot, 0/1, a line or instrument source has 48 V.
Constraints: at most one source an input; as many of a block as there are, less those that
are split; a microphone that needs 48 V only in a bank that is on, one that must not get it
only in a bank that is off or outside any.
Cost: none of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import ACCEPTS, Source
from rigopt.needs.types import NO_PHANTOM, PHANTOM, Group
from rigopt.optimiser.problem.demands import serves
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of
from rigopt.rig.types import Input, Link, Unit

Bank = tuple[str, int]
"""A 48 V bank: unit name and bank number."""

Place = tuple[str, int]
"""Unit and channel."""


class Member(NamedTuple):
    """A source as far as its name does not matter: its group, and where it was before."""

    group: Group
    was: Place | None = None
    boxed: bool = False
    """Whether it is an instrument in a DI box, which takes a microphone input."""

    @property
    def kind(self) -> Source:
        """What the source is."""
        return "instrument" if self.boxed else self.group.kind


Block = tuple[Member, ...]
Take = tuple[Block, tuple[int, ...]]
"""A block, and the index of a seat for each of its members."""


Use = tuple[Source, str | None]
"""What an input is for: a kind of source, and its name if it has one."""


class Chosen(NamedTuple):
    """Uses by computer input, banks that are on, and names of pairs that are split."""

    uses: dict[int, Use]
    on: tuple[Bank, ...]
    split: tuple[str, ...] = ()
    boxed: Mapping[int, Member] = {}
    """The members in DI boxes, by computer input."""


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

    def moves(self, member: Member) -> bool:
        """Whether that source was somewhere else before."""
        return member.was is not None and member.was != (self.unit, self.channel)


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
    hot: list[Var] = field(default_factory=list)
    """Line or instrument sources that get 48 V, as no line output should, one by one."""
    options: dict[Block, list[Take]] = field(default_factory=dict)

    def is_shared(self, bank: Bank) -> bool:
        """Whether more than one seat is in `bank`."""
        return sum(seat.bank == bank for seat in self.seats) > 1

    def stray(self, powered: frozenset[Bank]) -> Terms:
        """Sources in banks that are on, `powered`, which do not ask for 48 V."""
        return [
            (var, sum(m.group.phantom != "on" and s.bank in powered for m, s in sat))
            for sat, var in self._sat()
        ]

    def strays(self, shared: Iterable[Bank]) -> Terms:
        """The same while it is open which of these banks are on: a variable for each."""
        found: Terms = []
        for bank in shared:
            here = self.stray(frozenset([bank]))
            room = sum(seat.bank == bank for seat in self.seats)
            number = self.model.new_int_var(0, room, f"stray {bank}")
            self.model.add(total([*here, (self.on[bank], room), (number, -1)]) <= room)
            found.append((number, 1))
        return found

    def wasted(self) -> Terms:
        """Line and instrument sources on channels that would take a microphone."""
        return [(var, sum(s.wastes(m.group) for m, s in sat)) for sat, var in self._sat()]

    def even(self) -> Terms:
        """Pairs that begin on a channel with an even number."""
        return [(var, int(starts_even([s for _, s in sat]))) for sat, var in self._sat()]

    def moved(self) -> Terms:
        """Sources that were elsewhere before."""
        return [(var, self.moves(take)) for take, var in self.takes.items()]

    def moves(self, take: Take) -> int:
        """How many sources of a block move there."""
        return sum(self.seats[i].moves(member) for member, i in zip(*take, strict=True))

    def _sat(self) -> Iterator[tuple[list[tuple[Member, Seat]], Var]]:
        for (block, at), var in self.takes.items():
            yield [(m, self.seats[i]) for m, i in zip(block, at, strict=True)], var


def starts_even(seats: Sequence[Seat]) -> bool:
    """Whether these are a pair's, and the first of its channels has an even number."""
    return len(seats) == 2 and min(seat.channel for seat in seats) % 2 == 0


def shut_banks(units: Sequence[Unit], links: Iterable[Link]) -> frozenset[Bank]:
    """Banks that stay off, for a direct out is plugged into an XLR of theirs."""
    devices = {unit.name: unit.device for unit in units}
    found = set()
    for link in links:
        if link.kind == "analogue" and devices[link.to_unit].line_plug == "xlr":
            bank = bank_of(devices[link.to_unit], link.to_socket)
            if bank is not None:
                found.add((link.to_unit, bank))
    return frozenset(found)


def places(
    seats: Sequence[Seat], wanted: Mapping[Block, int], shut: Collection[Bank] = ()
) -> Places:
    """The model of how `wanted` blocks, so many of each, can sit on `seats`.

    `shut`: banks that stay off.
    """
    made = Places(seats)
    for bank in dict.fromkeys(seat.bank for seat in seats if seat.bank is not None):
        made.on[bank] = made.model.new_bool_var(f"on {bank}")
        if bank in shut:
            made.model.add(made.on[bank] == 0)
    pairs = [block for block in wanted if len(block) == 2]
    for pair in pairs:
        made.split[pair] = made.model.new_int_var(0, wanted[pair], f"split {pair}")
    singles: list[Block] = [(member,) for block in wanted for member in block]
    for block in dict.fromkeys([*wanted, *singles]):
        made.options[block] = sorted(
            ((block, at) for at in _where(seats, block)), key=made.moves
        )
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
            if all(seats[j].may_take(m.group) for j, m in zip(at, block, strict=True)):
                yield at


def _all_seated(made: Places, wanted: Mapping[Block, int]) -> None:
    singles: Counter[Block] = Counter()
    halves: dict[Block, Terms] = {}
    for block, number in wanted.items():
        if len(block) == 1:
            singles[block] += number
            continue
        whole = [(made.takes[take], 1) for take in made.options[block]]
        made.model.add(total([*whole, (made.split[block], 1)]) == number)
        for member in block:
            halves.setdefault((member,), []).append((made.split[block], 1))
    for single in dict.fromkeys([*singles, *halves]):
        sat = [(made.takes[take], 1) for take in made.options[single]]
        parted = [(var, -factor) for var, factor in halves.get(single, [])]
        made.model.add(total(sat + parted) == singles[single])


def _one_source_each(made: Places) -> None:
    """At most one source on a seat, and its bank switched as that one needs."""
    here: list[dict[Group, Terms]] = [{} for _ in made.seats]
    for (block, at), var in made.takes.items():
        for member, index in zip(block, at, strict=True):
            here[index].setdefault(member.group, []).append((var, 1))
    for seat, groups in zip(made.seats, here, strict=True):
        made.model.add(total([term for terms in groups.values() for term in terms]) <= 1)
        if seat.bank is not None:
            on = made.on[seat.bank]
            made.model.add(total(groups.get(PHANTOM, [])) <= on)
            made.model.add(total([*groups.get(NO_PHANTOM, []), (on, 1)]) <= 1)
            plain = [t for group, ts in groups.items() if group.kind != "mic" for t in ts]
            if plain:
                hot = made.model.new_bool_var("hot")
                made.model.add(total([*plain, (on, 1)]) <= 1 + hot)
                made.hot.append(hot)
