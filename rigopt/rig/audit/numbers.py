"""The computer's numbers: every host laid out as a row of places, one a number."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Blank, Device
from rigopt.facts import Format
from rigopt.rig.audit.sockets import formats, last, live, ways
from rigopt.rig.audit.wiring import Wiring, step_of
from rigopt.rig.types import Unit

Place = tuple[str, str, int, int]
"""Host, 'analogue' or a kind of socket, socket (0 for analogue), channel there."""

BLOCKS = ("analogue", "coax", "optical", "trunk")
"""The usual order of a host's numbers."""


def places(wiring: Wiring) -> list[Place | None]:
    """Every number the computer sees, as the place it stands for; number 1 first.

    None: a number behind which nothing of the rig can be.
    """
    held: dict[tuple[str, str, int], Format] = {}
    for link in wiring.links:
        held[link.to_unit, link.kind, link.to_socket] = link.format
    seen: list[Place | None] = []
    for unit in wiring.of_role("host"):
        row: list[Place | None] = []
        order = unit.device.input_order
        for block in (*order, *(block for block in BLOCKS if block not in order)):
            if isinstance(block, Blank):
                row += [None] * block[step_of(wiring.rate_hz)]
            elif block == "analogue":
                count = converted(unit.device, wiring.rate_hz)
                row += [(unit.name, block, 0, channel + 1) for channel in range(count)]
            else:
                row += _sockets(wiring, unit, block, held)
        seen += row[: most_seen(unit.device, wiring.rate_hz)]
    return seen


def _sockets(
    wiring: Wiring, unit: Unit, kind: str, held: dict[tuple[str, str, int], Format]
) -> Iterator[Place]:
    """The numbers of the input sockets of a kind: what is in one decides, if it can be."""
    way = ways(unit.device, kind)[0]
    for socket in range(1, live(unit.device, kind, way, wiring.rate_hz) + 1):
        able = [
            row
            for row in formats(unit.device, kind)
            if socket <= last(unit.device, row, way, wiring.rate_hz)
        ]
        inside = held.get((unit.name, kind, socket))
        row = inside if inside in able else max(able, key=lambda r: width(r, wiring.rate_hz))
        for channel in range(width(row, wiring.rate_hz)):
            yield unit.name, kind, socket, channel + 1


def converted(device: Device, rate_hz: int) -> int:
    """Analogue inputs that are converted at the rate; they are channels 1 to this."""
    most = (device.analogue, device.analogue_2x, device.analogue_4x)[step_of(rate_hz)]
    return min(device.analogue, most)


def width(row: Format, rate_hz: int) -> int:
    """Audio channels of one link at the rate."""
    return row.channels[step_of(rate_hz)]


def most_seen(device: Device, rate_hz: int) -> int | None:
    """Inputs that the computer may see of one host at the rate; None for all."""
    return (device.max_in_1x, device.max_in_2x, device.max_in_4x)[step_of(rate_hz)]
