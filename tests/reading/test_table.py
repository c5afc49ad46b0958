"""The table of needs: complete, without contradiction, and all that an option takes."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from rigopt.cli.options import needs_option
from rigopt.files.faults import Gathered
from rigopt.needs.overrides import read_value
from rigopt.needs.row import Option, Row
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs
from tests.reading.folders import SMALL, needs

READ = [row for row in TABLE if row.read]
WRITTEN = {"reach": "2", "rate": "96", "run": "2.5", "money": "12.50", "master": "host"}
"""What stands for a value of each kind, where 3 will not do."""


def test_every_need_has_a_row() -> None:
    by_hand = {"title", "sources", "stages", "resale"}
    assert [row.name for row in READ if not hasattr(Needs(), row.name)] == []
    assert {field.name for field in fields(Needs)} - {row.name for row in READ} == by_hand


@pytest.mark.parametrize("of", ["key", "name"])
def test_no_row_is_there_twice(of: str) -> None:
    values = [getattr(row, of) for row in TABLE]
    assert len(set(values)) == len(values)


def test_the_order_of_giving_up_is_settled() -> None:
    places = [row.given_up for row in TABLE if row.given_up]
    assert len(set(places)) == len(places)
    assert {row.name for row in TABLE if not row.given_up} == {"owned", "exchange"}


def test_every_need_has_words() -> None:
    for row in TABLE:
        flag = row.kind == "flag" and {True, False} == set(row.named)
        assert flag or row.kind == "table" or "{}" in row.say
        assert row.kind not in ("limit", "ids", "pairs") or row.neutral in row.named


def written(row: Row) -> str:
    words = {"ids": "desk-8", "ports": "pcie", "table": "desk-8=3"}
    return {**words, **WRITTEN}.get(row.kind, "3")


@pytest.mark.parametrize(
    "row", [row for row in READ if row.name != "exchange"], ids=lambda row: row.name
)
def test_an_option_is_read_as_the_file_is(row: Row, tmp_path: Path) -> None:
    """Whatever the row: an option for it takes a line here, and nothing elsewhere."""
    option = Option("--some-thing", "X", "Help.", "desk-8=1")
    said: dict[str, object] = {}

    @click.command()
    @needs_option(row, option)
    def echo(**given: object) -> None:
        said.update(given)

    args = ["--some-thing"] if row.kind == "flag" else ["--some-thing", written(row)]
    assert CliRunner().invoke(echo, args).exit_code == 0
    faults = Gathered("command line")
    found = read_value(row, said["some_thing"], "--some-thing", SMALL, faults)
    assert not faults.faults
    if row.name == "owned":
        found = {item: held.pieces for item, held in found.items()}
    value = {"table": "{desk-8 = 3}", "flag": "true"}.get(row.kind, f'"{written(row)}"')
    text = f"{row.key} = {value}\n" + ("" if row.name == "mic" else "inputs.mic = 9\n")
    assert found == getattr(needs(tmp_path, text), row.name)
    assert CliRunner().invoke(echo, []).exit_code == 0
    assert said == {"some_thing": None}
