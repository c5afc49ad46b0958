"""The command `rigopt`: finds the subcommand, and turns every error into plain lines.

Subcommands are imported only when they are called, so that help and version come at once.
"""

from __future__ import annotations

import codecs
import errno
import gc
import importlib
import io
import os
import sys
import traceback
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final, NoReturn

import click
from click.exceptions import NoArgsIsHelpError
from click.shell_completion import get_completion_class

from rigopt.errors import RigoptError
from rigopt.files.faults import nearest
from rigopt.output.words.clean import clean

COMMANDS: Final[dict[str, str]] = {
    # Name, which is also the module's and the function's: one line of help.
    "plan": "The cheapest rig that meets a need.",
    "compare": "Several needs, rates, masters or catalogues side by side.",
    "curve": "The price against the number of microphones.",
    "stretch": "The most microphones for a budget.",
    "grow": "What to buy at each stage of a growing rig.",
    "prices": "Which prices to look up next.",
    "audit": "Whether a wired rig works, and what to change.",
    "rates": "The inputs of a wired rig at every sample rate.",
    "new": "A catalogue folder to fill in.",
    "add": "A box added to a catalogue, by questions about its back panel.",
    "list": "A catalogue read back in plain words.",
    "about": "The reference: columns, needs, rules, options, JSON and more.",
}

HELP: Final = ["-h", "--help"]

INTERRUPTED: Final = 130
"""Exit status after Ctrl-C, as shells have it: 128 and the number of the signal."""

COMPLETE: Final = "_RIGOPT_COMPLETE"
"""What a shell sets when it asks for completion."""

READER_LEFT: Final = 141
"""Exit status where nobody reads on, as from 'head', without a word; as shells have it."""

NO_ROOM: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "there is no room left for this user",
    errno.EIO: "the device does not work",
}
"""What keeps even a help text from being written."""

OWN_FAULT: Final = 70
"""Exit status for a fault of this program (EX_SOFTWARE of sysexits.h, from memory)."""

_PLAIN: Final = {"–": "-", "…": "~", "’": "'"}


class _Commands(click.Group):
    """A group that knows its commands by name and imports one when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names in the order of the help."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now; None for an unknown name."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        found: click.Command = getattr(
            importlib.import_module(f"rigopt.cli.{cmd_name}"), cmd_name
        )
        found.context_settings.setdefault("help_option_names", HELP)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that `args` begins with, or an error that names the nearest one."""
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            near = nearest(args[0], COMMANDS)
            hint = f"; did you mean '{near}'?" if near else ""
            raise click.UsageError(f"there is no command '{args[0]}'{hint}", ctx)
        return super().resolve_command(ctx, args)


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": HELP, "max_content_width": 80},
)
@click.version_option(package_name="rigopt", prog_name="rigopt", message="%(prog)s %(version)s")
def commands() -> None:
    """Find the cheapest rig of interfaces, expanders and cables.

    You say how many microphones and other sources must reach the computer at once, and
    give a catalogue of what can be bought. You get the units, every cable, the clock
    settings and the bill.
    """


def main(args: Sequence[str] | None = None) -> NoReturn:
    """Run the command line and leave with its exit status; never with a traceback.

    What a program may do with its process is done here, and not when this is imported.
    """
    _make_haste()
    _speak_safely()
    status = run(args)
    # The system takes all of it back at once; Python would take it apart piece by piece
    # first, which takes longer than some answers. Every line was flushed when it was said,
    # and one that could not be was complained about.
    os._exit(status)


def run(args: Sequence[str] | None = None) -> int:
    """Run one command; errors go to standard error. Returns the exit status."""
    if os.environ.get(COMPLETE) and not _completes(os.environ):
        _complain(f"{COMPLETE} asks for completion in no way that a shell does")
        return 2
    try:
        status = commands.main(args, prog_name="rigopt", standalone_mode=False)
    except (click.ClickException, RigoptError) as error:
        return _refused(error, sys.argv[1:] if args is None else args)
    except SystemExit as end:
        # The library of the command line leaves with 1 where a pipe is broken, and only there.
        if end.code == 1:
            return READER_LEFT
        raise
    except (Exception, KeyboardInterrupt) as error:
        return _broken(error)
    return status if isinstance(status, int) else 0


def _refused(error: click.ClickException | RigoptError, args: Sequence[str]) -> int:
    """Say what is wrong with `args`, or with a file."""
    if isinstance(error, RigoptError):
        _complain(str(error))
        return error.exit_status
    return _misused(error, args)


def _broken(error: BaseException) -> int:
    """Say that it was stopped, what is wrong with the device, or that this is our fault.

    What Ctrl-C became on its way, as where a package was being loaded, is still Ctrl-C.
    """
    if isinstance(error, click.Abort) or _chain(error, KeyboardInterrupt):
        _complain("stopped")
        return INTERRUPTED
    if isinstance(error, OSError) and error.errno in NO_ROOM:
        _complain(f"cannot write standard output: {NO_ROOM[error.errno]}")
        return 2
    _complain(_own_fault(error))
    return OWN_FAULT


def _completes(asked: Mapping[str, str]) -> bool:
    """Whether a shell asks for completion as it should: what it is, and at which word."""
    shell, _, what = asked[COMPLETE].partition("_")
    at = asked.get("COMP_CWORD", "")
    placed = "COMP_WORDS" in asked and (at.isdecimal() or shell == "fish")
    known = get_completion_class(shell) is not None
    return known and (what == "source" or (what == "complete" and placed))


def _chain(error: BaseException | None, kind: type[BaseException]) -> bool:
    """Whether `error`, or one that it followed from, is of that kind."""
    while error is not None and not isinstance(error, kind):
        error = error.__cause__ or error.__context__
    return error is not None


def _misused(error: click.ClickException, args: Sequence[str]) -> int:
    """Say what is wrong with `args`; returns the exit status."""
    if isinstance(error, NoArgsIsHelpError):
        click.echo(error.message, err=True)
        return error.exit_code
    told = _one_dash(error, args) if isinstance(error, click.NoSuchOption) else ""
    _complain(told or error.format_message(), getattr(error, "ctx", None))
    return error.exit_code


def _one_dash(error: click.NoSuchOption, args: Sequence[str]) -> str:
    """What is said of an option that was typed with one dash, if it is that."""
    known = {
        name
        for param in (error.ctx.command.params if error.ctx else ())
        for name in param.opts
        if name.startswith("--")
    }
    for typed in args:
        name = typed.partition("=")[0]
        if f"-{name}" in known:
            return f"there is no option '{name}'; did you mean '-{name}', with two dashes?"
    return ""


def _complain(message: str, ctx: click.Context | None = None) -> None:
    lines = [_cleaned(line) for line in message.splitlines()]
    click.echo("rigopt: " + "\n        ".join(lines), err=True)
    if ctx is not None:
        click.echo(f"{ctx.get_usage()}\nFor help: {ctx.command_path} --help", err=True)


def _cleaned(line: str) -> str:
    """`line` made safe, as far to the right as it was: a caret stands under its place."""
    return " " * (len(line) - len(line.lstrip(" "))) + clean(line)


def _own_fault(error: BaseException) -> str:
    """What a report needs, without a traceback: kind, text and the place in our code."""
    frames = traceback.extract_tb(error.__traceback__)
    places = [f"{Path(frame.filename).name}:{frame.lineno}" for frame in frames[-3:]]
    return (
        f"a fault of this program, not of your files. Please report it:\n"
        f"{type(error).__name__}: {error}\nat {', '.join(places)}"
    )


def _make_haste() -> None:
    """Leave out what a program that answers one question does not need."""
    # No plugin of some other package has a say in how files are read, and looking for
    # plugins takes longer than reading a catalogue.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # Numpy comes with the solver and would start a thread for each core to do sums nobody
    # asks for.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Hardly anything that is loaded becomes garbage; looking for it at every 700 objects, as
    # is the default, takes a tenth of the time of a small question.
    gc.set_threshold(1_000_000, 20, 20)


def _speak_safely() -> None:
    """Speak UTF-8 where only ASCII is set; elsewhere say a plainer sign instead of failing.

    A stream is set to ASCII by a bare locale, not by a terminal that knows no more.
    """
    codecs.register_error("rigopt-plain", _plainer)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            bare = codecs.lookup(stream.encoding).name == "ascii"
            encoding = "utf-8" if bare else stream.encoding
            stream.reconfigure(encoding=encoding, errors="rigopt-plain")


def _plainer(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    bad = error.object[error.start : error.end]
    return "".join(_PLAIN.get(char, "?") for char in bad), error.end
