"""Rule: a direct out reaches an input for line by one channel of an analogue cable.

Units are not told apart here, so that some things stay open which `taps` settles for units
by name: which piece is whose, and how D-sub connectors are joined.

Variables: lines[tap, inlet], direct outs by where they go; leads, pieces of cable for them.
Constraints: what comes by direct outs goes to inputs that are occupied; for each tap and plug,
its lines find channels of pieces that are long enough (see `transport`); one piece in a
D-sub connector. Cost: none here; a piece counts as a link.
"""

from __future__ import annotations

from collections import defaultdict
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Plug
from rigopt.facts import ANALOGUE
from rigopt.optimiser.model.transport import transport
from rigopt.optimiser.model.variables import Lead, RigVars
from rigopt.optimiser.problem.analogue import Inlet, Tap, connectors
from rigopt.optimiser.solver.linear import Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    moved: dict[Tap | Inlet, Terms] = defaultdict(list)
    for (_, (_, place), _), var in rig.moved.items():
        assert place is not None
        moved[place].append((var, 1))
    taps = [place for place in moved if isinstance(place, Tap)]
    inlets = [place for place in moved if isinstance(place, Inlet)]
    for one in taps:
        for other in inlets:
            if (one.plug, other.plug) in rig.problem.plugs:
                name = f"{one.plug} to {other.plug}"
                rig.lines[one, other] = model.new_int_var(0, rig.problem.most_lines, name)
    for place, terms in moved.items():
        rig.beat()
        lines = [(var, 1) for ends, var in rig.lines.items() if place in ends]
        model.add(total(lines) == total(terms))
    for one in taps:
        for plug in dict.fromkeys(other.plug for other in inlets):
            rig.beat()
            _pieces(model, rig, one, plug)
    _connectors(model, rig)


class Run(NamedTuple):
    """Lines, or pieces for them, of so long a run."""

    length_mm: int


def lengths(rig: RigVars) -> dict[bool, Run]:
    """The run to a host, and the one to another unit."""
    needs = rig.problem.needs
    return {True: Run(needs.host_to_rack_mm), False: Run(needs.within_rack_mm)}


def _pieces(model: cp_model.CpModel, rig: RigVars, one: Tap, plug: Plug) -> None:
    lines = {
        inlet.host: var
        for (sender, inlet), var in rig.lines.items()
        if (sender, inlet.plug) == (one, plug)
    }
    if not lines:
        return
    cables = [c for c in rig.problem.cables_of(ANALOGUE) if c.ends == (one.plug, plug)]
    there: dict[Run, Terms] = defaultdict(list)
    for ways in sorted({cable.ways for cable in cables}):
        for host in lines:
            lead = Lead(one, plug, ways, host)
            rig.leads[lead] = model.new_int_var(0, rig.problem.max_leads, "pieces")
            there[lengths(rig)[host]].append((rig.leads[lead], lead.of_use))
    wanted: dict[Run, Terms] = defaultdict(list)
    for host, var in lines.items():
        wanted[lengths(rig)[host]].append((var, 1))
    transport(model, wanted, there, lambda piece, run: piece >= run)


def _connectors(model: cp_model.CpModel, rig: RigVars) -> None:
    """One piece in each D-sub connector, at either end."""
    sending: dict[Tap, Terms] = defaultdict(list)
    taking: Terms = []
    for column, count in rig.columns():
        one = column.face.tap
        if one is not None and one.plug == "dsub":
            sending[one].append((count, len(connectors(column.device, "mic"))))
        if column.inlets and column.device.line_plug == "dsub":
            taking.append((count, len(connectors(column.device, "line"))))
    for one, sockets in sending.items():
        pieces = [(var, 1) for lead, var in rig.leads.items() if lead.tap == one]
        model.add(total(pieces) <= total(sockets))
    if taking:
        pieces = [(var, 1) for lead, var in rig.leads.items() if lead.plug == "dsub"]
        model.add(total(pieces) <= total(taking))
