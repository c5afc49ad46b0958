"""Rule: units with direct outs, or with inputs for them, told apart by name.

That is done where hosts stand apart: for a rig whose units are mostly known. It settles
what counts leave open (see `leads`): each piece is on one unit; a D-sub connector holds one
piece; between two of them equal places are joined; no unit feeds itself.

Variables: there, whether a unit is; moves, whether a channel is occupied or comes by its
direct out, by whether its bank is on; banks that are on; Bunch, lines from a unit (or one of
its connectors) to inputs of a plug (or to one connector); Piece, the cables that these take.
Constraints: sums over the units are the counts of `channels` and `leads`. Cost: none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import DSUB_WAYS, Plug
from rigopt.optimiser.model.leads import lengths
from rigopt.optimiser.model.transport import transport
from rigopt.optimiser.model.variables import (
    Bunch,
    Lead,
    Moved,
    Piece,
    RigVars,
    Site,
    Stub,
)
from rigopt.optimiser.problem.analogue import (
    Cell,
    Cells,
    Face,
    Tap,
    connectors,
)
from rigopt.optimiser.solver.linear import Terms, Var, reach, total
from rigopt.rig.banks import bank_of


@dataclass(frozen=True, eq=False)
class Named:
    """A unit by name, if it is there."""

    site: Site
    there: Var
    moves: dict[int, Terms] = field(default_factory=dict)
    """Whether each channel is occupied, or comes by its direct out: one of these."""

    @property
    def face(self) -> Face:
        """Its face."""
        return self.site.face

    def moved(self, channels: Iterable[int]) -> Terms:
        """How many of these channels are."""
        return [term for channel in channels for term in self.moves.get(channel, ())]

    def sent(self, channels: Sequence[int]) -> Terms:
        """How many of these leave by their direct outs."""
        return self.moved(n for n in channels if n in self.face.direct)

    def taken(self, channels: Sequence[int]) -> Terms:
        """How many of these are occupied."""
        return self.moved(n for n in channels if n in self.face.inlets)


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    if rig.problem.pooled or not rig.lines:
        return
    units = list(_named(model, rig))
    _channels(model, rig, units)
    for unit in units:
        _lowest_first(model, unit)
    senders = [(unit, one) for unit in units for one in [unit.face.tap] if one]
    takers = [unit for unit in units if unit.face.inlets]
    bunches = [
        bunch
        for unit, one in senders
        for stub in _stubs(unit, one)
        for bunch in _bunches(model, rig, unit, one, stub, takers)
    ]
    _ends(model, rig, units, bunches, senders)
    _pieces(model, rig, bunches)
    _places(model, rig, {unit.site: unit for unit in units}, bunches)
    rig.bunches += bunches
    rig.stubs.update(
        {(unit.site, n): terms for unit in units for n, terms in unit.moves.items()}
    )


def _named(model: cp_model.CpModel, rig: RigVars) -> Iterator[Named]:
    """The units that analogue cables may join; of those with the same face the first are
    there first."""
    counts: dict[Face, Terms] = defaultdict(list)
    for column, number in rig.columns():
        if column.direct or column.inlets:
            counts[column.face].append((number, 1))
    for one, numbers in counts.items():
        there = [model.new_bool_var(f"{one.id} {n}") for n in range(_most(rig, one, numbers))]
        for former, latter in pairwise(there):
            model.add(former >= latter)
        model.add(total([(var, 1) for var in there]) == total(numbers))
        for place, var in enumerate(there):
            yield Named(Site(one, place), var)


def _most(rig: RigVars, one: Face, numbers: Terms) -> int:
    """The most units with a face that there can be."""
    problem = rig.problem
    most = min(problem.max_units, reach(numbers))
    if one.host:
        most = min(most, problem.needs.max_hosts)
    return most if problem.most is None else min(most, problem.most.get(one.id, 0))


def _channels(model: cp_model.CpModel, rig: RigVars, units: Sequence[Named]) -> None:
    """Which channels are occupied or come by direct outs, and which banks are on."""
    moved: dict[Moved, Terms] = {key: [] for key in rig.moved}
    on: dict[Cells, Terms] = {key: [] for key in rig.on}
    for unit in units:
        rig.beat()
        by_bank: dict[int | None, dict[int, Cell]] = defaultdict(dict)
        for number, cell in unit.face.cells.items():
            by_bank[bank_of(unit.face.device, number)][number] = cell
        for bank, members in by_bank.items():
            key = None if bank is None else tuple(members.values())
            switch = None
            if key in on and key is not None:
                switch = model.new_bool_var("on")
                model.add(switch <= unit.there)
                on[key].append((switch, 1))
            for state in (True, False):
                for number, cell in members.items():
                    if (sort := Moved(key, cell, state)) in moved:
                        var = model.new_bool_var("moved")
                        model.add(var <= unit.there)
                        if switch is not None:
                            model.add(var <= switch) if state else model.add(var + switch <= 1)
                        moved[sort].append((var, 1))
                        unit.moves.setdefault(number, []).append((var, 1))
    for sort, terms in moved.items():
        model.add(total(terms) == rig.moved[sort])
    for key, terms in on.items():
        if any(place is not None for _, place in key):
            model.add(total(terms) == rig.on[key])


def _lowest_first(model: cp_model.CpModel, unit: Named) -> None:
    """Of inputs, and of direct outs, that are alike the first: but for D-sub connectors, where
    each has its place."""
    alike: dict[tuple[int | None, Cell], list[int]] = defaultdict(list)
    for number, cell in unit.face.cells.items():
        _, place = cell
        if place is not None and place.plug != "dsub":
            alike[bank_of(unit.face.device, number), cell].append(number)
    for numbers in alike.values():
        for one, other in pairwise(numbers):
            model.add(total(unit.moved([one])) >= total(unit.moved([other])))


def _stubs(unit: Named, one: Tap) -> Iterator[Stub]:
    """Where cables leave a unit: at each D-sub connector, or anywhere."""
    if one.plug != "dsub":
        yield Stub(unit.site, None, unit.face.direct)
        return
    for number, channels in enumerate(connectors(unit.face.device, "mic")):
        yield Stub(unit.site, number, channels)


def _bunches(  # noqa: PLR0917
    model: cp_model.CpModel,
    rig: RigVars,
    unit: Named,
    one: Tap,
    stub: Stub,
    takers: Sequence[Named],
) -> Iterator[Bunch]:
    """The lines from one place of a unit, by where they go."""
    rig.beat()
    found: list[Bunch] = []
    for sender, inlet in rig.lines:
        if sender != one:
            continue
        ends = [Stub(None, None, ())] if inlet.plug != "dsub" else []
        for taker in takers if inlet.plug == "dsub" else ():
            if taker.face.inlet == inlet and taker is not unit:
                ends += [
                    Stub(taker.site, number, channels)
                    for number, channels in enumerate(connectors(taker.face.device, "line"))
                ]
        for end in ends:
            lines = model.new_int_var(0, len(stub.channels), "lines")
            found.append(Bunch(stub, end, one, inlet, lines))
    sent = unit.sent(stub.channels)
    model.add(total([(bunch.lines, 1) for bunch in found]) == total(sent))
    yield from found


def _ends(
    model: cp_model.CpModel,
    rig: RigVars,
    units: Sequence[Named],
    bunches: Sequence[Bunch],
    senders: Sequence[tuple[Named, Tap]],
) -> None:
    """What is sent arrives: in all, in each connector, and not where it came from."""
    for (one, inlet), number in rig.lines.items():
        sent = [(b.lines, 1) for b in bunches if (b.tap, b.inlet) == (one, inlet)]
        model.add(total(sent) == number)
    for unit in units:
        if unit.face.inlets and unit.face.inlet.plug == "dsub":
            for socket, channels in enumerate(connectors(unit.face.device, "line")):
                into = [
                    (b.lines, 1)
                    for b in bunches
                    if b.end.site == unit.site and b.end.connector == socket
                ]
                model.add(total(into) == total(unit.taken(channels)))
    for unit, _ in senders:
        rig.beat()
        own = [(b.lines, 1) for b in bunches if b.inlet == unit.face.inlet]
        sent = [
            (b.lines, 1)
            for b in bunches
            if b.inlet == unit.face.inlet and b.stub.site == unit.site
        ]
        taken = unit.moved(unit.face.inlets)
        model.add(total(sent + taken) <= total(own))


def _pieces(model: cp_model.CpModel, rig: RigVars, bunches: Sequence[Bunch]) -> None:
    """Each place of a unit has pieces of its own; a connector one, at either end."""
    used: dict[Lead, Terms] = {lead: [] for lead in rig.leads}
    groups: dict[tuple[Stub, Stub, Plug], list[Bunch]] = defaultdict(list)
    for bunch in bunches:
        groups[bunch.stub, bunch.end, bunch.inlet.plug].append(bunch)
    in_stub: dict[Stub, Terms] = defaultdict(list)
    in_end: dict[Stub, Terms] = defaultdict(list)
    for (stub, end, plug), together in groups.items():
        rig.beat()
        there: dict[NamedTuple, Terms] = defaultdict(list)
        single = stub.connector is not None or end.site is not None
        for lead, pieces in used.items():
            if (lead.tap, lead.plug) != (together[0].tap, plug):
                continue
            most = 1 if single else len(stub.channels)
            var = model.new_int_var(0, most, "pieces")
            pieces.append((var, 1))
            there[lengths(rig)[lead.far]].append((var, lead.ways))
            rig.pieces.append(Piece(stub, end, lead, var))
            if stub.connector is not None:
                in_stub[stub].append((var, 1))
            if end.site is not None:
                in_end[end].append((var, 1))
        wanted: dict[NamedTuple, Terms] = defaultdict(list)
        for bunch in together:
            wanted[lengths(rig)[bunch.inlet.host]].append((bunch.lines, 1))
        transport(model, wanted, there, lambda piece, run: piece >= run)
    for lead, terms in used.items():
        model.add(total(terms) == rig.leads[lead])
    for terms in (*in_stub.values(), *in_end.values()):
        model.add(total(terms) <= 1)


def _places(
    model: cp_model.CpModel, rig: RigVars, units: dict[Site, Named], bunches: Sequence[Bunch]
) -> None:
    """Between two D-sub connectors equal places are joined."""
    for bunch in bunches:
        rig.beat()
        if bunch.stub.connector is None or bunch.end.site is None:
            continue
        joined = model.new_bool_var("joined")
        model.add(bunch.lines <= DSUB_WAYS * joined)
        assert bunch.stub.site is not None
        sender, taker = units[bunch.stub.site], units[bunch.end.site]
        for place in range(DSUB_WAYS):
            out = sender.sent(bunch.stub.channels[place : place + 1])
            into = taker.taken(bunch.end.channels[place : place + 1])
            model.add(total(out) == total(into)).only_enforce_if(joined)
