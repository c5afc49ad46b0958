"""What somebody answers to a question about a box, made into what its cell holds.

Each takes what was typed, and what is known so far; a cell's own reader tests the result.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal

from rigopt import money
from rigopt.catalogue.answers import Answers
from rigopt.files import amounts, values
from rigopt.files.values import BadValueError

Reader = Callable[[str, Answers], str]
"""How an answer is read."""


def text(typed: str, _: Answers) -> str:
    """What was typed."""
    return values.tidy(typed)


def count(typed: str, _: Answers) -> str:
    """A whole number."""
    if typed.casefold() in ("no", "none"):
        return "0"
    return str(amounts.whole(typed, 1_000))


def most(name: str) -> Reader:
    """A number up to the fact `name`."""

    def read(typed: str, answers: Answers) -> str:
        cell = count(typed, answers)
        if int(cell) > int(answers.facts()[name]):
            raise BadValueError(f"is more than the {answers.facts()[name]} that are left")
        return cell

    return read


def limit(typed: str, _: Answers) -> str:
    """Blank for all, which is the default of the column."""
    return "" if typed.casefold() == "all" else values.tidy(typed)


def all_is(name: str) -> Reader:
    """The fact `name` for all; none is the default of the column."""

    def read(typed: str, answers: Answers) -> str:
        if typed.casefold() == "all":
            return answers.facts()[name]
        return "0" if typed.casefold() in ("no", "none") else values.tidy(typed)

    return read


def order(typed: str, answers: Answers) -> str:
    """'b, a' as the columns that these letters stand for."""
    letters = re.sub(r"[\s,;]", "", typed.casefold())
    by_letter = dict(zip("abcdef", answers.kinds, strict=False))
    if sorted(letters) != sorted(by_letter):
        raise BadValueError(f"must be the letters {', '.join(by_letter)} in some order")
    found = ";".join(by_letter[letter] for letter in letters)
    return "" if found == ";".join(answers.kinds) else found


def blocks(typed: str, answers: Answers) -> str:
    """The order of blocks; blank where it is the usual one."""
    found = several(typed, answers)
    return "" if found == ";".join(answers.blocks) else found


def banks(typed: str, answers: Answers) -> str:
    """Microphone inputs to a 48 V switch; 'all' is one switch."""
    return answers.cell("mics") if typed.casefold() == "all" else several(typed, answers)


def price(typed: str, answers: Answers) -> str:
    """Money, blank for what is not for sale."""
    if not typed:
        return ""
    minor = amounts.amount(typed, answers.currency)
    return _unmistakable(money.to_text(minor, answers.currency))


def watts(typed: str, _: Answers) -> str:
    """A number with decimals."""
    return _unmistakable(f"{amounts.fraction(typed, 100_000, 'W').normalize():f}")


def _unmistakable(number: str) -> str:
    """A number without exactly three decimals, which a comma would make ambiguous."""
    return number + "0" if Decimal(number).as_tuple().exponent == -3 else number


def rates(typed: str, _: Answers) -> str:
    """'44.1, 48 and 96 kHz' as '44.1;48;96'; a comma is a decimal mark only as in 44,1."""
    text = re.sub(r"\bkhz\b|\bk\b", " ", typed.casefold())
    text = re.sub(r"\band\b|&|/|,(?=\s)|,(?!\d\b)", ";", text)
    if "." in text:
        text = text.replace(",", ";")
    parts = re.split(r"[;\s]+", text)
    return ";".join(f"{hz / 1000:g}" for hz in values.rates(";".join(parts)))


def several(typed: str, _: Answers) -> str:
    """'optical, word clock' as 'optical;word'."""
    text = values.tidy(typed).casefold().replace("word clock", "word")
    text = re.sub(r"\s*(?:,|;|\band\b|\bthen\b)\s*", ";", text)
    return "" if text in ("none", "no") else text


def one_of(*words: str) -> Reader:
    """One of the words."""

    def read(typed: str, _: Answers) -> str:
        no = "no" in words and typed.casefold() in ("n", "none")
        return values.one_of(words, "no" if no else typed)

    return read


def yes_no(typed: str, _: Answers) -> str:
    """Yes or no."""
    return "yes" if values.yes(typed) else "no"


def trunk(typed: str, answers: Answers) -> str:
    """The id of a trunk, blank for none."""
    found = values.one_of((*answers.trunks, "no"), typed)
    return "" if found == "no" else found
