"""Things bought by the count: how many pieces a rig and its needs call for."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.catalogue.types import Device, Extra, Per
from rigopt.needs.types import Needs


def asked(per: Per, needs: Needs) -> int:
    """How many there are of what the needs alone decide; 0 for what the rig decides."""
    return {"mic": needs.mic, "source": needs.inputs, "rig": 1}.get(per, 0)


def weight(per: Per, device: Device) -> int:
    """How many one unit of `device` counts for; 0 for what the needs decide."""
    return {"unit": 1, "rack_unit": device.rack_units, "mains": device.mains}.get(per, 0)


def pieces(extra: Extra, devices: Iterable[Device], needs: Needs) -> int:
    """Pieces that a rig of these units calls for."""
    counted = asked(extra.per, needs) + sum(weight(extra.per, device) for device in devices)
    return extra.each * counted
