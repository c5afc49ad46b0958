"""What is told of each column of a comparison, as numbers."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from rigopt.answers.outcome import Answered
from rigopt.answers.series import Column
from rigopt.money import decimals
from rigopt.rig.counts import by_piece
from rigopt.rig.figures import Figures, figures

Rates = Mapping[str, Decimal]
"""How much of each other currency one unit of the first column's currency buys."""


@dataclass(frozen=True, slots=True)
class Values:
    """A column with its figures if it has a rig.

    `first` is the first column's currency; `converted` the total in minor units of it,
    `difference` what the column costs more than the first. These two are None where no
    exchange rate is known, or there is no rig. All other amounts are in minor units of the
    column's own currency, and None where there is no rig.
    """

    number: int
    first: str
    column: Column
    answer: Answered | None
    known: Figures | None
    converted: int | None
    difference: int | None

    @property
    def currency(self) -> str:
        """The currency of its catalogue."""
        return self.column.scenario.catalogue.currency

    @property
    def total(self) -> int | None:
        """What its rig costs."""
        return self.answer.rig.total if self.answer else None

    @property
    def bound(self) -> int | None:
        """The least any rig can cost."""
        return self.answer.bound if self.answer else None

    @property
    def each(self) -> int | None:
        """What an input that takes a microphone comes to."""
        return self.known.price_per_mic if self.known else None

    @property
    def devices(self) -> Counter[str]:
        """Units by device id."""
        units = self.answer.rig.units if self.answer else ()
        return Counter(unit.device.id for unit in units)

    @property
    def cables(self) -> Counter[str]:
        """Cables by the kind of their sockets, analogue ones by the piece."""
        links = by_piece(self.answer.rig.links) if self.answer else ()
        return Counter(link.kind for link in links)


def values(columns: Sequence[Column], rates: Rates) -> list[Values]:
    """The columns with all that is told of them, in their order."""
    currency = columns[0].scenario.catalogue.currency
    amounts = [_converted(column, currency, rates) for column in columns]
    first = amounts[0]
    return [
        Values(
            number=place + 1,
            first=currency,
            column=column,
            answer=column.outcome if isinstance(column.outcome, Answered) else None,
            known=_figures(column),
            converted=amount,
            difference=None if amount is None or first is None else amount - first,
        )
        for place, (column, amount) in enumerate(zip(columns, amounts, strict=True))
    ]


def invented(shown: Sequence[Values]) -> bool:
    """Whether the prices of any column are invented."""
    return any(value.column.scenario.catalogue.invented for value in shown)


def _figures(column: Column) -> Figures | None:
    if not isinstance(column.outcome, Answered):
        return None
    return figures(column.outcome.rig)


def _converted(column: Column, currency: str, rates: Rates) -> int | None:
    """The total in minor units of `currency`, rounded half up."""
    if not isinstance(column.outcome, Answered):
        return None
    total, own = column.outcome.rig.total, column.scenario.catalogue.currency
    if own == currency:
        return total
    if own not in rates:
        return None
    exact = Fraction(total) / Fraction(rates[own])
    exact *= Fraction(10) ** (decimals(currency) - decimals(own))
    return math.floor(exact + Fraction(1, 2))
