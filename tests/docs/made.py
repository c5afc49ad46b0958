"""The parts of the documents that are made from the program.

They stand between `<!-- made: WHAT -->` and `<!-- end -->`.
"""

from __future__ import annotations

import re

import click

from rigopt.catalogue.columns import COLUMNS, needed
from rigopt.cli.main import COMMANDS, HELP, commands
from rigopt.output.terminal.about import TOPICS, page
from tests.docs import pages

_PART = re.compile(r"^(<!-- made: (.*?) -->\n)(.*?)(<!-- end -->)$", re.DOTALL | re.MULTILINE)

Option = tuple[str, str]
"""As the help has it: what is typed, and what it does."""


def remade(text: str) -> str:
    """A document with each of these parts made anew."""
    return _PART.sub(lambda part: part[1] + made(part[2]) + part[4], text)


def made(what: str) -> str:
    if what == "topics":
        return topics()
    if what == "options":
        return options()
    return columns(what.removeprefix("columns of "))


def topics() -> str:
    """A link to each page, with its title."""
    titles = {topic: page(topic).split("\n", 1)[0].removeprefix("# ") for topic in TOPICS}
    folder = pages.REFERENCE.relative_to(pages.PACKAGE.parent).as_posix()
    return "".join(f"- [`{t}`]({folder}/{t}.md): {said}\n" for t, said in titles.items())


def columns(table: str) -> str:
    """The columns of a table of the catalogue, and those that may not be blank."""
    rows = [(f"`{column.name}`", column.told) for column in COLUMNS[table]]
    told = ", ".join(f"`{name}`" for name in needed(table))
    return drawn(("column", "meaning"), rows) + f"\nMust be filled in: {told}.\n"


def options() -> str:
    """The options of each command, after `plan` only those that differ from its own."""
    plan, parts = given("plan"), []
    for name in COMMANDS:
        here = given(name)
        own = [option for option in here if name == "plan" or option not in plan]
        rows = [(f"`{typed}`", said) for typed, said in own]
        table = [drawn(("option", "meaning"), rows)] if rows else []
        others = [] if name == "plan" else shared(plan, here)
        if table or others:
            parts.append("\n".join([f"## Options of {name}\n", *table, *others]))
    return "\n".join(parts)


def shared(plan: list[Option], here: list[Option]) -> list[str]:
    """A sentence on the options that a command has as `rigopt plan` has them."""
    both = [typed.split()[0] for typed, said in plan if (typed, said) in here]
    here_names = {typed.split()[0] for typed, _ in here}
    lacks = [typed.split()[0] for typed, _ in plan if typed.split()[0] not in here_names]
    if 2 * len(both) > len(plan):
        return [f"All those of `rigopt plan` but {listed(lacks)}.\n"]
    return [f"As in `rigopt plan`: {listed(both)}.\n"] if both else []


def given(name: str) -> list[Option]:
    """The options of a command, help left out."""
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    context = click.Context(command, info_name=name, help_option_names=HELP)
    found = [p for p in command.params if isinstance(p, click.Option)]
    records = [record for option in found if (record := option.get_help_record(context))]
    return [(typed, " ".join(said.split())) for typed, said in records]


def listed(names: list[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


def drawn(heads: Option, rows: list[Option]) -> str:
    """A table; a bar within a cell is not the end of it."""
    lines = [heads, ("---", "---"), *rows]
    cells = [[cell.replace("|", r"\|") for cell in row] for row in lines]
    return "".join(f"| {name} | {meaning} |\n" for name, meaning in cells)
