"""`rigopt compare`: several questions side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product
from pathlib import Path
from typing import Final

import click

from rigopt.answers.series import Scenario
from rigopt.api.series import ask_each
from rigopt.catalogue import shipped
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.errors import Fault, InputError
from rigopt.needs.read import read_needs
from rigopt.needs.types import Question
from rigopt.output.data.compare_data import compare_csv, compare_json
from rigopt.output.files import check_targets
from rigopt.output.page.compare_page import compare_page
from rigopt.output.terminal.compare import compare_summary, compare_text

MOST_COLUMNS: Final = 60


@click.command()
@click.argument("questions", metavar="[NEEDS]...", nargs=-1, type=options.ASKED)
@click.option(
    "--catalog",
    "catalogs",
    metavar="DIR",
    multiple=True,
    type=click.Path(path_type=Path, readable=False),
    help="Catalogue folder; given again, each is asked. Without it: the demo.",
)
@click.option(
    "--rate",
    "rates",
    metavar="KHZ",
    multiple=True,
    help="Sample rate; given again, each is asked.",
)
@click.option(
    "--master",
    "masters",
    metavar="WHICH",
    multiple=True,
    help="Clock master; given again, each is asked.",
)
@options.needs_options_but("rate", "master")
@options.json_option
@options.csv_option
@options.page_option
@options.second_opinion_option
@options.time_limit_option
def compare(
    *,
    questions: tuple[Path | Question, ...],
    catalogs: tuple[Path, ...],
    rates: tuple[str, ...],
    masters: tuple[str, ...],
    json_to: str | None,
    csv_to: str | None,
    page_to: str | None,
    second_opinion: bool,
    time_limit: float | None,
    **given: object,
) -> int:
    """Several questions side by side, a column each.

    NEEDS is a TOML file, or a question such as '16 mics at 96k'. Each of them (or the options
    alone) is asked with every catalogue, rate and clock
    master that is given. Differences are to the first column.

    Exit status: 0 at least one column has a rig, 2 wrong use or an input in error, 3 no
    column can have one, 4 the time limit came first.
    """
    asked = asking.overrides(given)
    grid = _Grid(
        questions or (None,), catalogs or (None,), rates or (None,), masters or (None,)
    )
    counted = bool(questions or asked.keys() & options.INPUTS)
    if not 1 < len(grid) <= MOST_COLUMNS:
        few = "that is one column; give more files, or --rate, --master or --catalog again"
        few = few if counted else asking.SAY
        many = f"that is {len(grid)} columns, and {MOST_COLUMNS} are the most"
        raise click.UsageError(few if len(grid) == 1 else many)
    targets = {"--json": json_to, "--csv": csv_to, "--page": page_to}
    check_targets(targets, asking.inputs(grid.files, grid.folders, asked))
    scenarios = grid.read(asked)
    asking.check_asked([scenario.needs for scenario in scenarios], counted)
    with watching() as watch:
        found = ask_each(scenarios, time_limit, watch, second=second_opinion)
    told = (found.columns, scenarios[0].needs.exchange)
    tells = {
        "--json": partial(compare_json, *told),
        "--csv": partial(compare_csv, *told),
        "--page": partial(compare_page, *told),
    }
    summary = partial(compare_summary, found.columns)
    asking.deliver(
        targets, tells, partial(compare_text, *told), summary, catalogs[0] if catalogs else None
    )
    return found.exit_status


def _title(asked: Path | Question | None) -> str:
    """What a column is called without a title of its own."""
    return asked.stem if isinstance(asked, Path) else asked.text if asked else ""


@dataclass(frozen=True, slots=True)
class _Grid:
    """Every file with every catalogue, rate and master; None is what is there without any."""

    files: Sequence[Path | Question | None]
    catalogs: Sequence[Path | None]
    rates: Sequence[str | None]
    masters: Sequence[str | None]

    def __len__(self) -> int:
        return len(self.files) * len(self.catalogs) * len(self.rates) * len(self.masters)

    @property
    def folders(self) -> list[Path]:
        """The catalogue folders."""
        return [catalog or shipped.demo_catalogue() for catalog in self.catalogs]

    def read(self, given: Mapping[str, object]) -> list[Scenario]:
        """The scenarios in order.

        Raises:
            InputError: When any file, catalogue or option is wrong; with all that is.
        """
        catalogues = [
            read_folder(folder, invented=catalog is None)
            for folder, catalog in zip(self.folders, self.catalogs, strict=True)
        ]
        scenarios: list[Scenario] = []
        faults: dict[Fault, None] = {}
        for file, (folder, shop), rate, master in product(
            self.files,
            list(zip(self.folders, catalogues, strict=True)),
            self.rates,
            self.masters,
        ):
            asked = {**given, "rate": rate, "master": master}
            if shop.currency != catalogues[0].currency:
                # It is for the first column's currency; a file may have its own.
                asked.pop("exchange", None)
            try:
                needs = read_needs(file, shop, asked)
                check_for_sale(folder, shop, needs.owned)
            except InputError as error:
                faults |= dict.fromkeys(error.faults)
            else:
                title = needs.title.strip() or _title(file)
                scenarios.append(Scenario(title, shop, needs))
        if faults:
            raise InputError(list(faults))
        return scenarios
