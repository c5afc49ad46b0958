"""What the commands share: reading a question, and who gets which text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

import click

from rigopt.catalogue import shipped
from rigopt.catalogue.folder import OPTIONAL, REQUIRED, is_workbook
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.errors import Fault, InputError
from rigopt.needs.keys import MOST_COUNT
from rigopt.needs.known import check_known
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs, Question
from rigopt.output.files import check_targets, is_standard_output, write_all

Given = Mapping[str, object]
"""Options by name, as typed."""

Targets = Mapping[str, str | None]
"""Where each option that writes a file says to write it."""

Tells = Mapping[str, Callable[[], str]]
"""The text for each option that has anything to tell."""

_NOTHING: Final = {
    "--shopping-list": "there is nothing to buy, so no shopping list is written",
    "--input-list": "there is no rig, so no input list is written",
    "--page": "there is no rig, so no page is written",
    "--labels": "there is no rig, so no labels are written",
}


def inputs(
    asked: Iterable[Path | Question | None], folders: Iterable[Path], given: Given
) -> list[Path]:
    """Files that no output may overwrite: a question's own, and those of its catalogues."""
    read = [path for path in asked if isinstance(path, Path)]
    read += [Path(str(given["sources"]))] if given.get("sources") else []
    for folder in folders:
        names = (*REQUIRED, *OPTIONAL)
        read += [folder] if is_workbook(folder) else [folder / name for name in names]
    return read


def overrides(given: Given) -> dict[str, object]:
    """The options that were given, by name."""
    return {name: value for name, value in given.items() if value not in (None, {})}


def question(
    asked: Path | Question | None,
    catalog: Path | None,
    given: Given,
    targets: Targets,
    read: Callable[[Path | Question | None, Catalogue, Given], Needs] = read_needs,
    *,
    known: bool = True,
) -> tuple[Catalogue, Needs]:
    """The catalogue (the demo if none is named) and what is asked of it.

    `known`: whether every price that could count must be known.

    Raises:
        CannotWriteError: When an output could not be written.
        InputError: When anything is wrong with the files or options.
    """
    folder = catalog or shipped.demo_catalogue()
    check_targets(targets, inputs([asked], [folder], given))
    catalogue = read_folder(folder, invented=catalog is None)
    needs = read(asked, catalogue, given)
    owned = [needs.owned, *(stage.needs.owned for stage in needs.stages)]
    if known:
        check_known(catalogue, needs)
        every = {item: n for part in owned for item, n in part.items()}
        check_for_sale(folder, catalogue, every)
    return catalogue, needs


SAY: Final = "say what you need: a file, or for example --mic 16"


def check_asked(asked: Iterable[Needs], said: bool) -> None:
    """Refuse needs that ask for nothing; `said`: something was given all the same.

    Raises:
        click.UsageError: When some do.
    """
    for needs in asked:
        if needs.ask_for_something:
            continue
        if needs.stages:
            raise click.UsageError("only the stages ask for something; use 'rigopt grow'")
        if said:
            raise click.UsageError(f"nothing was asked for: no source and no output; {SAY}")
        raise click.UsageError(SAY)


def deliver(
    targets: Targets,
    tells: Tells,
    text: Callable[[], str],
    summary: Callable[[], str],
    catalog: Path | None = None,
) -> None:
    """Write what is told to each target that is given, then the text.

    Lists are written as the tables of `catalog` are, so that the same spreadsheet opens them.

    Where data goes to standard output, the text makes way, and its summary goes to standard
    error. That there is nothing to tell is said there, too.
    """
    wanted = {option: target for option, target in targets.items() if target is not None}
    for option in wanted:
        if option not in tells:
            click.echo(f"rigopt: {_NOTHING[option]}", err=True)
    texts = [(target, tells[option]()) for option, target in wanted.items() if option in tells]
    if catalog is not None and wanted.keys() & _LISTS:
        lists = [wanted[option] for option in wanted if option in _LISTS]
        texts = [(t, _in_style(t, told, catalog) if t in lists else told) for t, told in texts]
    if any(is_standard_output(target) for target in wanted.values()):
        write_all(texts)
        click.echo(summary(), err=True)
    else:
        write_all([*texts, ("-", text())])


_LISTS: Final = ("--csv", "--shopping-list", "--input-list")
"""Options that write CSV."""


def _in_style(target: str, told: str, catalog: Path) -> str:
    """A list in the style of a catalogue; in a stream, a mark at the start would be a sign."""
    # Here and not above: an answer without a list does not wait for it.
    from rigopt.catalogue.read import style  # noqa: PLC0415
    from rigopt.output.data.csv import styled  # noqa: PLC0415

    found = style(catalog)
    return styled(told, found._replace(marked=found.marked and not is_standard_output(target)))


def growing(asked: Path | Question | None, catalogue: Catalogue, given: Given) -> Needs:
    """Needs whose number of microphones is still open; it is 0 in them.

    Raises:
        InputError: As for `open_ended`.
    """
    return replace(open_ended(asked, catalogue, given), mic=0, stages=())


def open_ended(asked: Path | Question | None, catalogue: Catalogue, given: Given) -> Needs:
    """Needs whose number of microphones, and that of each stage, says nothing.

    Raises:
        InputError: When anything is wrong with the file or the options, or the file lists
            its sources one by one.
    """
    try:
        # As many as can be asked for, so that no share of them is too large.
        return read_needs(asked, catalogue, {**given, "mic": MOST_COUNT})
    except InputError as error:
        raise InputError([_listed(fault) for fault in error.faults]) from None


def _listed(fault: Fault) -> Fault:
    """The only fault that the number of microphones can have here, said as it is meant."""
    if fault.column != "--mic":
        return fault
    problem = "the sources are listed one by one, so their number cannot grow"
    return replace(fault, problem=problem, column=None, value=None)
