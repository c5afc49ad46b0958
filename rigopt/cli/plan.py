"""`rigopt plan`: the cheapest rig for one need, as text, JSON, lists and page."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import click

from rigopt.answers.outcome import Answered
from rigopt.api.ask import ask_plan
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.needs.types import Question
from rigopt.output.terminal.text import summary, whole_text


@click.command()
@click.argument("asked", metavar="[NEEDS]", required=False, type=options.ASKED)
@options.catalogue_option
@options.needs_options
@options.json_option
@options.shopping_option
@options.input_list_option
@options.page_option
@options.wiring_option
@options.alternatives_option
@options.why_option
@options.checks_option
@options.more_option
@options.time_limit_option
@options.today_option
def plan(
    *,
    asked: Path | Question | None,
    catalog: Path | None,
    json_to: str | None,
    shopping_to: str | None,
    inputs_to: str | None,
    page_to: str | None,
    wiring: bool,
    alternatives: int,
    why: bool,
    checks: bool,
    more: Decimal | None,
    time_limit: float | None,
    today: datetime.date,
    **given: object,
) -> int:
    """The cheapest rig that meets a need.

    NEEDS is a TOML file, or a question such as '24 mics at 48k, 8 condensers, 2 line outs,
    under 900'. Each option overrides it, and options alone will do.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no rig can meet the need,
    4 the time limit came first.
    """
    overrides = asking.overrides(given)
    targets = {
        "--json": json_to,
        "--shopping-list": shopping_to,
        "--input-list": inputs_to,
        "--page": page_to,
    }
    catalogue, needs = asking.question(asked, catalog, overrides, targets)
    if not (isinstance(asked, Path) or overrides.keys() & options.INPUTS or needs.inputs):
        raise click.UsageError("say what you need: a file, or for example --mic 16")
    with watching(catalogue.currency) as watch:
        choice = ask_plan(
            catalogue,
            needs,
            time_limit,
            watch,
            alternatives=alternatives,
            why=why,
            # A page always has them.
            checks=checks or page_to is not None,
            more=more,
        )
    for_page = choice.checks
    choice = choice if checks else replace(choice, checks=None)
    outcome = choice.outcome
    asked_beside = alternatives or why or checks or more is not None
    if asked_beside and isinstance(outcome, Answered) and not outcome.proven:
        unproven = "this rig is not proven cheapest, so the choice behind it is not told"
        click.echo(f"rigopt: {unproven}", err=True)
    tells: asking.Tells = {}
    if any(target is not None for target in targets.values()):
        # Here and not above: a plain question does not wait for it.
        from rigopt.cli.plan_data import plan_data  # noqa: PLC0415

        tells = plan_data(choice, catalogue, needs, for_page)
    asking.deliver(
        targets,
        tells,
        lambda: whole_text(choice, catalogue, needs, today, wiring=wiring),
        lambda: summary(outcome, catalogue, needs).removesuffix("\n"),
    )
    return outcome.exit_status
