"""What a repair costs, objective by objective; each is a sum to be made as small as it gets.

1. Channels that no longer reach the computer, of those the given cables were to bring;
   then line outputs that are no longer fed.
2. Money for cables.
3. Cables moved, then cables taken away, then cables added, then sockets that change.
4. Clock settings and 48 V banks that change, then clock hops.
5. A fixed order of what is still equal: units and sockets that come first.
"""

from __future__ import annotations

from dataclasses import replace

from rigopt.optimiser.questions.repair.pieces import added, unused
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, total
from rigopt.rig.links import derive_links
from rigopt.rig.wired import wire_of


def objectives(repair: RepairVars) -> list[Terms]:
    """The objectives in their order. Adds variables that measure."""
    lost, spent = _lost(repair), repair.basket.spent()
    return [lost, spent, _effort(repair), _settings(repair), _order(repair)]


def _lost(repair: RepairVars) -> Terms:
    """Minus what is kept: audio weighs more than all outputs together."""
    case = repair.case
    outs = _fed_now(repair)
    weight = sum(outs.values()) + 1
    terms: Terms = []
    for unit in case.expanders:
        heard = repair.count(case.meant(unit), "heard", unit.name)
        arriving = [
            (var, len(case.brings(unit, rank.kind, rank.number, host, socket)))
            for rank, ends in repair.goes.items()
            for (host, socket), var in ends.items()
            if rank.unit == unit.name
        ]
        repair.model.add(heard <= total(arriving))
        fed = repair.count(outs[unit.name], "still fed", unit.name)
        repair.model.add(fed <= repair.fed[unit.name])
        terms += [(heard, -weight), (fed, -1)]
    return terms


def _fed_now(repair: RepairVars) -> dict[str, int]:
    """Line outputs of expanders that the given cables feed."""
    case = repair.case
    wires = [
        replace(wire_of(link), cable=None, audio=True)
        for link in case.links
        if case.whole(link)
    ]
    fed = {unit.name: 0 for unit in case.expanders}
    for link in derive_links(case.units, wires, case.rate_hz):
        if link.to_unit in fed:
            fed[link.to_unit] += link.channels
    return fed


def _effort(repair: RepairVars) -> Terms:
    """Pieces moved, taken away, added; last, that cables stay between their sockets."""
    gone, most = unused(repair)
    cables = added(repair)
    add_weight = most + 1
    gone_weight = add_weight * (len(cables) + 1)
    move_weight = gone_weight * (most + 1)
    terms: Terms = [(var, factor * add_weight) for var, factor in cables]
    terms += [(var, factor * gone_weight) for var, factor in gone]
    terms += [(var, -1) for index in range(most) for var, _ in repair.kept(index)]
    return terms + [(var, move_weight) for var in repair.moved.values()]


def _settings(repair: RepairVars) -> Terms:
    case = repair.case
    hops: Terms = [(var, 1) for var in repair.hop.values()]
    depth = len(case.units) * len(case.units) + 1
    change = depth * (len(case.units) + 1)
    terms = [*hops, (repair.deepest, depth)]
    for locks in repair.locks.values():
        terms += [(var, change) for lock, var in locks.items() if not lock.same]
    for (unit, bank), var in repair.on.items():
        on = bank in case.by_name[unit].phantom_banks_on
        terms.append((var, -change if on else change))
    return terms


def _order(repair: RepairVars) -> Terms:
    """Any fixed order will do; this one prefers low sockets, and units that come first."""
    terms: Terms = []
    for rank, ends in repair.goes.items():
        terms += [(v, place + rank.number) for place, v in enumerate(ends.values(), start=1)]
    for outs in repair.starts.values():
        terms += [(var, out) for out, var in outs.items()]
    for locks in repair.locks.values():
        terms += [(var, place) for place, var in enumerate(locks.values())]
    terms += [(var, place) for place, var in enumerate(repair.new_back.values(), start=1)]
    terms += [(var, place) for place, var in enumerate(repair.own.values())]
    terms += [(var, place) for place, var in enumerate(repair.on.values())]
    for packs in repair.basket.packs.values():
        terms += [(var, n) for n, ways in enumerate(packs, start=1) for var, _ in ways]
    return terms
