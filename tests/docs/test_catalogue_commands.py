"""What README.md says of `rigopt add` and `rigopt list`, compared with the program."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.docs import pages
from tests.docs.test_readme import first_column, options, section, table_columns

ADDING, READING = "Adding a box by questions", "Reading a catalogue back"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The lines about `my-shop` that add and list, run in order: what each of them says."""
    folder, said = tmp_path_factory.mktemp("readme"), {}
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        for step in pages.steps("README.md"):
            if step.remark.startswith("file: "):
                file = folder / step.remark.removeprefix("file: ")
                file.parent.mkdir(exist_ok=True)
                file.write_text(step.text, "utf-8")
            for line in step.text.splitlines() if step.language == "sh" else ():
                if re.match(r"rigopt (add|list) ", line):
                    result = pages.run(line)
                    assert result.exception is None
                    assert result.return_value == 0
                    said[line] = result.stdout
        assert pages.run("rigopt list --catalog my-shop --json list.json").return_value == 0
        said["json"] = Path("list.json").read_text("utf-8")
    return said


def test_both_are_shown(told: dict[str, str]) -> None:
    assert [line.split()[1] for line in told if line != "json"] == ["add", "list"]


def test_the_shown_part_is_what_comes_out(told: dict[str, str]) -> None:
    shown = [step for step in pages.steps("README.md") if step.remark.startswith("part of: ")]
    assert len(shown) == 1
    for step in shown:
        assert step.text in told[step.remark.removeprefix("part of: ")]


def test_the_options_are_those_of_the_commands() -> None:
    (adding,), (reading, _) = table_columns(ADDING), table_columns(READING)
    assert [option.split()[0] for option in adding] == options("add")
    assert [option.split()[0] for option in reading] == options("list")


def test_the_json_keys_are_those_of_the_list(told: dict[str, str]) -> None:
    found = json.loads(told["json"])
    text = section(READING)
    assert first_column(text)[-len(found) :] == list(found)
    (row,) = [line for line in text.splitlines() if line.startswith("| `rows`")]
    assert re.findall(r"`([^`]+)`", row.split("|")[2]) == list(found["rows"][0])
    doubts = [doubt for row in found["rows"] for doubt in row["doubts"]]
    assert list(doubts[0]) == ["column", "says"]


def test_every_kind_of_row_is_named() -> None:
    from rigopt.output.terminal.listing import HEADS

    sentence = re.search(r"`kind` is ([^;]*);", section(READING))
    assert sentence is not None
    assert re.findall(r"`([^`]+)`", sentence[1]) == list(HEADS)
