"""Single values as people and spreadsheets write them: text, words, yes/no, days, rates.

Every parser takes what a CSV cell, a TOML file or the command line holds, and raises
`BadValueError` and nothing else. Numbers and money are in `rigopt.files.amounts`.
"""

from __future__ import annotations

import contextlib
import datetime
import re
import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Final, TypeVar

from rigopt.facts import RATE_MULTIPLIER

LONGEST_ID: Final = 64
LONGEST_TEXT: Final = 500
LONGEST_SHOWN: Final = 60
"""Characters of a faulty value that a message repeats."""

_ID: Final = re.compile(r"[^\W_][\w.+-]*")
_YES: Final = ("yes", "y", "true", "1")
_NO: Final = ("no", "n", "false", "0")
_KEPT_FORMAT: Final = "\u200c\u200d"
"""Joiners that some scripts need; other invisible characters are dropped."""

_YEAR_FIRST: Final = re.compile(r"(\d{4})([-./])(\d\d?)\2(\d\d?)")
_YEAR_LAST: Final = re.compile(r"(\d\d?)([-./])(\d\d?)\2(\d{4})")

# 48, 48k, 48 kHz, 48000, 48000 Hz, 44.1, 44,1, 44k1
_RATE: Final = re.compile(r"(\d{1,6}(?:[.,]\d{1,6})?) ?(k|khz|hz)?", re.IGNORECASE)
_RATE_K: Final = re.compile(r"(\d{2,3})k(\d)", re.IGNORECASE)

FORMULA: Final = tuple("=+-@＝＋－＠")
"""A spreadsheet may run a cell that begins so; the wide forms count in some locales."""

T = TypeVar("T", bound=str)


class BadValueError(ValueError):
    """A value that cannot be read; `allowed` are the names it may have meant.

    `piece` is the part of a list that is wrong, where that is not the whole value.
    """

    def __init__(
        self, problem: str, allowed: Iterable[str] = (), piece: str | None = None
    ) -> None:
        super().__init__(problem)
        self.allowed = tuple(allowed)
        self.piece = piece


def shown(value: object) -> str:
    """`value` as a message repeats it: short, and safe to encode and to compare."""
    if isinstance(value, int) and abs(value) >= 10**40:
        return "a number of more than 40 digits"  # str() refuses some of these
    if isinstance(value, (dict, list)):
        return "a table" if isinstance(value, dict) else "a list"
    text = str(value).encode("utf-8", "backslashreplace").decode("utf-8")
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"


def escaped(text: str) -> str:
    """`text` with control characters and the like as escapes, to print without quotes."""
    return "".join(char if char.isprintable() else ascii(char)[1:-1] for char in text)


def tidy(value: object) -> str:
    """Text without stray spaces, line breaks and invisible characters, composed (NFC).

    Raises:
        BadValueError: When `value` is no text or number, or holds a control character.
    """
    if isinstance(value, bool) or not isinstance(value, (str, int, float, Decimal)):
        raise BadValueError("must be a text or a number")
    text = value if isinstance(value, str) else shown(value)
    if not (text.isascii() and text.isprintable()):
        text = unicodedata.normalize("NFC", " ".join(text.split()))
        text = "".join(c for c in text if c in _KEPT_FORMAT or unicodedata.category(c) != "Cf")
        for char in text:
            if unicodedata.category(char) in ("Cc", "Cs"):
                raise BadValueError(f"holds a control character (U+{ord(char):04X})")
    return " ".join(text.split())


def label(value: object) -> str:
    """Tidy text of at most 500 characters.

    Raises:
        BadValueError: When it is longer, or `tidy` refuses it.
    """
    text = tidy(value)
    if len(text) > LONGEST_TEXT:
        raise BadValueError(f"is longer than {LONGEST_TEXT} characters")
    return text


def name(value: object) -> str:
    """A label that is not blank.

    Raises:
        BadValueError: When it is blank, or `label` refuses it.
    """
    text = label(value)
    if not text:
        raise BadValueError("must not be blank")
    return text


def short_id(value: object) -> str:
    """An id: a letter or digit, then letters, digits and - _ . +, 64 in all at most.

    Raises:
        BadValueError: When it is anything else.
    """
    text = tidy(value)
    if len(text) > LONGEST_ID or not _ID.fullmatch(text):
        raise BadValueError(
            f"must be 1 to {LONGEST_ID} letters, digits, '-', '_', '.' or '+', "
            "a letter or digit first"
        )
    return text


def one_of(words: Sequence[T], value: object) -> T:
    """The one of `words` that `value` spells, whatever the case.

    Raises:
        BadValueError: When it is none of them.
    """
    text = tidy(value).casefold()
    for word in words:
        if text == word.casefold():
            return word
    raise BadValueError("must be " + listed(words), words)


def listed(words: Sequence[str]) -> str:
    """'a, b or c'."""
    return " or ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def pieces(value: object) -> list[str]:
    """The parts of a list cell, separated by ';'; blank parts are left out."""
    return [part for part in map(str.strip, tidy(value).split(";")) if part]


def some_of(words: Sequence[T], value: object) -> tuple[T, ...]:
    """Those of `words` that a list cell names, in the order of `words`; 'none' is none.

    Raises:
        BadValueError: When a part is none of them.
    """
    found = []
    parts = pieces(value)
    # Each part once: a cell may repeat itself hundreds of times, in each of many rows.
    for part in [] if [p.casefold() for p in parts] == ["none"] else dict.fromkeys(parts):
        try:
            found.append(one_of(words, part))
        except BadValueError as fault:
            problem = f"must be some of {', '.join(words)}, separated by ';'"
            raise BadValueError(problem, fault.allowed, part) from None
    return tuple(word for word in words if word in found)


def yes(value: object) -> bool:
    """Whether `value` says yes.

    Raises:
        BadValueError: When it says neither yes nor no.
    """
    text = str(value).casefold() if isinstance(value, bool) else tidy(value).casefold()
    if text not in _YES + _NO:
        raise BadValueError("must be yes or no", ("yes", "no"))
    return text in _YES


def day(value: object) -> datetime.date:
    """A day such as 2025-03-31, 31.03.2025 or 31/03/2025, where it can be only one.

    Raises:
        BadValueError: When it is written otherwise, the calendar does not have it, or it
            could be two days.
    """
    text = digits(tidy(value))
    days = _days(text)
    if not days:
        raise BadValueError("must be a date such as 2025-03-31")
    first, *others = days
    if others:
        either = " or ".join(str(one) for one in days)
        raise BadValueError(f"could be {either}; write it as one of these")
    return first


def _days(text: str) -> list[datetime.date]:
    """The days that a date may mean; with points the month is second, else it may be first."""
    if found := _YEAR_FIRST.fullmatch(text):
        year, _, month, day_of = found.groups()
        ways = [(year, month, day_of)]
    elif found := _YEAR_LAST.fullmatch(text):
        one, mark, other, year = found.groups()
        ways = [(year, other, one)] + ([(year, one, other)] if mark != "." else [])
    else:
        ways = []
    days = []
    for way in ways:
        with contextlib.suppress(ValueError):  # a day that the calendar does not have
            days.append(datetime.date(*map(int, way)))
    return sorted(set(days))


def digits(text: str) -> str:
    """Tidy `text` with the digits, signs and marks of any script made ASCII ones."""
    if text.isascii():
        return text
    return "".join(_ascii(char) for char in text)


def _ascii(char: str) -> str:
    """Decimal digits by value; superscripts and fractions stay, and are refused later."""
    value = unicodedata.decimal(char, None)
    if value is not None:
        return str(value)
    return {"−": "-", "＋": "+", "－": "-", "，": ",", "．": ".", "’": "'"}.get(char, char)


def rate_names() -> tuple[str, ...]:
    """The sample rates as people say them, in kHz: 32, 44.1, 48 ..."""
    return tuple(f"{hz / 1000:g}" for hz in RATE_MULTIPLIER)


def rate(value: object) -> int:
    """A sample rate in hertz, from 48, 48k, '48 kHz', 48000, 44.1, '44,1' or 44k1.

    Without a unit, a number from 1000 up is in hertz and a smaller one in kilohertz.
    A mark before three digits cannot mislead here: 44,100 and 44100 are both 44.1 kHz.

    Raises:
        BadValueError: When it is no rate, or one that the formats do not have.
    """
    text = _RATE_K.sub(r"\1.\2", digits(tidy(value)).replace("'", ""))
    text = re.sub(r"(?<=\d) (?=\d{3})", "", text)
    found = _RATE.fullmatch(text)
    if found:
        number = Decimal(found[1].replace(",", "."))
        unit = (found[2] or ("hz" if number >= 1000 else "khz")).casefold()
        hertz = number if unit == "hz" else number * 1000
        if hertz in RATE_MULTIPLIER:
            return int(hertz)
    raise BadValueError(
        f"must be a sample rate in kHz: {listed(rate_names())}",
        rate_names(),
        found[1].replace(",", ".") if found else None,
    )


def rates(value: object) -> tuple[int, ...]:
    """The sample rates of a list cell in hertz, ascending.

    Raises:
        BadValueError: When there is none, or a part is no rate.
    """
    parts = pieces(value)
    if not parts:
        raise BadValueError("must name at least one sample rate", rate_names())
    found = set()
    for part in dict.fromkeys(parts):
        try:
            found.add(rate(part))
        except BadValueError as fault:
            problem = f"{fault}, separated by ';'"
            raise BadValueError(problem, fault.allowed, fault.piece or part) from None
    return tuple(sorted(found))
