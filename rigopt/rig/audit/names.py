"""Names and roles: each unit has one name, and plays a role its device can play."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.rig.audit.banks import banks
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name

PLAYS = {
    "host": ("host",),
    "expander": ("expander",),
    "either": ("host", "expander"),
    "clock": ("clock",),
}
"""Roles in a rig by the role a device has in the catalogue."""


def check_names(wiring: Wiring) -> Iterator[Finding]:
    """Rules name-twice, unit-unknown: without them no other rule makes sense."""
    counts = Counter(unit.name for unit in wiring.units)
    for name, count in counts.items():
        if count > 1:
            yield finding("name-twice", unit=name, count=count)
    for link in wiring.links:
        named = (link.from_unit, link.to_unit, link.after or link.from_unit)
        for name in dict.fromkeys(named):
            if name not in counts:
                yield finding("unit-unknown", link=link_name(link), unit=name)


def check_roles(wiring: Wiring) -> Iterator[Finding]:
    """Rules role and no-host."""
    for unit in wiring.units:
        allowed = PLAYS[unit.device.role]
        if unit.role not in allowed:
            yield finding(
                "role",
                unit=unit.name,
                role=unit.role,
                device=unit.device.id,
                allowed=" or ".join(allowed),
            )
    if not any(wiring.of_role("host")):
        yield finding("no-host")


def check_banks(wiring: Wiring) -> Iterator[Finding]:
    """Rule bank-missing: a 48 V bank that is on exists on its device."""
    for unit in wiring.units:
        last = len(banks(unit.device))
        for bank in unit.phantom_banks_on:
            if not 1 <= bank <= last:
                yield finding(
                    "bank-missing", unit=unit.name, bank=bank, device=unit.device.id, count=last
                )
