"""What the command line says, which overrides the file: one parser for each option."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from rigopt import amounts, values
from rigopt.catalogue.types import Catalogue
from rigopt.gather import Gathered
from rigopt.needs import ids, keys
from rigopt.needs.sources import COUNTS
from rigopt.values import BadValueError

FIELDS: Final = {"rate": "rate_hz"}
"""Options whose value has another name in `Needs`."""


def option(name: str) -> str:
    """An option as it is typed."""
    return "--" + name.replace("_", "-")


def parse_overrides(
    overrides: Mapping[str, object], catalogue: Catalogue, faults: Gathered
) -> dict[str, Any]:
    """The options that are given, by the field names of `Needs`; None is not given."""
    parsers = _parsers(catalogue)
    found: dict[str, Any] = {}
    for name, value in overrides.items():
        if value is None:
            continue
        if name == "owned":
            found[name] = _owned(value, catalogue, faults)
        elif name not in parsers:
            faults.add("there is no such option", column=option(name))
        else:
            try:
                found[FIELDS.get(name, name)] = parsers[name](value)
            except BadValueError as fault:
                faults.bad(fault, column=option(name), value=value)
    return found


def _parsers(catalogue: Catalogue) -> dict[str, Callable[[object], object]]:
    return {
        **dict.fromkeys(COUNTS, keys.count),
        "rate": values.rate,
        "master": lambda value: ids.master(value, catalogue),
        "budget": lambda value: amounts.amount(value, catalogue.currency),
    }


def _owned(value: object, catalogue: Catalogue, faults: Gathered) -> dict[str, int]:
    """Ids and numbers of pieces; each bad one is noted and left out."""
    owned: dict[str, int] = {}
    if not isinstance(value, Mapping):
        faults.add("must be ids, each with a number of pieces", column=option("owned"))
        return owned
    for key, number in value.items():
        try:
            owned[ids.ownable(key, catalogue)] = keys.count(number)
        except BadValueError as fault:
            known = key in catalogue.devices or key in catalogue.cables
            faults.bad(fault, column=option("owned"), value=number if known else key)
    return owned
