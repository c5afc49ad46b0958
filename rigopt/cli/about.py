"""`rigopt about`: the pages of the reference."""

from __future__ import annotations

import shutil
import sys

import click

from rigopt.files.faults import nearest
from rigopt.output.files import write_all
from rigopt.output.terminal.about import TOPICS, as_text, contents, page


@click.command()
@click.argument("topic", required=False)
def about(topic: str | None) -> None:
    """A page of the reference; without TOPIC, the list of them.

    At a terminal that is shorter than the page it is shown by the program that PAGER names.
    """
    if topic is None:
        write_all([("-", contents())])
        return
    name = topic.casefold()
    if name not in TOPICS:
        near = nearest(name, TOPICS)
        hint = f"; did you mean '{near}'?" if near else ""
        raise click.UsageError(
            f"there is no topic '{topic}'{hint}\nthe topics are {', '.join(TOPICS)}"
        )
    _show(as_text(page(name)))


def _show(text: str) -> None:
    """Print `text`, or page it where it would run off the top of the terminal."""
    if (
        sys.stdout
        and sys.stdout.isatty()
        and text.count("\n") >= shutil.get_terminal_size().lines
    ):
        click.echo_via_pager(text.removesuffix("\n"))
    else:
        write_all([("-", text)])
