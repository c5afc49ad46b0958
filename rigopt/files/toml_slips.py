"""What is wrong in a line that is no TOML, in the words of people who write it rarely."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, NamedTuple

from rigopt.files.values import escaped

LONGEST_LINE: Final = 70
"""Characters of a line that are shown; a slip further to the right is cut off from it."""

_PLACE: Final = re.compile(r"\(at line (\d+), column (\d+)\)")
_AT_END: Final = "(at end of document)"
_VALUE: Final = r"^[^=#\"']*=\s*"

Remedy = Callable[[re.Match[str]], str]


class Slip(NamedTuple):
    """Where it is, what to do about it, and the line with a mark under the place."""

    row: int
    remedy: str
    lines: tuple[str, ...]


_SLIPS: Final[tuple[tuple[re.Pattern[str], Remedy], ...]] = (
    (
        re.compile(r"[“”„‟«»‘’‚]"),
        lambda _: 'quotation marks must be straight ones: "',
    ),
    (
        re.compile(_VALUE + r"([-+]?\d+),(\d+)\s*(#.*)?$"),
        lambda found: f"numbers have a decimal point here: {found[1]}.{found[2]}",
    ),
    (
        re.compile(_VALUE + r"(yes|y|ja|on)\b\s*(#.*)?$", re.IGNORECASE),
        lambda found: f"write true for '{found[1]}'",
    ),
    (
        re.compile(_VALUE + r"(no|n|nein|off)\b\s*(#.*)?$", re.IGNORECASE),
        lambda found: f"write false for '{found[1]}'",
    ),
    (
        re.compile(_VALUE + r"(?!(?-i:true|false)\b)(true|false)\b\s*(#.*)?$", re.IGNORECASE),
        lambda found: f"write {found[1].lower()} for '{found[1]}'",
    ),
    (
        re.compile(_VALUE + r"([-+]?[\d.]+)\s*[a-zµ€£$%][^#\"]*(#.*)?$", re.IGNORECASE),
        lambda found: f"a number stands alone, without a unit: {found[1]}",
    ),
    (
        re.compile(_VALUE + r"0+(\d+)\s*(#.*)?$"),
        lambda found: f"a number does not begin with 0: {found[1]}",
    ),
    (
        re.compile(_VALUE + r"(?!true\b|false\b)([^\W\d][^#\"'\[\]{}]*?)\s*(#.*)?$"),
        lambda found: f'a text stands in quotation marks: "{found[1]}"',
    ),
    (re.compile(_VALUE + r"(#.*)?$"), lambda _: "there is no value behind the ="),
    (
        re.compile(r"^\s*([\w.-]+)\s*:\s*(.*)$"),
        lambda found: f"between key and value stands =, not a colon: {found[1]} = {found[2]}",
    ),
    (
        re.compile(r"^\s*\[+[^\]]*(#.*)?$"),
        lambda _: "the bracket is not closed: ]",
    ),
    (
        re.compile(r"^\s*\w+(?:\s+\w+)+\s*="),
        lambda _: "a key is one word, or stands in quotation marks",
    ),
    (
        re.compile(r"^[^=\[]*$"),
        lambda _: "a line is KEY = VALUE, or a [TABLE] for the lines below it",
    ),
    (
        re.compile(r"^[^\"]*\"[^\"]*$|^[^']*'[^']*$"),
        lambda _: "the quotation mark is not closed on its line",
    ),
)
"""Slips in the order in which a line is searched for them: the first that is there counts."""

_MEANT: Final = {
    "Cannot overwrite a value": "this key stands twice in its table; keep one of them",
    "Cannot declare": "this table has begun already; put its lines together under one heading",
    "Expected newline or end of document": "the value ends before this; what follows it does "
    "not belong to it",
    "Invalid value": "this is no value",
    "Unclosed array": "the bracket of the list is not closed: ]",
}
"""What the parser means, by how its message begins; another message stands as it is."""


def slip(text: str, message: str) -> Slip | None:
    """The slip that the parser means by `message`; None where it does not say where."""
    lines = text.split("\n")
    found = _PLACE.search(message)
    if found:
        row, column = int(found[1]), int(found[2])
    elif _AT_END in message:
        row = max(n for n, line in enumerate(lines, start=1) if line.strip())
        column = len(lines[row - 1]) + 1
    else:
        return None
    line = lines[row - 1]
    told = (remedy(m) for pattern, remedy in _SLIPS if (m := pattern.search(line)))
    return Slip(row, escaped(next(told, _meant(message))), _shown(line, column))


def _meant(message: str) -> str:
    plain = message.partition(";")[0].partition(" (at ")[0]
    ours = (words for start, words in _MEANT.items() if plain.startswith(start))
    return next(ours, plain[:1].lower() + plain[1:])


def _shown(line: str, column: int) -> tuple[str, ...]:
    """The line as it can be printed, and a caret under the column."""
    before = _plain(line[: column - 1] + "^")[:-1]
    whole = _plain(line)
    if len(before) >= LONGEST_LINE:
        return (whole[: LONGEST_LINE - 1] + "…",)
    cut = whole if len(whole) <= LONGEST_LINE else whole[: LONGEST_LINE - 1] + "…"
    return cut, " " * len(before) + "^"


def _plain(line: str) -> str:
    """One space for each stretch of white space, so that nothing moves the caret."""
    return escaped(" ".join(line.split()))
