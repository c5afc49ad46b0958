"""The table of differences in README.md is that of the commands."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from rigopt.cli.main import commands

TEXT = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def options(name: str) -> dict[str, click.Option]:
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    return {p.opts[0]: p for p in command.params if isinstance(p, click.Option)}


def told(name: str) -> tuple[list[str], list[str]]:
    """What the table says that a command has of its own, and has not."""
    line = next(line for line in TEXT.splitlines() if line.startswith(f"| `rigopt {name}` |"))
    own, lacks = line.split("|")[2:4]
    return re.findall(r"`(--[\w-]+)", own), re.findall(r"`(--[\w-]+)", lacks)


@pytest.mark.parametrize("name", ["compare", "curve"])
def test_the_differences_are_those_of_the_commands(name: str) -> None:
    plan, here = options("plan"), options(name)
    own, lacks = told(name)
    again = [option for option in here if here[option].multiple and not plan[option].multiple]
    new = [option for option in here if option not in plan]
    assert sorted(own) == sorted([*again, *new])
    assert set(lacks) <= set(plan) - set(here)


def test_a_stretch_has_no_options_of_its_own() -> None:
    assert told("stretch") == (["--budget"], ["--mic"])
    assert set(options("stretch")) <= set(options("plan")) - {"--mic"}


def test_the_counts_of_a_curve_are_what_is_told() -> None:
    line = next(line for line in TEXT.splitlines() if line.startswith("| `rigopt curve` |"))
    for name, number in re.findall(r"`(--\w+) N` \((\d+)\)", line):
        assert options("curve")[name].default == int(number)
