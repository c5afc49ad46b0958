"""Options that several commands share, each a decorator with the name of its subject."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

_NUMBER: Final = re.compile("[0-9]{1,9}")
MOST_ALTERNATIVES: Final = 100
COUNTS: Final = ("mic", "phantom", "no_phantom", "line", "instrument")
"""Names of the options that say how many sources there are."""


def _count(name: str, help_text: str) -> Callable[[Command], Command]:
    return click.option(
        name,
        type=int,
        metavar="N",
        callback=lambda _ctx, _param, value: _not_negative(value),
        help=help_text,
    )


_NEEDS: Final[dict[str, Callable[..., Any]]] = {
    "mic": _count("--mic", "Microphones in use at once."),
    "phantom": _count("--phantom", "Of those, how many need 48 V."),
    "no_phantom": _count("--no-phantom", "Of those, how many must not get 48 V."),
    "line": _count("--line", "Line sources in use at once."),
    "instrument": _count("--instrument", "Instruments plugged in directly."),
    "rate": click.option("--rate", metavar="KHZ", help="Sample rate: 48, 44.1, 96 and so on."),
    "master": click.option(
        "--master",
        metavar="WHICH",
        help="Clock master: any, host, expander, clock, or a device id.",
    ),
    "budget": click.option("--budget", metavar="MONEY", help="The most the rig may cost."),
    "owned": click.option(
        "--owned",
        metavar="ID=N",
        multiple=True,
        callback=lambda _ctx, _param, values: _owned(values),
        help="A device, cable or extra you have, and how many; may be given again.",
    ),
    "owned_only": click.option(
        "--owned-only", is_flag=True, default=None, help="Buy nothing: use what you have."
    ),
    "new_only": click.option(
        "--new-only", is_flag=True, default=None, help="Leave out offers of used things."
    ),
    "sellers": _count("--sellers", "The most sellers to order from."),
    "exchange": click.option(
        "--exchange",
        metavar="CUR=RATE",
        multiple=True,
        callback=lambda _ctx, _param, values: _pairs(values, "CUR=RATE, such as EUR=1.17"),
        help="How much CUR one unit of the catalogue's currency buys; may be given again.",
    ),
}


def needs_options(command: Command) -> Command:
    """Everything that overrides the needs file."""
    return needs_options_but()(command)


def needs_options_but(*names: str) -> Callable[[Command], Command]:
    """The same without those of these names, which the command asks for in its own way."""

    def add(command: Command) -> Command:
        for name, option in reversed(_NEEDS.items()):
            if name not in names:
                command = option(command)
        return command

    return add


def catalogue_option(command: Command) -> Command:
    """`--catalog DIR`; None stands for the demo."""
    return click.option(
        "--catalog",
        type=click.Path(path_type=Path),
        metavar="DIR",
        help="Catalogue folder. Without it: the built-in demo, whose prices are invented.",
    )(command)


def json_option(command: Command) -> Command:
    """`--json FILE`."""
    return click.option(
        "--json",
        "json_to",
        metavar="FILE",
        help="Write the answer as JSON; '-' is standard output.",
    )(command)


def shopping_option(command: Command) -> Command:
    """`--shopping-list FILE`."""
    return click.option(
        "--shopping-list",
        "shopping_to",
        metavar="FILE",
        help="Write what to buy as CSV; '-' is standard output.",
    )(command)


def input_list_option(command: Command) -> Command:
    """`--input-list FILE`."""
    return click.option(
        "--input-list",
        "inputs_to",
        metavar="FILE",
        help="Write which source goes where as CSV; '-' is standard output.",
    )(command)


def wiring_option(command: Command) -> Command:
    """`--wiring`."""
    return click.option(
        "--wiring", is_flag=True, help="Draw the wiring too, a line for each cable."
    )(command)


def csv_option(command: Command) -> Command:
    """`--csv FILE`."""
    return click.option(
        "--csv",
        "csv_to",
        metavar="FILE",
        help="Write it as CSV; '-' is standard output.",
    )(command)


def page_option(command: Command) -> Command:
    """`--page FILE`."""
    return click.option(
        "--page",
        "page_to",
        metavar="FILE",
        help="Write it as one HTML page; '-' is standard output.",
    )(command)


def alternatives_option(command: Command) -> Command:
    """`--alternatives K`."""
    return click.option(
        "--alternatives",
        type=click.IntRange(0, MOST_ALTERNATIVES),
        default=0,
        metavar="K",
        help="Show the next K cheapest mixes of devices too.",
    )(command)


def why_option(command: Command) -> Command:
    """`--why`."""
    return click.option(
        "--why",
        is_flag=True,
        help="Show at which prices the rig changes, and what each need costs.",
    )(command)


def time_limit_option(command: Command) -> Command:
    """`--time-limit SECONDS`, above zero."""
    return click.option(
        "--time-limit",
        type=float,
        metavar="SECONDS",
        callback=lambda _ctx, _param, value: _seconds(value),
        help="Stop then, and give the best rig found so far.",
    )(command)


def today_option(command: Command) -> Command:
    """`--today YYYY-MM-DD`."""
    return click.option(
        "--today",
        metavar="YYYY-MM-DD",
        callback=lambda _ctx, _param, value: _day(value),
        help="The day to judge the age of prices by; without it, the system's date.",
    )(command)


def _not_negative(value: int | None) -> int | None:
    if value is not None and value < 0:
        raise click.BadParameter("it must not be negative")
    return value


def _seconds(value: float | None) -> float | None:
    if value is not None and not (math.isfinite(value) and value > 0):
        raise click.BadParameter("it must be a number of seconds above zero")
    return value


def _owned(values: tuple[str, ...]) -> dict[str, int]:
    """`ID=N` pairs as a mapping; an id given twice is more likely a slip than a sum."""
    form = "ID=N, such as desk-8=1"
    owned = _pairs(values, form)
    for name, number in owned.items():
        if not _NUMBER.fullmatch(number):
            raise click.BadParameter(f"'{name}={number}' is not of the form {form}")
    return {name: int(number) for name, number in owned.items()}


def _pairs(values: tuple[str, ...], form: str) -> dict[str, str]:
    """Pairs of a name and a value as a mapping; a name may be given once."""
    pairs: dict[str, str] = {}
    for value in values:
        name, _, said = value.rpartition("=")
        if not (name and said):
            raise click.BadParameter(f"'{value}' is not of the form {form}")
        if name in pairs:
            raise click.BadParameter(f"'{name}' is given twice")
        pairs[name] = said
    return pairs


def _day(value: str | None) -> datetime.date:
    """A day; today's by the clock of the system, which is read nowhere else."""
    if value is None:
        return datetime.date.today()
    try:
        if re.fullmatch(r"\d{4}-\d\d-\d\d", value):
            return datetime.date.fromisoformat(value)
    except ValueError:
        pass  # a day that the calendar does not have
    raise click.BadParameter(f"'{value}' is not a date such as 2025-03-31")
