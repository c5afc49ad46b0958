"""`rigopt list`: the catalogue read back in plain words."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.cli import asking, options
from rigopt.output.data.list_data import list_csv, list_json
from rigopt.output.files import check_targets
from rigopt.output.terminal.listing import list_text, summary
from rigopt.output.words.rows import rows


@click.command("list")
@options.catalogue_option
@options.csv_option
@options.json_option
def list_catalogue(catalog: Path | None, csv_to: str | None, json_to: str | None) -> int:
    """The catalogue read back: every row as a sentence.

    A slip in a cell is easier to hear than to see. Under a row stands what is likely to be
    blank or mistyped by mistake, marked ?; it may well be meant.

    Exit status: 0 read, 2 wrong use or an input in error.
    """
    folder = catalog or shipped.demo_catalogue()
    targets = {"--csv": csv_to, "--json": json_to}
    check_targets(targets, asking.inputs([], [folder], {}))
    catalogue = read_folder(folder, invented=catalog is None)
    asking.deliver(
        targets,
        {"--csv": partial(list_csv, catalogue), "--json": partial(list_json, catalogue)},
        partial(list_text, catalogue),
        lambda: summary(rows(catalogue)),
        catalog,
    )
    return 0


# Named as the command is, which is how `rigopt.cli.main` finds it.
list = list_catalogue
