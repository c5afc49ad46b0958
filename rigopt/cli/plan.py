"""`rigopt plan`: the cheapest rig for one need, as text, JSON, lists and page."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Final

import click

from rigopt.answers.outcome import Answered, Choice, Impossible, Outcome, OutOfTime
from rigopt.ask import ask, ask_choice
from rigopt.catalogue import shipped
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.cli import asking, options
from rigopt.needs.read import read_needs
from rigopt.output.files import check_targets
from rigopt.output.terminal.text import plan_text, summary

_STATUS: Final = {Answered: 0, Impossible: 3, OutOfTime: 4}


@click.command()
@click.argument(
    "needs_file", metavar="[NEEDS.toml]", required=False, type=click.Path(path_type=Path)
)
@options.catalogue_option
@options.needs_options
@options.json_option
@options.shopping_option
@options.input_list_option
@options.page_option
@options.wiring_option
@options.alternatives_option
@options.why_option
@options.time_limit_option
@options.today_option
def plan(
    *,
    needs_file: Path | None,
    catalog: Path | None,
    json_to: str | None,
    shopping_to: str | None,
    inputs_to: str | None,
    page_to: str | None,
    wiring: bool,
    alternatives: int,
    why: bool,
    time_limit: float | None,
    today: datetime.date,
    **given: object,
) -> int:
    """The cheapest rig that meets a need.

    The need is a TOML file, or options alone, or both: each option overrides the file.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no rig can meet the need,
    4 the time limit came first.
    """
    overrides = asking.overrides(given)
    if needs_file is None and not overrides.keys() & set(options.COUNTS):
        raise click.UsageError("say what you need: a file, or for example --mic 16")
    folder = catalog or shipped.demo_catalogue()
    targets = {
        "--json": json_to, "--shopping-list": shopping_to, "--input-list": inputs_to,
        "--page": page_to,
    }  # fmt: skip
    check_targets(targets, asking.inputs([needs_file], [folder]))
    catalogue = read_folder(folder, invented=catalog is None)
    needs = read_needs(needs_file, catalogue, overrides)
    check_for_sale(folder, catalogue, needs.owned)
    if alternatives or why:
        choice = ask_choice(catalogue, needs, time_limit, alternatives, why)
        _unproven(choice.outcome)
    else:
        choice = Choice(ask(catalogue, needs, time_limit))
    data: asking.Data = {}
    if any(target is not None for target in targets.values()):
        # Here and not above: a plain question does not wait for it.
        from rigopt.cli.plan_data import plan_data  # noqa: PLC0415

        data = plan_data(choice, catalogue, needs, targets)

    def text() -> str:
        told = plan_text(choice.outcome, catalogue, needs, today, wiring=wiring)
        if alternatives or why:
            from rigopt.output.terminal.choice import choice_text  # noqa: PLC0415

            told += choice_text(choice, catalogue.currency)
        return told

    asking.deliver(
        data, text, lambda: summary(choice.outcome, catalogue, needs).removesuffix("\n")
    )
    return _STATUS[type(choice.outcome)]


def _unproven(outcome: Outcome) -> None:
    if isinstance(outcome, Answered) and not outcome.proven:
        click.echo(
            "rigopt: this rig is not proven cheapest, so the choice behind it is not told",
            err=True,
        )
