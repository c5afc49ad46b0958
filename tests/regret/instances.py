"""Small random catalogues with ranges for prices; all data are invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from tests.oracle.instances import Chooser, Seeded, rarely, some_catalogue, some_needs

MOST_ATTEMPTS = 8
MOST_RANGES = 6
"""So that all corners can be looked at."""


def instance(seed: int, *, cables: bool = False) -> tuple[Catalogue, Needs]:
    """Devices and extras with ranges, or also cables; up to three units, and mostly a rig."""
    for attempt in range(MOST_ATTEMPTS):
        choose = Seeded(seed * MOST_ATTEMPTS + attempt)
        catalogue = some_catalogue(choose, extras=not rarely(choose, 3))
        needs = some_needs(choose, catalogue, most_units=3)
        if isinstance(solve(catalogue, needs), Answered):
            break
    return ranged(choose, catalogue, cables=cables), needs


def ranged(choose: Chooser, catalogue: Catalogue, *, cables: bool) -> Catalogue:
    """Some of the prices as ranges, from narrow to as wide as can be."""
    left = MOST_RANGES
    shelves: dict[str, Any] = {}
    for name in ("devices", "extras", "cables"):
        shelves[name] = dict(getattr(catalogue, name))
        if name == "cables" and not cables:
            continue
        for key, item in shelves[name].items():
            if left and item.price and not rarely(choose, 3):
                left -= 1
                shelves[name][key] = replace(item, least=lower(choose, item.price))
    return replace(catalogue, **shelves)


def lower(choose: Chooser, price: int) -> int:
    return price * choose.pick((50, 20, 0, 80, 40, 95)) // 100
