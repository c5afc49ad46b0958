"""Rule: a socket takes one cable, and only live sockets carry anything.

How many sockets a unit that is no host uses is part of its column, and what it has left
for handing on the clock is counted there. What is left to count are the sockets of hosts.

Variables: none of its own. With x the counts of columns joined to the host in a slot:
Constraints, for each slot and kind: audio links + clock-only links in <= live inputs;
audio links that arrive whole <= inputs that arrive whole; links that end on a cut input
<= 1 where the host has one of that cut; returns + clock-only links out <= live outputs.
All links of a unit go to one host, so units with s audio links (or returns) or more are
at most as many as groups of s live inputs (or outputs) of one host, for s = 2, 3 ...
Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.signatures import Lock
from rigopt.optimiser.solver.linear import Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for slot in rig.slots:
        for kind in AUDIO_KINDS:
            _inputs_of_host(model, rig, slot, kind)
        for kind in KINDS:
            _outputs_of_host(model, rig, slot, kind)


def _inputs_of_host(model: cp_model.CpModel, rig: RigVars, slot: int, kind: Kind) -> None:
    hosts = rig.slot(slot)
    sending = [(c.wiring, n) for c, n in rig.joined(slot) if c.wiring.kind == kind]
    audio: Terms = [(n, wiring.links) for wiring, n in sending]
    whole: Terms = [(n, wiring.links - (wiring.cut_link > 0)) for wiring, n in sending]
    lock = Lock("alone", kind)
    alone: Terms = [
        (number, 1)
        for _, states in rig.at(slot)
        for state, number in states.items()
        if state.lock == lock
    ]
    if audio:
        arriving = total([(var, column.at_rate.visible.whole[kind]) for column, var in hosts])
        model.add(total(whole) <= arriving)
    live = [(var, column.at_rate.inputs[kind]) for column, var in hosts]
    if audio or alone:
        model.add(total([*audio, *alone]) <= total(live))
    to_one_host(model, audio, live)
    for cut in sorted({wiring.cut for wiring, _ in sending if wiring.cut_link}):
        ending = [(n, 1) for wiring, n in sending if wiring.cut_link and wiring.cut == cut]
        having = [(v, 1) for c, v in hosts if c.at_rate.visible.cut[kind] == cut]
        model.add(total(ending) <= total(having))


def _outputs_of_host(model: cp_model.CpModel, rig: RigVars, slot: int, kind: Kind) -> None:
    live = [(v, c.at_rate.outputs[kind]) for c, v in rig.slot(slot)]
    used: Terms = [
        (number, 1)
        for route, number in rig.routes.items()
        if route.kind == kind and route.sender == slot
    ]
    if kind in AUDIO_KINDS:
        returns = [(n, column.wiring.returns[kind]) for column, n in rig.joined(slot)]
        used += returns
        to_one_host(model, returns, live)
    if any(factor for _, factor in used):
        model.add(total(used) <= total(live))


def to_one_host(model: cp_model.CpModel, links: Terms, sockets: Terms) -> None:
    """All links of a unit go to one host: units with s of them take a host's s sockets."""
    for size in range(2, max((number for _, number in links), default=0) + 1):
        wide = [(count, 1) for count, number in links if number >= size]
        groups = [(hosts, number // size) for hosts, number in sockets]
        model.add(total(wide) <= total(groups))
