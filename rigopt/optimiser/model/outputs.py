"""Rule: line outputs count on hosts, and on an expander as far as its host feeds them;
headphone outputs count on hosts, and on amplifiers that line outputs feed.

Variables: phones, amplifiers of each type that are fed; the line outputs that feed them do
not count for anything else. Constraints: one sum for each of the two kinds of output.
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
    if needs.out_phones:
        feeding = _amplifiers(model, rig)
        line += [(fed, -feeds) for fed, feeds, _ in feeding]
        phones += [(fed, outputs) for fed, _, outputs in feeding]
        model.add(total(phones) >= needs.out_phones)
    if needs.out_line or rig.phones:
        model.add(total(line) >= needs.out_line)


def _amplifiers(
    model: cp_model.CpModel, rig: RigVars
) -> list[tuple[cp_model.IntVar, int, int]]:
    """Amplifiers that are fed, with what feeds one of them, and its outputs."""
    found = []
    for column, count in rig.satellites.items():
        device = column.device
        if device.role == "headphones":
            fed = model.new_int_var(0, rig.problem.needs.out_phones, "fed")
            model.add(fed <= count)
            rig.phones.append((fed, 1))
            found.append((fed, device.line_in, device.phones))
    return found
