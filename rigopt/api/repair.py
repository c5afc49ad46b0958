"""The one way from a faulty rig to a repaired one: settle, repair, audit, hand over.

What no cable cures (a rate that a unit does not have, too many units) is told first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import examine, seat
from rigopt.api.audited import AuditFailedError
from rigopt.catalogue.ends import at_upper_ends
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit.finding import Finding
from rigopt.rig.banks import bank_of
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Unit, UnitRole
from rigopt.rig.wired import StatedInput, WiredRig, carried, wire_of

UNITS: Final = (
    *("role", "no-host", "rate", "rate-unknown", "port", "hosts", "rack-units", "mains"),
    *("units", "require"),
)
"""Rules that other units, or another need, would have to mend."""

LISTED: Final = (
    *("input-channel", "input-extra", "input-order", "input-phantom", "use", "pair"),
    *("source-unknown", "source-places", "source-use", "source-phantom"),
    *("di-missing", "di-phantom"),
)
"""Rules of the list of inputs, which is the user's own."""


def ask_repair(
    rig: WiredRig,
    catalogue: Catalogue,
    needs: Needs | None,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Repaired | NoRepair:
    """The cheapest repair of `rig` that keeps its units; it has passed the audit.

    `time_limit` in seconds.

    Raises:
        AuditFailedError: When the repaired rig breaks a rule.
        KeyboardInterrupt: When the watch was asked to stop before there was a repair.
    """
    # Here and not above, so that an audit without a repair does not wait for the solver.
    from rigopt.optimiser.questions.repair.repair import repair  # noqa: PLC0415

    catalogue = at_upper_ends(catalogue)
    settled = settle(rig, needs)
    hopeless = tuple(_hopeless(settled, needs))
    if hopeless:
        return NoRepair(of_units=hopeless)
    repaired = repair(settled, catalogue, needs, time_limit, watch)
    if isinstance(repaired, NoRepair):
        return repaired
    return _checked(replace(repaired, rig=_named(rig, settled, repaired.rig, needs)), needs)


def _hopeless(rig: WiredRig, needs: Needs | None) -> Iterator[Finding]:
    """What no cable cures. Headphones are so if all the amplifiers together are too few."""
    ears = sum(u.device.phones for u in rig.units if u.role in ("host", "headphones"))
    for found in examine(rig, needs).findings:
        few = found.rule == "phones" and needs is not None and ears < needs.out_phones
        if found.rule in UNITS or few:
            yield found


def settle(rig: WiredRig, needs: Needs | None) -> WiredRig:
    """`rig` at the rate asked for, with roles that its devices can play, and with 48 V as
    the list of inputs has it where there are no needs to say.
    """
    rate_hz = rig.rate_hz if needs is None else needs.rate_hz
    roles = [_role(unit, rate_hz) for unit in rig.units]
    able = [place for place, unit in enumerate(rig.units) if unit.device.may_host]
    if "host" not in roles and able:
        roles[able[0]] = "host"
    units = tuple(replace(u, role=role) for u, role in zip(rig.units, roles, strict=True))
    if needs is None:
        units = _as_listed(rig, units)
    links = carried(units, [wire_of(link) for link in rig.links], rate_hz)
    return replace(rig, rate_hz=rate_hz, units=units, links=links)


def _role(unit: Unit, rate_hz: int) -> UnitRole:
    """Its role, or the one that its device can play; at a rate that it does not have, one with
    direct outs can be a preamp.
    """
    device = unit.device
    role = device.role
    if role == "either":
        role = "host" if unit.role == "host" else "expander"
    analogue = device.has_direct_outs and rate_hz not in device.rates_hz
    return "preamp" if role == "expander" and analogue else role


def _as_before(before: Unit, unit: Unit) -> Unit:
    """A unit that nothing is plugged into keeps its role."""
    idle = unit.clock is None and before.role == "preamp"
    return replace(unit, role="preamp") if idle else unit


def _as_listed(rig: WiredRig, units: Sequence[Unit]) -> tuple[Unit, ...]:
    """48 V as the list of inputs says it is for microphones, and as DI boxes need it; the last
    word on a bank counts.

    Where two inputs of one bank differ the audit will say so.
    """
    inputs = derive_inputs(rig.units, rig.links, rig.rate_hz)
    banks = {unit.name: set(unit.phantom_banks_on) for unit in units}
    devices = {unit.name: unit.device for unit in units}
    powered = {unit.name for unit in units if unit.device.di_phantom}
    for said in rig.stated:
        placed, _ = seat([said], inputs, None)
        for item in placed:
            wish = said.phantom if item.use == "mic" else None
            if said.through in powered:
                wish = True
            bank = bank_of(devices[item.unit], item.channel)
            if wish is not None and bank is not None:
                (banks[item.unit].add if wish else banks[item.unit].discard)(bank)
    return tuple(
        replace(unit, phantom_banks_on=tuple(sorted(banks[unit.name]))) for unit in units
    )


def _named(
    rig: WiredRig, settled: WiredRig, repaired: WiredRig, needs: Needs | None
) -> WiredRig:
    """The repaired rig with its title, and with each source on an input of its own."""
    from rigopt.optimiser.questions.repair.seats import reseat  # noqa: PLC0415

    before = derive_inputs(rig.units, rig.links, rig.rate_hz)
    seats = tuple(_by_channel(said, before, needs) for said in settled.stated)
    units = tuple(map(_as_before, rig.units, repaired.units))
    named = replace(repaired, units=units, title=rig.title, stated=seats)
    if needs is None or not any(said.source for said in seats):
        return named
    return reseat(named, needs, _places(seats)) or named


def _by_channel(said: StatedInput, before: Sequence[Input], needs: Needs | None) -> StatedInput:
    """The same input, known by unit and channel: its number may change."""
    phantom = said.phantom if needs is None else None
    if said.unit is None or said.channel is None:
        for item in before:
            if item.computer_input == said.number:
                said = replace(said, unit=item.unit, channel=item.channel)
    number = None if said.unit is not None and said.channel is not None else said.number
    return replace(said, number=number, phantom=phantom)


def _places(seats: Sequence[StatedInput]) -> Mapping[str, tuple[str, int]]:
    return {
        said.source: (said.unit, said.channel)
        for said in seats
        if said.source is not None and said.unit is not None and said.channel is not None
    }


def _checked(repaired: Repaired, needs: Needs | None) -> Repaired | NoRepair:
    left = examine(repaired.rig, needs).findings
    if not left:
        return repaired
    if all(found.rule in LISTED for found in left):
        return NoRepair(of_list=left)
    raise AuditFailedError(left)
