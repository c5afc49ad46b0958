"""Rule: line outputs count on hosts, and on an expander as far as its host feeds them;
headphone outputs count on hosts.

Variables: none of its own. Constraints: one sum for each of the two kinds of output.
Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    needs = rig.problem.needs
    line = [(count, column.line_outs) for column, count in rig.columns()]
    phones = [(count, column.device.phones) for column, count in rig.hosts.items()]
    if needs.out_line:
        model.add(total(line) >= needs.out_line)
    if needs.out_phones:
        model.add(total(phones) >= needs.out_phones)
