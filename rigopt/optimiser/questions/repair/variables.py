"""The variables of a repair, in the words of the trade. Sockets and ranks count from 1."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.solver.linear import Terms, Var

Socket = tuple[str, Kind, int]
"""Unit, kind, number; whether in or out is said beside it."""

Way = tuple[str, str, Kind]
"""From unit, to unit, kind."""


class Rank(NamedTuple):
    """The `number`-th audio link of that kind that leaves an expander."""

    unit: str
    kind: Kind
    number: int


@dataclass(frozen=True, slots=True)
class Lock:
    """One way in which a unit can have its clock.

    how: 'internal'; 'audio' from an audio link of expander `sender` to its `socket`;
    'kept' from the cable of index `link`, which stays; 'new' from a new cable from
    `sender`, to `socket` if that is not None, else to any that is free. `same`: its
    setting stays.
    """

    how: str
    sender: str | None = None
    kind: Kind | None = None
    socket: int | None = None
    link: int | None = None
    same: bool = False

    def way(self, unit: str) -> Way:
        """The way of the cable that `unit` is locked to; not of a lock that is internal."""
        assert self.sender is not None
        assert self.kind is not None
        return self.sender, unit, self.kind


@dataclass
class RepairVars:
    """Variables of one repair; all are 0/1 but those said to count.

    starts[rank][s]: its output is socket s. goes[rank][host, s]: it ends there.
    sends[expander, host, kind]. kept_audio[i][number], kept_back[i]: cable i stays as audio
    to a host with a rank of that number, as a cable from a host to an expander.
    new_back[way]: count. home[expander, host]. fed[expander]: count of line outputs.
    locks[unit][lock]. hop[unit], deepest: counts. on[unit, bank]. both: products, by the
    indices of their factors. own[i], moved[i]: the piece of cable i stays there, goes
    elsewhere. owned[cable]: count of owned pieces that come into use. basket: what is
    bought, as a planned rig has it.
    """

    case: Case
    model: cp_model.CpModel
    basket: RigVars
    starts: dict[Rank, dict[int, Var]] = field(default_factory=dict)
    goes: dict[Rank, dict[tuple[str, int], Var]] = field(default_factory=dict)
    sends: dict[tuple[str, str, Kind], Var] = field(default_factory=dict)
    kept_audio: dict[int, dict[int, Var]] = field(default_factory=dict)
    kept_back: dict[int, Var] = field(default_factory=dict)
    new_back: dict[Way, Var] = field(default_factory=dict)
    home: dict[tuple[str, str], Var] = field(default_factory=dict)
    fed: dict[str, Var] = field(default_factory=dict)
    locks: dict[str, dict[Lock, Var]] = field(default_factory=dict)
    hop: dict[str, Var] = field(default_factory=dict)
    deepest: Var = field(init=False)
    on: dict[tuple[str, int], Var] = field(default_factory=dict)
    both: dict[tuple[int, int], Var] = field(default_factory=dict)
    own: dict[int, Var] = field(default_factory=dict)
    moved: dict[int, Var] = field(default_factory=dict)
    owned: dict[str, Var] = field(default_factory=dict)

    def flag(self, *name: object) -> Var:
        """A new 0/1 variable."""
        return self.model.new_bool_var(" ".join(map(str, name)))

    def count(self, upper: int, *name: object) -> Var:
        """A new variable from 0 to `upper`."""
        return self.model.new_int_var(0, upper, " ".join(map(str, name)))

    def kept(self, index: int) -> Terms:
        """1 if the cable of that index stays between its sockets."""
        terms: Terms = [(var, 1) for var in self.kept_audio.get(index, {}).values()]
        if index in self.kept_back:
            return [*terms, (self.kept_back[index], 1)]
        return terms + [
            (var, 1)
            for locks in self.locks.values()
            for lock, var in locks.items()
            if lock.link == index
        ]

    def links(self) -> list[tuple[Way, Terms]]:
        """Every way with the number of cables on it, staying and new."""
        found: dict[Way, Terms] = defaultdict(list)
        for rank, ends in self.goes.items():
            for (host, _), var in ends.items():
                found[rank.unit, host, rank.kind].append((var, 1))
        for index, var in self.kept_back.items():
            link = self.case.links[index]
            found[link.from_unit, link.to_unit, link.kind].append((var, 1))
        for way, var in self.new_back.items():
            found[way].append((var, 1))
        for unit, lock, var in self.alone():
            found[lock.way(unit)].append((var, 1))
        return list(found.items())

    def alone(self) -> list[tuple[str, Lock, Var]]:
        """The locks that are a cable for clock alone: unit, lock, variable."""
        return [
            (unit, lock, var)
            for unit, locks in self.locks.items()
            for lock, var in locks.items()
            if lock.how in ("kept", "new") and not self.is_back(lock.way(unit))
        ]

    def is_back(self, way: Way) -> bool:
        """Whether a cable on that way may feed line outputs: host to expander, audio."""
        sender, receiver, kind = way
        roles = self.case.by_name[sender].role, self.case.by_name[receiver].role
        return kind in AUDIO_KINDS and roles == ("host", "expander")
