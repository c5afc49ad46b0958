"""A rig at every sample rate as JSON of the format `rigopt-rates/1`: a record a rate."""

from __future__ import annotations

from typing import Final

from rigopt.answers.rates import AtRate, ByRate, Dead
from rigopt.output.data.json_parts import Json, document, rate_khz

FORMAT: Final = "rigopt-rates/1"


def rates_json(found: ByRate) -> str:
    """The rates in ascending order."""
    names = [unit.name for unit in found.rig.units]
    return document({"format": FORMAT, "rates": [_record(one, names) for one in found.rates]})


def _record(one: AtRate, names: list[str]) -> Json:
    """`inputs` by unit; null for a unit that does not know the rate."""
    return {
        "rate_khz": rate_khz(one.rate_hz),
        "works": one.works,
        "clock_holds": not one.clock,
        "inputs": {name: None if name in one.missing else one.arriving(name) for name in names},
        "dead_sockets": [_dead(dead) for dead in one.dead],
        "findings": [str(found) for found in one.verdict.findings],
    }


def _dead(dead: Dead) -> Json:
    return {
        "unit": dead.unit,
        "kind": dead.kind,
        "way": dead.way,
        "first": dead.first,
        "last": dead.last,
        "cables": dead.cables,
    }
