"""The catalogue: units and cables are those of it."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name


def check_catalogue(wiring: Wiring, catalogue: Catalogue) -> Iterator[Finding]:
    """Rules device-differs, cable-differs, format-differs: the same id, and all the same."""
    for unit in wiring.units:
        if catalogue.devices.get(unit.device.id) != unit.device:
            yield finding("device-differs", unit=unit.name, device=unit.device.id)
    for link in wiring.links:
        for piece in link.pieces:
            if catalogue.cables.get(piece.id) != piece:
                yield finding("cable-differs", link=link_name(link), cable=piece.id)
        if catalogue.formats.get(link.format.id) != link.format:
            yield finding("format-differs", link=link_name(link), format=link.format.id)
