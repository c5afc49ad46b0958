"""A slip in TOML shows its line, a caret, and what to do about it in plain words."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.cli.main import run
from rigopt.files.toml_slips import LONGEST_LINE, Slip, slip
from tests.reading.folders import needs_faults

TWICE = "this key stands twice in its table; keep one of them"
UNTRUE = "the value ends before this; what follows it does not belong to it"


@pytest.mark.parametrize(
    ("text", "row", "remedy", "at"),
    [
        ("[inputs]\nmic = “4”\n", 2, 'quotation marks must be straight ones: "', "“"),
        ("rate_khz = 44,1  # CD\n", 1, "numbers have a decimal point here: 44.1", ","),
        ("[clock]\nown_clocks = yes\n", 2, "write true for 'yes'", "y"),
        ("[clock]\nown_clocks =  No # x\n", 2, "write false for 'No'", "N"),
        ("[clock]\nown_clocks = True\n", 2, "write true for 'True'", "T"),
        ("title = Choir, live\n", 1, 'a text stands in quotation marks: "Choir, live"', "C"),
        ("rate_khz = 48 kHz\n", 1, "a number stands alone, without a unit: 48", "k"),
        ("[limits]\nbudget = 900€\n", 2, "a number stands alone, without a unit: 900", "€"),
        ("[inputs\nmic = 4\n", 1, "the bracket is not closed: ]", ""),
        ('title = "x\nrate_khz = 48\n', 1, "the quotation mark is not closed on its line", ""),
        ("mic: 4\n", 1, "between key and value stands =, not a colon: mic = 4", ":"),
        ("[inputs]\nmic =\nline = 3\n", 2, "there is no value behind the =", ""),
        ("mic = 08\n", 1, "a number does not begin with 0: 8", "8"),
        ("new only = true\n", 1, "a key is one word, or stands in quotation marks", "o"),
        ("hello\n", 1, "a line is KEY = VALUE, or a [TABLE] for the lines below it", ""),
        ("[inputs]\nmic = 4\nmic = 5\n", 3, TWICE, ""),
        ('title = "a" "b"\n', 1, UNTRUE, '"b'),
        ("title = [1, 2\n\n", 1, "the bracket of the list is not closed: ]", ""),
    ],
)
def test_a_slip(tmp_path: Path, text: str, row: int, remedy: str, at: str) -> None:
    (told,) = needs_faults(tmp_path, text)
    head, line, caret = told.split("\n")
    assert head == f"needs.toml, row {row}: is not valid TOML: {remedy}"
    assert line.split() == text.split("\n")[row - 1].split()
    assert caret.strip() == "^"
    assert line[len(caret) - 1 :].startswith(at)
    assert at or len(caret) == len(line) + 1


def test_tabs_and_control_signs_do_not_move_the_caret(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "needs.toml"
    path.write_text('\ttitle\t = \t"\x1b" +\n', encoding="utf-8")
    assert run(["plan", str(path)]) == 2
    _, line, caret = capsys.readouterr().err.split("\n")[:3]
    assert line.strip() == r'title = "\x1b" +'
    assert line[caret.index("^")] == "\\"


def test_what_is_not_known_is_told_with_a_small_first_letter() -> None:
    message = "Some ODD thing; see there (at line 2, column 3)"
    found = slip("a = 1\nb = 2\n", message)
    assert found == Slip(2, "some ODD thing", ("b = 2", "  ^"))
    assert slip("a = 1\n", "Something nowhere") is None


def test_a_long_line_is_cut(tmp_path: Path) -> None:
    (told,) = needs_faults(tmp_path, f"title = Choir {'x' * 300}\n")
    _, line, caret = told.split("\n")
    assert len(line) == LONGEST_LINE + len("    ")
    assert caret.strip() == "^"
    (told,) = needs_faults(tmp_path, f'title = "{"x" * 300}" +\n')
    assert len(told.split("\n")) == 2


def test_what_the_parser_does_not_place_is_told_as_it_says(tmp_path: Path) -> None:
    (told,) = needs_faults(tmp_path, f"mic = {'9' * 5000}\n")
    assert told.startswith("needs.toml: is not valid TOML: ")
