"""`rigopt plan`: the cheapest rig for one need, as text, JSON, lists and page."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import click
from click.core import ParameterSource

from rigopt.answers.outcome import Answered, Choice
from rigopt.api.ask import ask_alternative, ask_plan
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
@options.labels_option
@options.wiring_option
@options.steps_option
@options.alternatives_option
@options.alternative_option
@options.why_option
@options.second_opinion_option
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
    labels_to: str | None,
    wiring: bool,
    steps: bool,
    alternatives: int,
    alternative: int | None,
    why: bool,
    second_opinion: bool,
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
        "--labels": labels_to,
    }
    catalogue, needs = asking.question(asked, catalog, overrides, targets)
    asking.check_asked([needs], bool(asked or overrides.keys() & options.INPUTS))
    if alternative and (alternatives or why or checks or more is not None or second_opinion):
        raise click.UsageError(OF_THE_CHEAPEST)
    with watching(catalogue.currency) as watch:
        if alternative:
            choice = Choice(ask_alternative(catalogue, needs, alternative, time_limit, watch))
        else:
            choice = ask_plan(
                catalogue,
                needs,
                time_limit,
                watch,
                alternatives=alternatives,
                why=why,
                second=second_opinion,
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

        more_of_it: dict[str, Any] = {
            "labels_to": labels_to,
            "today": _typed(today),
            "checks": for_page,
        }
        tells = plan_data(choice, catalogue, needs, **more_of_it)
    asking.deliver(
        targets,
        tells,
        lambda: whole_text(choice, catalogue, needs, today, wiring=wiring, steps=steps),
        lambda: summary(outcome, catalogue, needs).removesuffix("\n"),
        catalog,
    )
    return outcome.exit_status


OF_THE_CHEAPEST: Final = (
    "--alternatives, --why, --second-opinion, --checks and --more are of the cheapest rig alone"
)


def _typed(today: datetime.date) -> datetime.date | None:
    """The day, if it was typed: what is written by the system's date would differ every day."""
    source = click.get_current_context().get_parameter_source("today")
    return today if source is ParameterSource.COMMANDLINE else None
