"""Rule: enough line outputs are fed, and enough headphone amplifiers.

Variables: amplifies.
Constraints: fed line outputs of expanders and all of hosts >= those asked for, and those that
feed amplifiers; headphone outputs of hosts and of amplifiers that are fed >= those asked for.
Cost: none.
"""

from __future__ import annotations

from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, total


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    case = repair.case
    if not case.asks("outputs"):
        return
    own = sum(host.device.line_out for host in case.hosts)
    ears = sum(host.device.phones for host in case.hosts)
    lines: Terms = [(var, 1) for var in repair.fed.values()]
    phones: Terms = []
    for unit in case.units:
        if unit.role == "headphones":
            fed = repair.amplifies[unit.name] = repair.flag("amplifies", unit.name)
            lines.append((fed, -unit.device.line_in))
            phones.append((fed, unit.device.phones))
    repair.model.add(total(lines) + own >= case.needs.out_line)
    repair.model.add(total(phones) + ears >= case.needs.out_phones)
