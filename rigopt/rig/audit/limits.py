"""What the needs allow: the computer's ports and hosts, height, sockets, units, money."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, Rule, finding
from rigopt.rig.audit.wiring import Wiring, khz


def check_computer(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules rate-asked, port, hosts."""
    if wiring.rate_hz != needs.rate_hz:
        yield finding("rate-asked", rate=khz(wiring.rate_hz), asked=khz(needs.rate_hz))
    hosts = list(wiring.of_role("host"))
    for unit in hosts:
        if unit.device.computer not in needs.ports:
            yield finding(
                "port",
                unit=unit.name,
                port=unit.device.computer,
                ports=", ".join(needs.ports) or "none",
            )
    if len(hosts) > needs.max_hosts:
        yield finding("hosts", count=len(hosts), limit=needs.max_hosts)


def check_size(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules rack-units, mains, units."""
    height = sum(unit.device.rack_units for unit in wiring.units)
    plugs = sum(unit.device.mains for unit in wiring.units)
    count = len(wiring.units)
    sizes: tuple[tuple[Rule, str, int, int | None], ...] = (
        ("rack-units", "rack units", height, needs.rack_units),
        ("mains", "mains plugs", plugs, needs.mains),
        ("units", "units", count, needs.units),
    )
    for rule, words, found, limit in sizes:
        if limit is not None and found > limit:
            yield finding(rule, words=words, found=found, limit=limit)


def check_required(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule require: at least one of each device that must be there."""
    present = [unit.device.id for unit in wiring.units]
    for device in needs.require:
        if device not in present:
            yield finding("require", device=device)
