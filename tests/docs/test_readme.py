"""What README.md shows is run as it stands; what it lists is compared with the program."""

import inspect
import json
import re
import shutil
import subprocess
import tomllib
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import click
import pytest

import rigopt
from rigopt.api.frames import COLUMNS
from rigopt.api.results import Result
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.rows import (
    CableRow,
    DeviceRow,
    ExtraRow,
    FormatRow,
    OfferRow,
    SellerRow,
)
from rigopt.cli.main import COMMANDS, INTERRUPTED, OWN_FAULT, commands
from rigopt.needs.read import read_needs
from rigopt.needs.schema import SECTIONS
from rigopt.needs.table import TABLE
from rigopt.needs.types import Question
from tests.docs import pages

TEXT = pages.read("README.md")
ABOVE = "output of the lines above"
DEMO = read_folder(shipped.demo_catalogue())


def section(title: str) -> str:
    """The text under a heading of the second level."""
    return re.split(r"^## ", TEXT.split(f"\n## {title}\n")[1], flags=re.MULTILINE)[0]


def first_column(table: str) -> list[str]:
    """Every `name` in the first cell of a table's rows, in order."""
    cells = re.findall(r"^\| ([^|]*`[^|]*) \|", table, re.MULTILINE)
    return [name for cell in cells for name in re.findall(r"`([^`]+)`", cell)]


def options(name: str) -> list[str]:
    """The options of a command, help left out."""
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    found = [p for p in command.params if isinstance(p, click.Option)]
    return [option.opts[0] for option in found]


def table_columns(title: str) -> list[list[str]]:
    """The first columns of the tables of a section, one list a table."""
    tables = re.findall(r"(?:^\|[^\n]*\n)+", section(title), re.MULTILINE)
    return [first_column(table) for table in tables]


def follow(folder: Path) -> list[tuple[str, int, str]]:
    """Do what README says, in order, in `folder`: line, status and output of each command."""
    done = []
    for step in pages.steps("README.md"):
        if step.remark.startswith("fill in the prices of "):
            pages.fill_in(folder / step.remark.split()[-1])
        elif step.remark.startswith("file: "):
            target = folder / step.remark.removeprefix("file: ")
            target.parent.mkdir(exist_ok=True)
            target.write_text(step.text, "utf-8")
        elif step.language == "sh":
            for line in step.text.splitlines():
                if line.startswith("rigopt "):
                    result = pages.run(line)
                    status = int(result.return_value or 0) if result.exception is None else -1
                    done.append((line, status, result.output + repr(result.exception)))
    return done


@pytest.fixture(scope="module")
def followed(
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Path, list[tuple[str, int, str]]]:
    folder = tmp_path_factory.mktemp("readme")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return folder, follow(folder)


def test_it_begins_with_one_paragraph_on_the_job() -> None:
    assert re.match(r"# rigopt\n\n[^\n#`][^#`]*?\n\n## Two commands\n", TEXT)
    assert "\n\n" not in TEXT.split("\n\n## ")[0].removeprefix("# rigopt\n\n")


def test_there_are_two_commands_for_a_fresh_machine() -> None:
    job, tests = pages.setup_lines("README.md")
    assert job.endswith("rigopt plan --mic 24 --rate 48")
    assert tests.endswith("-m pytest")
    assert job in section("Two commands")
    assert tests in section("Two commands")


def test_every_command_that_is_shown_answers(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    _, done = followed
    assert len(done) >= 7
    assert [(line, told) for line, status, told in done if status != 0] == []


def test_every_command_line_stands_in_a_block_that_is_run(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    shown = re.findall(r"^rigopt .*$", TEXT, re.MULTILINE)
    assert shown == [line for line, _, _ in followed[1]]


def test_the_shown_outputs_are_what_comes_out() -> None:
    shown = [step for step in pages.steps("README.md") if step.language == "text"]
    commands = [step for step in shown if step.remark.startswith("output of: ")]
    assert len(commands) >= 1
    for step in commands:
        result = pages.run(step.remark.removeprefix("output of: "))
        assert result.stdout == step.text
    # Every other one stands under lines of Python, which are run by the next test.
    assert {step.remark for step in shown if step not in commands} == {ABOVE}


def test_the_shown_python_prints_what_is_shown(
    followed: tuple[Path, list[tuple[str, int, str]]],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Block after block, in one session, in the folder with the files of all commands."""
    monkeypatch.chdir(followed[0])
    names: dict[str, object] = {"__name__": "readme"}
    steps = pages.steps("README.md")
    blocks = [(step, under) for step, under in pairwise(steps) if step.language == "python"]
    assert len(blocks) >= 4
    for step, under in blocks:
        exec(compile(step.text, "README.md", "exec"), names)
        printed = capsys.readouterr()
        assert printed.out == (under.text if under.remark == ABOVE else "")
        assert printed.err == ""


def test_the_face_is_described_in_full() -> None:
    questions, names, tables = table_columns("From Python")
    text = section("From Python")
    untold = [name for name in rigopt.__all__ if not re.search(rf"\b{name}\b", text)]
    assert untold == ["Catalogue"]
    for question in questions:
        name, *shown = re.findall(r"\w+", question)
        assert shown == list(inspect.signature(getattr(rigopt, name)).parameters)[: len(shown)]
    own = {name for name in vars(Result) if not name.startswith("_")}
    assert {name.removesuffix("()") for name in names} == own
    assert tables == [rows.__name__ for rows in COLUMNS]
    for rows, columns in COLUMNS.items():
        (row,) = [
            line for line in text.splitlines() if line.startswith(f"| `{rows.__name__}` |")
        ]
        assert re.findall(r"`([^`]+)`", row.split("|")[2]) == list(columns)


def test_every_part_of_the_answer_is_explained() -> None:
    shown = next(step.text for step in pages.steps("README.md") if step.language == "text")
    parts = re.findall(r"^(\w+):  ", shown, re.MULTILINE)
    parts += [line.split(":")[0].capitalize() for line in shown.splitlines() if line.isupper()]
    told = re.findall(r"\*(\w[\w ]*)\*", section("Daily use"))
    assert parts
    assert [part for part in parts if part not in told] == []


def test_the_shown_files_are_read(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    folder, _ = followed
    catalogue = read_folder(folder / "my-shop")
    assert catalogue.title == "What I can buy"
    assert catalogue.devices["desk-8"].price == 32900
    assert catalogue.cables["opt-1m-x2"].pack == 2
    assert [offer.price for offer in catalogue.offers] == [33500, 29000, 17500, 550]
    assert catalogue.sellers["corner"].free_over == 50000
    assert catalogue.extras["strip"].pack == 4
    for step in pages.steps("README.md"):
        if step.language in ("toml", "csv"):
            assert step.remark.startswith("file: "), "a block that no test reads"


def test_the_needs_that_are_shown_in_full_are_what_they_say(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    folder, _ = followed
    needs = read_needs(folder / "everything.toml", DEMO, {})
    assert (needs.mic, needs.phantom, needs.no_phantom) == (24, 16, 2)
    assert needs.budget == 150000
    assert needs.owned == {"desk-8": 1}
    assert needs.avoid == ("rack-16",)
    assert needs.exchange == {"EUR": Decimal("1.17")}
    assert (needs.sellers, needs.new_only, needs.owned_only) == (2, False, False)


def test_every_key_of_the_needs_is_shown() -> None:
    step = next(s for s in pages.steps("README.md") if s.remark == "file: everything.toml")
    shown = {
        f"{table}.{key}" if table in SECTIONS else table
        for table, entries in tomllib.loads(step.text).items()
        for key in (entries if isinstance(entries, dict) else [""])
    }
    assert shown == {"title", *(row.key for row in TABLE if row.read)}


def test_the_json_keys_are_those_of_the_answer(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    folder, _ = followed
    answer = json.loads((folder / "rig.json").read_text("utf-8"))
    text = section("The answer as JSON")
    assert first_column(text) == list(answer)
    for key in ("units", "links", "inputs", "purchases"):
        row = next(line for line in text.splitlines() if line.startswith(f"| `{key}`"))
        told = re.findall(r"`([^`]+)`", row.split("|")[2])
        assert told == list(answer[key][0])


def test_the_shopping_list_is_written(
    followed: tuple[Path, list[tuple[str, int, str]]],
) -> None:
    folder, _ = followed
    assert (folder / "list.csv").read_text("utf-8").startswith("item,")


def test_every_command_is_told_of() -> None:
    for name in COMMANDS:
        assert f"`rigopt {name} " in section("Commands and options")


def test_the_options_are_those_of_the_commands() -> None:
    told = table_columns("Commands and options")
    for name, table in zip(("plan", "new", "audit", "rates", "grow"), told, strict=True):
        assert [option.split()[0] for option in table] == options(name)


def test_the_columns_are_those_of_the_files() -> None:
    devices, cables, formats = table_columns("The catalogue folder")
    offers, sellers, extras = table_columns("Sellers, extras and what you own")
    assert devices == list(DeviceRow.model_fields)
    assert cables == list(CableRow.model_fields)
    assert formats == list(FormatRow.model_fields)
    assert offers == list(OfferRow.model_fields)
    assert sellers == list(SellerRow.model_fields)
    assert extras == list(ExtraRow.model_fields)


def test_the_exit_statuses_are_those_of_the_program() -> None:
    told = [int(n) for n in re.findall(r"^\| (\d+) \|", section("Exit status"), re.MULTILINE)]
    assert told == [0, 2, 3, 4, OWN_FAULT, INTERRUPTED]


def test_the_templates_are_named() -> None:
    row = next(line for line in TEXT.splitlines() if line.startswith("| `--template"))
    assert sorted(re.findall(r"`([a-z-]+)`", row)) == sorted(shipped.template_names())


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_the_setup_commands_are_well_formed() -> None:
    for line in pages.setup_lines("README.md"):
        subprocess.run(["bash", "-n", "-c", line], check=True)


def test_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", TEXT):
        assert (pages.ROOT / target).exists()


def test_the_words_of_questions_are_understood() -> None:
    words = first_column(section("A question in words"))
    assert len(words) >= 25
    for said in words:
        read_needs(Question(said), DEMO, {})  # what is not understood raises
