"""`rigopt new`: written whole or not at all, and nothing is ever overwritten."""

import errno
import os
import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from rigopt.catalogue import shipped
from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.read import read_folder
from rigopt.cli.main import run
from rigopt.cli.new import new
from rigopt.output.terminal import columns


@pytest.fixture(autouse=True)
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


@pytest.mark.parametrize("name", shipped.template_names())
def test_it_copies_the_template(room: Path, name: str) -> None:
    assert run(["new", "gear", "--template", name]) == 0
    made = contents(room / "gear")
    assert made.pop(columns.FILE)
    assert made == contents(shipped.template(name))
    assert os.listdir(room) == ["gear"]


def test_the_small_desk_is_the_default(room: Path) -> None:
    assert run(["new", "gear"]) == 0
    assert contents(shipped.template("usb-desk")).items() <= contents(room / "gear").items()


def test_a_page_beside_it_explains_every_column_and_is_not_read(room: Path) -> None:
    assert run(["new", "gear"]) == 0
    page = (room / "gear" / columns.FILE).read_text("ascii")
    for table, listed in COLUMNS.items():
        part = page.split(f"\n{table}.csv\n")[1].split("\n\n")[0]
        told = re.findall(r"^  (\w+) +(.*(?:\n {6}.*)*)", part, re.MULTILINE)
        assert [(name, " ".join(said.split())) for name, said in told] == [
            (column.name, column.told) for column in listed
        ]
        (needed,) = re.findall(r"(.*) must be filled in\.", part)
        assert re.split(", | and ", needed) == columns.needed(table)
    before = read_folder(room / "gear")
    (room / "gear" / columns.FILE).write_bytes(b"\xff\0mine")
    assert read_folder(room / "gear") == before


def test_every_word_that_a_column_may_hold_is_told() -> None:
    for listed in COLUMNS.values():
        for column in listed:
            words = set(re.findall(r"[\w-]+", column.told))
            assert column.others or set(column.choices) <= words, column.name


def test_it_says_what_to_fill_in_next(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new", "my gear"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    for text in ("my gear/devices.csv", "'price'", "my gear/cables.csv", "catalog.toml"):
        assert text in told.out
    assert "rigopt plan --catalog 'my gear' --mic" in told.out


def test_the_files_can_be_changed_where_the_installed_ones_cannot(
    room: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    locked = room / "locked"
    locked.mkdir()
    (locked / "devices.csv").write_text("id,role\n")
    (locked / "devices.csv").chmod(0o444)
    locked.chmod(0o555)
    monkeypatch.setattr(shipped, "template", lambda _name: locked)
    assert run(["new", "gear"]) == 0
    locked.chmod(0o755)
    assert (room / "gear").stat().st_mode & 0o200
    assert (room / "gear" / "devices.csv").stat().st_mode & 0o200


@pytest.mark.parametrize("kind", ["file", "folder", "dangling link"])
def test_it_refuses_what_is_there(
    room: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    place = room / "gear"
    if kind == "file":
        place.write_text("mine")
    elif kind == "folder":
        place.mkdir()
    else:
        place.symlink_to(room / "nowhere")
    assert run(["new", "gear"]) == 2
    assert "gear: it is there already" in capsys.readouterr().err
    assert os.listdir(room) == ["gear"]
    assert kind != "file" or place.read_text() == "mine"
    assert kind != "folder" or os.listdir(place) == []


@pytest.mark.parametrize("folder", ["nowhere/gear", "x" * 300, "a-file/gear"])
def test_it_says_what_it_cannot_write(
    room: Path, capsys: pytest.CaptureFixture[str], folder: str
) -> None:
    (room / "a-file").write_text("")
    assert run(["new", folder]) == 2
    assert f"cannot write {folder}" in capsys.readouterr().err
    assert os.listdir(room) == ["a-file"]


def test_a_copy_that_fails_half_way_leaves_nothing(
    room: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    write_bytes = Path.write_bytes

    def full(path: Path, data: bytes) -> int:
        if path.name == "devices.csv":
            raise OSError(28, "No space left on device")
        return write_bytes(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    assert run(["new", "gear"]) == 2
    assert "the disk is full" in capsys.readouterr().err
    assert os.listdir(room) == []


@pytest.mark.parametrize("name", ["gear", "gear.xlsx"])
def test_what_nobody_was_told_of_is_not_left(
    room: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """The disk is full: the text cannot be said, and the next try must not find a folder."""

    def full(_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(click, "echo", full)
    with pytest.raises(OSError, match="full"):
        new.callback(Path(name), "usb-desk")  # type: ignore[misc]
    assert list(room.iterdir()) == []


def test_a_name_with_control_characters_does_not_reach_the_terminal(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["new", "gear\x1b[31m"]) == 0
    assert run(["new", "gear\x1b[31m"]) == 2
    told = capsys.readouterr()
    assert "\x1b" not in told.out + told.err


def test_an_unknown_template_is_refused(room: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new", "gear", "--template", "usb-desc"]) == 2
    assert "usb-desk" in capsys.readouterr().err
    assert os.listdir(room) == []


def test_the_help_lists_every_template() -> None:
    from rigopt.cli.new import new

    told = CliRunner().invoke(new, ["--help"]).output
    assert "A small USB desk." in told
    for name in shipped.template_names():
        assert f"\n  {name} " in told


def test_spaces_in_the_name_stay_as_they_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new", "my  gear"]) == 0
    assert "--catalog 'my  gear' " in capsys.readouterr().out
