"""Word clock: one output feeds inputs in a chain of T-pieces, the last of them with an end.

Each is one link from the output and locked to it. Two ends of 75 ohm on one output load it
twice, so an input with a fixed one can only be last (5 V behind 75 ohm: arithmetic).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from rigopt.catalogue.types import Cable
from rigopt.facts import TEE, TERMINATOR
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link


class Chain(NamedTuple):
    """The cables that hang on one output, in their order; `loose` ones begin nowhere."""

    unit: str
    socket: int
    links: tuple[Link, ...]
    loose: tuple[Link, ...]


def chains(wiring: Wiring) -> Iterator[Chain]:
    """Every word output that is in use. A second cable on the very output is no chain's."""
    hanging: dict[tuple[str, int], list[Link]] = defaultdict(list)
    for link in wiring.links:
        if link.kind == "word":
            hanging[link.from_unit, link.from_socket].append(link)
    for (unit, socket), links in hanging.items():
        order: list[Link] = []
        going_on: dict[str | None, list[Link]] = defaultdict(list)
        for link in reversed(links):
            going_on[link.after].append(link)
        before: str | None = None
        while going_on[before]:
            order.append(going_on[before].pop())
            before = order[-1].to_unit
        loose = (link for left in going_on.values() for link in left if link.after)
        yield Chain(unit, socket, tuple(order), tuple(loose))


def check_chains(wiring: Wiring) -> Iterator[Finding]:
    """Rules chain-start, chain-end, chain-lock and piece-extra, and cable-kind of pieces."""
    for link in wiring.links:
        if link.after and link.kind != "word":
            yield _loose(link)
    for chain in chains(wiring):
        for link in chain.loose:
            yield _loose(link)
        for link in chain.links:
            if len(chain.links) > 1:
                yield from _check_member(wiring, link, link is chain.links[-1])
    for link, kind, piece, needed in _pieces(wiring):
        if piece is not None and not needed:
            yield finding("piece-extra", piece=_NAMES[kind], link=link_name(link))
        if piece is not None and piece.kind != kind:
            yield finding(
                "cable-kind",
                "piece",
                piece=_NAMES[kind],
                link=link_name(link),
                cable=piece.id,
                kind=piece.kind,
            )


def check_length(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule chain-long: no more inputs hang on one output than the needs allow."""
    for chain in chains(wiring):
        if len(chain.links) > needs.word_inputs:
            yield finding(
                "chain-long",
                unit=chain.unit,
                socket=chain.socket,
                count=len(chain.links),
                limit=needs.word_inputs,
            )


def check_pieces_named(wiring: Wiring) -> Iterator[Finding]:
    """Rule piece-unnamed: a rig that is to be bought names every T-piece and terminator."""
    for link, kind, piece, needed in _pieces(wiring):
        if needed and piece is None:
            yield finding("piece-unnamed", piece=_NAMES[kind], link=link_name(link))


def warnings(wiring: Wiring) -> Iterator[Finding]:
    """Rule open-end: what ends a chain without an end of its own, where nothing is named."""
    for link, kind, piece, needed in _pieces(wiring):
        if kind == TERMINATOR and needed and piece is None:
            yield finding("open-end", unit=link.to_unit)


_NAMES = {TEE: "T-piece", TERMINATOR: "terminator"}


def _pieces(wiring: Wiring) -> Iterator[tuple[Link, str, Cable | None, bool]]:
    """Every link with the pieces that may sit where it ends: which, and whether they do."""
    inside = {id(link) for chain in chains(wiring) for link in chain.links[:-1]}
    for link in wiring.links:
        last = link.kind == "word" and id(link) not in inside
        open_end = last and wiring.unit(link.to_unit).device.word_end == "none"
        yield link, TEE, link.tee, open_end or id(link) in inside
        yield link, TERMINATOR, link.terminator, open_end


def _loose(link: Link) -> Finding:
    return finding("chain-start", link=link_name(link), unit=str(link.after))


def _check_member(wiring: Wiring, link: Link, last: bool) -> Iterator[Finding]:
    unit = wiring.unit(link.to_unit)
    if unit.device.word_end == "fixed" and not last:
        yield finding("chain-end", unit=unit.name)
    clock = unit.clock
    if clock is None or (clock.source, clock.socket) != (link.kind, link.to_socket):
        yield finding("chain-lock", unit=unit.name, socket=link.to_socket)
