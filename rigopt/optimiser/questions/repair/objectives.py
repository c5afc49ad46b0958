"""What a repair costs, objective by objective; each is a sum to be made as small as it gets.

1. Channels that no longer reach the computer, of those the given cables were to bring;
   then line outputs that are no longer fed.
2. Money for cables. Where there are needs they say what has to be kept, and money comes first.
3. Cables moved, then cables taken away, then cables added, then sockets that change.
4. Clock settings, formats and 48 V banks that change; inputs for microphones that direct
   outs occupy; then the deepest clock hop.

Of what is then equal, with limited effort: the fewest hops in all; a fixed order, of units and
sockets that come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rigopt.catalogue.types import ACCEPTS
from rigopt.optimiser.questions.repair import leads
from rigopt.optimiser.questions.repair.analogue import Line
from rigopt.optimiser.questions.repair.pieces import added, unused
from rigopt.optimiser.questions.repair.routes import Ends
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, Var, reach, total
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.types import ClockSetting


def objectives(repair: RepairVars) -> list[Terms]:
    """The objectives in their order. Adds variables that measure."""
    kept, spent = [_unheard(repair), _unfed(repair)], repair.basket.spent()
    first = [spent, *kept] if repair.case.judged else [*kept, spent]
    return [
        *first,
        _effort(repair),
        _settings(repair),
        _occupied(repair),
        [(repair.deepest, 1)],
    ]


def ties(repair: RepairVars) -> list[Terms]:
    """What chooses among repairs that are all the best."""
    return [_hops(repair), _order(repair)]


def _unheard(repair: RepairVars) -> Terms:
    """Minus the channels that still reach the computer."""
    case = repair.case
    terms: Terms = []
    for unit in case.units:
        name = unit.name
        outs = len(case.analogue.outs.get(name, ()))
        there = {ln.out for ln in case.analogue.given if ln.sender == name and ln.out <= outs}
        meant = min(unit.device.analogue, case.meant(unit) + len(there))
        heard = repair.count(meant, "heard", name)
        arriving = [(deal.var, len(deal.channels)) for deal in repair.dealt.get(name, ())]
        arriving += [(var, 1) for line, var in repair.line.items() if line.sender == name]
        repair.model.add(total(arriving) >= heard)
        terms.append((heard, -1))
    return terms


def _unfed(repair: RepairVars) -> Terms:
    """Minus the line outputs that are still fed."""
    outs = _fed_now(repair)
    terms: Terms = []
    for unit in repair.case.expanders:
        fed = repair.count(outs[unit.name], "still fed", unit.name)
        repair.model.add(fed <= repair.fed[unit.name])
        terms.append((fed, -1))
    return terms


def _fed_now(repair: RepairVars) -> dict[str, int]:
    """Line outputs of expanders that the given cables feed, once all run on one clock."""
    case = repair.case
    one = ClockSetting("word", None, case.units[0].name)
    units = [replace(unit, clock=one) for unit in case.units]
    units[0] = replace(units[0], clock=ClockSetting("internal"))
    wires = [
        Wire(link.format, ends.start.unit, ends.start.socket.number, *_into(ends))
        for link, ends in zip(case.links, case.ends, strict=True)
        if case.whole(link) and not ends.tee
    ]
    fed = {unit.name: 0 for unit in case.expanders}
    for link in derive_links(units, list(dict.fromkeys(wires)), case.rate_hz):
        if link.to_unit in fed:
            fed[link.to_unit] += link.channels
        if link.from_unit in fed:
            fed[link.from_unit] += link.back
    return fed


def _into(ends: Ends) -> tuple[str, int]:
    return ends.end.unit, ends.end.socket.number


def _effort(repair: RepairVars) -> Terms:
    """Pieces moved, taken away, added; last, that cables stay between their sockets."""
    gone, most = unused(repair)
    cables, stay = added(repair), _staying(repair)
    add_weight = reach(stay) + 1
    gone_weight = add_weight * (reach(cables) + 1)
    move_weight = gone_weight * (most + 1)
    terms: Terms = [(var, factor * add_weight) for var, factor in cables]
    terms += [(var, factor * gone_weight) for var, factor in gone]
    moved = (*repair.moved.values(), *leads.moved(repair))
    return terms + stay + [(var, move_weight) for var in moved]


def _staying(repair: RepairVars) -> Terms:
    """Cables that stay between their sockets, lines too; new lines count against it."""
    there = set(repair.case.analogue.given)
    lines = [(var, -1 if line in there else 1) for line, var in repair.line.items()]
    return [*((var, -1) for var in repair.kept.values()), *lines]


def _occupied(repair: RepairVars) -> Terms:
    """Inputs that take a microphone, with a direct out in them."""
    case = repair.case
    return [
        (var, 1)
        for (name, channel), var in repair.enters.items()
        if "mic" in ACCEPTS[case.by_name[name].device.channel_kinds[channel - 1]]
    ]


def _settings(repair: RepairVars) -> Terms:
    terms: Terms = [(var, 1) for var in _changed(repair)]
    for (unit, bank), var in repair.on.items():
        on = bank in repair.case.by_name[unit].phantom_banks_on
        terms.append((var, -1 if on else 1))
    return terms


def _hops(repair: RepairVars) -> Terms:
    return [(var, 1) for var in repair.hop.values()]


def _changed(repair: RepairVars) -> Iterator[Var]:
    """Clock settings that are not as they were, and cables that speak another format."""
    case = repair.case
    clocks = {unit.name: unit.clock or ClockSetting("internal") for unit in case.units}
    for name, var in repair.internal.items():
        if case.by_name[name].clock != ClockSetting("internal"):
            yield var
    for place, var in repair.locked.items():
        setting = (clocks[place.unit].source, clocks[place.unit].socket)
        if setting != (place.socket.kind, place.socket.number):
            yield var
    for link, routes in zip(case.links, case.staying, strict=True):
        yield from (repair.plug[route] for route in routes if route.format != link.format)


def _uncrossed(line: Line) -> int:
    """Low numbers first, and of as many lines those that do not cross cost least."""
    return 1000 * (line.out + line.into) - line.out * line.into


def _order(repair: RepairVars) -> Terms:
    """Any fixed order will do; this one prefers low sockets, for units that come first."""
    case = repair.case
    after = {name: len(case.units) - place for name, place in case.place.items()}
    formats = list(dict.fromkeys(route.format for route in case.routes))
    terms: Terms = []
    for route, var in repair.plug.items():
        start, end = route.start.socket.number, route.end.socket.number
        low = start * after[route.end.unit] + end * after[route.start.unit]
        first = case.place[route.start.unit] + case.place[route.end.unit]
        terms.append((var, low + first + formats.index(route.format)))
    terms += [
        (deal.var, -deal.rank.number * deal.route.end.socket.number) for deal in repair.deals
    ]
    terms += [(var, _uncrossed(line)) for line, var in repair.line.items()]
    for several in (repair.locked, repair.own, repair.on, repair.sits, repair.put):
        terms += [(var, place) for place, var in enumerate(several.values())]
    for packs in repair.basket.packs.values():
        terms += [(var, n) for n, ways in enumerate(packs, start=1) for var, _ in ways]
    return terms
