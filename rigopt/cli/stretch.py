"""`rigopt stretch`: the most microphones for a budget."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.answers.outcome import Answered
from rigopt.answers.series import Stretch
from rigopt.api.series import ask_stretch
from rigopt.catalogue.types import Catalogue
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.needs.types import Needs, Question
from rigopt.output.data.shopping import shopping_csv
from rigopt.output.data.stretch_json import stretch_json
from rigopt.output.terminal.stretch import stretch_summary, stretch_text


@click.command()
@click.argument("asked", metavar="[NEEDS]", required=False, type=options.ASKED)
@options.catalogue_option
@options.needs_options_but("mic", "sources")
@options.json_option
@options.shopping_option
@options.page_option
@options.time_limit_option
def stretch(
    *,
    asked: Path | Question | None,
    catalog: Path | None,
    json_to: str | None,
    shopping_to: str | None,
    page_to: str | None,
    time_limit: float | None,
    **given: object,
) -> int:
    """The most microphones for a budget.

    Finds how many microphones can be in use at once for the money, the cheapest rig for
    that many, and what the next step up would cost. All other needs stay as NEEDS and
    the options say. NEEDS is a TOML file, or a question such as 'under 900 at 96k'.

    Exit status: 0 answered, 2 wrong use or an input in error, 3 even the fewest microphones
    cost more, 4 the time limit came first.
    """
    targets = {"--json": json_to, "--shopping-list": shopping_to, "--page": page_to}
    typed = asking.overrides(given)
    catalogue, needs = asking.question(asked, catalog, typed, targets, asking.growing)
    if needs.budget is None:
        raise click.UsageError("say how much money there is, for example --budget 600")
    with watching(catalogue.currency) as watch:
        found = ask_stretch(catalogue, needs, needs.budget, time_limit, watch)
    tells = {"--json": partial(stretch_json, found, catalogue)}
    if found.best and found.best.answer:
        best = found.best.answer
        tells["--shopping-list"] = partial(shopping_csv, best.rig, catalogue)
        tells["--page"] = partial(_page, found, best, catalogue, needs)
    told = (found, catalogue, needs)
    asking.deliver(
        targets, tells, partial(stretch_text, *told), partial(stretch_summary, *told), catalog
    )
    return found.exit_status


def _page(found: Stretch, best: Answered, catalogue: Catalogue, needs: Needs) -> str:
    # Here and not above, so that a text does not wait for what only pages need.
    from rigopt.output.page.stretch_page import stretch_page  # noqa: PLC0415

    return stretch_page(found, best, catalogue, needs)
