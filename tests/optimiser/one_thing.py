"""Random questions in which some types matter for one thing only.

Each of some types gets a twin that is cheaper and lacks one thing, or dearer and has one
thing more; where that thing is asked for, the dearer of the two must stay in sight.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import InOut
from tests.oracle.instances import instance
from tests.oracle.patched import patched
from tests.oracle.rich import rich
from tests.oracle.themes import Question

Pick = Callable[[Any], Any]

LESS: Mapping[str, Pick] = {
    **dict.fromkeys(
        [
            *("mic_line_inst", "mic_line", "mic", "line_inst", "line", "inst"),
            *("line_out", "phones", "optical_in", "optical_out", "coax_in", "coax_out"),
            *("word_in", "word_out", "trunk_in", "trunk_out", "direct_out", "optical_stereo"),
        ],
        lambda number: max(0, number - 1),
    ),
    **dict.fromkeys(["phantom_bank", "coax_2x", "coax_4x"], lambda _: 0),
    **dict.fromkeys(["clock_in", "rate_converter"], lambda kinds: kinds[1:]),
    **dict.fromkeys(
        ["optical_1x", "optical_2x", "optical_4x"],
        lambda number: InOut(0, number) if isinstance(number, int) else InOut(0, 0),
    ),
    **dict.fromkeys(["max_in_1x", "max_in_2x"], lambda most: 6 if most is None else most - 1),
    **dict.fromkeys(["analogue_2x", "analogue_4x"], lambda _: 1),
    "internal_clock": lambda _: False,
    "word_end": lambda _: "none",
    "line_plug": lambda plug: "xlr" if plug == "jack" else "jack",
    "direct_plug": lambda plug: "xlr" if plug == "jack" else "jack",
    "di_phantom": lambda _: True,
    "line_in": lambda number: number + 1,
    "rack_units": lambda number: number + 1,
    "mains": lambda number: number + 1,
}
"""What a type has one thing less by, or needs one more of."""


def one_thing(seed: int) -> Question:
    """The question of a seed, with such twins."""
    draw = random.Random(seed)
    catalogue, needs = (instance, rich, patched)[seed % 3](seed)
    devices = dict(catalogue.devices)
    for device in [d for d in devices.values() if d.price is not None]:
        for fact in draw.sample(sorted(LESS), 12):
            poor = LESS[fact](getattr(device, fact))
            if poor != getattr(device, fact) and draw.random() < 0.4:
                twin = f"{draw.choice('az')}-{device.id}-{fact}"
                price = max(0, (device.price or 0) - draw.choice((1, 100, 3_000)))
                twins = replace(device, id=twin, price=price, **{fact: poor})
                room = min(twins.mic_capable, twins.direct_out)
                devices[twin] = replace(twins, direct_out=room, either=())
    budget, avoid = None, ()
    return replace(catalogue, devices=devices), replace(needs, budget=budget, avoid=avoid)
