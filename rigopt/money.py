"""Money: integer minor units inside, decimal text outside.

Source of the decimals: ISO 4217 (from memory for the codes listed; every other alphabetic
code has two).
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

NO_DECIMALS: Final = frozenset(
    # One text, so that it can be read beside the list of the standard.
    "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split()  # noqa: SIM905
)
THREE_DECIMALS: Final = frozenset(["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"])


def decimals(currency: str) -> int:
    """Digits after the decimal point in amounts of `currency`."""
    if currency in NO_DECIMALS:
        return 0
    return 3 if currency in THREE_DECIMALS else 2


def to_minor(amount: Decimal, currency: str) -> int:
    """Exact minor units of `amount`.

    Raises:
        ValueError: When `amount` has more decimals than the currency.
    """
    scaled = amount.scaleb(decimals(currency))
    if scaled != scaled.to_integral_value():
        raise ValueError(f"{currency} has {decimals(currency)} decimals")
    return int(scaled)


def to_text(minor: int, currency: str) -> str:
    """`minor` as decimal text without currency: 1234 in GBP is '12.34'."""
    return f"{Decimal(minor).scaleb(-decimals(currency)):f}"
