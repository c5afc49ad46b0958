"""The page's templates, which lie beside this file.

Every text that goes into them is made safe twice: control characters become visible and
piles of accents low, and what has a meaning in HTML is escaped.
"""

from __future__ import annotations

import unicodedata
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from rigopt.output.words.clean import clean

_MARKS: Final = ("Mn", "Me")
"""Unicode categories of signs without a width of their own."""

FOOT: Final = 60
"""Letters that the foot of a sheet has room for."""

_MOST_MARKS: Final = 2
"""Accents kept on one letter; a pile of them would grow out of its line."""


def tame(text: str) -> str:
    """`text` cleaned, and with no more than two accents on one letter."""
    kept, marks = "", 0
    for char in clean(text):
        marks = marks + 1 if unicodedata.category(char) in _MARKS else 0
        kept += char if marks <= _MOST_MARKS else ""
    return kept


def _finalize(value: object) -> object:
    """Tame a plain text; `Markup` comes from one of these templates and is tame."""
    return tame(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def css(text: str) -> Markup:
    """`text` as a string of CSS, which no letter of it can end: all but plain ones are numbers.

    A long one is cut: it is for the foot of a sheet.
    """
    whole = tame(text)
    kept = whole if len(whole) <= FOOT else whole[: FOOT - 1].rstrip() + "…"
    plain = (char if char.isascii() and char.isalnum() else _number(char) for char in kept)
    return Markup(f'"{"".join(plain)}"')


def _number(char: str) -> str:
    return f"\\{ord(char):06x}"


_ENVIRONMENT: Final = Environment(
    loader=FileSystemLoader(Path(__file__).parent),
    autoescape=True,
    finalize=_finalize,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    keep_trailing_newline=True,
)


_ENVIRONMENT.filters["css"] = css


def template(name: str) -> Template:
    """The template of that name."""
    return _ENVIRONMENT.get_template(name)
