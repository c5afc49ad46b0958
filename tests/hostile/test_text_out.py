"""Text from files in every output: shown, and never at work.

A label may be made to look like an escape sequence, a formula or markup. What cannot be
printed is refused when it is read, or made visible when it is written.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from rigopt.cli.main import COMMANDS
from rigopt.cli.plan import plan as plan_command
from tests.hostile import attack

pytestmark = pytest.mark.full

PLAIN = [v for v in attack.VALUES if v and v.strip(" \t\r\n") and len(v) < 500]
"""Those that may be a label; some are refused, which is as good."""


def toml(text: str) -> str:
    """A basic string of TOML; JSON's are close enough."""
    return json.dumps(text, ensure_ascii=False)


def folder_with(room: Path, label: str) -> Path:
    """A catalogue whose every free text is `label`."""
    quoted = label.replace('"', '""')
    devices = attack.DEVICES.replace("Desk, 8 preamps", quoted).replace("Eight preamps", quoted)
    cables = attack.CABLES.replace("Optical, 1 m", quoted)
    head = f'title = {toml(label)}\ncurrency = "GBP"\nnote = {toml(label)}\n'
    files = {"devices.csv": devices, "cables.csv": cables, "catalog.toml": head}
    return attack.write(room / "c", {k: v.encode("utf-8", "replace") for k, v in files.items()})


def needs_with(room: Path, label: str) -> Path:
    """Ten microphones, all of them named after `label`."""
    lines = [f"title = {toml(label)}"]
    for number in range(10):
        lines += ["[[source]]", f"name = {toml(f'{label}{number}')}", 'kind = "mic"']
    path = room / "needs.toml"
    path.write_bytes("\n".join(lines).encode("utf-8", "replace"))
    return path


@pytest.mark.parametrize("label", PLAIN, ids=ascii)
def test_labels_are_harmless_in_every_output(label: str, tmp_path: Path) -> None:
    folder, needs = folder_with(tmp_path, label), needs_with(tmp_path, label)
    said = attack.plan(folder, needs)
    assert said.status in (0, 2)
    if said.status == 2:
        assert attack.plan(folder, "--mic", 10).status == 2 or "needs.toml" in said.err
        return
    rig, shopping = tmp_path / "rig.json", tmp_path / "list.csv"
    attack.plan(folder, needs, "--json", rig, "--shopping-list", shopping)
    assert attack.harmless_json(rig.read_text("utf-8"))
    assert attack.harmless_csv(shopping.read_bytes().decode())
    assert attack.harmless_text(shopping.read_bytes().decode())


def test_something_hostile_gets_through_to_the_outputs(tmp_path: Path) -> None:
    # Otherwise the test above would look at nothing.
    accepted = 0
    some = PLAIN[::4]
    for number, label in enumerate(some):
        room = tmp_path / str(number)
        room.mkdir()
        accepted += attack.plan(folder_with(room, label), "--mic", 10).status == 0
    assert accepted > len(some) // 2


def test_a_formula_stays_text(tmp_path: Path) -> None:
    folder = folder_with(tmp_path, '=HYPERLINK("http://x","y")')
    said = attack.plan(folder, "--mic", 10, "--shopping-list", "-")
    cells = [row[1] for row in csv.reader(io.StringIO(said.out, newline=""))]
    assert cells.count('\'=HYPERLINK("http://x","y")') == 3


@pytest.mark.parametrize(
    "name", ["\x1b[31mred\x1b[0m.toml", "a\nb.toml", "\u202egpj.toml", "\udcff.toml"], ids=ascii
)
def test_names_of_files_are_harmless_in_messages(name: str, tmp_path: Path) -> None:
    said = attack.rigopt("plan", tmp_path / name)
    assert said.status == 2
    assert "there is no such file" in said.err
    folder = attack.write(tmp_path / name)
    (folder / "devices.csv").write_text("id,rôle\x1b\n")
    assert attack.plan(folder, "--mic", 1).status == 2
    assert attack.plan(folder, "--mic", 1, "--json", folder / name / "x").status == 2


@pytest.mark.parametrize("command", COMMANDS)
def test_words_of_the_command_line_are_harmless(command: str) -> None:
    for word in ("--\x1b[2J", "\x1b]0;x\x07", "--json=\x1b/\x07", "\u202e"):
        said = attack.rigopt(command, word, word, word)
        assert said.status == 2


def test_json_on_a_terminal_shows_no_raw_sign(tmp_path: Path) -> None:
    said = attack.plan(folder_with(tmp_path, "a\u200d\u202eb🎤"), "--mic", 10, "--json", "-")
    assert said.status == 0
    assert attack.harmless_json(said.out)


# --- the page -------------------------------------------------------------------------------

HAS_PAGE = any("--page" in option.opts for option in plan_command.params)


class _Tags(HTMLParser):
    """Collects tags with their attributes, and text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def _pages(room: Path) -> Iterator[tuple[str, _Tags, str]]:
    for number, label in enumerate(PLAIN[::8]):
        place = room / str(number)
        place.mkdir()
        page = place / "page.html"
        said = attack.plan(folder_with(place, label), needs_with(place, label), "--page", page)
        if said.status == 0:
            source = page.read_text("utf-8")
            parsed = _Tags()
            parsed.feed(source)
            yield label, parsed, source


@pytest.mark.skipif(not HAS_PAGE, reason="plan has no --page yet")
def test_labels_are_no_markup_on_the_page(tmp_path: Path) -> None:
    shapes = set()
    for label, page, source in _pages(tmp_path):
        shapes.add(tuple(sorted({tag for tag, _ in page.tags})))
        assert attack.harmless_text(source), label
        assert "<script>alert" not in source
        assert not any(
            name.startswith("on") or (value or "").strip().casefold().startswith("javascript:")
            for _, attributes in page.tags
            for name, value in attributes.items()
        )
    assert len(shapes) == 1  # no label adds a kind of tag


def test_no_file_is_left_where_the_tests_run() -> None:
    assert not [name for name in os.listdir() if name.startswith(".rigopt-")]
