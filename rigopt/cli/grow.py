"""`rigopt grow`: what to buy at each stage, so that all stages together cost least."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.answers.growth import Grown, Most
from rigopt.catalogue import shipped
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.cli import asking, options
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs
from rigopt.output.data.grow_data import grow_csv, grow_json, most_json
from rigopt.output.files import check_targets
from rigopt.output.terminal.grow import grow_summary, grow_text
from rigopt.output.terminal.grow_most import most_summary, most_text
from rigopt.several import ask_growth, ask_most_each

NOT_FOR_STAGES = ("mic", "phantom", "no_phantom", "line", "instrument", "rate", "budget",
                  "owned_only")  # fmt: skip
"""Options that would say the same of every stage, where the stages must differ."""


@click.command()
@click.argument("needs_file", metavar="NEEDS.toml", type=click.Path(path_type=Path))
@options.catalogue_option
@options.needs_options_but(*NOT_FOR_STAGES)
@click.option(
    "--budget-per-stage",
    metavar="MONEY",
    help="Ask for the most microphones at each stage for this outlay.",
)
@options.json_option
@options.shopping_option
@options.time_limit_option
def grow(
    *,
    needs_file: Path,
    catalog: Path | None,
    budget_per_stage: str | None,
    json_to: str | None,
    shopping_to: str | None,
    time_limit: float | None,
    **given: object,
) -> int:
    """What to buy at each stage of a growing rig.

    The stages are [[stage]] tables in the needs file. What is bought stays; every stage has
    a complete rig of its own; all stages are chosen together, so that they cost least in
    all, and then least at first.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 no way through the stages,
    4 the time limit came first.
    """
    folder = catalog or shipped.demo_catalogue()
    targets = {"--json": json_to, "--shopping-list": shopping_to}
    check_targets(targets, asking.inputs([needs_file], [folder]))
    catalogue = read_folder(folder, invented=catalog is None)
    said = asking.overrides({**given, "budget": budget_per_stage})
    read = read_needs if budget_per_stage is None else asking.open_ended
    needs = read(needs_file, catalogue, said)
    if not needs.stages:
        raise click.UsageError("say the stages in the needs file, a [[stage]] table for each")
    owned = {item: n for stage in needs.stages for item, n in stage.needs.owned.items()}
    check_for_sale(folder, catalogue, owned)
    if budget_per_stage is not None and needs.budget is not None:
        most = ask_most_each(catalogue, needs.stages, needs.budget, time_limit)
        return _most(most, catalogue, needs, json_to, shopping_to)
    found = ask_growth(catalogue, needs.stages, time_limit)
    data = {"--json": (json_to, partial(grow_json, found, catalogue))}
    if isinstance(found, Grown):
        data["--shopping-list"] = (shopping_to, partial(grow_csv, found.together, catalogue))
    asking.deliver(
        data,
        partial(grow_text, found, catalogue, needs),
        partial(grow_summary, found, catalogue, needs),
    )
    return 0 if isinstance(found, Grown) else asking.status([found])


def _most(
    found: Most,
    catalogue: Catalogue,
    needs: Needs,
    json_to: str | None,
    shopping_to: str | None,
) -> int:
    """Deliver the most microphones at each stage for the same outlay."""
    answer = (found, catalogue, needs)
    data = {"--json": (json_to, partial(most_json, *answer))}
    if found.growth.steps:
        data["--shopping-list"] = (shopping_to, partial(grow_csv, found.growth, catalogue))
    asking.deliver(data, partial(most_text, *answer), partial(most_summary, *answer))
    if found.growth.steps:
        return 0
    return 4 if found.ended == "time" else 3
