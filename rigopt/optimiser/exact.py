"""How large sums may become, so that the solver adds them exactly."""

from __future__ import annotations

from rigopt.errors import RigoptError

LARGEST = 2**62
"""Sums stay below this: the solver adds in 64 bits. No value passes through a float."""


class TooLargeError(RigoptError):
    """The sums of this question would not be exact."""

    def __str__(self) -> str:
        return (
            "prices, counts and exchange rates are too large to add up exactly; use smaller "
            "ones, or rates and taxes with fewer digits"
        )
