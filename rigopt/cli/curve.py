"""`rigopt curve`: the price against the number of microphones."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.api.series import MOST_POINTS, ask_curve
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.needs.keys import MOST_COUNT
from rigopt.needs.types import Question
from rigopt.output.data.curve_data import curve_csv, curve_json
from rigopt.output.page.curve_page import curve_page
from rigopt.output.terminal.curve import curve_summary, curve_text


@click.command()
@click.argument("asked", metavar="[NEEDS]", required=False, type=options.ASKED)
@click.option(
    "--from",
    "first",
    type=click.IntRange(1, MOST_COUNT),
    metavar="N",
    default=8,
    show_default=True,
    help="Fewest microphones.",
)
@click.option(
    "--to",
    "last",
    type=click.IntRange(1, MOST_COUNT),
    metavar="N",
    default=64,
    show_default=True,
    help="Most microphones.",
)
@click.option(
    "--step",
    type=click.IntRange(1, MOST_COUNT),
    metavar="N",
    default=8,
    show_default=True,
    help="How many more each time.",
)
@options.catalogue_option
@options.needs_options_but("mic", "sources")
@options.json_option
@options.csv_option
@options.page_option
@options.second_opinion_option
@options.time_limit_option
def curve(
    *,
    asked: Path | Question | None,
    first: int,
    last: int,
    step: int,
    catalog: Path | None,
    json_to: str | None,
    csv_to: str | None,
    page_to: str | None,
    second_opinion: bool,
    time_limit: float | None,
    **given: object,
) -> int:
    """The price against the number of microphones.

    Only the number of microphones grows, from --from to --to; all other needs stay as NEEDS
    and the options say.
    The curve ends where no rig is possible.

    NEEDS is a TOML file, or a question such as '2 line outs at 96k'.

    Exit status: 0 at least one count is answered, 2 wrong use or an input in error, 3 no
    rig even for the fewest, 4 the time limit came first.
    """
    if first > last:
        raise click.UsageError(f"--from is {first}, which is more than --to, {last}")
    before_last = range(first, last, step)
    number = len(before_last) + 1
    if number > MOST_POINTS:
        raise click.UsageError(f"that is {number} counts, and {MOST_POINTS} are the most")
    targets = {"--json": json_to, "--csv": csv_to, "--page": page_to}
    typed = asking.overrides(given)
    catalogue, needs = asking.question(asked, catalog, typed, targets, asking.growing)
    if (least := needs.phantom + needs.no_phantom) > first:
        raise click.UsageError(
            f"{least} microphones have a wish for 48 V; start with all of them: --from {least}"
        )
    with watching(catalogue.currency) as watch:
        each = [*before_last, last]
        more = {"second": second_opinion, "every": page_to is not None}
        found = ask_curve(catalogue, needs, each, time_limit, watch, **more)
    told = (found, catalogue, needs)
    tells = {
        "--json": partial(curve_json, *told),
        "--csv": partial(curve_csv, *told),
        "--page": partial(curve_page, *told),
    }
    texts = (partial(curve_text, *told), partial(curve_summary, *told))
    asking.deliver(targets, tells, *texts, catalog)
    return found.exit_status
