"""Random but plausible catalogues of any size, from a seed."""

from __future__ import annotations

import random

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.facts import SocketKind

CABLES = (
    Cable("opt-1m", "optical 1 m", "optical", 1000, 600),
    Cable("opt-2m", "optical 2 m", "optical", 2000, 800),
    Cable("opt-1m-3", "optical 1 m, 3 pieces", "optical", 1000, 1500, 3),
    Cable("coax-1m", "coax 1 m", "coax", 1000, 700),
    Cable("word-1m", "word clock 1 m", "word", 1000, 900),
    Cable("word-half", "word clock 0.5 m", "word", 500, 750),
)


def catalogue(seed: int, types: int) -> Catalogue:
    """`types` device types, about half of them hosts; two are word-clock distributors."""
    draw = random.Random(seed)
    devices: dict[str, Device] = {}
    for number in range(types - 2):
        device = _host(draw, number) if number % 2 else _expander(draw, number)
        devices[device.id] = device
    for outs in (4, 8):
        price = 9000 + 2000 * outs + draw.randrange(0, 5000)
        devices[f"word-{outs}"] = Device(
            f"word-{outs}",
            f"distributor, {outs} outputs",
            "clock",
            price,
            word_in=1,
            word_out=outs,
            clock_in=("word",),
            rates_hz=RATES[2],
        )
    return Catalogue("random", "random", "EUR", devices, {c.id: c for c in CABLES})


RATES = {
    1: (44100, 48000),
    2: (44100, 48000, 88200, 96000),
    4: (44100, 48000, 88200, 96000, 176400, 192000),
}


def _host(draw: random.Random, number: int) -> Device:
    pres = draw.choice([0, 2, 2, 4, 4, 8, 8, 8, 16])
    inst = min(pres, draw.choice([0, 0, 2]))
    optical = draw.choice([0, 1, 1, 2, 2, 4]) if pres < 16 else draw.choice([0, 1, 2])
    word = draw.choice([0, 0, 1])
    price = 4000 + pres * draw.randrange(1500, 4500) + optical * draw.randrange(3000, 9000)
    return Device(
        f"host-{number:03d}",
        f"host {number}",
        draw.choice(["host", "host", "either"]),
        price + draw.randrange(0, 999),
        mic_line_inst=inst,
        mic_line=pres - inst,
        line=draw.choice([0, 0, 2, 4, 8]),
        phantom_bank=draw.choice([1, 2, 4, 8]) if pres else 0,
        line_out=draw.choice([2, 4, 8, 10]),
        phones=draw.choice([1, 1, 2]),
        optical_in=optical,
        optical_out=draw.choice([optical, optical, min(optical, 1)]),
        optical_2x=draw.choice([0, optical, optical, optical // 2]),
        optical_4x=draw.choice([0, 0, 0, optical]),
        coax_in=draw.choice([0, 0, 1]),
        coax_out=draw.choice([0, 0, 1]),
        word_in=word,
        word_out=word * draw.choice([0, 1]),
        clock_in=_locks(optical > 0, False, word > 0),
        rates_hz=RATES[draw.choice([1, 2, 2, 4])],
        rack_units=draw.choice([0, 1, 1]),
        mains=draw.choice([0, 1, 1]),
    )


def _expander(draw: random.Random, number: int) -> Device:
    pres = draw.choice([2, 4, 8, 8, 8, 8, 16])
    sockets = 2 if pres == 16 else draw.choice([1, 1, 2])
    word_in = draw.choice([0, 1])
    back = draw.choice([0, 1, sockets])
    price = 6000 + pres * draw.randrange(1200, 4200) + 3000 * word_in + 2000 * back
    return Device(
        f"exp-{number:03d}",
        f"expander {number}",
        "expander",
        price + draw.randrange(0, 999),
        mic_line=pres,
        phantom_bank=draw.choice([1, 4, 8, 8]),
        line_out=draw.choice([0, 0, 8]) if back else 0,
        optical_in=back,
        optical_out=sockets,
        optical_2x=draw.choice([sockets, 1]),
        coax_out=draw.choice([0, 0, 0, 1]),
        word_in=word_in,
        word_out=draw.choice([0, word_in]),
        clock_in=_locks(back > 0, False, word_in > 0),
        internal_clock=draw.random() < 0.95,
        rates_hz=RATES[draw.choice([1, 2, 2])],
        rack_units=1,
        mains=1,
    )


def _locks(optical: bool, coax: bool, word: bool) -> tuple[SocketKind, ...]:
    kinds: list[SocketKind] = []
    if optical:
        kinds.append("optical")
    if coax:
        kinds.append("coax")
    if word:
        kinds.append("word")
    return tuple(kinds)
