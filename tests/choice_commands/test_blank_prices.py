"""A catalogue without a single price serves those who own what it takes, and only them."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.cli.main import run

STAGES = "[inputs]\nmic = 8\n[[stage]]\ntitle = 'first'\n[stage.inputs]\nmic = 8\n"
COMMANDS = {
    "plan": ("plan",),
    "compare": ("compare", "--rate", "48", "--rate", "44.1"),
    "curve": ("curve", "--from", "2", "--to", "8", "--step", "3"),
    "stretch": ("stretch", "--budget", "100"),
    "grow": ("grow",),
}


@pytest.fixture
def template(tmp_path: Path) -> Path:
    assert run(["new", str(tmp_path / "mine")]) == 0
    return tmp_path / "mine"


def asked(template: Path, command: str, needs: str) -> int:
    file = template.with_name("needs.toml")
    file.write_text(needs, encoding="utf-8")
    return run([*COMMANDS[command], str(file), "--catalog", str(template)])


@pytest.mark.parametrize("command", COMMANDS)
def test_who_owns_the_gear_is_answered(
    command: str, template: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(template, command, "[owned]\ndesk-8 = 1\n" + STAGES) == 0
    shown = capsys.readouterr()
    assert "Nothing to buy" in shown.out or "0.00" in shown.out
    assert shown.err == ""


@pytest.mark.parametrize("command", COMMANDS)
def test_who_owns_nothing_hears_which_file_to_fill_in(
    command: str, template: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(template, command, STAGES) == 2
    assert "fill in the price column of" in capsys.readouterr().err
