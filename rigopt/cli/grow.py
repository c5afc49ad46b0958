"""`rigopt grow`: what to buy at each stage, so that all stages together cost least."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

import click

from rigopt.answers.growth import Grown, Most, OutOfReach
from rigopt.answers.outcome import OutOfTime
from rigopt.api.growth import ask_growth, ask_most_each
from rigopt.catalogue.types import Catalogue
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs, Question
from rigopt.output.data.grow_data import grow_csv, grow_json, most_json
from rigopt.output.terminal.grow import grow_summary, grow_text
from rigopt.output.terminal.grow_most import most_summary, most_text

NOT_FOR_STAGES: Final = (
    *("mic", "phantom", "no_phantom", "line", "instrument"),
    *("rate", "budget", "owned_only"),
)
"""Options that would say the same of every stage, where the stages must differ."""

Tell = Callable[[], str]


@click.command()
@click.argument("stages", metavar="NEEDS", type=options.STAGED)
@options.catalogue_option
@options.needs_options_but(*NOT_FOR_STAGES)
@click.option(
    "--budget-per-stage",
    metavar="MONEY",
    help="Ask for the most microphones at each stage for this outlay.",
)
@options.json_option
@options.shopping_option
@options.page_option
@options.second_opinion_option
@options.time_limit_option
def grow(
    *,
    stages: Path | Question,
    catalog: Path | None,
    budget_per_stage: str | None,
    json_to: str | None,
    shopping_to: str | None,
    page_to: str | None,
    second_opinion: bool,
    time_limit: float | None,
    **given: object,
) -> int:
    """What to buy at each stage of a growing rig.

    The stages are [[stage]] tables in a needs file, or words with 'then' between them, such
    as '8 mics under 300, then 16 mics'. What is bought stays; every stage has
    a complete rig of its own; all stages are chosen together, so that they cost least in
    all, and then least at first.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no way through the stages,
    4 the time limit came first.
    """
    targets = {"--json": json_to, "--shopping-list": shopping_to, "--page": page_to}
    asked = asking.overrides({**given, "budget": budget_per_stage})
    read = read_needs if budget_per_stage is None else asking.open_ended
    catalogue, needs = asking.question(stages, catalog, asked, targets, read)
    if not needs.stages:
        ways = "in a file, a [[stage]] table for each, or as '8 mics, then 16 mics'"
        raise click.UsageError(f"say the stages: {ways}")
    each = None if budget_per_stage is None else needs.budget
    with watching(catalogue.currency) as watch:
        found: Grown | Most | OutOfReach | OutOfTime
        if each is None:
            found = ask_growth(
                catalogue, needs.stages, time_limit, watch, second=second_opinion
            )
        else:
            found = ask_most_each(catalogue, needs.stages, each, time_limit, watch)
    asking.deliver(targets, *_told(found, catalogue, needs), catalog)
    return found.exit_status


def _told(
    found: Grown | Most | OutOfReach | OutOfTime, catalogue: Catalogue, needs: Needs
) -> tuple[asking.Tells, Tell, Tell]:
    """What is told as data, the text, and its first lines."""
    if isinstance(found, Most):
        most = (found, catalogue, needs)
        tells: dict[str, Tell] = {"--json": partial(most_json, *most)}
        if found.growth.steps:
            tells["--shopping-list"] = partial(grow_csv, found.growth, catalogue)
            tells["--page"] = partial(_page, *most)
        return tells, partial(most_text, *most), partial(most_summary, *most)
    grown = (found, catalogue, needs)
    tells = {"--json": partial(grow_json, found, catalogue)}
    if isinstance(found, Grown):
        tells["--shopping-list"] = partial(grow_csv, found.together, catalogue)
        tells["--page"] = partial(_page, found, catalogue, needs)
    return tells, partial(grow_text, *grown), partial(grow_summary, *grown)


def _page(found: Grown | Most, catalogue: Catalogue, needs: Needs) -> str:
    # Here and not above, so that a text does not wait for what only pages need.
    from rigopt.output.page.grow_page import growth_page  # noqa: PLC0415

    return growth_page(found, catalogue, needs)
