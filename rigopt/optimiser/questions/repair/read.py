"""From a solution to a repair: what stays, and where new cables go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rigopt.answers.repair import Moved, Repaired
from rigopt.facts import ANALOGUE, FORMATS, TEE, TERMINATOR
from rigopt.optimiser.decode.baskets import lines
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.handout import Plug, Value, hand_out, small
from rigopt.optimiser.questions.repair.looms import Loom, laid, numbered
from rigopt.optimiser.questions.repair.routes import Place, Route
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.run import Result
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import WiredRig


def read(repair: RepairVars, result: Result, proven: bool, for_outputs: int) -> Repaired:
    """The repair that a solution tells."""
    case, value = repair.case, result.value
    plugs = _plugs(repair, value)
    hand_out(repair, value, plugs)
    feeding = _feeding(plugs)
    units = tuple(_unit(repair, value, unit, feeding) for unit in case.units)
    looms = laid(repair, value)
    cables = [*_wires(repair, value, plugs, feeding), *_lines(case, looms)]
    every = _links(repair, units, cables)
    links, ways = every[: len(plugs)], every[len(plugs) :]
    purchases = lines(case.problem, repair.basket.read(value).packs)
    placed = orders(purchases, case.problem.catalogue, case.needs.exchange)
    used = {plug.origin for plug in plugs}
    pairs = list(zip(plugs, links, strict=True))
    replugged, plugged, unplugged = _changes(case, looms, ways)
    return Repaired(
        rig=WiredRig(case.rate_hz, units, every),
        moved=(
            *(
                Moved(case.links[plug.origin], link)
                for plug, link in pairs
                if plug.origin is not None and plug.origin != plug.stays
            ),
            *replugged,
        ),
        added=(*(link for plug, link in pairs if plug.origin is None), *plugged),
        removed=(
            *(link for index, link in enumerate(case.links) if index not in used),
            *unplugged,
        ),
        purchases=purchases,
        orders=placed,
        money=paid(purchases, placed),
        for_outputs=for_outputs,
        proven=proven,
    )


def _changes(
    case: Case, looms: Sequence[Loom], links: Sequence[Link]
) -> tuple[list[Moved], list[Link], list[Link]]:
    """Ways of pieces that go elsewhere, come, and go."""
    moved: list[Moved] = []
    added: list[Link] = []
    left = list(range(len(case.lines)))
    rest = list(links)
    for loom in looms:
        new = [rest.pop(0) for _ in loom.lines]
        if loom.lead is None:
            added += new
            continue
        old = list(case.analogue.leads[loom.lead].links)
        for line, link in zip(loom.lines, tuple(new), strict=True):
            stays = next((index for index in old if case.analogue.given[index] == line), None)
            if stays is not None:
                old.remove(stays)
                left.remove(stays)
                new.remove(link)
        moved += [Moved(case.lines[i], link) for i, link in zip(old, new, strict=False)]
        left = [index for index in left if index not in old[: len(new)]]
        added += new[len(old) :]
    return moved, added, [case.lines[index] for index in left]


def _lines(case: Case, looms: Sequence[Loom]) -> Iterator[Wire]:
    """The wires of analogue lines, piece by piece."""
    for loom, number in zip(looms, numbered(case, looms), strict=True):
        yield from (
            Wire(FORMATS[ANALOGUE], *line, cable=loom.cable, piece=number)
            for line in loom.lines
        )


def _plugs(repair: RepairVars, value: Value) -> list[Plug]:
    """Cables that stay, in their order; then new ones."""
    found = []
    new = [route for route, plug in repair.plug.items() if value(plug)]
    for index, routes in enumerate(repair.case.staying):
        if value(repair.kept[index]):
            route = next(route for route in routes if route in new)
            new.remove(route)
            found.append(Plug(route, index))
    return found + [Plug(route) for route in new]


def _feeding(plugs: Sequence[Plug]) -> dict[Place, Place]:
    """By the socket where a cable of a chain ends, the output that feeds the chain."""
    begins = {plug.route.end: plug.route.ends for plug in plugs if not plug.route.format.duplex}
    found = {}
    for place, ends in begins.items():
        while ends.tee:
            ends = begins[ends.start]  # noqa: PLW2901
        found[place] = ends.start
    return found


def _unit(repair: RepairVars, value: Value, unit: Unit, feeding: dict[Place, Place]) -> Unit:
    on = tuple(
        bank for (name, bank), var in repair.on.items() if name == unit.name and value(var)
    )
    clock = _clock(repair, value, unit, feeding)
    lined = any(value(v) for line, v in repair.line.items() if line.sender == unit.name)
    role = "preamp" if clock is None and lined else unit.role
    return replace(unit, role=role, clock=clock, phantom_banks_on=on)


def _clock(
    repair: RepairVars, value: Value, unit: Unit, feeding: dict[Place, Place]
) -> ClockSetting | None:
    for place, var in repair.locked.items():
        if place.unit == unit.name and value(var):
            sender = feeding[place].unit if place in feeding else _other(repair, value, place)
            return ClockSetting(place.socket.kind, place.socket.number, sender)
    idle = repair.idle.get(unit.name)
    return None if idle is not None and value(idle) else ClockSetting("internal")


def _other(repair: RepairVars, value: Value, place: Place) -> str:
    """The unit at the other end of the duplex cable in a socket."""
    route = next(r for r in repair.case.taken(place) if value(repair.plug[r]))
    return next(sender for sender, end in route.ways if end == place)


def _wires(
    repair: RepairVars, value: Value, plugs: Sequence[Plug], feeding: dict[Place, Place]
) -> list[Wire]:
    dealt = {deal.route for deal in repair.deals if value(deal.var)}
    tees = small(repair, value, TEE, _places(repair, value, plugs, TEE))
    ends = small(repair, value, TERMINATOR, _places(repair, value, plugs, TERMINATOR))
    wires = []
    for plug in plugs:
        route, place = plug.route, plug.route.end
        start = feeding.get(place, route.start)
        wires.append(
            Wire(
                route.format,
                start.unit,
                start.socket.number,
                place.unit,
                place.socket.number,
                plug.cable,
                audio=route in dealt or not _towards_host(repair.case, route),
                after=route.start.unit if route.tee else None,
                tee=tees.get(place),
                terminator=ends.get(place),
            )
        )
    return wires


def _links(
    repair: RepairVars, units: Sequence[Unit], wires: Sequence[Wire]
) -> tuple[Link, ...]:
    links = derive_links(units, wires, repair.case.rate_hz)
    clocks = {unit.name: unit.clock for unit in units}
    return tuple(_from_giver(link, clocks) for link in links)


def _places(
    repair: RepairVars, value: Value, plugs: Sequence[Plug], kind: str
) -> tuple[Place, ...]:
    """Where a T-piece, or a terminator, is called for."""
    inside = {plug.route.start for plug in plugs if plug.route.tee and kind == TEE}
    ends = {place for place, var in repair.open_end.items() if value(var)}
    there = (plug.route.end for plug in plugs if not plug.route.format.duplex)
    return tuple(place for place in there if place in inside | ends)


def _towards_host(case: Case, route: Route) -> bool:
    roles = (case.by_name[route.start.unit].role, case.by_name[route.end.unit].role)
    return roles == ("expander", "host")


def _from_giver(link: Link, clocks: dict[str, ClockSetting | None]) -> Link:
    """A duplex link for clock alone begins at the unit that gives it."""
    clock = clocks[link.from_unit]
    if not link.format.duplex or "audio" in link.carries or clock is None:
        return link
    if (clock.source, clock.socket) != (link.kind, link.from_socket):
        return link
    return replace(
        link,
        from_unit=link.to_unit,
        from_socket=link.to_socket,
        to_unit=link.from_unit,
        to_socket=link.from_socket,
    )
