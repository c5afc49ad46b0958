"""The headphone outputs of a rig: of all ways to feed the amplifiers, the best one counts."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations

import pytest

from rigopt.rig.figures import figures
from rigopt.rig.types import Rig, Unit
from tests.rig.line_worlds import EARS, HOST
from tests.rig.rig_builders import INTERNAL


@pytest.mark.parametrize("seed", range(40))
def test_the_best_of_all_ways_to_feed_them(seed: int) -> None:
    draw = random.Random(seed)
    lines = draw.randint(1, 9)
    amps = [(draw.randint(1, 4), draw.randint(1, 8)) for _ in range(draw.randint(1, 4))]
    units = [Unit("host-1", replace(HOST, line_out=lines, phones=1), "host", INTERNAL)]
    for number, (taken, phones) in enumerate(amps, start=1):
        device = replace(EARS, line_in=taken, phones=phones)
        units.append(Unit(f"headphones-{number}", device, "headphones", None))
    fed = [
        sum(phones for _, phones in some)
        for size in range(len(amps) + 1)
        for some in combinations(amps, size)
        if sum(taken for taken, _ in some) <= lines
    ]
    assert figures(Rig(48000, tuple(units), (), (), (), 0, 0)).phones == 1 + max(fed)
