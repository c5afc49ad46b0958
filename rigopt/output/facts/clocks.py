"""Which units run on which clock, and which way clock and audio go over a link."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.rig.types import Link, Rig, Unit, roots


def trees(units: Iterable[Unit]) -> dict[str, list[str]]:
    """The other units of each clock tree by the name of its master, in the order of units."""
    masters = roots(units)
    found: dict[str, list[str]] = {name: [] for name, root in masters.items() if root == name}
    for name, root in masters.items():
        if root is not None and root != name:
            found[root].append(name)
    return found


def from_master(units: Sequence[Unit]) -> list[Unit]:
    """Each after the one that it takes its clock from; those without a clock come last."""
    order = [unit for unit in units if unit.clock and unit.clock.source == "internal"]
    for master in order:
        order += [u for u in units if u.clock and u.clock.from_unit == master.name]
    return order + [unit for unit in units if unit.clock is None]


def crossing(rig: Rig) -> list[Link]:
    """The digital audio links that go from one clock to another through a rate converter."""
    masters, devices = roots(rig.units), {unit.name: unit.device for unit in rig.units}
    return [
        link
        for link in rig.links
        if link.format.clock
        and "audio" in link.carries
        and link.kind in devices[link.to_unit].rate_converter
        and masters.get(link.from_unit) != masters.get(link.to_unit)
    ]


def own_clocks(rig: Rig) -> list[str]:
    """The hosts that do not run on the clock of the first one."""
    masters = roots(rig.units)
    hosts = [unit.name for unit in rig.units if unit.role == "host"]
    return [name for name in hosts if masters[name] != masters[hosts[0]]]


def clock_goes_back(link: Link, units: Iterable[Unit]) -> bool:
    """Whether the unit where a link starts takes its clock from the one where it ends."""
    if not link.format.duplex:
        return False
    clocks = (unit.clock for unit in units if unit.name == link.from_unit)
    return any(
        clock is not None
        and (clock.source, clock.socket, clock.from_unit)
        == (link.kind, link.from_socket, link.to_unit)
        for clock in clocks
    )


def goes_back(link: Link, units: Iterable[Unit]) -> bool:
    """Whether audio or clock goes from where it ends to where it starts."""
    return link.back > 0 or clock_goes_back(link, units)


def goes_there(link: Link, units: Iterable[Unit]) -> bool:
    """Whether audio or clock goes from where it starts to where it ends."""
    if not link.format.duplex:
        return True
    clock = "clock" in link.carries and not clock_goes_back(link, units)
    return link.channels > 0 or clock


def chains(links: Sequence[Link]) -> list[list[Link]]:
    """The cables of each word-clock output, in the order in which they hang on one another."""
    found: list[list[Link]] = []
    for first in links:
        if first.kind != "word" or first.after is not None:
            continue
        chain = [first]
        while (after := _next(chain[-1], links)) and after not in chain:
            chain.append(after)
        found.append(chain)
    return found


def _next(link: Link, links: Iterable[Link]) -> Link | None:
    """The cable that begins at the T-piece where `link` ends."""
    here = (link.from_unit, link.from_socket, link.to_unit)
    return next((x for x in links if (x.from_unit, x.from_socket, x.after) == here), None)
