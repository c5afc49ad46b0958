"""What README.md and the reference show is run as it stands, each document by itself.

What is shown as an output, and what is made from the program, is written anew by

    RIGOPT_GOLDEN=write python -m pytest tests/docs/test_documents.py

after a change that is meant. Read the difference before you keep it.
"""

from __future__ import annotations

import posixpath
import re
import tomllib
from pathlib import Path

import pytest

from rigopt.output.terminal.about import TOPICS
from tests.docs import made, pages

documents = pytest.mark.parametrize("name", pages.DOCUMENTS)


@documents
def test_what_it_shows_is_what_happens(
    name: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    """Every command answers, every output is that of its command, every file is read.

    In a folder with the files of the documents before it.
    """
    monkeypatch.chdir(tmp_path)
    pages.set_the_scene(name)
    reader = pages.Reader()
    text = pages.read(name)
    for step in pages.steps(name):
        real = reader.do(step)
        if real != step.text and pages.WRITE:
            text = text.replace(f"\n{step.text}```", f"\n{real}```")
        else:
            assert real == step.text, step.remark
    if pages.WRITE:
        pages.place(name).write_text(text, "utf-8")
    assert capfd.readouterr().err == ""
    for step in pages.steps(name):
        if step.remark.startswith("part of: "):
            assert step.text in reader.said[step.remark.removeprefix("part of: ")]


@documents
def test_nothing_that_is_shown_is_left_out(name: str) -> None:
    steps = pages.steps(name)
    run = [line for step in steps for line in step.commands]
    assert re.findall(r"^rigopt .*$", pages.read(name), re.MULTILINE) == run
    for step in steps:
        if step.language in ("toml", "csv"):
            assert step.remark.startswith("file: "), "a file that is not written"
        if step.language == "text":
            assert step.remark == pages.ABOVE or step.remark.startswith("output of: ")
        if step.language == "txt":
            assert step.remark.startswith(("part of: ", "file: "))
        assert step.language in ("", "sh", "powershell", "toml", "csv", "text", "txt", "python")


@documents
def test_what_is_made_from_the_program_is_up_to_date(name: str) -> None:
    text = pages.read(name)
    if pages.WRITE:
        text = made.remade(text)
        pages.place(name).write_text(text, "utf-8")
    assert text == made.remade(text)


def test_all_that_can_be_made_is_shown() -> None:
    text = "".join(map(pages.read, pages.DOCUMENTS))
    shown = re.findall(r"^<!-- made: (.*) -->$", text, re.MULTILINE)
    wanted = ["topics", "options", *(f"columns of {table}" for table in made.COLUMNS)]
    assert sorted(shown) == sorted(wanted)


@documents
def test_links_lead_somewhere(name: str) -> None:
    for target, _, anchor in re.findall(r"\]\(([^)#]+)(#([^)]*))?\)", pages.read(name)):
        text = pages.read(posixpath.normpath(posixpath.join(posixpath.dirname(name), target)))
        heads = re.findall(r"^#+ (.*)$", text, re.MULTILINE)
        anchors = [re.sub(r"[^\w -]", "", head).lower().replace(" ", "-") for head in heads]
        assert not anchor or anchor in anchors, target


def test_every_page_has_its_topic() -> None:
    assert sorted(path.stem for path in pages.REFERENCE.iterdir()) == sorted(TOPICS)


def test_every_page_begins_with_its_title() -> None:
    for name in pages.DOCUMENTS:
        assert re.match(r"# [^\n]+\n\n[^#\n]", pages.read(name)), name


def test_the_pages_are_installed() -> None:
    """What is packed holds every file of the package, and the reference is in it."""
    build = tomllib.loads(pages.read("pyproject.toml"))["tool"]["hatch"]["build"]
    assert build.keys() == {"targets"}
    assert build["targets"]["wheel"].keys() == {"packages", "force-include"}
    assert build["targets"]["wheel"]["packages"] == ["rigopt"]
    assert pages.REFERENCE.is_relative_to(pages.PACKAGE)
