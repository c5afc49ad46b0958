"""The analogue half of a random catalogue: preamps and expanders with direct outs, inputs that
take them, leads and looms, DI boxes and headphone amplifiers."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import Final

from rigopt.catalogue.types import DSUB_WAYS, PLUGS, Cable, Device, Plug

PRICES: Final = {"dsub": 2900, "xlr": 900, "jack": 600}
LENGTHS_M: Final = (1, 3)
PLUGGED: Final[Sequence[Plug]] = ("jack", "jack", "xlr", "dsub")

ONE_IN: Final = 10
"""So many of the expanders become a preamp, a DI box or a headphone amplifier."""


def with_lines(draw: random.Random, device: Device) -> Device:
    """A host takes lines; an expander may have direct outs, or be another kind of box."""
    if device.role == "clock":
        return device
    if device.role == "expander" and draw.random() < 1 / ONE_IN:
        return draw.choice((_preamp, _preamp, di_box, _amplifier))(draw, device)
    direct, into = draw.choice(PLUGGED), draw.choice(PLUGGED)
    more = draw.choice((0, 0, 0, 8)) if device.may_host else 0
    outs = device.mic_capable if not device.may_host and draw.random() < 0.2 else 0
    price = (device.price or 0) + more * draw.randrange(300, 900) + outs * draw.randrange(900)
    return replace(
        device,
        direct_plug=direct,
        line_plug=into,
        line=device.line + more,
        direct_out=outs,
        price=price,
    )


def _preamp(draw: random.Random, device: Device) -> Device:
    channels = draw.choice((2, 4, 8, 8))
    price = channels * draw.randrange(1200, 4000)
    bank = draw.choice((0, 1, channels // 2, channels))
    plug = draw.choice(PLUGGED)
    return Device(
        device.id,
        "preamp with direct outs",
        "preamp",
        price,
        mic=channels,
        phantom_bank=bank,
        direct_out=channels,
        direct_plug=plug,
    )


def di_box(draw: random.Random, device: Device) -> Device:
    ways = draw.choice((1, 2, 4))
    price = ways * draw.randrange(1500, 6000)
    powered = draw.random() < 0.5
    return Device(device.id, "DI box", "di", price, inst=ways, di_phantom=powered, mains=0)


def _amplifier(draw: random.Random, device: Device) -> Device:
    phones = draw.choice((2, 4, 8))
    price = phones * draw.randrange(1200, 3000)
    lines = draw.choice((2, 4))
    return Device(
        device.id, "headphone amplifier", "headphones", price, phones=phones, line_in=lines
    )


def leads() -> Iterator[Cable]:
    """A lead or loom for every pair of plugs; looms of 4 and 8 ways for single plugs too."""
    for (one, other), length in product(product(PLUGS, PLUGS), LENGTHS_M):
        for ways in (DSUB_WAYS,) if "dsub" in (one, other) else (1, 4, DSUB_WAYS):
            price = ways * (PRICES[one] + PRICES[other]) // (2 if ways > 1 else 1) // 2
            price += 200 * length * ways
            yield Cable(
                f"{one}-{other}-{ways}-{length}m",
                f"{ways} ways, {length} m",
                "analogue",
                1000 * length,
                price,
                ends=(one, other),
                ways=ways,
            )
