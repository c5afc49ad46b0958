"""Options that several commands share, each a decorator with the name of its subject."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

_NUMBER: Final = re.compile("[0-9]{1,9}")
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


_NEEDS: Final[tuple[Callable[..., Any], ...]] = (
    _count("--mic", "Microphones in use at once."),
    _count("--phantom", "Of those, how many need 48 V."),
    _count("--no-phantom", "Of those, how many must not get 48 V."),
    _count("--line", "Line sources in use at once."),
    _count("--instrument", "Instruments plugged in directly."),
    click.option("--rate", metavar="KHZ", help="Sample rate: 48, 44.1, 96 and so on."),
    click.option(
        "--master",
        metavar="WHICH",
        help="Clock master: any, host, expander, clock, or a device id.",
    ),
    click.option("--budget", metavar="MONEY", help="The most the rig may cost."),
    click.option(
        "--owned",
        metavar="ID=N",
        multiple=True,
        callback=lambda _ctx, _param, values: _owned(values),
        help="A device or cable you have, and how many; may be given again.",
    ),
)


def needs_options(command: Command) -> Command:
    """Everything that overrides the needs file."""
    for option in reversed(_NEEDS):
        command = option(command)
    return command


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


def time_limit_option(command: Command) -> Command:
    """`--time-limit SECONDS`, above zero."""
    return click.option(
        "--time-limit",
        type=float,
        metavar="SECONDS",
        callback=lambda _ctx, _param, value: _seconds(value),
        help="Stop then, and give the best rig found so far.",
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
    owned: dict[str, int] = {}
    for value in values:
        name, equals, number = value.rpartition("=")
        if not (name and equals and _NUMBER.fullmatch(number)):
            raise click.BadParameter(f"'{value}' is not of the form ID=N, such as desk-8=1")
        if name in owned:
            raise click.BadParameter(f"'{name}' is given twice")
        owned[name] = int(number)
    return owned
