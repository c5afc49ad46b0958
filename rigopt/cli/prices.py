"""`rigopt prices`: which prices to look up next."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import click

from rigopt.answers.prices import Prices
from rigopt.api.prices import Found, ask_prices
from rigopt.catalogue.ends import with_price
from rigopt.catalogue.types import Catalogue
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.errors import Fault, InputError
from rigopt.files.amounts import amount, span
from rigopt.files.faults import nearest
from rigopt.files.values import BadValueError
from rigopt.needs.types import Needs, Question
from rigopt.output.data.prices_json import prices_json
from rigopt.output.terminal.prices import prices_summary, prices_text


@click.command()
@click.argument("asked", metavar="[NEEDS]", required=False, type=options.ASKED)
@options.catalogue_option
@options.needs_options
@click.option(
    "--price",
    "priced",
    metavar="ID=MONEY",
    multiple=True,
    help="A price as if it stood in the file; may be given several times.",
)
@click.option(
    "--within",
    metavar="MONEY",
    default="0",
    help="Be content with a rig that costs so much more than the best at most (0).",
)
@options.json_option
@options.time_limit_option
def prices(
    *,
    asked: Path | Question | None,
    catalog: Path | None,
    priced: tuple[str, ...],
    within: str,
    json_to: str | None,
    time_limit: float | None,
    **given: object,
) -> int:
    """Which prices to look up next.

    Names the few prices of the catalogue that decide, round by round, until the cheapest rig is
    certain whatever the other prices are. A price is not known if its cell is '?', and that of
    a device or cable also if it is blank. On a terminal, prices can be typed in at once.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no rig can meet the need at any
    price, 4 the time limit came first.
    """
    targets = {"--json": json_to}
    overrides = asking.overrides(given)
    catalogue, needs = asking.question(asked, catalog, overrides, targets, known=False)
    if not (isinstance(asked, Path) or overrides.keys() & options.INPUTS or needs.inputs):
        raise click.UsageError("say what you need: a file, or for example --mic 16")
    catalogue = _typed(catalogue, priced)
    limit = _money(within, catalogue)
    while True:
        with watching(catalogue.currency) as watch:
            found, shop = ask_prices(catalogue, needs, limit, time_limit, watch)
        answers = _ask(found, catalogue, needs) if json_to is None else []
        if not answers:
            break
        catalogue = _typed(catalogue, answers)
    asking.deliver(
        targets,
        {"--json": partial(prices_json, found, catalogue.currency, needs)},
        partial(prices_text, found, shop if _done(found) else catalogue, needs),
        lambda: prices_summary(found, catalogue, needs).removesuffix("\n"),
    )
    return found.exit_status


def _done(found: Found) -> bool:
    return not isinstance(found, Prices) or found.done


def _ask(found: Found, catalogue: Catalogue, needs: Needs) -> list[str]:
    """What a person at a terminal types; nothing elsewhere, or to stop."""
    if _done(found) or not (sys.stdin and sys.stdin.isatty() and sys.stderr.isatty()):
        return []
    assert isinstance(found, Prices)
    click.echo(prices_summary(found, catalogue, needs), err=True)
    typed = []
    for ask in found.ask:
        price = click.prompt(
            f"Price of {ask.item} (Enter: not now)",
            default="",
            show_default=False,
            err=True,
            value_proc=partial(_checked, catalogue.currency),
        )
        typed += [f"{ask.item}={price}"] if price else []
    return typed


def _checked(currency: str, typed: str) -> str:
    try:
        if typed.strip():
            span(typed, currency)
    except BadValueError as fault:
        raise click.BadParameter(f"'{typed}' {fault}") from None
    return typed.strip()


def _typed(catalogue: Catalogue, pairs: Sequence[str]) -> Catalogue:
    """The catalogue with the prices that were typed.

    Raises:
        InputError: When one is for nothing in it, or is no price.
    """
    faults = []
    known = {key for shelf in catalogue.shelves.values() for key in shelf}
    for pair in pairs:
        item, _, price = pair.partition("=")
        if item not in known:
            problem = "there is no such device, cable or extra"
            faults.append(Fault("--price", problem, value=item, nearest=nearest(item, known)))
            continue
        try:
            catalogue = with_price(catalogue, item, span(price, catalogue.currency))
        except BadValueError as fault:
            faults.append(Fault("--price", str(fault), column=item, value=price))
    if faults:
        raise InputError(faults)
    return catalogue


def _money(within: str, catalogue: Catalogue) -> int:
    try:
        return amount(within, catalogue.currency)
    except BadValueError as fault:
        raise InputError([Fault("--within", str(fault), value=within)]) from None
