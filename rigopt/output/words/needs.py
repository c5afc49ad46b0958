"""Needs in words: what is asked, what it would be instead, and what to type for that.

Every key is named as in the needs statement, and what can be typed as an option is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from rigopt.money import to_text
from rigopt.needs.row import NO_LIMIT, Row, off
from rigopt.needs.sources import COUNTS
from rigopt.needs.table import ROWS
from rigopt.needs.types import Value
from rigopt.output.words.phrases import khz, listed, metres

if TYPE_CHECKING:  # a plain answer does not wait for it
    from rigopt.answers.choice import NeedName, Setting

KEYS: Final = {name: row.key for name, row in ROWS.items()}
"""Keys of the needs statement."""


def noun(name: NeedName, value: Value, currency: str) -> str:
    """A need with its value as a noun: '24 microphones', 'a budget of 300.00 GBP'."""
    row = ROWS[name]
    if value in row.named:
        return row.named[value]
    return row.say.format(_shown(row, value, currency), s="" if value == 1 else "s")


def _shown(row: Row, value: Value, currency: str) -> str:
    if isinstance(value, tuple):
        return listed(value, "or" if row.kind == "ports" else "and")
    if not isinstance(value, int):
        return str(value)
    if row.kind == "money":
        return f"{to_text(value, currency)} {currency}"
    if row.kind == "rate":
        return khz(value)
    return metres(value) if row.kind == "run" else str(value)


def nouns(settings: Iterable[Setting], currency: str) -> str:
    """What needs would be: '18 microphones and 48 kHz'."""
    return listed([noun(one.name, one.now, currency) for one in settings])


def worth_saying(settings: Sequence[Setting]) -> list[Setting]:
    """With fewer microphones, it goes without saying that fewer have a wish for 48 V."""
    fewer = any(one.name == "mic" for one in settings)
    return [one for one in settings if not (fewer and "phantom" in one.name)]


def option(setting: Setting, currency: str, has_list: bool = False) -> str:
    """What to type for a setting: options as they stand, or else what to change in the needs.

    `has_list`: the sources are listed one by one, so their counts follow from the list.
    """
    row, value = ROWS[setting.name], setting.now
    if has_list and row.name in COUNTS:
        return f"a shorter [[source]] list: {noun(row.name, value, currency)}"
    if row.kind == "pairs":
        return "[[source]] without pair"
    assert row.option, "all but pairs can be typed"
    name = row.option.typed
    if row.kind == "flag":
        return name if value else off(name)
    if value is None:
        return f"{name} {NO_LIMIT}"
    if isinstance(value, tuple):
        return " ".join(f"{name} {one}" for one in value or (NO_LIMIT,))
    return f"{name} {as_json(row.name, value, currency)}"


def as_json(name: NeedName, value: Value, currency: str) -> object:
    """A value as the needs statement has it, money as a decimal string."""
    kind = ROWS[name].kind
    if isinstance(value, tuple):
        return list(value)
    if value is None or isinstance(value, str):
        return value
    if kind == "money":
        return to_text(value, currency)
    if kind in ("rate", "run"):
        thousandth = value / 1000
        return int(thousandth) if thousandth.is_integer() else thousandth
    return value
