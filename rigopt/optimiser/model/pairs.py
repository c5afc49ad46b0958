"""Rule: two sources of a pair sit side by side on one unit.

For every set of kinds of source: a run of n neighbouring channels that arrive and accept
one of these kinds has room for n // 2 pairs. All runs together must have room for the
pairs of these kinds. That is necessary; with 48 V switched by the bank it is not always
enough, so the seats are dealt out in full afterwards (see `questions.plan`).

Variables: none. Constraints: one sum for each set of kinds. Cost: none.
"""

from __future__ import annotations

from collections import Counter
from itertools import groupby

from ortools.sat.python import cp_model

from rigopt.catalogue.types import ACCEPTS, Source
from rigopt.needs.types import Needs
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.demands import subsets
from rigopt.optimiser.solver.linear import total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    wanted = paired(rig.problem.needs)
    for kinds, asked in subsets(dict(sorted(wanted.items()))):
        room = [(count, _room(column, kinds)) for column, count in rig.columns()]
        model.add(total(room) >= asked)


def paired(needs: Needs) -> Counter[Source]:
    """Pairs of each kind of source."""
    members = Counter((line.kind, line.pair) for line in needs.sources if line.pair)
    return Counter(kind for (kind, _), number in members.items() if number == 2)


def _room(column: HostColumn | SatelliteColumn, kinds: tuple[Source, ...]) -> int:
    """Pairs for which the arriving channels of a unit have room, side by side."""
    of = column.device.channel_kinds
    fit = [n for n in column.arriving if not set(kinds).isdisjoint(ACCEPTS[of[n - 1]])]
    # Neighbours have the same distance from their place in the list.
    runs = groupby(enumerate(fit), key=lambda place: place[1] - place[0])
    return sum(len(list(run)) // 2 for _, run in runs)
