"""The random catalogues, with every kind of row: trunks, sockets of which only one works,
stereo over optical, classes, converters, word-clock chains, orders of inputs and banks, and
the analogue half."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any, Final

from rigopt.catalogue.types import BLOCKS, Blank, Cable, Catalogue, Device, InOut, SocketRef
from rigopt.facts import FORMATS, Format
from tests.benchmarks.analogue_rows import leads, with_lines
from tests.benchmarks.instances import catalogue

MULTI: Final = Format("multi", "trunk", "one way", "multi", (64, 32, 16), True, False, None)
STAGE: Final = Format("stage", "trunk", "both ways", "stage", (48, 24, 12), True, True, None)

CABLES: Final = (
    Cable("multi-1m", "one-way trunk 1 m", "multi", 1000, 1900),
    Cable("stage-2m", "two-way trunk 2 m", "stage", 2000, 1200),
    Cable("tee", "T-piece", "tee", 0, 350),
    Cable("end", "terminator", "terminator", 0, 250),
)


def rich_catalogue(seed: int, types: int) -> Catalogue:
    """`types` device types, most of them with something beyond light-pipe."""
    draw = random.Random(seed)
    shop = catalogue(seed, types)
    devices = {
        name: with_lines(draw, _rich(draw, device)) for name, device in shop.devices.items()
    }
    cables = {cable.id: cable for cable in (*shop.cables.values(), *CABLES, *leads())}
    formats = {**FORMATS, MULTI.id: MULTI, STAGE.id: STAGE}
    return replace(shop, devices=devices, cables=cables, formats=formats)


def _rich(draw: random.Random, device: Device) -> Device:
    changes: dict[str, Any] = {"word_end": draw.choice(["switch", "switch", "fixed", "none"])}
    if device.role != "clock":
        changes |= trunks(draw, device) | classes(draw, device) | _numbers(draw, device)
        device = replace(device, **changes)
        changes = _joined(draw, device)
    return replace(device, **changes)


def trunks(draw: random.Random, device: Device) -> dict[str, Any]:
    """One device in five has sockets of a trunk, and a host with one is dearer for it."""
    if draw.random() > 0.2:
        return {}
    row = draw.choice([MULTI, STAGE])
    ways = {"trunk_in": draw.choice([1, 1, 2])}
    if not row.duplex:
        ways["trunk_out"] = 1
    price = (device.price or 0) + draw.randrange(8000, 30000)
    clocks = (*device.clock_in, "trunk")
    return {"trunk": row, **ways, "price": price, "clock_in": clocks}


def classes(draw: random.Random, device: Device) -> dict[str, Any]:
    into, out = device.optical_in, device.optical_out
    stereo = draw.choice([0, 0, max(into, out)])
    changes: dict[str, Any] = {"optical_stereo": stereo}
    if draw.random() < 0.2:
        changes["optical_1x"] = InOut(min(into, draw.choice([0, 1])), out)
    if draw.random() < 0.2:
        changes["optical_2x"] = InOut(into, min(out, 1))
    if device.coax_in or device.coax_out:
        changes |= {"coax_2x": draw.choice([0, 1]), "coax_4x": draw.choice([0, 1])}
    if device.analogue and draw.random() < 0.2:
        changes |= {"analogue_4x": device.analogue // 2}
    return changes


def _numbers(draw: random.Random, device: Device) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    if device.may_host and draw.random() < 0.3:
        blocks = [*BLOCKS, Blank(2, 2, 2)]
        draw.shuffle(blocks)
        changes["input_order"] = tuple(blocks)
    if device.may_host and draw.random() < 0.15:
        changes["max_in_1x"] = device.analogue + draw.choice([4, 8, 10, 18])
    if device.mic_capable >= 4 and draw.random() < 0.2:
        changes["phantom_bank"] = (device.mic_capable // 2, device.mic_capable // 4)
    return changes


def _joined(draw: random.Random, device: Device) -> dict[str, Any]:
    """Sockets of which only one works, those that convert, and those that lock."""
    changes: dict[str, Any] = {}
    kinds = [k for k in ("optical", "coax", "trunk") if getattr(device, f"{k}_in")]
    if kinds and draw.random() < 0.12:
        changes["rate_converter"] = tuple(draw.sample(kinds, 1))
    if device.optical_in and device.coax_in and draw.random() < 0.5:
        changes["either"] = ((SocketRef("optical", "in", 1), SocketRef("coax", "in", 1)),)
    if device.optical_in > 1 and "optical" in device.clock_in and draw.random() < 0.2:
        others = tuple(kind for kind in device.clock_in if kind != "optical")
        changes["clock_in"] = (SocketRef("optical", "in", 1), *others)
    return changes
