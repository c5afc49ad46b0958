"""Numbers and money as people and spreadsheets write them.

A point or a comma is the decimal mark. Thousands marks are read where only one meaning
is left: a space or an apostrophe between groups of three, both marks in one number
(the last is the decimal one), or a mark that stands more than once. One comma before
exactly three digits (1,234) could be either and is refused; a point in that place is a
decimal point, as in the shipped files. Powers of ten, infinities and fractions are
refused; digits of any script are read by their value.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final, NamedTuple

from rigopt import money
from rigopt.files.signs import stands_for
from rigopt.files.values import BadValueError, digits, tidy

MOST_DIGITS: Final = 18
MOST_MONEY: Final = 1_000_000_000
"""Largest amount of money, in whole units of the currency."""

_FEW_DIGITS: Final = re.compile(r"[0-9]{1,9}")
_PLAIN: Final = re.compile(r"\d+\.?|\d*\.\d+")
_COMMA: Final = re.compile(r"\d*,\d+")
_AMBIGUOUS: Final = re.compile(r"[1-9]\d{0,2},\d{3}")
_POINTED: Final = re.compile(r"[1-9]\d{0,2}\.\d{3}")
THREE: Final = 3
"""Digits of a group of thousands."""

_GROUPED: Final = (
    re.compile(r"\d{1,3}(?P<mark>[ '])\d{3}((?P=mark)\d{3})*([.,]\d+)?"),
    re.compile(r"\d{1,3}(?P<mark>,)\d{3}((,\d{3})+|(,\d{3})*\.\d+)"),
    re.compile(r"\d{1,3}(?P<mark>\.)\d{3}((\.\d{3})+|(\.\d{3})*,\d+)"),
)
_MONEY: Final = re.compile(
    r"(?P<sign>[-+]?) ?(?P<before>[^\d .,'+-]{0,4}(?:(?<=[\w/])\.)?) ?"
    r"(?P<number>[-+]?[\d .,']*\d) ?(?P<after>[^\d .,'+-]{0,4}\.?)"
)
"""An amount; a point behind a word, as in kr. 5, is the word's, any other one the number's."""
_RANGE: Final = re.compile(
    r"(?P<least>.*\d\D{0,6}?)\s*(?:\.\.+|…|\bto\b|(?<!e)[-–—])\s*(?P<most>[^\d+-]{0,6}\d.*)",
    re.IGNORECASE,
)
"""Two amounts; a power of ten is not taken for one."""

_UNKNOWN: Final = (
    *("n/a", "#n/a", "na", "n.a.", "k.a.", "-", "--", "–", "—", "?", "??", "???"),
    *("tbd", "tba", "tbc", "none", "null", "nil", "unknown"),
)
"""What people put where they know no number."""


def number(value: object, unit: str = "") -> Decimal:
    """A number that is not negative; a stray `unit` after it is dropped.

    Raises:
        BadValueError: When it is no number, negative, or of more than 18 digits.
    """
    if isinstance(value, str) and _FEW_DIGITS.fullmatch(value):
        return Decimal(value)  # nearly every cell: a third of the time to read a catalogue
    text = digits(tidy(value))
    if unit and text.casefold().endswith(unit.casefold()):
        text = text[: -len(unit)]
    return _number(text.strip())


def _number(text: str) -> Decimal:
    if text.casefold() in _UNKNOWN:
        raise BadValueError("is no number; if it is not known, leave the cell blank")
    bare = text.lstrip("+-").strip()
    if len(text) - len(text.lstrip("+-")) > 1:
        raise BadValueError("is not a number")
    if sum(char.isdigit() for char in bare) > MOST_DIGITS:
        raise BadValueError(f"is a number of more than {MOST_DIGITS} digits")
    found = Decimal(_point(bare))
    if text.startswith("-") and found:
        raise BadValueError("must not be negative")
    return found


def _point(bare: str) -> str:
    """`bare` with a decimal point and without thousands marks."""
    if _PLAIN.fullmatch(bare):
        return bare
    if _AMBIGUOUS.fullmatch(bare):
        thousands, parts = bare.replace(",", ""), bare.replace(",", ".")
        raise BadValueError(f"could mean {thousands} or {parts}; write it without a comma")
    if _COMMA.fullmatch(bare):
        return bare.replace(",", ".")
    for pattern in _GROUPED:
        found = pattern.fullmatch(bare)
        if found:
            return bare.replace(found["mark"], "").replace(",", ".")
    if re.fullmatch(r"[\d.,]+e[-+]?\d+", bare, re.IGNORECASE):
        raise BadValueError("is a power of ten; write the number in full")
    raise BadValueError("is not a number")


def whole(value: object, most: int, least: int = 0, unit: str = "") -> int:
    """A whole number from `least` to `most`.

    Raises:
        BadValueError: When it is anything else.
    """
    found = number(value, unit)
    if found != found.to_integral_value() or not least <= found <= most:
        raise BadValueError(f"must be a whole number from {least} to {most}")
    return int(found)


def millimetres(value: object, most_m: int, least_mm: int = 0) -> int:
    """A length given in metres, such as 1.5, '0,5' or '2 m', in millimetres.

    Raises:
        BadValueError: When it is no such length, or finer than a millimetre.
    """
    found = number(value, "m") * 1000
    if found != found.to_integral_value():
        raise BadValueError("is finer than a millimetre; give metres with up to 3 decimals")
    if not least_mm <= found <= most_m * 1000:
        start = "from 0 to" if least_mm == 0 else "above 0 and up to"
        raise BadValueError(f"must be a length {start} {most_m} metres")
    return int(found)


def fraction(value: object, most: int, unit: str = "") -> Decimal:
    """A number from 0 to `most` with up to 6 decimals.

    Raises:
        BadValueError: When it is anything else.
    """
    found = number(value, unit)
    if found > most or found != round(found, 6):
        raise BadValueError(f"must be a number from 0 to {most} with up to 6 decimals")
    return found


CATALOGUE: Final = "currency in catalog.toml"
"""The key that says in which currency prices are."""


def amount(value: object, currency: str | None, key: str = CATALOGUE) -> int:
    """Money in minor units; a sign of the currency, or `currency` itself, is dropped.

    Without a known currency only the form is checked, and the result means nothing. `key`
    is what says that the currency is this one.

    Raises:
        BadValueError: When it is no amount, negative, too large, in another currency, or
            has more decimals than the currency.
    """
    text = _without_sign(digits(tidy(value)), currency, key)
    if currency is not None:
        _check_mark(text, currency)
    found = _number(text)
    if found > MOST_MONEY:
        raise BadValueError(f"must be an amount of up to {MOST_MONEY}")
    if currency is None:
        return 0
    try:
        return money.to_minor(found, currency)
    except ValueError:
        places = money.decimals(currency)
        raise BadValueError(
            f"has more decimals than {currency}, which has {places}"
            + ("; no thousands mark is needed" if _three_places(found) else "")
        ) from None


class Span(NamedTuple):
    """A price from `least` to `most`, in minor units; None: nobody knows."""

    least: int
    most: int | None


def span(value: object, currency: str | None) -> Span:
    """A price: an amount, a range such as '180-240', '180..240' or '180 to 240', or '?'.

    Raises:
        BadValueError: When it is none of these, or the range ends before it begins.
    """
    text = tidy(value)
    if text == "?":
        return Span(0, None)
    ends = _RANGE.fullmatch(text)
    if ends is None:
        exact = amount(value, currency)
        return Span(exact, exact)
    least, most = amount(ends["least"], currency), amount(ends["most"], currency)
    if least > most:
        raise BadValueError("is a range that ends before it begins")
    return Span(least, most)


def _three_places(found: Decimal) -> bool:
    """Whether the mark before the last three digits may have been a thousands mark."""
    return found.as_tuple().exponent == -THREE


def _check_mark(text: str, currency: str) -> None:
    """Refuse 1.300, which is 1300 to half of all readers and 1.30 to the other half.

    Where a currency has three decimals it is written so.
    """
    if not _POINTED.fullmatch(text) or money.decimals(currency) == THREE:
        return
    try:
        minor = money.to_minor(Decimal(text), currency)
    except ValueError:
        return  # too many decimals, which is told with them
    thousands, parts = text.replace(".", ""), money.to_text(minor, currency)
    raise BadValueError(f"could mean {thousands} or {parts}; write it as one of these")


def _without_sign(text: str, currency: str | None, key: str) -> str:
    found = _MONEY.fullmatch(text)
    if not found:
        return text  # let the reader of numbers say what is wrong
    for mark in (found["before"], found["after"]):
        if mark.strip(".") and currency is not None and not stands_for(mark, currency):
            said = mark.strip()
            if not said.isprintable():
                raise BadValueError(f"is not an amount in {currency}")
            raise BadValueError(f"says '{said}', but the currency is {currency} (key {key})")
    return found["sign"] + found["number"].strip()
