"""Named sources on the inputs of a repaired rig: as few as may be have to move.

Variables: sits[source, input]; on[unit, bank].
Constraints: one input a source, one source an input; an input takes what it accepts; a
microphone that needs 48 V only in a bank that is on, one that must not get it in none
that is; the two of a pair on neighbouring channels of one unit.
Cost: sources that move; banks that change; then low inputs. Of what costs the same, the
sources stand in the order of the list, as far as may be.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ortools.sat.python import cp_model

from rigopt.needs.types import Needs, SourceLine
from rigopt.optimiser.solver.linear import Terms, Var, amount, total
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.banks import bank_of, banks
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Unit
from rigopt.rig.wired import StatedInput, WiredRig

Place = tuple[str, int]
"""Unit, channel."""

Sits = dict[SourceLine, dict[Place, Var]]
Banks = dict[tuple[str, int], Var]


def reseat(rig: WiredRig, needs: Needs, before: Mapping[str, Place]) -> WiredRig | None:
    """`rig` with every source of `needs` on an input; None if they do not fit.

    `before` says where named sources were.
    """
    model = cp_model.CpModel()
    inputs = derive_inputs(rig.units, rig.links, rig.rate_hz)
    on: Banks = {
        (unit.name, bank): model.new_bool_var(f"on {unit.name} {bank}")
        for unit in rig.units
        for bank in banks(unit.device)
    }
    sits = _sits(model, rig, needs.sources, inputs, on)
    _pairs(model, sits)
    cost = _cost(rig, sits, on, before)
    model.minimize(total(cost))
    result = run(model, Deadline(None))
    if not result.found:
        return None
    model.add(total(cost) == amount(cost, result.value))
    model.minimize(total(_order(sits)))
    result = run(model, Deadline(None))
    units = tuple(_switched(unit, on, result.value) for unit in rig.units)
    places = {
        line: p for line, ps in sits.items() for p, var in ps.items() if result.value(var)
    }
    seats = tuple(
        StatedInput(None, unit, channel, line.kind, line.name)
        for line, (unit, channel) in places.items()
    )
    return replace(rig, units=units, stated=seats)


def _sits(
    model: cp_model.CpModel,
    rig: WiredRig,
    lines: Sequence[SourceLine],
    inputs: Sequence[Input],
    on: Banks,
) -> Sits:
    units = {unit.name: unit for unit in rig.units}
    sits: Sits = {line: {} for line in lines}
    taken: dict[Place, list[Var]] = defaultdict(list)
    for line in lines:
        for item in inputs:
            bank = bank_of(units[item.unit].device, item.channel)
            if line.kind not in item.accepts or (line.phantom == "on" and bank is None):
                continue
            var = model.new_bool_var(f"{line.name} {item.computer_input}")
            sits[line][item.unit, item.channel] = var
            taken[item.unit, item.channel].append(var)
            if bank is not None and line.phantom != "any":
                switch = on[item.unit, bank]
                model.add_implication(var, switch if line.phantom == "on" else ~switch)
        model.add_exactly_one(sits[line].values())
    for there in taken.values():
        model.add_at_most_one(there)
    return sits


def _pairs(model: cp_model.CpModel, sits: Sits) -> None:
    pairs: dict[str, list[SourceLine]] = defaultdict(list)
    for line in sits:
        if line.pair is not None:
            pairs[line.pair].append(line)
    for one, other in pairs.values():
        for first, then in ((one, other), (other, one)):
            for (unit, channel), var in sits[first].items():
                beside = [sits[then].get((unit, channel + step)) for step in (-1, 1)]
                model.add_bool_or(~var, *(there for there in beside if there is not None))


def _cost(rig: WiredRig, sits: Sits, on: Banks, before: Mapping[str, Place]) -> Terms:
    terms: Terms = []
    size = sum(unit.device.analogue for unit in rig.units) + 1
    low = size * (len(sits) + 1)
    move = low * (len(on) + 1)
    for line, places in sits.items():
        terms += [
            (var, number + move * (place != before.get(line.name)))
            for number, (place, var) in enumerate(places.items())
        ]
    given = {(unit.name, bank) for unit in rig.units for bank in unit.phantom_banks_on}
    return terms + [(var, -low if bank in given else low) for bank, var in on.items()]


def _order(sits: Sits) -> Terms:
    """Low inputs count for more the earlier a source stands in the list."""
    return [
        (var, number * (len(sits) - rank))
        for rank, places in enumerate(sits.values())
        for number, var in enumerate(places.values())
    ]


def _switched(unit: Unit, on: Banks, value: Callable[[Var], int]) -> Unit:
    banks_on = tuple(b for (name, b), var in on.items() if name == unit.name and value(var))
    return replace(unit, phantom_banks_on=banks_on)
