"""`rigopt new`: a catalogue folder to fill in, copied from a template."""

from __future__ import annotations

import os
import shlex
import shutil
import tomllib
from pathlib import Path

import click

from rigopt.catalogue import shipped
from rigopt.catalogue.folder import is_workbook
from rigopt.files.text import place
from rigopt.output.files import CannotWriteError, cannot, gone, passing_name, write_data
from rigopt.output.terminal import columns


class _NewCommand(click.Command):
    """Adds the list of templates to the help; only then are their titles read."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the name, title and note of every template."""
        with formatter.section("Templates"):
            formatter.write_dl([(name, _about(name)) for name in shipped.template_names()])
        super().format_epilog(ctx, formatter)


@click.command("new", cls=_NewCommand)
@click.argument("folder", type=click.Path(path_type=Path, readable=False))
@click.option(
    "--template",
    type=click.Choice(shipped.template_names()),
    default="usb-desk",
    show_default=True,
    help="What to start from.",
)
def new(folder: Path, template: str) -> None:
    """Write a catalogue to FOLDER, ready for your prices.

    A name that ends in .xlsx is one workbook instead, with a sheet for each table. Either
    must not be there yet: nothing is ever overwritten.
    """
    if folder.suffix.casefold() == ".ods":
        raise click.UsageError("a workbook begins as .xlsx; your office program saves .ods")
    try:
        if os.path.lexists(folder):
            raise CannotWriteError(str(folder), "it is there already; choose another name")
        if is_workbook(folder):
            # Here and not above: a folder does not wait for it.
            from rigopt.output.data.workbook import workbook  # noqa: PLC0415

            write_data([(str(folder), workbook(shipped.template(template)))])
        else:
            _copy(shipped.template(template), folder)
    except OSError as error:
        raise cannot(str(folder), error) from error
    steps = _next_steps_in_sheets if is_workbook(folder) else _next_steps
    try:
        click.echo(steps(folder, template))
    except BrokenPipeError:
        raise
    except OSError:
        # Nobody was told of it: the next try must not find it there.
        folder.unlink() if folder.is_file() else shutil.rmtree(folder)
        raise


def _about(name: str) -> str:
    facts = tomllib.loads((shipped.template(name) / "catalog.toml").read_text("utf-8"))
    return f"{facts['title']}. {facts['note']}"


def _copy(source: Path, folder: Path) -> None:
    """Copy the files of `source` to the new `folder` with a page on columns, all or none.

    They are written beside it first and then renamed in one step. The files are written
    anew rather than copied, so that they belong to the user and can be changed even where
    the installed ones cannot.
    """
    draft = Path(passing_name(str(folder.parent)))
    try:
        draft.mkdir()
        for file in sorted(source.iterdir()):
            (draft / file.name).write_bytes(file.read_bytes())
        (draft / columns.FILE).write_text(columns.columns_text(), "utf-8", newline="\n")
        draft.rename(folder)
    finally:
        gone(str(draft))


def _next_steps_in_sheets(file: Path, template: str) -> str:
    return f"""\
{place(file)} holds a catalogue from the template {template}; its prices are blank.
Next:
  1. Sheet devices: fill in the yellow column 'price' for what you can buy.
     Delete rows you have no use for; check the others against the data sheet.
  2. Sheet cables: the same. Sheet catalog: put in your currency.
Notes on the heads say what a column means. A row with a blank price is not for
sale: it is used only if you own it.
Then ask, for example:
  rigopt plan --catalog {shlex.quote(place(file))} --mic 16 --rate 48"""


def _next_steps(folder: Path, template: str) -> str:
    return f"""\
{place(folder)} holds a catalogue from the template {template}; its prices are blank.
Next:
  1. {place(folder / "devices.csv")}: fill in the column 'price' for what you can buy.
     Delete rows you have no use for; check the others against the data sheet.
  2. {place(folder / "cables.csv")}: the same.
  3. {place(folder / "catalog.toml")}: put in your currency.
What a column means stands in {place(folder / columns.FILE)}.
A row with a blank price is not for sale: it is used only if you own it.
Then ask, for example:
  rigopt plan --catalog {shlex.quote(place(folder))} --mic 16 --rate 48"""
