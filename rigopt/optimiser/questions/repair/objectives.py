"""What a repair costs, objective by objective; each is a sum to be made as small as it gets.

1. Channels that no longer reach the computer, of those the given cables were to bring;
   then line outputs that are no longer fed.
2. Money for cables.
3. Cables moved, then cables taken away, then cables added, then sockets that change.
4. Clock settings and 48 V banks that change, then clock hops.
5. A fixed order of what is still equal: units and sockets that come first.
"""

from __future__ import annotations

from rigopt.optimiser.questions.repair.orders import spent
from rigopt.optimiser.questions.repair.pieces import added, unused
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import Terms, total
from rigopt.rig.banks import banks
from rigopt.rig.links import Wire, derive_links


def objectives(rewire: Rewire) -> list[Terms]:
    """The objectives in their order. Adds variables that measure."""
    return [_lost(rewire), spent(rewire), _effort(rewire), _settings(rewire), _order(rewire)]


def _lost(rewire: Rewire) -> Terms:
    """Minus what is kept: audio weighs more than all outputs together."""
    case = rewire.case
    outs = _fed_now(rewire)
    weight = sum(outs.values()) + 1
    terms: Terms = []
    for unit in case.expanders:
        heard = rewire.count(case.meant(unit), "heard", unit.name)
        arriving = [
            (var, len(case.brings(unit, kind, rank, host, socket)))
            for (name, kind, rank), ends in rewire.goes.items()
            for (host, socket), var in ends.items()
            if name == unit.name
        ]
        rewire.model.add(heard <= total(arriving))
        fed = rewire.count(outs[unit.name], "still fed", unit.name)
        rewire.model.add(fed <= rewire.fed[unit.name])
        terms += [(heard, -weight), (fed, -1)]
    return terms


def _fed_now(rewire: Rewire) -> dict[str, int]:
    """Line outputs of expanders that the given cables feed."""
    case = rewire.case
    wires = [
        Wire(link.kind, link.from_unit, link.from_socket, link.to_unit, link.to_socket, None)
        for link in case.links
        if case.whole(link)
    ]
    fed = {unit.name: 0 for unit in case.expanders}
    for link in derive_links(case.units, wires, case.rate_hz):
        if link.to_unit in fed:
            fed[link.to_unit] += link.channels
    return fed


def _effort(rewire: Rewire) -> Terms:
    """Pieces moved, taken away, added; last, that cables stay between their sockets."""
    gone, most = unused(rewire)
    cables = added(rewire)
    add_weight = most + 1
    gone_weight = add_weight * (len(cables) + 1)
    move_weight = gone_weight * (most + 1)
    terms: Terms = [(var, factor * add_weight) for var, factor in cables]
    terms += [(var, factor * gone_weight) for var, factor in gone]
    terms += [(var, -1) for index in range(most) for var, _ in rewire.kept(index)]
    return terms + [(var, move_weight) for var in rewire.moved.values()]


def _settings(rewire: Rewire) -> Terms:
    case = rewire.case
    deepest = rewire.deepest
    assert deepest is not None
    hops: Terms = [(var, 1) for var in rewire.hop.values()]
    depth = len(case.units) * len(case.units) + 1
    change = depth * (len(case.units) + 1)
    terms = [*hops, (deepest, depth)]
    for locks in rewire.locks.values():
        terms += [(var, change) for lock, var in locks.items() if not lock.same]
    for unit in case.units:
        for bank in banks(unit.device):
            on = bank in unit.phantom_banks_on
            terms.append((rewire.on[unit.name, bank], -change if on else change))
    return terms


def _order(rewire: Rewire) -> Terms:
    """Any fixed order will do; this one prefers low sockets, and units that come first."""
    terms: Terms = []
    for (_, _, rank), ends in rewire.goes.items():
        terms += [(var, place + rank) for place, var in enumerate(ends.values(), start=1)]
    for outs in rewire.starts.values():
        terms += [(var, out) for out, var in outs.items()]
    for locks in rewire.locks.values():
        terms += [(var, place) for place, var in enumerate(locks.values())]
    terms += [(var, place) for place, var in enumerate(rewire.new_back.values(), start=1)]
    terms += [(var, place) for place, var in enumerate(rewire.own.values())]
    terms += [(var, place) for place, var in enumerate(rewire.on.values())]
    for packs in rewire.packs.values():
        terms += [(var, place) for place, var in enumerate(packs, start=1)]
    return terms
