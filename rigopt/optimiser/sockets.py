"""Rule: a socket takes one cable, and only live sockets carry anything.

How many sockets a unit that is no host uses is part of its column. What is left to count
are the sockets of hosts, and of satellites that hand the clock on.

Variables: none of its own. With x the counts of columns joined to the host in a slot:
Constraints, for each slot and kind: audio links + clock-only links in <= live inputs;
audio links that arrive whole <= inputs that arrive whole; links that end on a cut input
<= 1 where the host has one of that cut; returns + clock-only links out <= live outputs.
For each kind and hop: clock-only links given by satellites one hop nearer the master
<= output sockets that these have left.
Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.columns import Lock
from rigopt.optimiser.variables import RACK, RigVars, Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for slot in rig.slots:
        for kind in AUDIO_KINDS:
            _inputs_of_host(model, rig, slot, kind)
        for kind in KINDS:
            _outputs_of_host(model, rig, slot, kind)
    for kind in KINDS:
        for hop in rig.hops:
            _outputs_of_rack(model, rig, kind, hop)


def _inputs_of_host(model: cp_model.CpModel, rig: RigVars, slot: int, kind: Kind) -> None:
    place, hosts = AUDIO_KINDS.index(kind), rig.slot(slot)
    sending = [(c.wiring, n) for c, n in rig.joined(slot) if c.wiring.kind == kind]
    audio: Terms = [(n, wiring.links) for wiring, n in sending]
    whole: Terms = [(n, wiring.links - (wiring.cut_link > 0)) for wiring, n in sending]
    lock = Lock("alone", kind)
    alone: Terms = [(v, 1) for state, v in rig.host_clocks[slot].items() if state.lock == lock]
    if audio:
        arriving = total([(var, column.face.whole[place]) for column, var in hosts])
        model.add(total(whole) <= arriving)
    if audio or alone:
        live = [(var, column.device.live_in(kind, column.rate_hz)) for column, var in hosts]
        model.add(total([*audio, *alone]) <= total(live))
    for cut in sorted({wiring.cut for wiring, _ in sending if wiring.cut_link}):
        ending = [(n, 1) for wiring, n in sending if wiring.cut_link and wiring.cut == cut]
        having = [(v, 1) for c, v in hosts if (c.face.cut_kind, c.face.cut) == (kind, cut)]
        model.add(total(ending) <= total(having))


def _outputs_of_host(model: cp_model.CpModel, rig: RigVars, slot: int, kind: Kind) -> None:
    used: Terms = [
        (number, 1)
        for route, number in rig.routes.items()
        if route.kind == kind and route.giver == slot
    ]
    if kind in AUDIO_KINDS:
        place = AUDIO_KINDS.index(kind)
        used += [(n, column.wiring.returns[place]) for column, n in rig.joined(slot)]
    if any(factor for _, factor in used):
        live = [(v, c.device.live_out(kind, c.rate_hz)) for c, v in rig.slot(slot)]
        model.add(total(used) <= total(live))


def _outputs_of_rack(model: cp_model.CpModel, rig: RigVars, kind: Kind, hop: int) -> None:
    given = [
        (number, 1)
        for route, number in rig.routes.items()
        if (route.kind, route.hop, route.giver) == (kind, hop, RACK)
    ]
    if given:
        place = KINDS.index(kind)
        left = [(n, work.free_out[place]) for work, n in rig.rack_at(hop - 1)]
        model.add(total(given) <= total(left))
