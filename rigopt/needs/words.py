"""The trade's words for needs: what a question on the command line may say, a line each.

A pattern is a regular expression of small letters in which {n} is a count, {most} a word for
a limit, {mic} a word for a microphone, {v48} one for 48 V, and a space may be a hyphen. What
the group `v` catches is read as the value of the need, as an option of it would be.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from rigopt.catalogue.currencies import CODES
from rigopt.catalogue.types import COMPUTERS

ANY_48_V: Final = "dynamic"
"""Microphones that take 48 V or no 48 V: no need of their own, but a part of all of them."""


class Phrase(NamedTuple):
    """Words that say one need."""

    need: str
    """The field of `Needs`, or `ANY_48_V`."""
    pattern: str
    value: object = None
    """The value, where the words hold none."""


PHRASES: Final = (
    Phrase("mic", r"{n} {mic}(?: inputs?)?(?: in (?:all|total)| altogether)?"),
    Phrase("phantom", r"{n} condensers?(?: {mic})?"),
    Phrase("phantom", r"{n} (?:{mic} )?(?:with|on|need|needing|that need) {v48}"),
    Phrase("no_phantom", r"{n} ribbons?(?: {mic})?"),
    Phrase("no_phantom", r"{n} (?:{mic} )?(?:without|off|kept off|that must not get) {v48}"),
    Phrase(ANY_48_V, r"{n} dynamics?(?: {mic})?"),
    Phrase("line", r"{n} line(?: level)? (?:ins?|inputs?|sources?)"),
    Phrase("instrument", r"{n} (?:(?:di )?instruments?|dis?)(?: (?:ins?|inputs?|lines?))?"),
    Phrase("spare", r"{n}(?: {mic})?(?: inputs?)? (?:to spare|spare|(?:left |kept )?free)"),
    Phrase("spare", r"{n} (?:spare|free)(?: {mic})?(?: inputs?)?"),
    Phrase("out_line", r"{n} line(?: level)? (?:outs?|outputs?)"),
    Phrase("out_phones", r"{n} headphones?(?: (?:outs?|outputs?))?"),
    Phrase("rate_hz", r"(?:at |in )?(?P<v>\d+(?:[.,]\d+)? ?(?:k|khz|hz)|\d+k\d)"),
    Phrase("rate_hz", r"at (?P<v>\d+(?:[.,]\d+)?)"),
    Phrase("budget", r"(?:{most}|under|below|within|less than|(?:a )?budget(?: of)?) {money}"),
    Phrase("master", r"(?:(?:a|an|the|any) )?clock box as (?:the )?(?:clock )?master", "clock"),
    Phrase("master", r"(?:(?:a|an|the) )?interface as (?:the )?(?:clock )?master", "host"),
    Phrase("master", r"(?:(?:a|an|the) )?(?P<v>[\w.+-]+) as (?:the )?(?:clock )?master"),
    Phrase("max_hops", r"{most} {n} hops?"),
    Phrase("own_clocks", r"(?:(?:hosts|interfaces) )?on (?:their )?own clocks?", True),
    Phrase("word_inputs", r"{most} {n} word inputs?(?: (?:on|from|per) (?:an|one) output)?"),
    Phrase("ports", rf"(?:(?:on|over|by|via) )?(?P<v>{'|'.join(COMPUTERS)})(?: only)?"),
    Phrase("max_hosts", r"{most} {n} (?:hosts?|interfaces?)"),
    Phrase("max_hosts", r"(?:one|1|a single) (?:host|interface)", 1),
    Phrase("host_to_rack_mm", r"(?P<v>\d+(?:[.,]\d+)? ?m) to the rack"),
    Phrase("within_rack_mm", r"(?P<v>\d+(?:[.,]\d+)? ?m) (?:in|within) the rack"),
    Phrase("rack_units", r"{most} {n} ?(?:u|rack units?)(?: of rack)?"),
    Phrase("mains", r"{most} {n} (?:mains plugs?|mains|plugs?)"),
    Phrase("units", r"{most} {n} (?:units?|boxes|box)"),
    Phrase("owned_only", r"buy nothing|nothing bought|only what (?:i|we) have", True),
    Phrase("new_only", r"(?:only new|new (?:things |gear )?only|nothing used)", True),
    Phrase("sellers", r"{most} {n} (?:sellers?|shops?)"),
    Phrase("sellers", r"from {n} (?:sellers?|shops?)"),
)

JOINS: Final = re.compile(
    r"(?:[\s,;]|(?:and|with|plus|for|of which|of them|including)(?![\w-])|[&+](?!\w))+"
)
"""What may stand between phrases."""

MORE: Final = re.compile(r"\b(?:and|plus)\b|[&+]")
"""Words between phrases that could mean 'in addition'."""

AMONG: Final = re.compile(r"\b(?:of which|of them|including)\b")
"""Words between phrases that mean 'some of those before'."""

_ONES: Final = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen"),
)
_TENS: Final = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

NUMBERS: Final = {
    **{word: number for number, word in enumerate(_ONES)},
    **{
        ten + one: tens * 10 + number
        for tens, ten in enumerate(_TENS, start=2)
        for number, one in enumerate(["", *(f"-{word}" for word in _ONES[1:10])])
    },
    "a": 1,
    "an": 1,
    "a-dozen": 12,
    "two-dozen": 24,
}
"""Numbers in words, with a hyphen where people write a hyphen or a space."""


_PARTS: Final = {
    "n": rf"(?P<v>\d+|{'|'.join(NUMBERS).replace('-', '[ -]')})",
    "most": r"(?:up to|at most|no more than|not more than|max(?:imum)?)",
    "mic": r"(?:mics?|mikes?|microphones?)",
    "v48": r"(?:phantom(?: power)?|48 ?v(?:olts?)?)",
    "money": r"(?P<v>[€£$¥]? ?\d+(?:[.,']\d+)*(?: ?(?:[€£$¥]|euros?|{codes})(?!\w))?)".replace(
        "{codes}", "|".join(CODES).casefold()
    ),
}


def _compiled(pattern: str) -> re.Pattern[str]:
    spaced = pattern.replace(" ", "[ -]")
    for name, part in _PARTS.items():
        spaced = spaced.replace(f"{{{name}}}", part)
    return re.compile(rf"(?:{spaced})(?!\w|(?<=\d)[.,]\d)")


PATTERNS: Final = tuple((phrase, _compiled(phrase.pattern)) for phrase in PHRASES)


def _words(pattern: str) -> list[str]:
    """The words in a pattern, with the s of many."""
    return re.findall(r"[a-z]{4,}", re.sub(r"\{\w+\}|\?P<v>|\?", "", pattern))


VOCABULARY: Final = ("mics", "microphones", *sorted({w for p in PHRASES for w in _words(p[1])}))
"""What a word that is not understood may have been."""
