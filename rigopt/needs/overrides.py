"""What the command line says, which overrides the file: one parser for each option."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from rigopt.catalogue.types import Catalogue
from rigopt.files import amounts, values
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError
from rigopt.needs import ids, keys
from rigopt.needs.sources import COUNTS

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
        if name in ("owned", "exchange"):
            found[name] = _table(name, value, catalogue, faults)
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
        "sellers": keys.count,
        "new_only": values.yes,
        "owned_only": values.yes,
    }


def _table(
    name: str, value: object, catalogue: Catalogue, faults: Gathered
) -> dict[str, object]:
    """Ids and numbers of pieces, or currencies and rates; bad ones are noted and left out."""
    table: dict[str, object] = {}
    if not isinstance(value, Mapping):
        faults.add("must be names, each with a number", column=option(name))
        return table
    named, numbered = _ENTRIES[name]
    for key, number in value.items():
        culprit: object = key
        try:
            known = named(key, catalogue)
            culprit = number
            table[known] = numbered(number)
        except BadValueError as fault:
            faults.bad(fault, column=option(name), value=culprit)
    return table


_ENTRIES: Final[
    dict[str, tuple[Callable[[object, Catalogue], str], Callable[[object], object]]]
] = {
    "owned": (ids.ownable, keys.count),
    "exchange": (ids.foreign, keys.exchange_rate),
}
"""How the entries of a table are read: the name, then the number."""
