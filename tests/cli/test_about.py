"""`rigopt about`: every page can be read at a terminal and in a pipe."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from wcwidth import width

from rigopt.cli.main import run
from rigopt.output.terminal.about import TOPICS, as_text, contents, page


@pytest.mark.parametrize("topic", TOPICS)
def test_every_page_fits_a_terminal(topic: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["about", topic]) == 0
    shown, markdown = capsys.readouterr().out, page(topic)
    title = markdown.splitlines()[0].removeprefix("# ")
    assert shown.startswith(f"{title}\n{'=' * len(title)}\n\n")
    assert shown.endswith("\n")
    assert not shown.endswith("\n\n")
    typed = re.findall(r"^```\w+\n(.*?)^```$", markdown, re.DOTALL | re.MULTILINE)
    as_they_are = {line.strip() for block in typed for line in block.splitlines()}
    for line in shown.splitlines():
        assert line.strip() in as_they_are or width(line) <= 80, line


@pytest.mark.parametrize("topic", TOPICS)
def test_no_word_of_a_page_is_lost(topic: str) -> None:
    def words(text: str) -> list[str]:
        return sorted(set(re.findall(r"\w{3,}", text.casefold())))

    markdown = re.sub(r"^<!--.*?-->$|^```\w+$|\]\([^)]*\)", "", page(topic), flags=re.MULTILINE)
    # What stands over a column of two is not repeated on every row.
    markdown = re.sub(r"^(\|[^|\n]*){2}\|\n\| --- \| --- \|$", "", markdown, flags=re.M)
    lost = set(words(markdown)) - set(words(as_text(page(topic))))
    assert lost == set()


def test_the_parts_of_a_page() -> None:
    markdown = (
        "# A page\n\nSome `code_*_here`, a `name`, *stress* and **more**; see\n"
        "[rules](rules.md) and [the words](words.md#some).\n\n"
        "## A part\n\n- one\n  goes on\n- two\n\n"
        "<!-- made: this -->\n| `a \\| b` | what |\n| --- | --- |\n| `--one \\| 1` | it |\n\n"
        "| a | b | c |\n| --- | --- | --- |\n| 1 | 2 | 3 |\n<!-- end -->\n\n"
        "```sh\nrigopt plan\n\n# done\n```\n\n```text\nprinted  so\n```\n"
    )
    assert as_text(markdown) == (
        "A page\n======\n\nSome code_*_here, a 'name', stress and more; see "
        "rules and the words (rigopt\n"
        "about words).\n\nA PART\n\n- one goes on\n- two\n\n--one | 1\n    it\n\n"
        "1\n    b: 2; c: 3\n\n    rigopt plan\n\n    # done\n\nprinted  so\n"
    )


def test_without_a_topic_all_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["about"]) == 0
    shown = capsys.readouterr().out
    assert shown == contents()
    assert [line.split()[0] for line in shown.splitlines()[2:]] == list(TOPICS)


def test_the_case_of_a_topic_does_not_matter(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["about", "JSON"]) == 0
    assert capsys.readouterr().out == as_text(page("json"))


@pytest.mark.parametrize(
    ("topic", "near"), [("rule", "'rules'"), ("x" * 50, None), ("", None), ("../needs", None)]
)
def test_an_unknown_topic_is_an_error_that_names_them(
    topic: str, near: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["about", topic]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    said = " ".join(told.err.split())
    assert f"there is no topic '{topic}'" in said
    assert ", ".join(TOPICS) in said
    assert near is None or f"did you mean {near}?" in said


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs pseudo-terminals")
@pytest.mark.parametrize(("lines", "paged"), [(24, True), (1000, False)])
def test_a_long_page_is_paged_at_a_terminal(tmp_path: Path, lines: int, paged: bool) -> None:
    """The pager is one that keeps what it is given."""
    ours, theirs = os.openpty()
    try:
        done = subprocess.run(
            [sys.executable, "-m", "rigopt", "about", "glossary"],
            stdin=theirs,
            stdout=theirs,
            stderr=subprocess.PIPE,
            cwd=tmp_path,
            env={**os.environ, "PAGER": "tee kept", "LINES": str(lines), "TERM": "xterm"},
            timeout=120,
            check=True,
        )
    finally:
        os.close(theirs)
        os.close(ours)
    assert done.stderr == b""
    kept = tmp_path / "kept"
    assert kept.exists() == paged
    assert not paged or kept.read_text("utf-8") == as_text(page("glossary"))
