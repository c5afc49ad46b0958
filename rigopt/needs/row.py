"""What a row of the table of needs says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal, NamedTuple

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Value

Kind = Literal[
    "count",  # a number; fewer are met sooner
    "rate",  # hertz
    "master",  # a role, or a device
    "reach",  # a number up to which something may go, and which always has an end
    "limit",  # a number up to which something may go; None is without end
    "run",  # millimetres that a cable has to span
    "money",  # minor units of the catalogue's currency; None is without end
    "ports",  # a choice of words
    "ids",  # ids of devices, each a need of its own
    "flag",  # asked for or not
    "pairs",  # a number that follows from the list of sources, and is read nowhere
    "table",  # names, each with a number; no need, but what is there to meet them
]
"""What advice has to know of a need: how its values are tightened and loosened."""

Reader = Callable[[object, Catalogue], object]
"""Makes one value, or one entry of a list, of what a file or an option says.

Raises `BadValueError` and nothing else."""


NO_LIMIT: Final = "none"
"""Typed for a limit that there is not to be, or a list that is to be empty."""


def off(typed: str) -> str:
    """The option that takes back a flag: --no-new-only."""
    return f"--no-{typed.removeprefix('--')}"


class Option(NamedTuple):
    """An option of the command line, as it is typed, and its line of the help."""

    typed: str
    metavar: str
    help: str
    example: str = ""
    """For the metavar NAME=NUMBER."""

    @property
    def name(self) -> str:
        """Its name as an argument: no_phantom for --no-phantom."""
        return self.typed.removeprefix("--").replace("-", "_")


class Row(NamedTuple):
    """One need."""

    key: str
    """As in the needs file, with its table: inputs.mic."""
    name: str
    """The field of `Needs`."""
    kind: Kind
    read: Reader | None
    neutral: Value = None
    """The value that forbids nothing. For the rate it is every rate, one after another."""
    given_up: int = 0
    """Place in the order in which needs are given up to find out what is in the way: what
    people think of least goes first. 0 is never."""
    say: str = ""
    """The need in words, as a noun; {} is its value, {s} the s of any number but 1."""
    named: Mapping[Value, str] = {}
    """The words where the value is one of these."""
    option: Option | None = None
    read_name: Callable[[object, Catalogue], str] | None = None
    """For the kind `table`: reads the names."""

    @property
    def table(self) -> str:
        """The table of the needs file that it stands in; '' is outside all of them."""
        return self.key.rpartition(".")[0]

    @property
    def leaf(self) -> str:
        """Its key within that table."""
        return self.key.rpartition(".")[2]

    @property
    def is_list(self) -> bool:
        """Whether its value is a list, of entries that `read` reads."""
        return self.kind in ("ids", "ports")
