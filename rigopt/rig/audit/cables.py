"""Cables: the kind fits the sockets, the piece reaches, and is not longer than it may be."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link

LONGEST_M = {"optical": 10, "coax": 10, "word": 30}
"""Common practice, no source; for coax and word far inside AES11-2009 cl. 5.3."""

SAFE_OPTICAL_M = 5
"""Common practice, no source."""


def metres(length_mm: int) -> str:
    """A length in the unit people use: 1500 is '1.5 m'."""
    return f"{length_mm / 1000:g} m"


def check_cables(wiring: Wiring) -> Iterator[Finding]:
    """Rules cable-kind, cable-long, of the cables that are named."""
    for link in wiring.links:
        if link.cable is None:
            continue
        if link.cable.kind != link.kind:
            yield finding(
                "cable-kind", link=link_name(link), cable=link.cable.id, kind=link.cable.kind
            )
        if link.cable.length_mm > LONGEST_M[link.kind] * 1000:
            yield finding(
                "cable-long",
                link=link_name(link),
                length=metres(link.cable.length_mm),
                limit=LONGEST_M[link.kind],
            )


def check_runs(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule cable-short: a piece that is named is at least as long as its run."""
    for link in wiring.links:
        ends = {wiring.unit(link.from_unit).role, wiring.unit(link.to_unit).role}
        far = "host" in ends and len(ends) > 1
        run = needs.host_to_rack_mm if far else needs.within_rack_mm
        if link.cable is not None and link.cable.length_mm < run:
            yield finding(
                "cable-short",
                link=link_name(link),
                length=metres(link.cable.length_mm),
                run=metres(run),
            )


def check_named(wiring: Wiring) -> Iterator[Finding]:
    """Rule cable-unnamed: a rig that is to be bought names every piece."""
    for link in wiring.links:
        if link.cable is None:
            yield finding("cable-unnamed", link=link_name(link))


def warnings(wiring: Wiring) -> tuple[Finding, ...]:
    """What is within the rules and may still not work: optical pieces above 5 m."""
    return tuple(_doubtful(link) for link in wiring.links if _is_doubtful(link))


def _is_doubtful(link: Link) -> bool:
    if link.kind != "optical" or link.cable is None:
        return False
    return SAFE_OPTICAL_M * 1000 < link.cable.length_mm <= LONGEST_M["optical"] * 1000


def _doubtful(link: Link) -> Finding:
    return finding("optical-long", link=link_name(link), limit=SAFE_OPTICAL_M)
