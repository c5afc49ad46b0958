"""Signs and words for currencies beside an amount, and the codes that they may stand for.

From memory, not verified. A sign that several currencies share is right for each of them.
"""

from __future__ import annotations

import re
from typing import Final

_CODES: Final = {
    "£": "GBP EGP FKP GIP SHP SSP SYP SDG LBP",
    "€": "EUR",
    "¥": "JPY CNY",
    "￥": "JPY CNY",
    "元": "CNY TWD HKD",
    "円": "JPY",
    "₹": "INR",
    "₨": "INR PKR NPR LKR MUR SCR",
    "₩": "KRW KPW",
    "₺": "TRY",
    "₽": "RUB",
    "₪": "ILS",
    "₴": "UAH",
    "₫": "VND",
    "₱": "PHP",
    "₦": "NGN",
    "฿": "THB",
    "₡": "CRC",
    "₲": "PYG",
    "₸": "KZT",
    "₮": "MNT",
    "₵": "GHS",
    "₾": "GEL",
    "₼": "AZN",
    "₭": "LAK",
    "៛": "KHR",
    "৳": "BDT",
    "؋": "AFN",
    "֏": "AMD",
    "﷼": "IRR OMR QAR SAR YER",
    "kr": "SEK NOK DKK ISK",
    "zł": "PLN",
    "kč": "CZK",
    "ft": "HUF",
    "lei": "RON MDL",
    "fr": "CHF XAF XOF XPF BIF CDF DJF GNF KMF RWF",
    "sfr": "CHF",
    "лв": "BGN",
    "r$": "BRL",
    "rd$": "DOP",
    "nt$": "TWD",
    "c$": "CAD NIO",
    "r": "ZAR",
    "rm": "MYR",
    "rp": "IDR",
    "s/": "PEN",
}
_DOLLARS: Final = (
    # One text, so that it can be read beside a list.
    """
    USD AUD CAD NZD HKD SGD TWD MXN ARS CLP COP UYU BRL DOP NIO BBD BMD BND BSD BZD FJD GYD JMD
    KYD LRD NAD SBD SRD TTD XCD
    """.split()  # noqa: SIM905
)
_DOLLAR: Final = re.compile(r"(?P<land>[a-z]{0,3})[$＄]")
_NO_CURRENCY: Final = "¤"
"""The sign for any currency."""


def stands_for(mark: str, currency: str) -> bool:
    """Whether `mark`, a sign, a word or a code beside an amount, may say `currency`."""
    word = mark.rstrip(".").casefold()
    if word in (currency.casefold(), _NO_CURRENCY):
        return True
    if word in _CODES:
        return currency in _CODES[word].split()
    dollar = _DOLLAR.fullmatch(word)
    if not dollar or currency not in _DOLLARS:
        return False
    return currency.casefold().startswith(dollar["land"])
