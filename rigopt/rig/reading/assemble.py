"""From a draft to a rig: names checked, and everything derived that was left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from rigopt.facts import FORMATS, Format, Kind
from rigopt.files.faults import Gathered
from rigopt.rig.links import Wire
from rigopt.rig.reading.draft import ClockDraft, Draft, LinkDraft, UnitDraft
from rigopt.rig.types import ClockSetting, Link, Unit, UnitRole
from rigopt.rig.wired import WiredRig, carried


def assemble(draft: Draft, rate_hz: int, faults: Gathered) -> WiredRig | None:
    """The rig at `rate_hz`, or None and faults."""
    _check_names(draft, faults)
    roles = roles_of(draft.units)
    units = tuple(
        Unit(unit.name, unit.device, role, clock, unit.owned, tuple(sorted(set(unit.banks))))
        for unit, role in zip(draft.units, roles, strict=True)
        if (clock := _clock(unit, draft.links, faults))
    )
    if faults:
        return None
    return WiredRig(
        rate_hz, units, links_of(units, draft.links, rate_hz),
        tuple(draft.seat for draft in draft.seats), draft.title,
    )  # fmt: skip


def roles_of(units: Sequence[UnitDraft]) -> list[UnitRole]:
    """The role of each unit, as said or as it follows.

    A device that could be either is a host if its name says so; and so is the first of
    them where there is no other host.
    """
    roles = [_role(unit) for unit in units]
    if "host" not in roles:
        for place, unit in enumerate(units):
            if unit.role is None and unit.device.may_host:
                roles[place] = "host"
                break
    return roles


def links_of(
    units: Sequence[Unit], drafts: Sequence[LinkDraft], rate_hz: int
) -> tuple[Link, ...]:
    """The cables; where a draft says what one carries, that stands, right or wrong."""
    wires = [
        Wire(
            _usual(draft.kind),
            draft.from_unit,
            draft.from_socket,
            draft.to_unit,
            draft.to_socket,
            draft.cable,
            draft.carries is None or "audio" in draft.carries,
        )
        for draft in drafts
    ]
    derived = carried(units, wires, rate_hz)
    return tuple(_stated(link, draft) for link, draft in zip(derived, drafts, strict=True))


def _usual(kind: Kind) -> Format:
    """The format that sockets of a kind speak where nothing else is said."""
    return next(row for row in FORMATS.values() if row.socket == kind)


def _stated(link: Link, draft: LinkDraft) -> Link:
    if draft.carries is not None:
        ordered = tuple(load for load in ("audio", "clock") if load in draft.carries)
        link = replace(link, carries=ordered)
    return link if draft.channels is None else replace(link, channels=draft.channels)


def _role(unit: UnitDraft) -> UnitRole:
    if unit.role is not None:
        return unit.role
    if unit.device.role == "either":
        return "host" if unit.name.casefold().startswith("host") else "expander"
    return unit.device.role


def _clock(
    unit: UnitDraft, links: Iterable[LinkDraft], faults: Gathered
) -> ClockSetting | None:
    """What the unit is set to; a device that locks to nothing can only be on its own."""
    said = unit.clock
    if said is None and not unit.device.clock_in:
        said = ClockDraft("internal")
    if said is None:
        faults.add(
            "its clock setting is missing; say internal, or a socket such as 'optical 1'",
            column=unit.place, value=unit.name,
        )  # fmt: skip
        return None
    if said.source == "internal":
        return ClockSetting("internal")
    into = [link for link in links if (link.to_unit, link.kind) == (unit.name, said.source)]
    socket = said.socket or _only_socket(unit, said, into)
    if socket is None:
        faults.add(
            f"its clock setting does not say which {said.source} input",
            column=unit.place, value=unit.name,
        )  # fmt: skip
        return None
    senders = [link.from_unit for link in into if link.to_socket == socket]
    return ClockSetting(said.source, socket, said.from_unit or next(iter(senders), None))


def _only_socket(unit: UnitDraft, said: ClockDraft, into: Sequence[LinkDraft]) -> int | None:
    """The socket that is meant: the one with a cable, or the only one there is."""
    sockets = sorted({link.to_socket for link in into})
    device = unit.device
    fitted = {"optical": device.optical_in, "coax": device.coax_in, "word": device.word_in}
    if len(sockets) == 1:
        return sockets[0]
    return 1 if fitted[said.source] == 1 and not sockets else None


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
