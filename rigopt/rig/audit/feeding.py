"""Who sends audio to whom: the links of each expander, and the outputs that its host feeds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from rigopt.facts import FORMATS, Format
from rigopt.rig.audit.numbers import width
from rigopt.rig.audit.sockets import converts, is_live
from rigopt.rig.audit.wiring import Wiring, directions
from rigopt.rig.types import Link, Unit


def audio_links(wiring: Wiring) -> dict[str, list[int]]:
    """Indices of the live links that carry audio to a host, by sending expander.

    One of a duplex format that is said to bring nothing there and something back does not.
    """
    found: dict[str, list[int]] = defaultdict(list)
    for index, link in enumerate(wiring.links):
        roles = (wiring.unit(link.from_unit).role, wiring.unit(link.to_unit).role)
        only_back = link.format.duplex and link.back > 0 and link.channels == 0
        audio = roles == ("expander", "host") and "audio" in link.carries and not only_back
        if audio and is_live(wiring, link):
            found[link.from_unit].append(index)
    return found


def returned(wiring: Wiring) -> Iterator[tuple[int, str, int]]:
    """Each live link from its host to an expander, the expander, and the outputs it feeds.

    The host of one that sends no audio is that which feeds most of its outputs.
    """
    sending = audio_links(wiring)
    order = [unit.name for unit in wiring.of_role("host")]
    joined: dict[str, list[tuple[tuple[int, str, int], int, str]]] = defaultdict(list)
    for index, link in enumerate(wiring.links):
        for sender, receiver, socket in directions(link):
            if is_live(wiring, link) and width(link.format, wiring.rate_hz):
                joined[receiver].append(((*_rank(link.format), socket), index, sender))
    for unit in wiring.of_role("expander"):
        own = [wiring.links[i].to_unit for i in sending.get(unit.name, [])]
        ways = sorted(joined[unit.name])
        by_host = [
            [*_shared_out(wiring, unit, [i for _, i, sender in ways if sender == host])]
            for host in own[:1] or order
        ]
        # Of those that feed as many, `max` takes the first.
        yield from max(by_host, key=lambda fed: sum(count for _, _, count in fed), default=())


def _shared_out(
    wiring: Wiring, unit: Unit, indices: list[int]
) -> Iterator[tuple[int, str, int]]:
    """The outputs of a unit, shared out over links from one host in their order."""
    left = unit.device.line_out
    for index in indices:
        link = wiring.links[index]
        if not link.format.duplex or _in_time(wiring, link, unit):
            fed = min(left, width(link.format, wiring.rate_hz))
            left -= fed
            yield index, unit.name, fed


def _rank(row: Format) -> tuple[int, str]:
    """The order of formats: the program's own as they stand in its table, then trunks."""
    names = list(FORMATS)
    return (names.index(row.id) if row.id in names else len(names)), row.id


def _in_time(wiring: Wiring, link: Link, unit: Unit) -> bool:
    """Whether what comes over a link can be used: by one clock, or through a converter."""
    trees = [wiring.places.get(name) for name in (link.from_unit, link.to_unit)]
    one, other = (place and place.master for place in trees)
    return converts(unit.device, link.kind) or (one is not None and one == other)
