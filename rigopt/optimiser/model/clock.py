"""Rule: every host, and every other unit with a link, is the master of its clock tree or
locked to a socket with a link on it, at most `max_hops` links from its master.

All hosts are in one tree, unless the needs allow them clocks of their own. A unit may be in
another tree than its host only where converters stand behind the sockets that receive. Trees
without a host are pooled: any number of masters, and who hangs on whom makes no difference.
A tree is layered: who is at hop h takes its clock from someone at hop h - 1 of the same tree,
by a link that is there anyway or by one for clock alone.

Variables: clocked[signature, state], counts, where a state is a source of clock, a hop and a
tree; routes[format, h, tree, sender, receiver], links for clock alone by who gives and who
takes (a host slot, or the rack); chains of word inputs (see `chains`); deepest[h], 0/1.
Constraints: as many clock states as units of each signature; one internal clock in the tree
of each host; for each format, hop and receiver, the routes equal the units that need one; what
the units of a hop hand on finds output sockets that they have left; a host that shares an
audio link has a unit of hop h - 1 at the far end of one; units that share a return link have
it from their host at hop h - 1; deepest[h] = 1 if anyone is at hop h.
Cost: none here; links for clock alone are links, deepest stands after them in the objective.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from rigopt.facts import WORD
from rigopt.optimiser.model import chains, pooled_trees, trees
from rigopt.optimiser.model.transport import transport
from rigopt.optimiser.model.variables import RACK, ClockRoute, RigVars
from rigopt.optimiser.problem.signatures import ClockSignature, ClockState, Lock, Offer
from rigopt.optimiser.solver.linear import Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    _states(model, rig)
    trees.add(model, rig)
    if rig.problem.pooled:
        pooled_trees.add(model, rig)
    for hop in rig.hops:
        for tree in trees.trees(rig):
            rig.beat()
            _handed_on(model, rig, hop, tree)
            for slot in rig.slots:
                rig.beat()
                _shared_by_hosts(model, rig, slot, hop, tree)
        _depth(model, rig, hop)


def _states(model: cp_model.CpModel, rig: RigVars) -> None:
    units: dict[ClockSignature, Terms] = defaultdict(list)
    for column, number in rig.columns():
        if column.signature is not None:
            units[column.signature].append((number, 1))
    for signature, terms in units.items():
        rig.beat()
        upper = rig.problem.per_slot if signature.host else rig.problem.max_units
        rig.clocked[signature] = {
            state: model.new_int_var(0, upper, f"clocked at {state.hop}")
            for state in signature.states(rig.hops, trees.of(rig, signature))
        }
        model.add(total(terms) == total([(n, 1) for n in rig.clocked[signature].values()]))


def _handed_on(model: cp_model.CpModel, rig: RigVars, hop: int, tree: int) -> None:
    """Every unit of a hop has its clock from a socket of a unit of the hop before."""
    there = {end: _offers(rig, end, hop - 1, tree) for end in (*rig.slots, RACK)}
    given: dict[int, dict[str, Terms]] = {end: defaultdict(list) for end in there}
    for name in rig.problem.formats:
        if name != WORD:
            _routes(model, rig, ClockState(Lock("alone", name), hop, tree), there, given)
    chains.add(model, rig, hop, tree, there, given)
    for slot in rig.slots:
        for name, terms in _shared_by_satellites(rig, slot, hop, tree).items():
            given[slot][name] += terms
    for end, wanted in given.items():
        transport(model, wanted, there[end], lambda offer, name: name in offer.formats)


def _offers(rig: RigVars, end: int, hop: int, tree: int) -> dict[Offer, Terms]:
    """Output sockets that units of a hop and tree have left."""
    found: dict[Offer, Terms] = defaultdict(list)
    for signature, state, number in rig.clocked_at(end, hop, tree):
        for offer, sockets in signature.left(state.lock):
            found[offer].append((number, sockets))
    return found


def _routes(
    model: cp_model.CpModel,
    rig: RigVars,
    state: ClockState,
    there: dict[int, dict[Offer, Terms]],
    given: dict[int, dict[str, Terms]],
) -> None:
    name = state.lock.format
    assert name is not None
    for receiver in there:
        taking = rig.locked_by(receiver, state)
        if not taking:
            continue
        ways: Terms = []
        for sender, offers in there.items():
            itself = sender == receiver != RACK and rig.problem.per_slot == 1
            if not itself and any(name in offer.formats for offer in offers):
                route = ClockRoute(name, state.hop, state.tree, sender, receiver)
                upper = rig.problem.max_links if receiver == RACK else rig.problem.per_slot
                rig.routes[route] = model.new_int_var(0, upper, f"{name} clock")
                ways.append((rig.routes[route], 1))
                given[sender][name].append((rig.routes[route], 1))
        model.add(total(ways) == total(taking))


def _shared_by_satellites(rig: RigVars, slot: int, hop: int, tree: int) -> dict[str, Terms]:
    """Units locked to a link from the host in `slot` that is there anyway, by format."""
    found: dict[str, Terms] = defaultdict(list)
    for signature, state, number in rig.clocked_at(RACK, hop, tree):
        if signature.slot == slot and state.lock.by == "shared" and state.lock.format:
            found[state.lock.format].append((number, 1))
    return found


def _shared_by_hosts(
    model: cp_model.CpModel, rig: RigVars, slot: int, hop: int, tree: int
) -> None:
    """A host locked to an audio link: who sends it is one hop nearer the master.

    So it is not locked to a return link, for that comes from this same host.
    """
    for name in rig.problem.formats:
        locked = rig.locked_by(slot, ClockState(Lock("shared", name), hop, tree))
        if not locked:
            continue
        senders = [
            (signature.arrivals, number)
            for signature, source, number in rig.clocked_at(RACK, hop - 1, tree)
            if (signature.slot, signature.sends) == (slot, name) and source.lock.by != "shared"
        ]
        model.add(total(locked) <= total([(number, 1) for _, number in senders]))
        _by_arrivals(model, rig, (slot, name), locked, senders)


def _by_arrivals(
    model: cp_model.CpModel,
    rig: RigVars,
    at: tuple[int, str],
    locked: Terms,
    senders: list[tuple[tuple[int, ...], cp_model.IntVar]],
) -> None:
    """Where not every socket will do: how many channels arrive on the link locked to."""
    arrivals = sorted({number for numbers, _ in senders for number in numbers})
    on: Terms = []
    for arriving in arrivals:
        var = model.new_int_var(0, rig.problem.per_slot, "locked to audio")
        having = [(number, 1) for numbers, number in senders if arriving in numbers]
        model.add(var <= total(having))
        rig.locked.setdefault((*at, arriving), []).append((var, 1))
        on.append((var, 1))
    if on:
        model.add(total(on) == total(locked))


def _depth(model: cp_model.CpModel, rig: RigVars, hop: int) -> None:
    there = [
        (number, 1)
        for states in rig.clocked.values()
        for state, number in states.items()
        if state.hop == hop
    ]
    rig.deepest[hop] = model.new_bool_var(f"hop {hop}")
    model.add(total(there) <= rig.problem.max_units * rig.deepest[hop])
