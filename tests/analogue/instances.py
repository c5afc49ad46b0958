"""Small random catalogues and needs for analogue rigs; all data are invented.

Every needs has `units` set, which makes the enumeration of `brute.py` complete.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.needs.types import Needs

Question = tuple[Catalogue, Needs]

KINDS = ("mic_line_inst", "mic_line", "mic", "line_inst", "line", "inst")
PLUGS = ("jack", "jack", "jack", "xlr", "xlr", "dsub")
RATES = ((48_000,), (48_000, 96_000), (48_000, 96_000))


def instance(seed: int) -> Question:
    """The small catalogue and needs of a seed."""
    choose = random.Random(seed)
    hosts = [_host(choose, n) for n in range(choose.choice((1, 1, 2)))]
    makers = [
        _preamp,
        *choose.choices((_preamp, _expander, _di, _phones), k=choose.choice((1, 2))),
    ]
    others = [maker(choose, n) for n, maker in enumerate(makers)]
    if choose.random() < 0.4:
        others.append(_expander(choose, 7))
    devices = {device.id: device for device in (*hosts, *others)}
    cables = {cable.id: cable for cable in _cables(choose, (*hosts, *others))}
    extras = {}
    if choose.random() < 0.25:
        per: Any = choose.choice(("mic", "source", "unit"))
        extras["stand"] = Extra("stand", "stand", per, choose.choice((200, 700)), each=1)
    catalogue = Catalogue("tiny", "Tiny", "GBP", devices, cables, extras)
    return catalogue, _needs(choose, catalogue)


def _price(choose: random.Random, least: int, most: int) -> int:
    return 500 * choose.randint(least, most)


def _channels(choose: random.Random, kinds: tuple[str, ...], most: int) -> dict[str, Any]:
    """A few channels of some kinds, the order of their numbers and their banks."""
    found: dict[str, Any] = {}
    for kind in choose.sample(kinds, min(len(kinds), choose.choice((1, 1, 2)))):
        found[kind] = choose.randint(1, most)
    able = sum(n for kind, n in found.items() if kind.startswith("mic"))
    if able:
        sizes: list[Any] = [0, 1, 2, 4, 8, 8]
        if able > 1:
            sizes += [(1, able - 1), (able - 1,)]
        found["phantom_bank"] = choose.choice(sizes)
    if len(found) > 1 and choose.random() < 0.3:
        order = [*choose.sample(KINDS, len(KINDS))]
        found["channel_order"] = tuple(order)
    return found


def _host(choose: random.Random, number: int) -> Device:
    sockets = choose.choice((0, 0, 1, 1, 2))
    fields = _channels(choose, ("mic_line_inst", "mic_line", "mic", "line", "line_inst"), 4)
    if not fields.get("line"):
        fields["line"] = choose.randint(0, 4)
    role = choose.choice(("host", "host", "either"))
    return Device(
        f"host-{number}",
        "a host",
        role,  # type: ignore[arg-type]
        _price(choose, 10, 60) if choose.random() < 0.95 else None,
        line_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        line_out=choose.choice((0, 2, 2, 4)) if role == "host" else 0,
        phones=choose.choice((0, 1, 1, 2)),
        optical_in=sockets,
        optical_out=choose.choice((0, sockets, sockets)),
        optical_2x=choose.choice((0, sockets, sockets)),
        clock_in=("optical",) if sockets and choose.random() < 0.7 else (),
        rates_hz=choose.choice(RATES),
        max_in_1x=choose.choice((None, None, None, 3, 6)),
        max_in_2x=choose.choice((None, None, None, 4, 6)),
        analogue_2x=choose.choice((1_000_000, 1_000_000, 2)),
        direct_out=0,
        **fields,
    )


def _able(fields: dict[str, Any]) -> int:
    return sum(int(n) for kind, n in fields.items() if kind in KINDS[:3])


def _preamp(choose: random.Random, number: int) -> Device:
    fields = _channels(choose, KINDS[:3], choose.choice((2, 4, 4)))
    fields["direct_out"] = choose.randint(max(1, _able(fields) - 1), _able(fields))
    return Device(
        f"pre-{number}",
        "a preamp",
        "preamp",
        _price(choose, 2, 14) if choose.random() < 0.95 else None,
        direct_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        line_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        line_out=choose.choice((0, 2)),
        **fields,
    )


def _expander(choose: random.Random, number: int) -> Device:
    line_only = choose.random() < 0.4
    fields = _channels(choose, ("line", "line_inst") if line_only else KINDS[:5], 4)
    able = _able(fields)
    locks = choose.random() < 0.6
    inputs = 1 if locks or choose.random() < 0.3 else 0
    outputs = choose.choice((1, 1, 2))
    return Device(
        f"exp-{number}",
        "an expander",
        choose.choice(("expander", "expander", "either")) if not line_only else "expander",
        _price(choose, 3, 20) if choose.random() < 0.9 else None,
        direct_out=choose.choice((0, able, able // 2)),
        direct_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        line_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        optical_in=inputs,
        optical_out=outputs,
        optical_2x=choose.choice((0, 1, outputs)),
        clock_in=("optical",) if locks else (),
        internal_clock=choose.random() < 0.9 or not locks,
        rates_hz=choose.choice(RATES),
        analogue_2x=choose.choice((1_000_000, 1_000_000, 2)),
        rack_units=choose.choice((0, 1)),
        **fields,
    )


def _di(choose: random.Random, number: int) -> Device:
    return Device(
        f"di-{number}",
        "a DI box",
        "di",
        _price(choose, 1, 4),
        inst=choose.choice((1, 2)),
        di_phantom=choose.random() < 0.5,
        mains=0,
    )


def _phones(choose: random.Random, number: int) -> Device:
    return Device(
        f"amp-{number}",
        "a headphone amplifier",
        "headphones",
        _price(choose, 1, 4),
        phones=choose.choice((2, 4)),
        line_in=choose.choice((1, 2)),
    )


def _cables(choose: random.Random, devices: tuple[Device, ...]) -> list[Cable]:
    found = [Cable("opt", "optical", "optical", choose.choice((1000, 3000)), 600)]
    if choose.random() < 0.3:
        pack = choose.choice((1, 2))
        found.append(
            Cable("opt-short", "optical", "optical", 500, choose.choice((300, 900)), pack)
        )
    outs = sorted({d.direct_plug for d in devices if d.direct_out})
    into = sorted({d.line_plug for d in devices if d.role != "preamp"})
    for out in outs:
        for plug in into:
            for number in range(choose.choice((0, 1, 2, 2))):
                single = "dsub" not in (out, plug)
                found.append(
                    Cable(
                        f"{out}-{plug}-{number}",
                        "a lead",
                        "analogue",
                        choose.choice((500, 1000, 3000, 3000, 3000, 31_000)),
                        100 * choose.randint(2, 12) if choose.random() < 0.9 else None,
                        choose.choice((1, 1, 2)),
                        (out, plug),
                        choose.choice((1, 1, 2, 4)) if single else 8,
                    )
                )
    return found


def _needs(choose: random.Random, catalogue: Catalogue) -> Needs:
    most = max(d.analogue for d in catalogue.devices.values() if d.may_host)
    mic = choose.randint(0, 3) + choose.randint(0, min(most, 4) // 2)
    phantom = choose.choice((0, 0, 0, min(mic, 1), min(mic, 2)))
    free = mic - phantom
    devices, cables = catalogue.devices, catalogue.cables
    amplifiers = any(d.role == "headphones" for d in devices.values())
    boxes = any(d.role == "di" for d in devices.values())
    everything = [*devices, *cables]
    owned = {item: choose.randint(1, 2) for item in everything if choose.random() < 0.15}
    preamps = [d.id for d in devices.values() if d.role == "preamp"]
    return Needs(
        rate_hz=choose.choice(catalogue.devices["host-0"].rates_hz),
        mic=mic,
        phantom=phantom,
        no_phantom=choose.choice((0, 0, min(free, 1), min(free, 2))),
        line=choose.choice((0, 0, 0, 0, 1, 2)),
        instrument=choose.choice((0, 1, 2) if boxes else (0, 0, 0, 0, 0, 1)),
        spare=choose.choice((0, 0, 0, 1)),
        out_line=choose.choice((0, 0, 2)),
        out_phones=choose.choice((0, 1, 3) if amplifiers else (0, 0, 1)),
        max_hops=choose.choice((3, 3, 1)),
        host_to_rack_mm=choose.choice((1000, 1000, 3000, 500)),
        within_rack_mm=choose.choice((500, 500, 1000, 3000)),
        budget=choose.randint(10_000, 40_000) if choose.random() < 0.06 else None,
        rack_units=1 if choose.random() < 0.1 else None,
        mains=choose.randint(1, 3) if choose.random() < 0.06 else None,
        units=choose.choice((3, 3, 3, 3, 4)),
        owned=owned,
        require=(choose.choice(preamps),) if choose.random() < 0.06 else (),
    )


def looms(seed: int) -> Question:
    """A small question about preamps, converters and pieces of many ways."""
    choose = random.Random(seed)
    host = Device(
        "host",
        "a host",
        "host",
        20000,
        mic_line=choose.choice((0, 0, 1, 3)),
        line=choose.choice((1, 2, 4)),
        phantom_bank=choose.choice((0, 8)),
        line_plug=choose.choice(("jack", "jack", "xlr", "dsub")),
        optical_in=1,
        optical_out=1,
        clock_in=("optical",),
        max_in_1x=choose.choice((None, None, 8)),
    )
    converter = Device(
        "line",
        "a converter",
        choose.choice(("expander", "either")),
        _price(choose, 2, 10),
        mic_line=choose.choice((0, 0, 0, 1, 2)),
        line=choose.choice((2, 4, 9)),
        line_plug=choose.choice(("jack", "xlr", "dsub", "dsub")),
        direct_out=0,
        channel_order=("line", "mic_line") if choose.random() < 0.3 else KINDS,
        optical_out=choose.choice((1, 2)),
        max_in_1x=0,
    )
    if choose.random() < 0.5:
        converter = replace(
            converter,
            direct_out=converter.mic_line,
            direct_plug=choose.choice(PLUGS),  # type: ignore[arg-type]
        )
    preamps = [_sender(choose, number) for number in range(choose.choice((1, 1, 2)))]
    devices = (host, converter, *preamps)
    cables = [Cable("opt", "optical", "optical", 3000, 600), *_looms(choose, devices)]
    most = host.mic_line + max(d.mic_capable for d in preamps)
    mic = choose.randint(1, most)
    phantom = choose.choice((0, 0, 0, min(1, mic), min(2, mic)))
    needs = Needs(
        mic=mic,
        phantom=phantom,
        no_phantom=choose.choice((0, 0, min(2, mic - phantom))),
        line=choose.choice((0, 0, 0, 1)),
        spare=choose.choice((0, 0, 0, 1)),
        units=3,
        host_to_rack_mm=choose.choice((1000, 3000, 500)),
        within_rack_mm=choose.choice((500, 500, 3000)),
        owned={c.id: 1 for c in cables if choose.random() < 0.1},
    )
    shelves = {d.id: d for d in devices}, {c.id: c for c in cables}
    return Catalogue("looms", "Looms", "GBP", *shelves), needs


def _sender(choose: random.Random, number: int) -> Device:
    channels = choose.choice((2, 4, 4, 9))
    return Device(
        f"pre-{number}",
        "a preamp",
        "preamp",
        500 * channels + _price(choose, 1, 8),
        mic=channels,
        phantom_bank=choose.choice((0, 2, 4, 16, (1, channels - 1))),
        direct_out=channels - choose.choice((0, 0, 1)),
        direct_plug=choose.choice(("jack", "xlr", "dsub", "dsub")),
    )


def _looms(choose: random.Random, devices: tuple[Device, ...]) -> list[Cable]:
    outs = sorted({d.direct_plug for d in devices if d.direct_out})
    into = sorted({d.line_plug for d in devices if d.role != "preamp"})
    found = []
    for ends in [(out, plug) for out in outs for plug in into]:
        for number in range(2):
            ways = 8 if "dsub" in ends else choose.choice((1, 2, 4, 8))
            length = choose.choice((500, 1000, 3000, 3000))
            price = 100 * ways + 100 * choose.randint(1, 8)
            name = f"{ends[0]}-{ends[1]}-{number}"
            pack = choose.choice((1, 1, 2))
            found.append(Cable(name, "a loom", "analogue", length, price, pack, ends, ways))
    return found
