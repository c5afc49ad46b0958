"""The problem of one mix: bounds and ways to buy that hang on nothing but what is in it.

Of several equal wirings the solver takes one that depends on every number in its model. So
the model of the wiring that is shown holds no number of a type that is not in the mix.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from rigopt.facts import ANALOGUE, TEE
from rigopt.optimiser.problem.bounds import bounds, max_pieces, on_microphone_inputs
from rigopt.optimiser.problem.problem import Problem


def chosen(problem: Problem, units: Mapping[str, int], bought: Iterable[str]) -> Problem:
    """`problem` for these units, and what else is `bought` or owned."""
    small = problem.only({*units, *bought}, frozenset(bought))
    needs, number = small.needs, sum(units.values())
    there = [box for box in small.devices if box.id in units]
    hosts = [box for box in small.hosts if box.id in units]
    items = {box.id for box in small.devices} | {cable.id for cable in small.cables}
    items |= {extra.id for extra in small.extras}
    supplies = {item: ways for item, ways in small.supplies.items() if item in items}
    sellers = {way.seller for ways in supplies.values() for way in ways}
    arriving = needs.max_hosts * max((host.visible.row for host in hosts), default=0)
    _, _, joined = bounds(needs, hosts, {box.device.role for box in there}, arriving)
    leads = small.cables_of(ANALOGUE) and any(box.device.has_direct_outs for box in there)
    extras = (*small.extras, *small.idle_extras)
    devices = [box.device for box in there]
    return replace(
        small,
        supplies=supplies,
        order_terms={name: t for name, t in small.order_terms.items() if name in sellers},
        most=units,
        max_units=number,
        max_links=joined + number,
        max_joined=joined,
        max_arriving=arriving,
        max_tees=2 * number if small.cables_of(TEE) else 0,
        max_leads=min(on_microphone_inputs(needs), arriving) if leads else 0,
        max_extra={e.id: max_pieces(e, devices, needs, number) for e in extras},
    )
