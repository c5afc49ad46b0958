"""Which host each unit stands beside, and which units are drawn in what way.

A unit stands beside the host that it has most channels with, or else most cables; one that
has no cable to a host stands where a unit does that it has a cable to.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.rig.types import Link, Rig, Unit


def origin(link: Link) -> str:
    """The unit at which a cable begins: its sender, or the one at whose T-piece it hangs."""
    return link.after or link.from_unit


def ends_of(link: Link) -> tuple[str, str]:
    """The two units that its cable joins."""
    return origin(link), link.to_unit


def hosts(rig: Rig) -> list[Unit]:
    """The hosts in their order."""
    return [unit for unit in rig.units if unit.role == "host"]


def homes(rig: Rig) -> dict[str, str | None]:
    """The host's name by that of each unit with a cable that is none; None without a host."""
    found: dict[str, str | None] = {}
    names = [unit.name for unit in hosts(rig)]
    others = [unit.name for unit in rig.units if unit.role != "host"]
    for name in others:
        ranked = [(_weight(rig.links, name, host), host) for host in names]
        best = max(ranked, key=lambda pair: pair[0], default=((0, 0), ""))
        if best[0] > (0, 0):
            found[name] = best[1]
    _follow(found, rig.links, others)
    for name in others:
        if any(name in ends_of(link) for link in rig.links):
            found.setdefault(name, names[0] if names else None)
    return found


def _weight(links: Iterable[Link], name: str, host: str) -> tuple[int, int]:
    """Channels and cables between two units."""
    between = [link for link in links if set(ends_of(link)) == {name, host}]
    return sum(link.channels + link.back for link in between), len(between)


def _follow(found: dict[str, str | None], links: Sequence[Link], others: Sequence[str]) -> None:
    """Give units that hang on others the homes of those, from one to the next."""
    grown = True
    while grown:
        grown = False
        for link in links:
            for name, near in (ends_of(link), ends_of(link)[::-1]):
                if name in others and name not in found and near in found:
                    found[name] = found[near]
                    grown = True
