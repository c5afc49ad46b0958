"""A type of box as it is at the rate of the rig, so that nothing after it asks for the rate."""

from __future__ import annotations

from typing import NamedTuple

from rigopt.catalogue.types import Device
from rigopt.facts import KINDS, link_channels
from rigopt.rig.by_kind import ByKind
from rigopt.rig.numbering import VisibleInputs, visible_inputs


class DeviceAtRate(NamedTuple):
    """A device, its sockets that are live, and what it shows the computer as a host.

    `width`: audio channels of one link of each kind.
    """

    device: Device
    inputs: ByKind
    outputs: ByKind
    width: ByKind
    visible: VisibleInputs

    @property
    def id(self) -> str:
        """The id of the device."""
        return self.device.id


def at_rate(device: Device, rate_hz: int) -> DeviceAtRate:
    """The device at a rate that it lists."""
    return DeviceAtRate(
        device,
        inputs=ByKind((kind, device.live_in(kind, rate_hz)) for kind in KINDS),
        outputs=ByKind((kind, device.live_out(kind, rate_hz)) for kind in KINDS),
        width=ByKind((kind, link_channels(kind, rate_hz)) for kind in KINDS),
        visible=visible_inputs(device, rate_hz),
    )
