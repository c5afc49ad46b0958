"""Where the answers to questions come from: a person at a terminal, or lines from a pipe."""

from __future__ import annotations

import sys
from typing import BinaryIO, Final, Protocol

import click

from rigopt.catalogue.questions import Question
from rigopt.errors import Fault, InputError
from rigopt.files.text import decode, with_line_feeds
from rigopt.files.values import BadValueError, shown
from rigopt.output.terminal.added import asked_text

MOST_BYTES: Final = 100_000
"""More than the answers about any box take."""

INTRODUCTION: Final = """\
Enter alone takes what stands in brackets; ? is for what you do not know; < goes back.
Nothing is written before the row was read back to you."""


class Source(Protocol):
    """Who answers."""

    def take(self, question: Question) -> str:
        """The answer to a question."""

    def hint(self, changes: str) -> None:
        """What the truth would change where the answer was that it is not known, or nothing."""

    def refuse(self, question: Question, fault: BadValueError) -> None:
        """Say what is wrong with the last answer; it is asked for again, or it ends here."""

    def show(self, row: str) -> str:
        """Show the row that the answers make; returns what is still to be shown at the end."""

    def finish(self) -> None:
        """See that no answer is left over."""


def answer_source() -> Source:
    """Standard input.

    Raises:
        InputError: When it is closed, or holds no text.
    """
    if sys.stdin is None:
        raise InputError([Fault("standard input", "is closed: there is nobody to ask")])
    stream = sys.stdin.buffer
    return Typed(stream) if stream.isatty() else Piped(stream)


class Typed:
    """A person: each question is shown, and asked again until it is answered."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        click.echo(INTRODUCTION, err=True)

    def take(self, question: Question) -> str:
        """What is typed, or Ctrl-D as an end of it all."""
        click.echo(asked_text(question), nl=False, err=True)
        line = self._stream.readline()
        if not line:
            raise click.Abort
        return (decode(line) or ("", ""))[0]

    def hint(self, changes: str) -> None:
        """Say it at once."""
        if changes:
            click.echo(f"  {changes}", err=True)

    def refuse(self, question: Question, fault: BadValueError) -> None:
        """Say it; the question stays open."""
        del question
        click.echo(f"  That {fault}.", err=True)

    def show(self, row: str) -> str:
        """At once, for it is asked whether it is right."""
        click.echo(row)
        return ""

    def finish(self) -> None:
        """Nobody types ahead."""


class Piped:
    """Lines, one an answer; the first that is wrong ends it."""

    def __init__(self, stream: BinaryIO) -> None:
        data = stream.read(MOST_BYTES + 1)
        decoded = decode(data)
        if decoded is None or "\x00" in decoded[0]:
            raise InputError([Fault("standard input", "is not text: one answer a line")])
        if len(data) > MOST_BYTES:
            problem = f"is more than {MOST_BYTES} bytes: one answer a line"
            raise InputError([Fault("standard input", problem)])
        text = with_line_feeds(decoded[0])
        self._lines = text.removesuffix("\n").split("\n") if text else []
        self._number = 0

    def take(self, question: Question) -> str:
        """The next line."""
        if self._number == len(self._lines):
            problem = f"ends before the question '{question.text}?'; nothing was written"
            raise InputError([Fault("standard input", problem)])
        self._number += 1
        return self._lines[self._number - 1]

    def hint(self, changes: str) -> None:
        """It is told with the row."""

    def refuse(self, question: Question, fault: BadValueError) -> None:
        """Name the question and the line."""
        typed = self._lines[self._number - 1] if fault.piece is None else fault.piece
        problem = f"'{question.text}?': {fault}"
        raise InputError(
            [Fault("standard input", problem, self._number, value=shown(typed))]
        ) from None

    def show(self, row: str) -> str:
        """At the end, if all goes well."""
        return f"{row}\n"

    def finish(self) -> None:
        """See that every line was an answer."""
        for number, line in enumerate(self._lines[self._number :], start=self._number + 1):
            if line.strip():
                problem = "stands after the last answer; nothing was written"
                raise InputError([Fault("standard input", problem, number)])
