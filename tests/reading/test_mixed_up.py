"""One thing given where another is meant: the message says which it is, and where it goes."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from rigopt.catalogue import shipped
from rigopt.cli.main import run
from tests.reading.folders import SOUND, faults, needs_faults, write

NEEDS = "[inputs]\nmic = 4\n"
RIG = 'rate_khz = 48\n[units]\nhost-1 = "desk-8"\n'


def told(capsys: pytest.CaptureFixture[str], *args: str | Path) -> str:
    assert run([str(arg) for arg in args]) == 2
    return capsys.readouterr().err


def test_a_catalogue_in_the_place_of_needs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "my gear"
    shutil.copytree(shipped.demo_catalogue(), folder)
    for command in ("plan", "compare", "curve"):
        said = told(capsys, command, folder)
        assert "is a folder, and needs are a file; if it is your catalogue, say" in said
        assert f"--catalog '{folder}'" in said
    book = tmp_path / "gear.xlsx"
    book.write_bytes(b"")
    assert (
        f"is a workbook, and needs are a file; if it is your catalogue, say --catalog {book}"
        in (told(capsys, "plan", book))
    )
    assert "is the head of a catalogue, not needs" in told(
        capsys, "plan", folder / "catalog.toml"
    )


def test_an_option_with_one_dash(capsys: pytest.CaptureFixture[str]) -> None:
    for typed in (["-mic", "16"], ["-mic=16"]):
        said = told(capsys, "plan", *typed)
        assert said.startswith("rigopt: there is no option '-mic'; did you mean '--mic', with")
    assert told(capsys, "plan", "-q").startswith("rigopt: No such option '-q'")
    assert told(capsys, "-mic").startswith("rigopt: No such option")


def test_needs_in_the_place_of_a_rig(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for text in (NEEDS, '[[source]]\nname = "Voice"\n', "[limits]\nbudget = 5\n"):
        (tmp_path / "n.toml").write_text(text)
        said = told(capsys, "audit", tmp_path / "n.toml")
        assert "n.toml: is a file of needs, not a rig: a rig has [units]." in said
        assert len(said.splitlines()) == 1
    (tmp_path / "n.toml").write_text('rate_khz = 48\n[unit]\na = "b"\n')
    assert "units: this is missing" in told(capsys, "audit", tmp_path / "n.toml")


def test_a_rig_in_the_place_of_needs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "rig.toml").write_text(RIG)
    said = told(capsys, "plan", tmp_path / "rig.toml")
    assert said.endswith("rig.toml: is a rig, not needs; 'rigopt audit' tests it\n")
    (tmp_path / "rig.toml").write_text("rate_khz = 48\n[[links]]\n")
    assert "is a rig, not needs" in told(capsys, "plan", tmp_path / "rig.toml")
    (tmp_path / "rig.json").write_text("{}")
    assert "is JSON, and needs are TOML" in told(capsys, "plan", tmp_path / "rig.json")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[source]\nname = 'A'\n", "source: is a list: each entry begins with [[source]], in"),
        (
            "[[stage]]\n[stage.source]\nname = 'A'\n",
            "stage[1].source: is a list: each entry begins with [[stage.source]], in two",
        ),
        ("[[inputs]]\nmic = 4\n", "inputs: is there once: it begins with [inputs], in one"),
        ("source = 5\n", "source: must be a list (found '5')"),
    ],
)
def test_the_wrong_number_of_brackets(tmp_path: Path, text: str, fault: str) -> None:
    (said,) = needs_faults(tmp_path, text)
    assert said.startswith(f"needs.toml, {fault}")


def test_a_folder_with_a_file_of_nearly_that_name_lacks_three(tmp_path: Path) -> None:
    (tmp_path / "divices.csv").write_text("id,role\n")
    lacks = "this file is missing; a catalogue needs catalog.toml, devices.csv, cables.csv"
    assert faults(tmp_path) == [
        f"catalog.toml: {lacks}",
        f"devices.csv: {lacks}; did you mean 'divices.csv'?",
        f"cables.csv: {lacks}",
    ]


def test_a_folder_that_is_no_catalogue_is_one_fault(tmp_path: Path) -> None:
    for name in ("services.csv", "letter.txt", "cat.toml"):
        (tmp_path / name).write_text("x")
    assert faults(tmp_path) == [
        f"{tmp_path}: is no catalogue: there is none of catalog.toml, devices.csv, cables.csv; "
        "'rigopt new FOLDER' makes one"
    ]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("services.csv", False),
        ("orders.csv", False),
        ("divices.csv", True),
        ("Device.csv", True),
        ("devices (1).csv", True),
        ("my-devices.csv.txt", True),
    ],
)
def test_only_a_name_that_may_be_meant_is_suggested(
    tmp_path: Path, name: str, meant: bool
) -> None:
    write(tmp_path, {})
    (tmp_path / "devices.csv").rename(tmp_path / name)
    (said,) = faults(tmp_path)
    assert ("did you mean" in said) is meant


def test_a_catalogue_that_may_not_be_entered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, SOUND)
    # For a superuser, as in many containers, no folder is shut.
    monkeypatch.setattr(os, "access", lambda *_args, **_more: False)
    said = told(capsys, "plan", "--mic", "2", "--catalog", tmp_path)
    assert said == f"rigopt: {tmp_path}: this folder may not be entered: permission denied\n"

    def shut(_: object) -> list[str]:
        raise PermissionError

    monkeypatch.setattr(os, "listdir", shut)
    said = told(capsys, "plan", "--mic", "2", "--catalog", tmp_path)
    assert said == f"rigopt: {tmp_path}: this folder may not be read: permission denied\n"
