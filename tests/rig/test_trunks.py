"""Trunks of a template's table of formats: channels by class, and one cable to a stage box."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.rig.audit import audit_wiring
from rigopt.rig.audit.numbers import width
from rigopt.rig.links import derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Unit
from tests.rig.link_worlds import HUB
from tests.rig.rig_builders import master
from tests.wires import wire
from tests.world import ALL

RACK = read_folder(shipped.template("full-rack"))
RATES = (48000, 96000, 192000)


@pytest.mark.parametrize(
    ("format", "channels", "duplex"),
    [
        # AES10-2008 (restated): 64 at 1x and 32 at 2x; an open PCIe driver: 16 at 4x.
        ("aes10", (64, 32, 16), False),
        # AES50, its owner's table (restated): 48/24/12, both ways on one cable.
        ("aes50", (48, 24, 12), True),
    ],
)
def test_channels_by_class(format: str, channels: tuple[int, ...], duplex: bool) -> None:
    row = RACK.formats[format]
    assert tuple(row.carries(multiplier) for multiplier in (1, 2, 4)) == channels
    assert tuple(width(row, rate_hz) for rate_hz in RATES) == channels
    assert (row.duplex, row.clock) == (duplex, True)


@pytest.mark.parametrize(
    ("box", "rate_hz", "arriving"),
    [
        # 16 of 48 or 24, and of 64, 32 or 16: all of a 16-channel box on one cable.
        ("stage-16", 48000, 16),
        ("stage-16", 96000, 16),
        ("pre-16-64", 48000, 16),
        ("pre-16-64", 96000, 16),
        ("pre-16-64", 192000, 16),
        # 12 of 16 at 4x, if the box ran there.
        ("stage-16", 192000, 12),
    ],
)
def test_a_16_channel_box_on_one_cable(box: str, rate_hz: int, arriving: int) -> None:
    stage = replace(RACK.devices[box], rates_hz=ALL)
    row = stage.trunk
    assert row is not None
    host = replace(HUB, trunk=row, trunk_in=1, trunk_out=0 if row.duplex else 1)
    lock = ClockSetting("trunk", 1, "expander-1")
    units = [Unit("host-1", host, "host", lock), master("expander-1", stage, "expander")]
    links = derive_links(units, [wire(row, "expander-1", 1, "host-1", 1)], rate_hz)
    assert [link.channels for link in links] == [arriving]
    assert audit_wiring(units, links, rate_hz) == ()
    found = [i for i in derive_inputs(units, links, rate_hz) if i.unit == "expander-1"]
    assert [item.channel for item in found] == list(range(1, arriving + 1))
