"""What the commands that ask several questions share: reading, and who gets which text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

import click

from rigopt.answers.outcome import Answered, Impossible, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.errors import Fault, InputError
from rigopt.needs.keys import MOST_COUNT
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs
from rigopt.output.files import is_standard_output, write_all

CATALOGUE_FILES: Final = (
    "catalog.toml", "devices.csv", "cables.csv", "offers.csv", "sellers.csv", "extras.csv",
)  # fmt: skip
"""Files that no output may overwrite."""


def inputs(needs_files: Iterable[Path | None], folders: Iterable[Path]) -> list[Path]:
    """Every file that a question is read from: its own, if there is any, and the catalogues."""
    read = [path for path in needs_files if path is not None]
    return read + [folder / name for folder in folders for name in CATALOGUE_FILES]


def overrides(given: Mapping[str, object]) -> dict[str, object]:
    """The options that were given, by name."""
    return {name: value for name, value in given.items() if value not in (None, {})}


Data = Mapping[str, tuple[str | None, Callable[[], str] | None]]
"""What is told as data: target and text, by option; None where there is nothing to tell."""


def deliver(
    data: Data,
    text: Callable[[], str],
    summary: Callable[[], str],
) -> None:
    """Write each of `data` that has a target, then the text.

    Where data goes to standard output, the text makes way, and its summary goes to standard
    error.
    """
    wanted = [(target, tell) for target, tell in data.values() if target is not None]
    texts = [(target, tell()) for target, tell in wanted if tell is not None]
    if any(is_standard_output(target) for target, _ in wanted):
        write_all(texts)
        click.echo(summary(), err=True)
    else:
        write_all([*texts, ("-", text())])


def status(outcomes: Iterable[Outcome | None]) -> int:
    """Exit status: 0 if anything is answered, 3 if all is impossible, 4 if time was short."""
    seen = list(outcomes)
    if any(isinstance(outcome, Answered) for outcome in seen):
        return 0
    return 3 if all(isinstance(outcome, Impossible) for outcome in seen) else 4


def growing(
    needs_file: Path | None, catalogue: Catalogue, given: Mapping[str, object]
) -> Needs:
    """Needs whose number of microphones is still open; it is 0 in them.

    Raises:
        InputError: As for `open_ended`.
    """
    return replace(open_ended(needs_file, catalogue, given), mic=0, stages=())


def open_ended(
    needs_file: Path | None, catalogue: Catalogue, given: Mapping[str, object]
) -> Needs:
    """Needs whose number of microphones, and that of each stage, says nothing.

    Raises:
        InputError: When anything is wrong with the file or the options, or the file lists
            its sources one by one.
    """
    try:
        # As many as can be asked for, so that no share of them is too large.
        return read_needs(needs_file, catalogue, {**given, "mic": MOST_COUNT})
    except InputError as error:
        raise InputError([_listed(fault) for fault in error.faults]) from None


def _listed(fault: Fault) -> Fault:
    """The only fault that the number of microphones can have here, said as it is meant."""
    if fault.column != "--mic":
        return fault
    problem = "the file lists its sources one by one, so their number cannot grow"
    return replace(fault, problem=problem, column=None, value=None)
