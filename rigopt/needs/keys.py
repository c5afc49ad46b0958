"""Parsers of the single values of a needs statement, with their limits."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Final, get_args

from rigopt.catalogue.types import Source
from rigopt.files import amounts, values
from rigopt.files.values import BadValueError
from rigopt.needs.types import Phantom

MOST_COUNT: Final = 1_000_000
MOST_FACTOR: Final = 100
LONGEST_RUN_M: Final = 1_000
MOST_HOPS: Final = 32
MOST_HOSTS: Final = 16
MOST_RATE: Final = 1_000_000
RATE_PLACES: Final = 9
"""Decimals of an exchange rate: one unit of a small currency buys little of a large one."""

MASTERS: Final = ("any", "host", "expander", "clock")
SOURCES: Final[tuple[Source, ...]] = get_args(Source)
PHANTOMS: Final[tuple[Phantom, ...]] = get_args(Phantom)


def count(value: object) -> int:
    """A whole number of things.

    Raises:
        BadValueError: When it is none, or above a million.
    """
    return amounts.whole(value, MOST_COUNT)


def hops(value: object) -> int:
    """A number of links from the clock master.

    Raises:
        BadValueError: When it is no whole number from 0 to 32.
    """
    return amounts.whole(value, MOST_HOPS)


def hosts(value: object) -> int:
    """A number of hosts.

    Raises:
        BadValueError: When it is no whole number from 1 to 16.
    """
    return amounts.whole(value, MOST_HOSTS, least=1)


def run(value: object) -> int:
    """A cable run given in metres, in millimetres.

    Raises:
        BadValueError: When it is no length from 0 to 1000 m.
    """
    return amounts.millimetres(value, LONGEST_RUN_M)


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


def source_kind(value: object) -> Source:
    """What a source is.

    Raises:
        BadValueError: When it is neither mic, line nor instrument.
    """
    return values.one_of(SOURCES, value)


def source_phantom(value: object) -> Phantom:
    """Whether a source needs 48 V.

    Raises:
        BadValueError: When it is neither on, off nor any.
    """
    return values.one_of(PHANTOMS, value)


def as_list(value: object) -> object:
    """One text where a list is wanted stands for a list of one."""
    return [value] if isinstance(value, str) else value


def dotted(value: object) -> object:
    """Undo what TOML makes of an id with a point: opt-1.5m = 2 is {'opt-1': {'5m': 2}}."""
    return dict(_leaves(value, "")) if isinstance(value, dict) else value


def _leaves(table: dict[str, Any], prefix: str) -> Iterator[tuple[str, object]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _leaves(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value
