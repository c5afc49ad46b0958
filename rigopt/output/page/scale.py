"""A scale of money for a chart: round marks around all amounts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rigopt.money import decimals, to_text

MOST_MARKS: Final = 6
"""Marks on a scale beside the first."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Marks from the lowest to the highest, evenly, in minor units; nought is one of them."""

    marks: tuple[int, ...]

    def part(self, amount: int) -> float:
        """Where `amount` lies on it, from 0 to 1."""
        low, high = self.marks[0], self.marks[-1]
        return (amount - low) / (high - low)

    def texts(self, currency: str) -> list[str]:
        """The marks as they are written: whole amounts without decimals."""
        minor = 10 ** decimals(currency)
        if all(mark % minor == 0 for mark in self.marks):
            return [str(mark // minor) for mark in self.marks]
        return [to_text(mark, currency) for mark in self.marks]


def scale(amounts: Sequence[int]) -> Scale:
    """The scale with the smallest round step that needs no more marks than are legible."""
    low, high = min(0, *amounts), max(0, *amounts)
    step, factors = 1, (2, 5, 10)
    power = 1
    while not _few(low, high, step):
        step = next(s for f in factors if (s := f * power) > step)
        power *= 10 if step == 10 * power else 1
    first, last = low // step, -(-high // step)
    return Scale(tuple(step * mark for mark in range(first, max(last, first + 1) + 1)))


def _few(low: int, high: int, step: int) -> bool:
    return -(-high // step) - low // step <= MOST_MARKS
