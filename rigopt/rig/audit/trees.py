"""Clock trees: what must be in one, and is not.

The two ends of a link with audio are in the same tree, unless a converter stands behind the
socket that receives; all hosts are in the same one, unless they may run on clocks of their
own. Where no needs say so, they may not.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rigopt.rig.audit import relock
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.sockets import converts
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link


def check_trees(wiring: Wiring) -> Iterator[Finding]:
    """Rules clock-tree (audio between clocks) and clock-hosts (hosts on their own)."""
    ties: list[tuple[str, str, Link | None]] = []
    for link, heard in zip(wiring.links, listen(wiring).heard, strict=True):
        if heard and not converts(wiring.unit(link.to_unit).device, link.kind):
            ties.append((link.from_unit, link.to_unit, link))
    hosts = [unit.name for unit in wiring.of_role("host")]
    if not wiring.own_clocks:
        ties += [(one, other, None) for one, other in pairwise(hosts)]
    for masters, cause in _apart(wiring, ties):
        units = [wiring.unit(name) for name in masters]
        way = relock.settle(wiring, units)
        names, count = ", ".join(masters), len(masters)
        if cause is not None:
            yield finding(
                "clock-tree", count=count, units=names, link=link_name(cause), way=way
            )
        else:
            yield finding("clock-hosts", count=count, units=names, way=way)


def _apart(
    wiring: Wiring, ties: list[tuple[str, str, Link | None]]
) -> Iterator[tuple[list[str], Link | None]]:
    """Masters of trees that must be one, with the first link that says so, if any does."""
    group: dict[str, list[str]] = {p.master: [p.master] for p in wiring.places.values()}
    why: dict[str, Link | None] = {}
    for one, other, link in ties:
        places = wiring.places.get(one), wiring.places.get(other)
        if places[0] is None or places[1] is None:
            continue
        mine, others = group[places[0].master], group[places[1].master]
        if mine is others:
            continue
        first = why.get(mine[0]) or why.get(others[0]) or link
        mine += others
        for name in others:
            group[name] = mine
        why[mine[0]] = first
    order = list(wiring.by_name)
    for masters in dict.fromkeys(map(tuple, group.values())):
        if len(masters) > 1:
            yield sorted(masters, key=order.index), why[masters[0]]
