"""`rigopt add` as a command: pipes, terminals, what is refused, and that nothing is lost."""

from __future__ import annotations

import os
import select
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigopt.catalogue.read import read_folder
from rigopt.cli.main import run
from tests.adding.boxes import OUT_ONLY, add, lines, shop
from tests.docs.pages import ROOT
from tests.tiers import few


def before_and_after(
    monkeypatch: pytest.MonkeyPatch, folder: Path, text: str | bytes
) -> tuple[int, bool]:
    """The status, and whether the file is as it was."""
    before = (folder / "devices.csv").read_bytes()
    status = add(monkeypatch, folder, text)
    return status, (folder / "devices.csv").read_bytes() == before


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return shop(tmp_path / "shop")


def test_the_row_is_read_back_and_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert add(monkeypatch, folder, "\n".join(lines(folder, OUT_ONLY.said))) == 0
    told = capsys.readouterr()
    assert told.err == ""
    assert told.out == (
        "pre-8-out, 149.00 GBP\n"
        "    expander; 8 preamps (all also for line); one 48 V switch for all; sends\n"
        "    8 channels by light-pipe at 48 kHz; cannot follow another clock; runs at\n"
        "    44.1 and 48 kHz; 1 U of rack; 15 W; 1 mains plug.\n"
        f"{folder}/devices.csv has it now. New columns: mic_line, phantom_bank, optical_out, "
        "rack_units, watts.\n"
    )


def test_what_is_read_back_is_what_list_says(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    add(monkeypatch, folder, "\n".join(lines(folder, OUT_ONLY.said)))
    block = capsys.readouterr().out.partition(f"{folder}")[0]
    assert run(["list", "--catalog", str(folder)]) == 0
    assert block in capsys.readouterr().out


def test_a_second_time_its_id_is_taken(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = "\n".join(lines(folder, OUT_ONLY.said))
    assert add(monkeypatch, folder, text) == 0
    capsys.readouterr()
    assert before_and_after(monkeypatch, folder, text) == (2, True)
    said = capsys.readouterr().err
    assert "row 1: 'A short name for the box, such as desk-8?'" in said
    assert "is taken already in this catalogue" in said
    assert "found 'pre-8-out'" in said


@pytest.mark.parametrize("taken", ["opt", "box"])
def test_ids_of_cables_are_taken_too(
    taken: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert before_and_after(monkeypatch, folder, f"{taken}\n") == (2, True)
    assert "is taken already" in capsys.readouterr().err


def change(answers: list[str], key: str, typed: str, said: dict[str, str]) -> str:
    """The answers with another one where `said` has the key's."""
    return "\n".join(typed if line == said[key] else line for line in answers)


@pytest.mark.parametrize(
    "wrong",
    [
        ("id", "", "needs an answer"),
        ("id", "two words", "must be 1 to 64 letters"),
        ("id", "?", "has to be known"),
        ("id", "<", "is the first question"),
        ("price", "cheap", "is not a number"),
        ("price", "1,234", "could mean"),
        ("connection", "wire", "must be usb, thunderbolt, pcie, network or no"),
        ("rack_units", "two", "is not a number"),
        ("rack_units", "-1", "must not be negative"),
        ("watts", "1e3", "is a power of ten"),
    ],
)
def test_a_wrong_answer_names_its_question(
    wrong: tuple[str, str, str],
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    key, typed, told = wrong
    said = {**OUT_ONLY.said, "rack_units": "3"}
    text = change(lines(folder, said), key, typed, said)
    assert before_and_after(monkeypatch, folder, text) == (2, True)
    err = capsys.readouterr().err
    assert "standard input, row " in err
    assert "?': " in err
    assert told in err


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"mics": "8", "mic_line_inst": "9"}, "is more than the 8 that are left"),
        ({"mics": "8", "mic_line_inst": "6", "mic_line": "3"}, "more than the 2 that are left"),
        ({"mics": "8", "phantom_bank": ""}, "needs an answer"),
        ({"mics": "8", "phantom_bank": "4;8"}, "is more than the 8 microphone inputs"),
        ({"optical_in": "2", "optical_1x": "3"}, "is more than the 2 optical sockets"),
        ({"optical_in": "1", "clock_in": ""}, "needs an answer"),
        ({"optical_in": "1", "clock_in": "word"}, "cannot lock to word"),
        ({"optical_in": "1", "clock_in": "optical 2"}, "there is no such socket"),
        ({"others": "3", "line": "2", "channel_order": "a a"}, "must be the letters a, b"),
        ({"rates_khz": "47"}, "must be a sample rate in kHz"),
        ({"trunk": "wyde"}, "must be wide, stage or no"),
        ({"label": "bell \x07"}, "holds a control character"),
        ({"note": "x" * 3000}, "laid out in a way"),
    ],
)
def test_answers_are_held_against_each_other(
    said: dict[str, str],
    told: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The last of them is the one that is wrong."""
    sound = {"id": "new", "connection": "no", "phantom_bank": "0", "clock_in": "none"}
    *first, last = said
    wanted = {key: said[key] for key in first}
    asked = lines_of(folder, {**sound, **wanted}, until=last)
    text = "\n".join([*asked, said[last], "yes" if last == "note" else ""])
    assert before_and_after(monkeypatch, folder, text) == (2, True)
    assert told in capsys.readouterr().err


def lines_of(folder: Path, said: dict[str, str], until: str) -> list[str]:
    """The answers before the question `until`."""
    from rigopt.catalogue.interview import Interview

    interview, typed = Interview(read_folder(folder)), []
    while (question := interview.next()) is not None and question.key != until:
        typed.append(said.get(question.key, ""))
        interview.answer(question, typed[-1])
    assert question is not None, "it was never asked"
    return typed


def test_answers_that_end_too_early(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whichever is the last, nothing is written; without the last yes neither."""
    answers = lines(folder, OUT_ONLY.said)
    for end in (0, 1, 8, len(answers) - 1):
        text = "".join(f"{line}\n" for line in answers[:end])
        assert before_and_after(monkeypatch, folder, text) == (2, True)
        assert "ends before the question" in capsys.readouterr().err


def test_answers_that_are_left_over(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = lines(folder, OUT_ONLY.said)
    assert before_and_after(monkeypatch, folder, "\n".join([*answers, "", "2"])) == (2, True)
    assert f"row {len(answers) + 2}: stands after the last answer" in capsys.readouterr().err
    assert before_and_after(monkeypatch, folder, "\n".join([*answers, "", ""])) == (0, False)


@pytest.mark.parametrize(("last", "status"), [("no", 0), ("N", 0), ("perhaps", 2)])
def test_without_a_yes_nothing_is_written(
    last: str,
    status: int,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    answers = [*lines(folder, OUT_ONLY.said)[:-1], last]
    assert before_and_after(monkeypatch, folder, "\n".join(answers)) == (status, True)
    told = capsys.readouterr()
    assert ("is as it was" in told.out) == (status == 0)


def test_what_is_not_known_is_told_with_what_it_would_change(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = {**OUT_ONLY.said, "optical_out": "Don't know", "phantom_bank": "?"}
    assert add(monkeypatch, folder, "\n".join(lines(folder, said))) == 0
    told = capsys.readouterr().out
    assert "NOT KNOWN\n- How many microphone inputs share one 48 V switch?" in told
    assert "- How many square optical sockets say OUT? Taken as none." in told
    assert "? optical_out: an expander without a digital output" in told


def test_going_back_opens_the_question_before(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = lines(folder, OUT_ONLY.said)
    at = answers.index("149.00 GBP")
    typed = [*answers[:at], "?", "<", "<", "Some label", "20", *answers[at + 1 :]]
    assert add(monkeypatch, folder, "\n".join(typed)) == 0
    device = read_folder(folder).devices["pre-8-out"]
    assert (device.price, device.label) == (2000, "Some label")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (b"\x00\x01", "is not text"),
        (b"\x81\x8d\xff", "is not text"),
        ("x" * 100_001, "is more than 100000 bytes"),
        (b"", "ends before the question"),
        (b"\xff\xfe", "ends before the question"),
        (b"\n" * 90_000, "needs an answer"),
    ],
)
def test_what_is_no_answers(
    text: str | bytes,
    told: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert before_and_after(monkeypatch, folder, text) == (2, True)
    assert told in capsys.readouterr().err


def test_a_closed_input(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", None)
    assert run(["add", "--catalog", str(folder)]) == 2
    assert "there is nobody to ask" in capsys.readouterr().err


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.one_of(st.binary(max_size=400), st.text(max_size=200).map(str.encode)))
def test_any_bytes_get_plain_lines(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    data: bytes,
) -> None:
    """Wrong use, since a whole row of random answers does not come up."""
    assert before_and_after(monkeypatch, folder, data) == (2, True)
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("rigopt: standard input")
    assert all(char.isprintable() or char == "\n" for char in told.err)


@pytest.mark.parametrize("seed", few(range(24), 2))
def test_any_line_among_the_answers(
    seed: int,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A line of nonsense in any place ends in plain lines, or is taken for text."""
    odd = [
        "\x1b[2J",
        "9" * 400,
        "½",
        "∞",
        ";;;",
        "1/2/3",
        "{mics}",
        "%s",
        "optical 0",
        "<",
        "?",
    ]
    answers = lines(folder, OUT_ONLY.said)
    for place in range(seed % 12, len(answers), 12):
        typed = [*answers[:place], odd[(seed + place) % len(odd)], *answers[place + 1 :]]
        status = add(monkeypatch, folder, "\n".join(typed))
        told = capsys.readouterr()
        assert status in (0, 2), told.err
        if status == 0:
            (folder / "devices.csv").write_text("id,role,price\nbox,host,100\n", "utf-8")


@pytest.mark.parametrize(
    ("devices", "told"),
    [
        ("id,role\nbox,hst\n", "row 2, role: must be host"),
        ("", "devices.csv: is empty; its first row names the columns"),
        (b"\x00", "is not a text file"),
        ("id,role,colour\nbox,host,red\n", "there is no such column"),
    ],
)
def test_a_catalogue_in_error_is_told_before_anything_is_asked(
    devices: str | bytes,
    told: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shop(folder, devices)
    assert before_and_after(monkeypatch, folder, "new\n") == (2, True)
    assert told in capsys.readouterr().err


def test_a_file_with_a_head_alone_gets_its_first_row(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop(folder, "id,role,price\n")
    assert add(monkeypatch, folder, "\n".join(lines(folder, OUT_ONLY.said))) == 0
    assert list(read_folder(folder).devices) == ["pre-8-out"]


def test_a_workbook_is_filled_in_by_hand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "gear.xlsx").write_bytes(b"")
    assert add(monkeypatch, tmp_path / "gear.xlsx", "new\n") == 2
    assert "is a workbook; add the box on its sheet devices" in capsys.readouterr().err


def test_no_folder_and_no_catalogue(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert add(monkeypatch, tmp_path / "none", "new\n") == 2
    assert "there is no such folder" in capsys.readouterr().err
    assert run(["add"]) == 2
    assert "--catalog" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("os.access", lambda _, mode: mode != os.W_OK)
    assert before_and_after(monkeypatch, folder, "new\n") == (2, True)
    assert "cannot write" in (said := capsys.readouterr().err)
    assert "there is no permission to write there" in said


def test_a_disk_that_is_full(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    answers = "\n".join(lines(folder, OUT_ONLY.said))
    monkeypatch.setattr("os.fsync", fail)
    assert before_and_after(monkeypatch, folder, answers) == (2, True)
    assert "the disk is full" in capsys.readouterr().err
    assert not list(folder.glob(".rigopt-*"))


def test_permissions_and_a_link_stay(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, real = folder / "devices.csv", folder.parent / "real.csv"
    file.rename(real)
    file.symlink_to(real)
    real.chmod(0o640)
    assert add(monkeypatch, folder, "\n".join(lines(folder, OUT_ONLY.said))) == 0
    assert file.is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert "pre-8-out" in real.read_text("utf-8")


def test_help_names_what_can_be_typed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["add", "--help"]) == 0
    told = capsys.readouterr().out
    assert "--catalog DIR" in told
    assert "'?' says that you do not know" in told


class Person:
    """Somebody at a terminal: reads to the prompt, then types a line."""

    def __init__(self, folder: Path) -> None:
        pty = pytest.importorskip("pty", reason="this system has no pseudo-terminals")
        self._own, other = pty.openpty()
        command = [sys.executable, "-m", "rigopt", "add", "--catalog", str(folder)]
        # Where the tests run in the background, Ctrl-C is ignored, and so it would be here.
        ignored = signal.signal(signal.SIGINT, signal.default_int_handler)
        try:
            self._process = subprocess.Popen(
                command, stdin=other, stdout=other, stderr=other, cwd=ROOT
            )
        finally:
            signal.signal(signal.SIGINT, ignored)
        os.close(other)
        self.seen = ""

    def types(self, line: str) -> str:
        """What was shown up to the prompt at which `line` is typed."""
        shown = self._read(until="\n> ")
        os.write(self._own, line.encode())
        return shown

    def interrupts(self) -> None:
        """What Ctrl-C does, at the next prompt."""
        self._read(until="\n> ")
        self._process.send_signal(signal.SIGINT)

    def leaves(self) -> int:
        self.seen += self._read(until=None)
        os.close(self._own)
        return self._process.wait(30)

    def _read(self, until: str | None) -> str:
        found, end = "", time.monotonic() + 60
        while until is None or until not in found:
            assert time.monotonic() < end, f"waited in vain after {found!r}"
            if select.select([self._own], [], [], 1)[0]:
                try:
                    data = os.read(self._own, 65_536)
                except OSError:  # Linux's way to say that the other end is closed
                    data = b""
                if not data:
                    break
                found += data.decode().replace("\r\n", "\n")
        self.seen += found
        return found


def test_at_a_terminal_a_wrong_answer_is_asked_again(folder: Path) -> None:
    answers = lines(folder, OUT_ONLY.said)
    person = Person(folder)
    first = person.types("box\n")
    assert "< goes back" in first
    assert "A short name for the box, such as desk-8?" in first
    again = person.types(f"{answers[0]}\n")
    assert "That is taken already in this catalogue" in again
    assert "A short name for the box" in again
    for line in answers[1:3]:
        person.types(f"{line}\n")
    person.types("?\n")
    assert "  Taken as no. Only what a computer sees can be a host." in person.types("<\n")
    for line in answers[3:-1]:
        person.types(f"{line}\n")
    assert "expander; 8 preamps" in person.types("perhaps\n")
    assert "That must be yes or no." in person.types("\n")
    assert person.leaves() == 0
    assert "has it now" in person.seen
    assert read_folder(folder).devices["pre-8-out"].price == 14900


@pytest.mark.parametrize("leave", few(["ctrl-c", "ctrl-d"]))
def test_leaving_in_the_middle_writes_nothing(leave: str, folder: Path) -> None:
    before = (folder / "devices.csv").read_bytes()
    person = Person(folder)
    person.types("new\n")
    if leave == "ctrl-d":
        person.types("\x04")
    else:
        person.interrupts()
    assert person.leaves() == 130
    assert "Traceback" not in person.seen
    assert (folder / "devices.csv").read_bytes() == before
