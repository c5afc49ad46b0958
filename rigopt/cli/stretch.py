"""`rigopt stretch`: the most microphones for a budget."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.answers.series import Stretch
from rigopt.catalogue import shipped
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.cli import asking, options
from rigopt.output.data.shopping import shopping_csv
from rigopt.output.data.stretch_json import stretch_json
from rigopt.output.files import check_targets
from rigopt.output.terminal.stretch import stretch_summary, stretch_text
from rigopt.several import ask_stretch


@click.command()
@click.argument(
    "needs_file", metavar="[NEEDS.toml]", required=False, type=click.Path(path_type=Path)
)
@options.catalogue_option
@options.needs_options_but("mic")
@options.json_option
@options.shopping_option
@options.time_limit_option
def stretch(
    *,
    needs_file: Path | None,
    catalog: Path | None,
    json_to: str | None,
    shopping_to: str | None,
    time_limit: float | None,
    **given: object,
) -> int:
    """The most microphones for a budget.

    Finds how many microphones can be in use at once for the money, the cheapest rig for
    that many, and what the next step up would cost. All other needs stay as the file and
    the options say.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 even the fewest microphones
    cost more, 4 the time limit came first.
    """
    folder = catalog or shipped.demo_catalogue()
    targets = {"--json": json_to, "--shopping-list": shopping_to}
    check_targets(targets, asking.inputs([needs_file], [folder]))
    catalogue = read_folder(folder, invented=catalog is None)
    needs = asking.growing(needs_file, catalogue, asking.overrides(given))
    check_for_sale(folder, catalogue, needs.owned)
    if needs.budget is None:
        raise click.UsageError("say how much money there is, for example --budget 600")
    found = ask_stretch(catalogue, needs, needs.budget, time_limit)
    rig = found.best.answer.rig if found.best and found.best.answer else None
    data = {"--json": (json_to, partial(stretch_json, found, catalogue))}
    if rig is not None:
        data["--shopping-list"] = (shopping_to, partial(shopping_csv, rig, catalogue))
    elif shopping_to is not None:
        click.echo("rigopt: there is nothing to buy, so no shopping list is written", err=True)
    asking.deliver(
        data,
        partial(stretch_text, found, catalogue, needs),
        partial(stretch_summary, found, catalogue),
    )
    return _status(found)


def _status(found: Stretch) -> int:
    if found.best is not None:
        return 0
    return 3 if found.proven else 4
