"""Rule: a channel may come by its direct out, over a line to an input of another unit.

Variables: line; leaves[unit, channel], enters[unit, channel]: some line does.
Constraints: one line at most at an out and at an input; the input arrives of itself, the
channel that comes does not; an XLR input that takes microphones too has its 48 V off.
Cost: none here.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of


def create(repair: RepairVars) -> None:
    """Create the lines, for other rules to count."""
    for place, line in enumerate(repair.case.analogue.bundles):
        repair.line[line] = repair.flag("line", place)


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    outs, ins = _by_channel(repair)
    for place, lines in outs.items():
        leaves = repair.leaves[place] = repair.flag("leaves", *place)
        repair.model.add(total((line, 1) for line in lines) == leaves)
        terms, constant = _arriving(repair, *place)
        repair.model.add(total([(leaves, 1), *terms]) + constant <= 1)
    for place, lines in ins.items():
        enters = repair.enters[place] = repair.flag("enters", *place)
        repair.model.add(total((line, 1) for line in lines) == enters)
        terms, constant = _arriving(repair, *place)
        repair.model.add(total([(enters, 1), *((v, -f) for v, f in terms)]) <= constant)
        _bank(repair, *place)


def _by_channel(
    repair: RepairVars,
) -> tuple[dict[tuple[str, int], list[Var]], dict[tuple[str, int], list[Var]]]:
    """The lines of each channel that may come, and of each input."""
    outs: dict[tuple[str, int], list[Var]] = defaultdict(list)
    ins: dict[tuple[str, int], list[Var]] = defaultdict(list)
    for line, var in repair.line.items():
        channel = repair.case.analogue.outs[line.sender][line.out - 1]
        outs[line.sender, channel].append(var)
        ins[line.taker, line.into].append(var)
    return outs, ins


def _arriving(repair: RepairVars, name: str, channel: int) -> tuple[Terms, int]:
    """Whether a channel arrives of itself: terms that come to 0 or 1, and a constant."""
    case = repair.case
    if case.by_name[name].role == "host":
        numbers = case.numbers[name]
        before = numbers.before(None)
        if not before:
            return [], int(channel <= numbers.own(0))
        others = repair.others[name, before]
        return [(var, int(channel <= numbers.own(k))) for k, var in enumerate(others)], 0
    return [(deal.var, 1) for deal in repair.dealt.get(name, ()) if channel in deal.channels], 0


def _bank(repair: RepairVars, name: str, channel: int) -> None:
    """No 48 V goes out on the XLR that a direct out is plugged into."""
    device = repair.case.by_name[name].device
    bank = bank_of(device, channel)
    if bank is not None and device.line_plug == "xlr":
        repair.model.add(repair.enters[name, channel] + repair.on[name, bank] <= 1)
