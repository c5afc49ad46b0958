from __future__ import annotations

import datetime
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from rigopt.cli import main as cli
from rigopt.cli import options


@click.command()
@options.catalogue_option
@options.needs_options
@options.json_option
@options.shopping_option
@options.time_limit_option
@options.today_option
def echo(**given: object) -> None:
    click.echo(repr({name: value for name, value in given.items() if value is not None}))


def run(*args: str) -> tuple[int, str]:
    done = CliRunner().invoke(echo, args)
    return done.exit_code, done.output


def test_nothing_given() -> None:
    """The clock says what day it is, and nothing else is read from it."""
    status, shown = run()
    assert status == 0
    said = eval(shown, {"datetime": datetime})
    assert datetime.date.today() - said.pop("today") <= datetime.timedelta(days=1)
    assert said == {}


def test_everything_given() -> None:
    status, shown = run(
        "--catalog",
        "dir",
        "--mic",
        "24",
        "--phantom",
        "8",
        "--no-phantom",
        "1",
        "--line",
        "2",
        "--instrument",
        "3",
        "--rate",
        "44.1",
        "--master",
        "host",
        "--budget",
        "900",
        "--owned",
        "desk-8=1",
        "--owned",
        "a=b=2",
        "--json",
        "-",
        "--shopping-list",
        "x.csv",
        "--time-limit",
        "0.5",
        "--owned-only",
        "--new-only",
        "--sellers",
        "0",
        "--exchange",
        "EUR=1.17",
        "--exchange",
        "JPY=190,5",
        "--today",
        "2025-01-31",
    )
    assert status == 0
    assert eval(shown, {"PosixPath": Path, "datetime": datetime}) == {
        "catalog": Path("dir"),
        "mic": "24",
        "phantom": "8",
        "no_phantom": "1",
        "line": "2",
        "instrument": "3",
        "rate": "44.1",
        "master": "host",
        "budget": "900",
        "owned": {"desk-8": "1", "a=b": "2"},
        "json_to": "-",
        "shopping_to": "x.csv",
        "time_limit": 0.5,
        "owned_only": True,
        "new_only": True,
        "sellers": "0",
        "exchange": {"EUR": "1.17", "JPY": "190,5"},
        "today": datetime.date(2025, 1, 31),
    }


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--owned", "desk-8"], "not of the form ID=N"),
        (["--owned", "=1"], "not of the form ID=N"),
        (["--owned", "a=1", "--owned", "a=2"], "'a' is given twice"),
        (["--exchange", "EUR"], "not of the form CUR=RATE"),
        (["--exchange", "EUR=1", "--exchange", "EUR=2"], "'EUR' is given twice"),
        (["--today", "2025-02-30"], "'2025-02-30' must be a date such as 2025-03-31"),
        (["--today", "3/4/2025"], "'3/4/2025' could be 2025-03-04 or 2025-04-03"),
        (["--time-limit", "0"], "above zero"),
        (["--time-limit", "-1"], "above zero"),
        (["--time-limit", "nan"], "above zero"),
        (["--time-limit", "inf"], "above zero"),
        (["--time-limit", "soon"], "not a valid float"),
    ],
)
def test_wrong_values(args: list[str], said: str) -> None:
    status, shown = run(*args)
    assert status == 2
    assert said in shown


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--mic", "-1"], "--mic: must not be negative (found '-1')"),
        (["--mic", "2.5"], "--mic: must be a whole number from 0 to 1000000 (found '2.5')"),
        (["--mic", "1" * 5000], "--mic: is a number of more than 18 digits (found '111"),
        (["--mic", ""], "--mic: is not a number (found '')"),
        (["--owned", "desk-8=-1"], "--owned: must not be negative (found '-1')"),
        (["--owned", "desk-8=²"], "--owned: is not a number (found '²')"),
        (["--sellers", "-1"], "--sellers: must not be negative (found '-1')"),
    ],
)
def test_values_that_are_refused_where_a_file_is_read_too(
    args: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["plan", "--line", "1", *args]) == 2
    assert capsys.readouterr().err.startswith(f"rigopt: command line, {said}")
