"""`rigopt add`: a box added to a catalogue, by questions about its back panel."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import click

from rigopt.catalogue.folder import DEVICES, is_workbook
from rigopt.catalogue.interview import COLUMNS, Interview
from rigopt.catalogue.questions import DECIMALS, Question
from rigopt.catalogue.read import read_folder
from rigopt.cli.answering import Source, answer_source
from rigopt.errors import Fault, InputError
from rigopt.files.dialect import appended
from rigopt.files.faults import Gathered
from rigopt.files.text import LARGEST_MB, place, read_bytes
from rigopt.files.values import BadValueError, yes
from rigopt.output.files import check_targets, write_data
from rigopt.output.terminal.added import read_back

CONFIRM: Final = Question("", "Add this row", default="yes")


@click.command()
@click.option(
    "--catalog",
    type=click.Path(path_type=Path, readable=False),
    metavar="DIR",
    required=True,
    help="Catalogue folder to add to; 'rigopt new' makes one.",
)
def add(catalog: Path) -> int:
    """Add a box to a catalogue by answering what stands on its back panel.

    Each question has a short why, and what earlier answers settle is not asked. Enter alone
    takes what stands in brackets, '?' says that you do not know, '<' goes back. The row is
    read back as a sentence before it is written to devices.csv, which keeps its separator,
    decimal mark and encoding.

    Without a terminal the answers are read from standard input, one a line, a last 'yes'
    included; nothing is written unless all of them are sound.

    Exit status: 0 added, or left as it was on a no; 2 wrong use or an input in error.
    """
    if is_workbook(catalog):
        problem = (
            "is a workbook; add the box on its sheet devices, whose heads say what to fill in"
        )
        raise InputError([Fault(place(catalog), problem)])
    catalogue = read_folder(catalog, empty=True)
    file = catalog / DEVICES
    check_targets({"--catalog": str(file)})
    source = answer_source()
    interview = Interview(catalogue)
    while (question := interview.next()) is not None:
        _ask(interview, question, source)
    device = interview.device
    devices = {**catalogue.devices, device.id: device}
    row = read_back(device, replace(catalogue, devices=devices), interview.open_facts)
    unseen = source.show(row)
    said = _written(file, interview.cells) if _confirmed(source) else "is as it was."
    click.echo(f"{unseen}{place(file)} {said}")
    return 0


def _ask(interview: Interview, question: Question, source: Source) -> None:
    try:
        source.hint(interview.answer(question, source.take(question)))
    except BadValueError as fault:
        source.refuse(question, fault)


def _confirmed(source: Source) -> bool:
    """Whether the row is to be written; only if nothing is left over."""
    while True:
        try:
            said = yes(source.take(CONFIRM).strip() or "yes")
        except BadValueError as fault:
            source.refuse(CONFIRM, fault)
        else:
            source.finish()
            return said


def _written(file: Path, cells: dict[str, str]) -> str:
    """Write the row; what is to be said of the file then.

    Raises:
        InputError: When the file has no place for it.
        CannotWriteError: When it cannot be written.
    """
    faults = Gathered(place(file))
    data = read_bytes(file, faults, LARGEST_MB)
    try:
        done = appended(data or b"", cells, COLUMNS, DECIMALS)
    except BadValueError as fault:
        faults.add(str(fault))
    if faults:
        raise InputError(faults.faults)
    write_data([(str(file), done.data)])
    new = f" New columns: {', '.join(done.new_columns)}." if done.new_columns else ""
    return f"has it now.{new}"
