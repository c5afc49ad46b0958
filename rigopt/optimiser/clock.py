"""Rule: one clock master; every other unit is locked to a socket, and the links back from
it reach the master within `max_hops`.

The clock tree is layered: who is at hop h takes its clock from someone at hop h - 1, by a
link that is there anyway or by one for clock alone.

Variables: host_clocks[slot, state] and clocked[clockwork, state], counts, where a
state is a source of clock and a hop; routes[k, h, giver, taker], clock-only links of
kind k that clock the units at hop h, by who gives and who takes (a host slot, or the
rack); deepest[h], 0/1.
Constraints: as many clock states as units, in each slot and of each clockwork; a host's
state is one that its type allows; one internal clock in all; for each kind, hop and
taker, the routes equal the units that need one; a host gives only from the hop where it
stands; a host that shares an audio link has a unit of hop h - 1 at the far end of one; a
unit that shares a return link has its host at hop h - 1; deepest[h] = 1 if anyone is at
hop h.
Cost: none here; clock-only links are links, deepest is the last goal but one.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.columns import INTERNAL, ClockState, Clockwork, Lock
from rigopt.optimiser.variables import RACK, ClockRoute, RigVars, Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`, and create its variables."""
    _host_states(model, rig)
    _rack_states(model, rig)
    masters = [*rig.host_clocks.values(), *rig.clocked.values()]
    internal = ClockState(INTERNAL, 0)
    model.add(total([(s[internal], 1) for s in masters if internal in s]) == 1)
    for hop in rig.hops:
        for kind in KINDS:
            _routes(model, rig, kind, hop)
        _shared(model, rig, hop)
        _depth(model, rig, hop)


def _host_states(model: cp_model.CpModel, rig: RigVars) -> None:
    for slot in rig.slots:
        able: dict[Lock, Terms] = defaultdict(list)
        for column, var in rig.slot(slot):
            for lock in column.locks:
                able[lock].append((var, 1))
        states = [
            ClockState(lock, hop)
            for lock in sorted(able, key=lambda lock: (lock.by, lock.kind or ""))
            for hop in ((0,) if lock == INTERNAL else rig.hops)
        ]
        rig.host_clocks[slot] = {
            state: model.new_int_var(0, rig.problem.per_slot if state.hop else 1, f"{state}")
            for state in states
        }
        chosen = rig.host_clocks[slot].items()
        model.add(
            total([(v, 1) for _, v in rig.slot(slot)]) == total([(v, 1) for _, v in chosen])
        )
        for lock, types in able.items():
            model.add(total([(v, 1) for s, v in chosen if s.lock == lock]) <= total(types))


def _rack_states(model: cp_model.CpModel, rig: RigVars) -> None:
    units: dict[Clockwork, Terms] = defaultdict(list)
    for column, number in rig.satellites.items():
        units[column.clockwork].append((number, 1))
    for clockwork, terms in units.items():
        states = clockwork.states(rig.problem.needs.max_hops)
        rig.clocked[clockwork] = {
            state: model.new_int_var(
                0, 1 if state.hop == 0 else rig.problem.max_units, f"{state}"
            )
            for state in states
        }
        model.add(total(terms) == total([(n, 1) for n in rig.clocked[clockwork].values()]))


def _routes(model: cp_model.CpModel, rig: RigVars, kind: Kind, hop: int) -> None:
    state = ClockState(Lock("alone", kind), hop)
    for taker in (*rig.slots, RACK):
        taking = _taking(rig, taker, state)
        if not taking:
            continue
        ways: Terms = []
        for giver in (*rig.slots, RACK):
            stands = _standing(rig, giver, kind, hop - 1)
            if stands and (giver == RACK or giver != taker or rig.problem.per_slot > 1):
                route = ClockRoute(kind, hop, giver, taker)
                most = rig.problem.max_links if taker == RACK else rig.problem.per_slot
                rig.routes[route] = model.new_int_var(0, most, f"clock {route}")
                ways.append((rig.routes[route], 1))
                if giver != RACK:
                    most = min(most, _most_out(rig, giver, kind))
                    model.add(rig.routes[route] <= total([(v, most) for v, _ in stands]))
        model.add(total(ways) == total(taking))


def _taking(rig: RigVars, taker: int, state: ClockState) -> Terms:
    groups = rig.clocked.values() if taker == RACK else [rig.host_clocks[taker]]
    return [(states[state], 1) for states in groups if state in states]


def _standing(rig: RigVars, giver: int, kind: Kind, hop: int) -> Terms:
    """Who of these could hand on the clock by `kind` from `hop`."""
    if giver != RACK:
        return rig.host_at(giver, hop) if _most_out(rig, giver, kind) else []
    place = KINDS.index(kind)
    return [(number, 1) for work, number in rig.rack_at(hop) if work.free_out[place] > 0]


def _most_out(rig: RigVars, slot: int, kind: Kind) -> int:
    return max((c.device.live_out(kind, c.rate_hz) for c, _ in rig.slot(slot)), default=0)


def _shared(model: cp_model.CpModel, rig: RigVars, hop: int) -> None:
    """Locks to links that are there anyway."""
    for slot in rig.slots:
        for kind in AUDIO_KINDS:
            locked = rig.host_clocks[slot].get(ClockState(Lock("shared", kind), hop))
            if locked is not None:
                senders = [
                    (number, 1)
                    for work, number in rig.rack_at(hop - 1)
                    if (work.slot, work.sends) == (slot, kind)
                ]
                model.add(locked <= total(senders))
        sharing = [
            (number, 1)
            for work, states in rig.clocked.items()
            for state, number in states.items()
            if state.lock.by == "shared" and (work.slot, state.hop) == (slot, hop)
        ]
        if sharing:
            most = rig.problem.max_units
            model.add(
                total(sharing) <= total([(v, most) for v, _ in rig.host_at(slot, hop - 1)])
            )


def _depth(model: cp_model.CpModel, rig: RigVars, hop: int) -> None:
    there: Terms = [(number, 1) for _, number in rig.rack_at(hop)]
    for slot in rig.slots:
        there += rig.host_at(slot, hop)
    rig.deepest[hop] = model.new_bool_var(f"hop {hop}")
    model.add(total(there) <= rig.problem.max_units * rig.deepest[hop])
