"""The variables of a repair, in the words of the trade. Sockets and ranks count from 1."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.solver.linear import Terms, Var

Sender = tuple[str, Kind, int]
"""Expander, kind, rank: its rank-th audio link of that kind."""

Socket = tuple[str, Kind, int]
"""Unit, kind, number; whether in or out is said beside it."""

Way = tuple[str, str, Kind]
"""From unit, to unit, kind."""


@dataclass(frozen=True, slots=True)
class Lock:
    """One way in which a unit can have its clock.

    how: 'internal'; 'audio' from an audio link of expander `giver` to its `socket`;
    'kept' from the cable of index `link`, which stays; 'new' from a new cable from
    `giver`, to `socket` if that is not None, else to any that is free. `same`: its
    setting stays.
    """

    how: str
    giver: str | None = None
    kind: Kind | None = None
    socket: int | None = None
    link: int | None = None
    same: bool = False


@dataclass
class Rewire:
    """Variables of one repair; all are 0/1 but those said to count.

    starts[sender][s]: its output is socket s. goes[sender][host, s]: it ends there.
    sends[expander, host, kind]. kept_audio[i][rank], kept_back[i]: cable i stays as audio
    to a host of that rank, as a cable from a host to an expander. new_back[way]: count.
    home[expander, host]. fed[expander]: count of line outputs. locks[unit][lock].
    hop[unit], deepest: counts. on[unit, bank]. both: products, by the indices of their
    factors. own[i], moved[i]: the piece of cable i stays there, goes elsewhere.
    spares[cable], packs[cable][supply] and paid[seller]: counts.
    """

    case: Case
    model: cp_model.CpModel
    starts: dict[Sender, dict[int, Var]] = field(default_factory=dict)
    goes: dict[Sender, dict[tuple[str, int], Var]] = field(default_factory=dict)
    sends: dict[tuple[str, str, Kind], Var] = field(default_factory=dict)
    kept_audio: dict[int, dict[int, Var]] = field(default_factory=dict)
    kept_back: dict[int, Var] = field(default_factory=dict)
    new_back: dict[Way, Var] = field(default_factory=dict)
    home: dict[tuple[str, str], Var] = field(default_factory=dict)
    fed: dict[str, Var] = field(default_factory=dict)
    locks: dict[str, dict[Lock, Var]] = field(default_factory=dict)
    hop: dict[str, Var] = field(default_factory=dict)
    deepest: Var | None = None
    on: dict[tuple[str, int], Var] = field(default_factory=dict)
    both: dict[tuple[int, int], Var] = field(default_factory=dict)
    own: dict[int, Var] = field(default_factory=dict)
    moved: dict[int, Var] = field(default_factory=dict)
    spares: dict[str, Var] = field(default_factory=dict)
    packs: dict[str, tuple[Var, ...]] = field(default_factory=dict)
    paid: dict[str, Var] = field(default_factory=dict)

    def flag(self, *name: object) -> Var:
        """A new 0/1 variable."""
        return self.model.new_bool_var(" ".join(map(str, name)))

    def count(self, most: int, *name: object) -> Var:
        """A new variable from 0 to `most`."""
        return self.model.new_int_var(0, most, " ".join(map(str, name)))

    def kept(self, index: int) -> Terms:
        """1 if the cable of that index stays between its sockets."""
        terms: Terms = [(var, 1) for var in self.kept_audio.get(index, {}).values()]
        if index in self.kept_back:
            terms.append((self.kept_back[index], 1))
        return terms + [
            (var, 1)
            for locks in self.locks.values()
            for lock, var in locks.items()
            if lock.link == index and index not in self.kept_back
        ]

    def links(self) -> list[tuple[Way, Terms]]:
        """Every way with the number of cables on it, staying and new."""
        found: dict[Way, Terms] = defaultdict(list)
        for (unit, kind, _), ends in self.goes.items():
            for (host, _), var in ends.items():
                found[unit, host, kind].append((var, 1))
        for index, var in self.kept_back.items():
            link = self.case.links[index]
            found[link.from_unit, link.to_unit, link.kind].append((var, 1))
        for way, var in self.new_back.items():
            found[way].append((var, 1))
        for unit, lock, var in self.alone():
            assert lock.giver is not None
            assert lock.kind is not None
            found[lock.giver, unit, lock.kind].append((var, 1))
        return list(found.items())

    def alone(self) -> list[tuple[str, Lock, Var]]:
        """The locks that are a cable for clock alone: unit, lock, variable."""
        return [
            (unit, lock, var)
            for unit, locks in self.locks.items()
            for lock, var in locks.items()
            if lock.how in ("kept", "new") and not self.is_back(lock.giver, unit, lock.kind)
        ]

    def is_back(self, giver: str | None, taker: str, kind: Kind | None) -> bool:
        """Whether a cable on that way may feed line outputs: host to expander, audio."""
        roles = self.case.by_name
        return (
            giver is not None
            and kind in AUDIO_KINDS
            and (roles[giver].role, roles[taker].role) == ("host", "expander")
        )
