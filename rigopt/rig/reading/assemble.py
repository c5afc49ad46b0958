"""From a draft to a rig: names checked, and everything derived that was left out."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from rigopt.facts import FORMATS, Format
from rigopt.files.faults import Gathered
from rigopt.rig.links import Wire
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.reading.draft import ClockDraft, Draft, LinkDraft, SeatDraft, UnitDraft
from rigopt.rig.sockets import BY_SOCKET, sockets
from rigopt.rig.types import ClockSetting, Input, Link, Unit, UnitRole
from rigopt.rig.wired import WiredRig, by_place, carried, place_of


def assemble(draft: Draft, rate_hz: int, faults: Gathered) -> WiredRig | None:
    """The rig at `rate_hz`, or None and faults."""
    _check_names(draft, faults)
    roles = roles_of(draft.units, draft.links)
    drafts = tuple(_fed(link, draft.links, faults) for link in draft.links)
    units = tuple(
        Unit(
            unit.name,
            unit.device,
            role,
            _clock(unit, role, drafts, faults),
            unit.owned,
            tuple(sorted(set(unit.banks))),
        )
        for unit, role in zip(draft.units, roles, strict=True)
    )
    _check_trunks(units, drafts, faults)
    if faults:
        return None
    links = links_of(units, drafts, rate_hz)
    if draft.seats:
        _check_seats(draft.seats, derive_inputs(units, links, rate_hz), faults)
    seats = tuple(said.seat for said in draft.seats)
    return WiredRig(rate_hz, units, links, seats, draft.title)


def roles_of(units: Sequence[UnitDraft], links: Sequence[LinkDraft]) -> list[UnitRole]:
    """The role of each unit, as said or as it follows.

    A device that could be either is a host if its name says so; and so is the first of
    them where there is no other host. An expander of which only direct outs are used is a
    preamp.
    """
    lined = _lined(links)
    roles = [_role(unit, lined) for unit in units]
    if "host" not in roles:
        for place, unit in enumerate(units):
            if unit.role is None and unit.device.may_host and unit.name not in lined:
                roles[place] = "host"
                break
    return roles


def _lined(links: Sequence[LinkDraft]) -> set[str]:
    """The units that analogue lines leave, and no other cable touches."""
    digital = [link for link in links if link.kind != "analogue"]
    joined = {name for link in digital for name in (link.from_unit, link.to_unit)}
    return {link.from_unit for link in links} - joined


def links_of(
    units: Sequence[Unit], drafts: Sequence[LinkDraft], rate_hz: int
) -> tuple[Link, ...]:
    """The cables; where a draft says what one carries, that stands, right or wrong."""
    by_name = {unit.name: unit for unit in units}
    wires = [_wire(draft, by_name, rate_hz) for draft in drafts]
    derived = carried(units, wires, rate_hz)
    return tuple(_stated(link, draft) for link, draft in zip(derived, drafts, strict=True))


def _wire(draft: LinkDraft, units: Mapping[str, Unit], rate_hz: int) -> Wire:
    """The bare wire of a draft; a duplex one goes from the expander to the host."""
    start, stop = (draft.from_unit, draft.from_socket), (draft.to_unit, draft.to_socket)
    row = _format(draft, units, rate_hz)
    roles = (units[draft.from_unit].role, units[draft.to_unit].role)
    if row.duplex and roles == ("host", "expander") and draft.carries != ("clock",):
        start, stop = stop, start
    return Wire(
        row,
        *start,
        *stop,
        cable=draft.cable,
        audio=draft.carries is None or "audio" in draft.carries,
        after=draft.after,
        tee=draft.tee,
        terminator=draft.terminator,
        piece=draft.piece,
    )


def _format(draft: LinkDraft, units: Mapping[str, Unit], rate_hz: int) -> Format:
    """The format of a cable: as stated, or the first that both its sockets speak."""
    sender, receiver = units[draft.from_unit].device, units[draft.to_unit].device
    if draft.kind == "trunk":
        row = sender.trunk or receiver.trunk
        assert row is not None, "checked before"
        return row
    if draft.format in FORMATS and FORMATS[draft.format].socket == draft.kind:
        return FORMATS[draft.format]
    if draft.kind not in BY_SOCKET:
        return FORMATS[draft.kind]  # direct outs and input channels are no digital sockets
    ends = []
    for device, way, number in (
        (sender, "out", draft.from_socket),
        (receiver, "in", draft.to_socket),
    ):
        at = (draft.kind, way, number)
        live = (s.formats for s in sockets(device, rate_hz) if s.ref == at)
        ends.append(next(live, BY_SOCKET[draft.kind]))
    return next((row for row in ends[0] if row in ends[1]), BY_SOCKET[draft.kind][0])


def _fed(draft: LinkDraft, drafts: Sequence[LinkDraft], faults: Gathered) -> LinkDraft:
    """A cable from a T-piece, with the output that feeds its chain."""
    seen: set[str | None] = set()
    feeding = draft
    while feeding.after not in seen:
        seen.add(feeding.after)
        into = (d for d in drafts if (d.to_unit, d.kind) == (feeding.after, "word"))
        found = next(into, None)
        if found is None:
            break
        feeding = found
    if feeding.after is None:
        return replace(draft, from_unit=feeding.from_unit, from_socket=feeding.from_socket)
    problem = "begins at a T-piece that no word clock cable leads to"
    faults.add(problem, column=draft.place, value=draft.after)
    return draft


def _check_trunks(units: Iterable[Unit], drafts: Iterable[LinkDraft], faults: Gathered) -> None:
    """Note cables between trunk sockets of units that have none."""
    trunks = {unit.name: unit.device.trunk for unit in units}
    for draft in drafts:
        ends = [trunks.get(draft.from_unit), trunks.get(draft.to_unit)]
        if draft.kind == "trunk" and not any(ends):
            problem = "joins trunk sockets, and neither unit has any"
            faults.add(problem, column=draft.place)


def _stated(link: Link, draft: LinkDraft) -> Link:
    if draft.carries is not None:
        ordered = tuple(load for load in ("audio", "clock") if load in draft.carries)
        link = replace(link, carries=ordered)
    if draft.back is not None:
        link = replace(link, back=draft.back)
    return link if draft.channels is None else replace(link, channels=draft.channels)


def _role(unit: UnitDraft, lined: Container[str]) -> UnitRole:
    if unit.role is not None:
        return unit.role
    if unit.device.role == "either" and unit.name.casefold().startswith("host"):
        return "host"
    if unit.device.has_direct_outs and unit.name in lined:
        return "preamp"
    return "expander" if unit.device.role == "either" else unit.device.role


def _clock(
    unit: UnitDraft, role: UnitRole, links: Sequence[LinkDraft], faults: Gathered
) -> ClockSetting | None:
    """What the unit is set to; a device that locks to nothing can only be on its own.

    None where nothing is said and none is needed: it is no host and has no cable.
    """
    said = unit.clock
    joined = any(
        unit.name in (link.from_unit, link.to_unit) for link in links if link.kind != "analogue"
    )
    if said is None and role != "host" and not joined:
        return None
    if said is None and not unit.device.clock_in:
        said = ClockDraft("internal")
    if said is None:
        problem = "its clock setting is missing; say internal, or a socket such as 'optical 1'"
        faults.add(problem, column=unit.place, value=unit.name)
        return None
    if said.source == "internal":
        return ClockSetting("internal")
    into = list(_into(unit, said, links))
    socket = said.socket or _only_socket(unit, said, [number for number, _ in into])
    if socket is None:
        problem = f"its clock setting does not say which {said.source} input"
        faults.add(problem, column=unit.place, value=unit.name)
        return None
    senders = [sender for number, sender in into if number == socket]
    return ClockSetting(said.source, socket, said.from_unit or next(iter(senders), None))


def _into(
    unit: UnitDraft, said: ClockDraft, links: Iterable[LinkDraft]
) -> Iterator[tuple[int, str]]:
    """Sockets of the unit with a cable that clock can come by, and from whom."""
    both = unit.device.trunk is not None and unit.device.trunk.duplex
    for link in links:
        if link.kind != said.source:
            continue
        if link.to_unit == unit.name:
            yield link.to_socket, link.from_unit
        elif both and link.kind == "trunk" and link.from_unit == unit.name:
            yield link.from_socket, link.to_unit


def _only_socket(unit: UnitDraft, said: ClockDraft, into: Sequence[int]) -> int | None:
    """The socket that is meant: the one with a cable, or the only one there is."""
    cabled = set(into)
    if len(cabled) == 1:
        return cabled.pop()
    fitted = getattr(unit.device, f"{said.source}_in")
    return 1 if fitted == 1 and not cabled else None


def _check_names(draft: Draft, faults: Gathered) -> None:
    """Note unit names that are there twice, and seats that are nowhere."""
    first: dict[str, str] = {}
    for unit in draft.units:
        if unit.name in first:
            problem = f"is the name of {first[unit.name]} already"
            faults.add(problem, column=f"{unit.place}.name", value=unit.name)
        first.setdefault(unit.name, unit.place)
    for said in draft.seats:
        seat = said.seat
        if seat.number is None and (seat.unit is None or seat.channel is None):
            problem = "says neither a computer input nor a unit and a channel"
            faults.add(problem, column=said.place)


def _check_seats(seats: Iterable[SeatDraft], inputs: Sequence[Input], faults: Gathered) -> None:
    """Note inputs that are named twice: in two spellings, or by number and by channel."""
    known = by_place(inputs)
    first: dict[object, str] = {}
    for said in seats:
        place = place_of(said.seat)
        meant = known.get(place, place)
        if meant in first:
            faults.add(f"is the same input as {first[meant]}", column=said.place)
        first.setdefault(meant, said.place)
