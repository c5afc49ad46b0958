"""The catalogue: units and cables are those of it."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring, link_name


def check_catalogue(wiring: Wiring, catalogue: Catalogue) -> Iterator[Finding]:
    """Rules device-differs, cable-differs: same id and every figure the same."""
    for unit in wiring.units:
        if catalogue.devices.get(unit.device.id) != unit.device:
            yield finding("device-differs", unit=unit.name, device=unit.device.id)
    for link in wiring.links:
        cable = link.cable
        if cable is not None and catalogue.cables.get(cable.id) != cable:
            yield finding("cable-differs", link=link_name(link), cable=cable.id)
