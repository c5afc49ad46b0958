"""Rule: one clock master; every other unit is locked to a socket, and the links back from
it reach the master within `max_hops`.

The clock tree is layered: who is at hop h takes its clock from someone at hop h - 1, by a
link that is there anyway or by one for clock alone.

Variables: clocked[signature, state], counts, where a state is a source of clock and a
hop; routes[k, h, sender, receiver], clock-only links of kind k that clock the units at hop h,
by who gives and who takes (a host slot, or the rack); deepest[h], 0/1.
Constraints: as many clock states as units of each signature; one internal clock in all;
for each kind, hop and receiver, the routes equal the units that need one; a host gives only
from the hop where it stands; a host that shares an audio link has a unit of hop h - 1 at
the far end of one; units that share a return link have it from their host at hop h - 1, out
of a socket that no route has; deepest[h] = 1 if anyone is at hop h.
Cost: none here; clock-only links are among the links, and the sum of deepest, the hops, is
the objective after the links.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.model.variables import RACK, ClockRoute, RigVars
from rigopt.optimiser.problem.signatures import INTERNAL, ClockSignature, ClockState, Lock
from rigopt.optimiser.solver.linear import Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`, and create its variables."""
    _states(model, rig)
    internal = ClockState(INTERNAL, 0)
    masters = [(s[internal], 1) for s in rig.clocked.values() if internal in s]
    model.add(total(masters) == 1)
    for hop in rig.hops:
        for kind in KINDS:
            _routes(model, rig, kind, hop)
        for slot in rig.slots:
            _shared_by_hosts(model, rig, slot, hop)
        _depth(model, rig, hop)


def _states(model: cp_model.CpModel, rig: RigVars) -> None:
    units: dict[ClockSignature, Terms] = defaultdict(list)
    for column, number in rig.columns():
        units[column.signature].append((number, 1))
    for signature, terms in units.items():
        upper = rig.problem.per_slot if signature.host else rig.problem.max_units
        rig.clocked[signature] = {
            state: model.new_int_var(0, upper if state.hop else 1, f"clocked at {state.hop}")
            for state in signature.states(rig.problem.needs.max_hops)
        }
        model.add(total(terms) == total([(n, 1) for n in rig.clocked[signature].values()]))


def _routes(model: cp_model.CpModel, rig: RigVars, kind: Kind, hop: int) -> None:
    state, ends = ClockState(Lock("alone", kind), hop), (*rig.slots, RACK)
    given: dict[int, Terms] = {sender: [] for sender in ends}
    for receiver in ends:
        taking = [(states[state], 1) for _, states in rig.at(receiver) if state in states]
        if not taking:
            continue
        ways: Terms = []
        for sender in ends:
            itself = sender == receiver != RACK and rig.problem.per_slot == 1
            if not itself and _hands_on(rig, sender, kind, hop - 1):
                route = ClockRoute(kind, hop, sender, receiver)
                upper = rig.problem.max_links if receiver == RACK else rig.problem.per_slot
                rig.routes[route] = model.new_int_var(0, upper, f"{kind} clock")
                ways.append((rig.routes[route], 1))
                given[sender].append((rig.routes[route], 1))
        model.add(total(ways) == total(taking))
    for sender, links in given.items():
        handed = [*links, *_shared_by_satellites(rig, sender, kind, hop)]
        if handed:
            model.add(total(handed) <= total(_hands_on(rig, sender, kind, hop - 1)))


def _hands_on(rig: RigVars, sender: int, kind: Kind, hop: int) -> Terms:
    """Output sockets of `kind` that units of `sender` have left at `hop`."""
    return [
        (number, signature.free_out[kind])
        for signature, number in rig.clocked_at(sender, hop)
        if kind in signature.free_out
    ]


def _shared_by_hosts(model: cp_model.CpModel, rig: RigVars, slot: int, hop: int) -> None:
    """A host locked to an audio link: who sends it is one hop nearer the master.

    So it is not locked to a return link, for that comes from this same host.
    """
    for kind in AUDIO_KINDS:
        state = ClockState(Lock("shared", kind), hop)
        locked = [(states[state], 1) for _, states in rig.at(slot) if state in states]
        if locked:
            senders = [
                (number, 1)
                for work, states in rig.at(RACK)
                for source, number in states.items()
                if (work.slot, work.sends) == (slot, kind)
                and (source.lock.by != "shared" and source.hop == hop - 1)
            ]
            model.add(total(locked) <= total(senders))


def _shared_by_satellites(rig: RigVars, slot: int, kind: Kind, hop: int) -> Terms:
    """Units locked to a return link of `kind`, from the host in `slot`."""
    state = ClockState(Lock("shared", kind), hop)
    return [
        (states[state], 1)
        for work, states in rig.at(RACK)
        if work.slot == slot and state in states
    ]


def _depth(model: cp_model.CpModel, rig: RigVars, hop: int) -> None:
    there = [(n, 1) for end in (*rig.slots, RACK) for _, n in rig.clocked_at(end, hop)]
    rig.deepest[hop] = model.new_bool_var(f"hop {hop}")
    model.add(total(there) <= rig.problem.max_units * rig.deepest[hop])
