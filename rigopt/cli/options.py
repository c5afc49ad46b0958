"""Options that several commands share, each a decorator with the name of its subject."""

from __future__ import annotations

import datetime
import math
import os
import shlex
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import click

from rigopt.catalogue.folder import is_workbook
from rigopt.files.amounts import fraction
from rigopt.files.values import BadValueError, day
from rigopt.needs import sources
from rigopt.needs.keys import MOST_PERCENT
from rigopt.needs.row import Option, Row, off
from rigopt.needs.table import TABLE
from rigopt.needs.types import Question

Command = TypeVar("Command", bound=Callable[..., Any])

MOST_ALTERNATIVES: Final = 100
INPUTS: Final = frozenset([*sources.COUNTS, "sources"])
"""Names of the options that say which sources there are."""


def needs_options(command: Command) -> Command:
    """Everything that overrides the needs file."""
    return needs_options_but()(command)


def needs_options_but(*names: str) -> Callable[[Command], Command]:
    """The same without those of these names, which the command asks for in its own way.

    `sources` is the option for a list of them, which no count of them goes with.
    """

    def add(command: Command) -> Command:
        for row in reversed(TABLE):
            if row.option and row.option.name not in names:
                command = needs_option(row, row.option)(command)
        return command if "sources" in names else sources_option(command)

    return add


class _Flag(click.Option):
    """A flag that can be taken back, which the help does not spell out for each."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """The name that sets it, and its help."""
        del ctx
        return self.opts[0], self.help or ""


def needs_option(row: Row, option: Option) -> Callable[[Command], Command]:
    """The option of one need. Its values go on as they are typed, to be read as a file is."""
    if row.kind == "flag":
        both = f"{option.typed}/{off(option.typed)}"
        return click.option(both, cls=_Flag, default=None, help=option.help)
    if row.kind == "table":
        return click.option(
            option.typed,
            metavar=option.metavar,
            multiple=True,
            callback=lambda _ctx, _param, said: _pairs(said, option),
            help=option.help,
        )
    return click.option(
        option.typed,
        metavar=option.metavar,
        multiple=row.is_list,
        callback=lambda _ctx, _param, said: None if said == () else said,
        help=option.help,
    )


def _pairs(said: tuple[str, ...], option: Option) -> dict[str, str] | None:
    """NAME=NUMBER as a mapping; a name that comes twice is more likely a slip than a sum."""
    pairs: dict[str, str] = {}
    for pair in said:
        name, _, number = pair.rpartition("=")
        if not (name and number):
            form = f"{option.metavar}, such as {option.example}"
            raise click.BadParameter(f"'{pair}' is not of the form {form}")
        if name in pairs:
            raise click.BadParameter(f"'{name}' is given twice")
        pairs[name] = number
    return pairs or None


class _Asked(click.ParamType):  # type: ignore[type-arg]
    """A file of needs that is there or is named like one, or else a question in words."""

    name = "needs"

    def __init__(self, staged: bool) -> None:
        self.staged = staged

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Path | Question:
        """The file or the question."""
        del param
        if not isinstance(value, str):
            return cast(Path | Question, value)
        if value.casefold().endswith(".toml"):
            return Path(value)
        if os.path.isdir(value) or (is_workbook(Path(value)) and os.path.lexists(value)):
            what = "folder" if os.path.isdir(value) else "workbook"
            hint = f"if it is your catalogue, say --catalog {shlex.quote(value)}"
            raise click.UsageError(f"'{value}' is a {what}, and needs are a file; {hint}", ctx)
        if os.path.lexists(value):
            return Path(value)
        return Question(value, self.staged)


ASKED: Final = _Asked(staged=False)
STAGED: Final = _Asked(staged=True)
"""The same where 'then' says what comes at a later stage."""


def _seconds(_: click.Context, _param: click.Parameter, value: float | None) -> float | None:
    if value is not None and not (math.isfinite(value) and value > 0):
        raise click.BadParameter("it must be a number of seconds above zero")
    return value


def _percent(_: click.Context, _param: click.Parameter, value: str | None) -> Decimal | None:
    if value is None:
        return None
    try:
        return fraction(value, MOST_PERCENT, "%")
    except BadValueError as fault:
        raise click.BadParameter(f"'{value}' {fault}") from None


def _day(_: click.Context, _param: click.Parameter, value: str | None) -> datetime.date:
    """A day; today's by the clock of the system, which is read nowhere else."""
    if value is None:
        return datetime.date.today()
    try:
        return day(value)
    except BadValueError as fault:
        raise click.BadParameter(f"'{value}' {fault}") from None


sources_option: Final = click.option(
    "--sources",
    metavar="FILE",
    help="A CSV file that lists the sources one by one, instead of counts.",
)
# None stands for the demo.
catalogue_option: Final = click.option(
    "--catalog",
    type=click.Path(path_type=Path, readable=False),
    metavar="DIR",
    help="Catalogue folder or workbook. Without it: the demo, whose prices are invented.",
)
json_option: Final = click.option(
    "--json",
    "json_to",
    metavar="FILE",
    help="Write the answer as JSON; '-' is standard output.",
)
shopping_option: Final = click.option(
    "--shopping-list",
    "shopping_to",
    metavar="FILE",
    help="Write what to buy as CSV; '-' is standard output.",
)
input_list_option: Final = click.option(
    "--input-list",
    "inputs_to",
    metavar="FILE",
    help="Write which source goes where as CSV; '-' is standard output.",
)
wiring_option: Final = click.option(
    "--wiring", is_flag=True, help="Draw the wiring too, a line for each cable."
)
steps_option: Final = click.option(
    "--steps", is_flag=True, help="Tell the set-up too, step by step."
)
csv_option: Final = click.option(
    "--csv",
    "csv_to",
    metavar="FILE",
    help="Write it as CSV; '-' is standard output.",
)
page_option: Final = click.option(
    "--page",
    "page_to",
    metavar="FILE",
    help="Write it as one HTML page; '-' is standard output.",
)
labels_option: Final = click.option(
    "--labels",
    "labels_to",
    metavar="FILE",
    help="Write labels for both ends of each cable and for each unit, 24 to a page of A4; as "
    "CSV where FILE ends in .csv; '-' is standard output.",
)
alternatives_option: Final = click.option(
    "--alternatives",
    type=click.IntRange(0, MOST_ALTERNATIVES),
    default=0,
    metavar="K",
    help="Show the next K cheapest mixes of devices too.",
)
alternative_option: Final = click.option(
    "--alternative",
    type=click.IntRange(1, MOST_ALTERNATIVES),
    metavar="K",
    help="Answer with the K-th next cheapest mix of devices, whole, in place of the cheapest.",
)
why_option: Final = click.option(
    "--why",
    is_flag=True,
    help="Show at which prices the rig changes, and what each need costs.",
)
second_opinion_option: Final = click.option(
    "--second-opinion",
    is_flag=True,
    help="Let a solver of another kind confirm the money, or that there is no rig.",
)
checks_option: Final = click.option(
    "--checks",
    is_flag=True,
    help="Show the facts to check before you pay, and what if one is not so.",
)
more_option: Final = click.option(
    "--more",
    metavar="PERCENT",
    callback=_percent,
    help="Show what up to so many percent more money buys.",
)
time_limit_option: Final = click.option(
    "--time-limit",
    type=float,
    metavar="SECONDS",
    callback=_seconds,
    help="Stop then, and give the best rig found so far.",
)
today_option: Final = click.option(
    "--today",
    metavar="YYYY-MM-DD",
    callback=_day,
    help="The day to judge the age of prices by; without it, the system's date.",
)
