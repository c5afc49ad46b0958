"""Cables: the kind fits the sockets, the piece reaches, and is not longer than it may be."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link


def metres(length_mm: int) -> str:
    """A length in the unit people use: 1500 is '1.5 m'."""
    return f"{length_mm / 1000:g} m"


def check_cables(wiring: Wiring) -> Iterator[Finding]:
    """Rules cable-kind, cable-long, of the cables that are named."""
    for link in wiring.links:
        row = link.format
        if link.cable is None:
            continue
        if link.cable.kind != row.cable:
            yield finding(
                "cable-kind", link=link_name(link), cable=link.cable.id, kind=link.cable.kind
            )
        if row.max_mm is not None and link.cable.length_mm > row.max_mm:
            yield finding(
                "cable-long",
                link=link_name(link),
                length=metres(link.cable.length_mm),
                limit=metres(row.max_mm),
            )


def check_runs(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule cable-short: a piece that is named is at least as long as its run.

    In a chain of word inputs it runs from the unit at whose T-piece it begins.
    """
    for link in wiring.links:
        start = wiring.unit(link.after or link.from_unit)
        far = (start.role == "host") != (wiring.unit(link.to_unit).role == "host")
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


def warnings(wiring: Wiring) -> Iterator[Finding]:
    """Rule optical-long: what keeps the rules, and works only if it is a good cable."""
    for link in wiring.links:
        row = link.format
        if link.cable is not None and row.warn_mm is not None:
            longest = link.cable.length_mm if row.max_mm is None else row.max_mm
            if row.warn_mm < link.cable.length_mm <= longest:
                yield _doubtful(link, link.cable.kind, row.warn_mm)


def _doubtful(link: Link, kind: str, most_mm: int) -> Finding:
    return finding("optical-long", kind=kind, link=link_name(link), limit=metres(most_mm))
