"""Values of a needs statement that are read nowhere else, and the limits of all."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Final, NamedTuple

from rigopt.catalogue.types import Catalogue
from rigopt.files import amounts
from rigopt.files.values import BadValueError

MOST_COUNT: Final = 1_000_000
MOST_FACTOR: Final = 100
MOST_PERCENT: Final = 1_000
LONGEST_RUN_M: Final = 1_000
MOST_HOPS: Final = 32
MOST_HOSTS: Final = 16
MOST_WORD_INPUTS: Final = 64
MOST_RATE: Final = 1_000_000
RATE_PLACES: Final = 9
"""Decimals of an exchange rate: one unit of a small currency buys little of a large one."""

MASTERS: Final = ("any", "host", "expander", "clock")


HOLDING: Final = ("count", "resale")
"""Keys of an entry of `[owned]` that says more than a number."""


class Holding(NamedTuple):
    """Pieces owned, and what one is sold for, in minor units; None is not said."""

    pieces: int
    resale: int | None = None


def holding(value: object, catalogue: Catalogue) -> Holding:
    """A number, a table of number and price, or both as an option has them: 1@150.

    Raises:
        BadValueError: When it is anything else.
    """
    count, price = value, None
    if isinstance(value, dict):
        if not {"count"} <= {*value} <= {*HOLDING}:
            raise BadValueError("must be a number, or a table of count and resale")
        count, price = value["count"], value.get("resale")
    elif isinstance(value, str) and "@" in value:
        count, _, price = value.partition("@")
    number = amounts.whole(count, MOST_COUNT)
    return Holding(number, None if price is None else amounts.amount(price, catalogue.currency))


def factor(value: object) -> Decimal:
    """A factor on prices.

    Raises:
        BadValueError: When it is no number above 0 and up to 100.
    """
    found = amounts.fraction(value, MOST_FACTOR)
    if not found:
        raise BadValueError("must be above 0")
    return found


def exchange_rate(value: object) -> Decimal:
    """How much of another currency one unit of the catalogue's buys.

    Raises:
        BadValueError: When it is no number above 0 and up to a million with up to 9 decimals.
    """
    found = amounts.number(value)
    if not 0 < found <= MOST_RATE or found != round(found, RATE_PLACES):
        raise BadValueError(
            f"must be a number above 0 and up to {MOST_RATE} with up to {RATE_PLACES} decimals"
        )
    return found


def as_list(value: object) -> object:
    """One text where a list is wanted stands for a list of one."""
    return [value] if isinstance(value, str) else value


def dotted(value: object) -> object:
    """Undo what TOML makes of an id with a point: opt-1.5m = 2 is {'opt-1': {'5m': 2}}.

    A table of `HOLDING` alone is an entry.

    Raises:
        BadValueError: When an id comes twice, with quotation marks and without.
    """
    if not isinstance(value, dict):
        return value
    found: dict[str, object] = {}
    for name, entry in _leaves(value, ""):
        if name in found:
            raise BadValueError("is there twice, with quotation marks and without", piece=name)
        found[name] = entry
    return found


def _leaves(table: dict[str, Any], prefix: str) -> Iterator[tuple[str, object]]:
    for key, value in table.items():
        if isinstance(value, dict) and not {*value} <= {*HOLDING}:
            yield from _leaves(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value
