"""What the documents list by hand, compared with the program."""

from __future__ import annotations

import inspect
import json
import re
import shutil
import subprocess
import tomllib
from pathlib import Path
from signal import SIGTERM

import pytest

import rigopt
from rigopt.api.frames import COLUMNS
from rigopt.api.results import Result
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.cli.main import COMMANDS, INTERRUPTED, OWN_FAULT, READER_LEFT
from rigopt.needs.read import read_needs
from rigopt.needs.schema import SECTIONS
from rigopt.needs.table import TABLE
from rigopt.needs.types import Question
from rigopt.output.terminal.listing import HEADS
from tests.docs import pages
from tests.docs.pages import first_column, reference, tables

TEXT = pages.read(pages.README)
DEMO = read_folder(shipped.demo_catalogue())


@pytest.fixture(autouse=True)
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def prepared(topic: str) -> None:
    """Write every file that a page shows."""
    for step in pages.steps(f"rigopt/reference/{topic}.md"):
        pages.prepare(step)


def keys(line: str) -> list[str]:
    """What stands as code in the second cell of a table's row."""
    return re.findall(r"`([^`]+)`", line.split("|")[2])


def row(text: str, name: str) -> str:
    """The row of a table that begins with a name."""
    (found,) = [line for line in text.splitlines() if line.startswith(f"| `{name}`")]
    return found


def test_readme_can_be_read_to_its_end() -> None:
    assert TEXT.count("\n") <= 350


def test_it_begins_with_one_paragraph_on_the_job() -> None:
    assert re.match(r"# rigopt\n\n[^\n#`][^#`]*?\n\n## Two commands\n", TEXT)
    assert "\n\n" not in TEXT.split("\n\n## ")[0].removeprefix("# rigopt\n\n")


def test_there_are_two_commands_for_a_fresh_machine() -> None:
    job, tests = pages.setup_lines(pages.README)
    assert pages.answered(re.sub(r".* \S*/rigopt ", "rigopt ", job))
    assert tests.endswith("/python -m pytest")


def test_they_are_the_same_on_windows() -> None:
    (block,) = [s for s in pages.steps(pages.README) if s.language == "powershell"]
    said = [line.replace("\\Scripts\\", "/bin/") for line in block.text.splitlines()]
    wanted = [line.replace("python3 ", "py ") for line in pages.setup_lines(pages.README)]
    assert said == [line.replace(" &&", ";") for line in wanted]


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_the_setup_commands_are_well_formed() -> None:
    for line in pages.setup_lines(pages.README):
        subprocess.run(["bash", "-n", "-c", line], check=True)


def test_every_command_is_told_of() -> None:
    (table, *_) = tables(reference("commands"))
    assert [name.split()[1] for name in first_column(table)] == list(COMMANDS)


def test_the_exit_statuses_are_those_of_the_program() -> None:
    told = re.findall(r"^\| (\d+) \|", reference("commands"), re.MULTILINE)
    ended = [OWN_FAULT, INTERRUPTED, READER_LEFT, 128 + SIGTERM]
    assert [int(n) for n in told] == [0, 2, 3, 4, *ended]


def test_every_part_of_the_answer_is_explained() -> None:
    shown = pages.answered("rigopt plan --mic 24 --rate 48")
    parts = re.findall(r"^(\w+):  ", shown, re.MULTILINE)
    parts += [line.split(":")[0].capitalize() for line in shown.splitlines() if line.isupper()]
    told = re.findall(r"\*(\w[\w ]*)\*", reference("answer"))
    assert parts
    assert [part for part in parts if part not in told] == []


def test_every_key_of_the_needs_is_shown() -> None:
    prepared("needs")
    shown = {
        f"{table}.{key}" if table in SECTIONS else table
        for table, entries in tomllib.loads(Path("everything.toml").read_text("utf-8")).items()
        for key in (entries if isinstance(entries, dict) else [""])
    }
    assert shown == {"title", *(row.key for row in TABLE if row.read)}


def test_the_shown_catalogue_is_read() -> None:
    for topic in ("catalogue", "buying"):
        prepared(topic)
    catalogue = read_folder(Path("my-shop"))
    for table in ("devices", "cables", "formats", "sellers", "extras"):
        lines = Path(f"my-shop/{table}.csv").read_text("utf-8").splitlines()[1:]
        assert {line.split(",")[0] for line in lines} <= set(getattr(catalogue, table))
    assert len(catalogue.offers) == 4


def test_the_json_keys_are_those_of_the_answer() -> None:
    answer = json.loads(pages.answered("rigopt plan --mic 24 --rate 48 --json -"))
    text = reference("json")
    assert first_column(text) == list(answer)
    for key in ("units", "links", "inputs", "purchases"):
        assert keys(row(text, key)) == list(answer[key][0])


def test_the_json_keys_are_those_of_the_list() -> None:
    prepared("catalogue")
    pages.prepare(next(s for s in pages.steps("rigopt/reference/adding.md") if s.remark))
    pages.answered("rigopt add --catalog my-shop < clock.txt")
    found = json.loads(pages.answered("rigopt list --catalog my-shop --json -"))
    text = reference("adding")
    assert first_column(text) == list(found)
    assert keys(row(text, "rows")) == list(found["rows"][0])
    doubts = [doubt for row in found["rows"] for doubt in row["doubts"]]
    assert list(doubts[0]) == ["column", "says"]


def test_every_kind_of_row_is_named() -> None:
    sentence = re.search(r"`kind` is ([^;]*);", reference("adding"))
    assert sentence is not None
    assert re.findall(r"`([^`]+)`", sentence[1]) == list(HEADS)


def test_the_face_is_described_in_full() -> None:
    text = reference("python")
    *others, last = tables(text)
    questions, names, frames = map(first_column, [*others, last])
    untold = [name for name in rigopt.__all__ if not re.search(rf"\b{name}\b", text)]
    assert untold == ["Catalogue"]
    for question in questions:
        name, *shown = re.findall(r"\w+", question)
        assert shown == list(inspect.signature(getattr(rigopt, name)).parameters)[: len(shown)]
    own = {name for name in vars(Result) if not name.startswith("_")}
    assert {name.removesuffix("()") for name in names} == own
    assert frames == [rows.__name__ for rows in COLUMNS]
    for rows, columns in COLUMNS.items():
        assert keys(row(last, rows.__name__)) == list(columns)


def test_the_words_of_questions_are_understood() -> None:
    words = first_column(reference("words"))
    assert len(words) >= 25
    for said in words:
        read_needs(Question(said), DEMO, {})  # what is not understood raises
