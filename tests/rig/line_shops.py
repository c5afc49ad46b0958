"""Random small catalogues with analogue rows among the others. All data are invented."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random

from rigopt.catalogue.types import DSUB_WAYS, PLUGS, Cable, Catalogue, Device, Plug
from rigopt.needs.types import Needs
from tests.rig.worlds import instance

SINGLE: tuple[Plug, ...] = ("jack", "jack", "jack", "xlr", "dsub")


def lined(seed: int) -> tuple[Catalogue, Needs]:
    """The catalogue and needs of a seed; most of what is asked for can come by lines."""
    random = Random(seed)
    catalogue, needs = instance(seed)
    devices = [_with_lines(device, random) for device in catalogue.devices.values()]
    devices += [_preamp(f"preamp-{n}", random) for n in range(random.randint(1, 2))]
    if random.randrange(2):
        box = Device("di-0", "", "di", _price(random, 5), inst=random.randint(1, 2))
        devices.append(replace(box, di_phantom=random.randrange(2) == 0))
    if random.randrange(2):
        lines, phones = random.randint(1, 2), random.randint(2, 4)
        ears = Device("ears-0", "", "headphones", _price(random, 5), phones=phones)
        devices.append(replace(ears, line_in=lines))
    cables = dict(catalogue.cables) | {cable.id: cable for cable in _leads(random)}
    shop = replace(catalogue, devices={d.id: d for d in devices}, cables=cables)
    return shop, _asked(needs, random)


def _price(random: Random, most: int) -> int:
    return random.randint(1, most) * 1000


def _with_lines(device: Device, random: Random) -> Device:
    if device.role == "clock":
        return device
    outs = random.randint(0, device.mic_capable) if random.randrange(2) else 0
    return replace(
        device,
        line=device.line + random.randint(0, 6),
        line_plug=random.choice(SINGLE),
        phones=random.randint(0, 1),
        direct_out=0 if device.role == "host" else outs,
        direct_plug=random.choice(SINGLE),
    )


def _preamp(name: str, random: Random) -> Device:
    channels = random.choice((2, 4, 8, 9))
    return Device(
        name,
        name,
        "preamp",
        _price(random, 8),
        mic=channels,
        phantom_bank=random.choice((0, 1, 4, 8)),
        direct_out=random.randint(channels - 1, channels),
        direct_plug=random.choice(SINGLE),
    )


def _leads(random: Random) -> list[Cable]:
    found = []
    for ends in product(PLUGS, PLUGS):
        for length in (1000, 4000) if random.randrange(2) else (4000,):
            name = f"{'-'.join(ends)}-{length}"
            ways = DSUB_WAYS if "dsub" in ends else random.choice((1, 1, 4))
            price = random.randint(0, 20) * 100
            found.append(Cable(name, "", "analogue", length, price, ends=ends, ways=ways))
    return [cable for cable in found if random.randrange(4)]


def _asked(needs: Needs, random: Random) -> Needs:
    return replace(
        needs,
        rate_hz=random.choice((48_000, 192_000)),
        instrument=random.choice((0, 0, 1, 2)),
        spare=random.choice((0, 0, 1)),
        out_line=random.choice((0, 0, 1, 2)),
        out_phones=random.choice((0, 0, 1, 3)),
        master="any",
        require=(),
    )
