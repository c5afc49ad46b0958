"""`rigopt plan`: the cheapest rig for one need, as text, JSON and shopping list."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import click

from rigopt import shipped
from rigopt.ask import ask
from rigopt.catalogue.read import read_catalogue
from rigopt.catalogue.types import Catalogue
from rigopt.cli import options
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs
from rigopt.output.answer_json import plan_json
from rigopt.output.files import check_targets, is_standard_output, write_all
from rigopt.output.shopping import shopping_csv
from rigopt.output.text import plan_text, summary
from rigopt.rig.outcome import Answered, Impossible, Outcome, OutOfTime

_CATALOGUE: Final = (
    "catalog.toml", "devices.csv", "cables.csv", "offers.csv", "sellers.csv", "extras.csv",
)  # fmt: skip
"""Files that no output may overwrite."""

_STATUS: Final = {Answered: 0, Impossible: 3, OutOfTime: 4}


@click.command()
@click.argument(
    "needs_file", metavar="[NEEDS.toml]", required=False, type=click.Path(path_type=Path)
)
@options.catalogue_option
@options.needs_options
@options.json_option
@options.shopping_option
@options.time_limit_option
def plan(
    needs_file: Path | None,
    catalog: Path | None,
    json_to: str | None,
    shopping_to: str | None,
    time_limit: float | None,
    **given: object,
) -> int:
    """The cheapest rig that meets a need.

    The need is a TOML file, or options alone, or both: each option overrides the file.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no rig can meet the need,
    4 the time limit came first.
    """
    overrides = {name: value for name, value in given.items() if value not in (None, {})}
    if needs_file is None and not overrides.keys() & set(options.COUNTS):
        raise click.UsageError("say what you need: a file, or for example --mic 16")
    folder = catalog or shipped.demo_catalogue()
    read = [*([needs_file] if needs_file else []), *(folder / name for name in _CATALOGUE)]
    check_targets({"--json": json_to, "--shopping-list": shopping_to}, read)
    catalogue = read_catalogue(folder, invented=catalog is None)
    needs = read_needs(needs_file, catalogue, overrides)
    outcome = ask(catalogue, needs, time_limit)
    _deliver(outcome, catalogue, needs, json_to, shopping_to)
    return _STATUS[type(outcome)]


def _deliver(
    outcome: Outcome,
    catalogue: Catalogue,
    needs: Needs,
    json_to: str | None,
    shopping_to: str | None,
) -> None:
    """Write what was asked for; the text makes way on standard output for data."""
    texts: list[tuple[str, str]] = []
    if json_to is not None:
        texts.append((json_to, plan_json(outcome, catalogue)))
    if shopping_to is not None and isinstance(outcome, Answered):
        texts.append((shopping_to, shopping_csv(outcome.rig, catalogue)))
    elif shopping_to is not None:
        click.echo("rigopt: there is nothing to buy, so no shopping list is written", err=True)
    if is_standard_output(json_to) or is_standard_output(shopping_to):
        write_all(texts)
        click.echo(summary(outcome, catalogue, needs), err=True, nl=False)
    else:
        write_all([*texts, ("-", plan_text(outcome, catalogue, needs))])
