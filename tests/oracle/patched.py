"""Small random catalogues and needs with digital gear of every sort and an analogue half.

The questions of instances.py and rich.py get direct outs and line inputs, preamps, leads and
looms, DI boxes and headphone amplifiers, and something owned that could be sold. All data
are invented.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Plug
from rigopt.needs.types import Needs
from tests.oracle.instances import Chooser, Seeded, instance, rarely
from tests.oracle.rich import rich
from tests.oracle.themes import Facts, Question, each, with_cables

Plugs = tuple[Plug, ...]
PLUGS: tuple[Plugs, ...] = (("jack",), ("jack", "jack", "xlr"), ("jack", "xlr", "dsub"))
"""What a catalogue's analogue plugs are drawn from."""

BROUGHT = (1, 500, 5_000, 20_000, 40_000)
"""What a piece of something owned may bring."""


def patched(seed: int) -> Question:
    """The catalogue and needs of a seed."""
    choose = Seeded(seed)
    catalogue, needs = rich(seed) if seed % 2 else instance(seed)
    plugs = choose.pick(PLUGS)
    catalogue = each(catalogue, lambda device: back(choose, device, plugs))
    catalogue = leads(choose, with_boxes(choose, catalogue, plugs))
    needs = sources(choose, catalogue, needs)
    return for_sale(choose, catalogue, needs) if rarely(choose, 2) else (catalogue, needs)


def back(choose: Chooser, device: Device, plugs: Plugs) -> Facts:
    """Direct outs and inputs for line, with their plugs."""
    if device.role == "clock":
        return {}
    facts: Facts = {"line_plug": choose.pick(plugs), "direct_plug": choose.pick(plugs)}
    if not rarely(choose, 4):
        facts["line"] = device.line + choose.pick((4, 2, 8, 1))
    if not device.may_host and device.price is not None:
        facts["price"] = device.price + choose.pick((0, 10_000, 20_000))
    if device.role != "host" and rarely(choose, 2):
        most = device.mic_capable
        facts["direct_out"] = choose.number(most // 2, most)
        if rarely(choose, 4):
            facts["rates_hz"] = (44_100,)
    return facts


def with_boxes(choose: Chooser, catalogue: Catalogue, plugs: Plugs) -> Catalogue:
    """One or two preamps; a DI box or two and a headphone amplifier now and then."""
    boxes = [preamp(choose, n, plugs) for n in range(choose.pick((1, 2)))]
    boxes += [di(choose, n) for n in range(choose.pick((0, 1, 2)))]
    boxes += [phones(choose)] if rarely(choose, 2) else []
    more = {box.id: box for box in boxes}
    return replace(catalogue, devices={**catalogue.devices, **more})


def preamp(choose: Chooser, number: int, plugs: Plugs) -> Device:
    """A preamp of one to ten channels, most of which leave."""
    kind, channels = choose.pick(("mic", "mic_line")), choose.pick((2, 4, 1, 8, 10))
    facts: dict[str, Any] = {kind: channels}
    facts["phantom_bank"] = choose.pick((1, 0, channels, 2, (1,)))
    return Device(
        f"amp-{number}",
        "a preamp",
        "preamp",
        None if rarely(choose, 20) else 500 * choose.number(0, 2 * channels),
        direct_out=channels - choose.pick((0, 0, 0, 1)),
        direct_plug=choose.pick(plugs),
        line_out=choose.pick((0, 2)),
        rack_units=choose.pick((0, 1)),
        **facts,
    )


def di(choose: Chooser, number: int) -> Device:
    """A DI box that needs 48 V or not."""
    powered, mains = choose.pick((True, False)), choose.pick((0, 0, 1))
    return Device(
        f"di-{number}",
        "a DI box",
        "di",
        500 * choose.number(0, 8),
        inst=choose.pick((1, 2, 4)),
        di_phantom=powered,
        mains=mains,
    )


def phones(choose: Chooser) -> Device:
    """A headphone amplifier."""
    price, ins = 500 * choose.number(0, 12), choose.pick((2, 1))
    return Device("ear", "an amplifier", "headphones", price, phones=4, line_in=ins)


def leads(choose: Chooser, catalogue: Catalogue) -> Catalogue:
    """Leads and looms for most pairs of plugs that there are."""
    devices = catalogue.devices.values()
    outs = sorted({d.direct_plug for d in devices if d.has_direct_outs})
    into = sorted({d.line_plug for d in devices if d.digital and d.role != "clock"})
    found = [
        Cable(
            f"{out}-{plug}-{number}",
            "a lead",
            "analogue",
            choose.pick((3000, 10_000, 1000, 10_000, 500, 31_000)),
            None if rarely(choose, 12) else 100 * choose.number(0, 15),
            choose.pick((1, 1, 2)),
            (out, plug),
            8 if "dsub" in (out, plug) else choose.pick((1, 1, 2, 4)),
        )
        for out in outs
        for plug in into
        for number in range(choose.pick((1, 2, 2, 1, 0)))
    ]
    return with_cables(catalogue, *found)


def sources(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Needs:
    """A few more microphones than a host has inputs for, instruments and headphones."""
    hosts = [device.mic_capable for device in catalogue.devices.values() if device.may_host]
    mic = choose.pick(hosts) + choose.pick((2, 3, 1, 4, 8, 0))
    phantom = choose.pick((0, 0, 0, 1, mic // 2, mic)) if mic else 0
    return replace(
        needs,
        mic=mic,
        phantom=phantom,
        no_phantom=choose.pick((0, 0, 0, (mic - phantom) // 2)),
        spare=choose.pick((0, 0, 0, 1, 2)),
        instrument=choose.pick((0, 0, 0, 1, 3)),
        out_line=choose.pick((0, 0, needs.out_line)),
        out_phones=choose.pick((0, 0, needs.out_phones, 4)),
        master=needs.master if rarely(choose, 3) else "any",
        mains=needs.mains if rarely(choose, 3) else None,
        rack_units=needs.rack_units if rarely(choose, 3) else None,
        host_to_rack_mm=choose.pick((1000, needs.host_to_rack_mm)),
        require=(choose.pick(tuple(catalogue.devices)),) if rarely(choose, 10) else (),
        avoid=needs.avoid if rarely(choose, 2) else (),
    )


def for_sale(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """More that is owned, with prices for most of it, extras too; a budget is net."""
    each_rig = Extra("case", "a case", "unit", 100 * choose.number(0, 30), pack=2)
    catalogue = replace(catalogue, extras={**catalogue.extras, "case": each_rig})
    items = [item for shelf in catalogue.shelves.values() for item in shelf]
    more = {item: choose.number(1, 3) for item in items if rarely(choose, 3)}
    owned = {**needs.owned, **more}
    resale = {item: choose.pick(BROUGHT) for item in owned if not rarely(choose, 4)}
    budget = needs.budget
    if budget is not None:
        budget = max(0, budget - choose.number(0, 30_000))
    return catalogue, replace(needs, owned=owned, resale=resale, budget=budget)
