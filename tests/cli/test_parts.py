"""Small parts of the commands, called by themselves."""

from __future__ import annotations

import gc
import importlib
import io
import os
import shutil
import sys
import threading
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import ClassVar, NoReturn

import click
import pytest

from rigopt.answers.outcome import Choice, OutOfTime
from rigopt.answers.prices import Ask, Prices
from rigopt.answers.series import Point, Stretch
from rigopt.catalogue import shipped
from rigopt.catalogue.questions import Question as AboutBox
from rigopt.cli import leaving, options, plan_data, prices, progress
from rigopt.cli import main as cli
from rigopt.cli.answering import Piped, Typed, answer_source
from rigopt.cli.compare import MOST_COLUMNS, _Grid, _title
from rigopt.cli.main import run
from rigopt.errors import InputError
from rigopt.files.values import BadValueError
from rigopt.needs.types import Needs, Question
from rigopt.optimiser.solver.watch import Watch
from tests.api.api_world import RIG
from tests.output.rigs import CATALOGUE, answered
from tests.reading.folders import SMALL, write

about, audit, curve, stretch = (
    # By name, since the package has the commands of these names.
    importlib.import_module(f"rigopt.cli.{name}")
    for name in ("about", "audit", "curve", "stretch")
)
SHOP = Path(__file__).parents[1] / "golden" / "catalogues" / "small"
ASKED = AboutBox("mics", "How many")


# --- prices that are typed ----------------------------------------------------------------


def test_prices_that_are_typed_stand_as_if_in_the_file() -> None:
    shop = prices._typed(SMALL, ["lead=7", "desk-8=100-120", "lead=8", "pre-8=?"])
    assert (shop.extras["lead"].price, shop.extras["lead"].least) == (800, None)
    assert (shop.devices["desk-8"].price, shop.devices["desk-8"].least) == (12000, 10000)
    assert [*shop.unknown] == ["pre-8"]
    assert prices._typed(SMALL, []) is SMALL


def test_every_slip_among_typed_prices_is_told() -> None:
    with pytest.raises(InputError) as caught:
        prices._typed(SMALL, ["desk-9=5", "lead", "pre-8=x", "lead=1"])
    assert [str(fault) for fault in caught.value.faults] == [
        "--price: there is no such device, cable or extra (found 'desk-9'); did you mean "
        "'desk-8'?",
        "--price, lead: is not a number (found '')",
        "--price, pre-8: is not a number (found 'x')",
    ]
    with pytest.raises(InputError, match=r"^--within: is not a number \(found 'x'\)$"):
        prices._money("x", SMALL)
    assert prices._money("1.50", SMALL) == 150


def test_a_price_at_the_prompt() -> None:
    assert [prices._checked("GBP", typed) for typed in (" ", " 5 ", "1-2")] == ["", "5", "1-2"]
    with pytest.raises(click.BadParameter, match="'x' is not a number"):
        prices._checked("GBP", "x")


def test_prices_are_asked_for_where_a_person_sits(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    found = Prices((Ask("lead", "could"), Ask("pre-8", "every")), None, 2)
    assert prices._ask(found, SMALL, Needs(mic=1)) == []
    typed, shown = iter(["", " 7 "]), list[str]()

    def person(prompt: str) -> str:
        shown.append(prompt)
        return next(typed)

    monkeypatch.setattr("click.termui.visible_prompt_func", person)
    for stream in (sys.stdin, sys.stderr):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    assert prices._ask(found, SMALL, Needs(mic=1)) == ["pre-8=7"]
    told = capsys.readouterr().err + "".join(shown)
    assert "Price of lead (Enter: not now):" in told
    assert "Price of pre-8 (Enter: not now):" in told
    assert prices._ask(replace(found, answer=answered()), SMALL, Needs(mic=1)) == []


# --- options ------------------------------------------------------------------------------


def test_percents() -> None:
    read = options._percent
    context, param = click.Context(click.Command("x")), click.Option(["--more"])
    assert read(context, param, None) is None
    assert read(context, param, "12,5 %") == Decimal("12.5")
    assert read(context, param, "1000") == 1000
    with pytest.raises(click.BadParameter, match="'1001' must be a number from 0 to 1000 with"):
        read(context, param, "1001")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["curve", "--from", "9", "--to", "8"], "--from is 9, which is more than --to, 8"),
        (["curve", "--to", "10000", "--step", "1"], "counts, and "),
        (["stretch", "at 96k"], "say how much money there is, for example --budget 600"),
        (["grow", "8 mics"], "say the stages: in a file, a [[stage]] table for each, or as"),
        (["compare", "8 mics"], "that is one column; give more files, or --rate, --master or"),
        (["compare"], "say what you need: a file, or for example --mic 16"),
        (["compare", *["8 mics"] * 61], "that is 61 columns, and 60 are the most"),
        (["plan", "8 mics", "--alternative", "1", "--why"], "are of the cheapest rig alone"),
        (["plan", "8 mics", "--alternative", "1", "--checks"], "are of the cheapest rig alone"),
        (["plan", "8 mics", "--alternative", "1", "--more", "0"], "of the cheapest rig alone"),
        (
            ["plan", "8 mics", "--alternative", "1", "--second-opinion"],
            "of the cheapest rig alone",
        ),
        (
            ["plan", "8 mics", "--alternative", "1", "--alternatives", "1"],
            "of the cheapest rig alone",
        ),
        (["plan", "8 mics", "--alternative", "0"], "0 is not in the range 1<=x<=100"),
        (["plan", "8 mics", "--alternative", "100", "--why"], "of the cheapest rig alone"),
        (["plan", "8 mics", "--alternative", "101", "--why"], "101 is not in the range"),
        (
            ["plan", "8 mics", "--alternative", "1", "--alternatives", "100"],
            "of the cheapest rig alone",
        ),
        (
            ["plan", "8 mics", "--alternative", "1", "--alternatives", "0", "--why"],
            "of the cheapest rig alone",
        ),
        (["curve", "--from", "1", "--to", "201", "--step", "1"], "that is 201 counts, and 200"),
        (["curve", "--from", "1", "--to", "200", "--step", "199"], "--from 3"),
        (["curve", "--from", "1", "--to", "200", "--step", "1"], "--from 3"),
        (["compare", *["at 96k"] * 60], "nothing was asked for: no source and no output"),
        (["plan", "8 mics", "--alternatives", "101"], "--alternatives"),
        (["prices", "at 96k"], "say what you need: a file, or for example --mic 16"),
        (["new", "gear.ODS"], "a workbook begins as .xlsx; your office program saves .ods"),
    ],
)
def test_what_is_refused_before_anything_is_asked(
    args: list[str],
    told: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(shipped, "demo_catalogue", lambda: SHOP)
    wish = ["--phantom", "2", "--no-phantom", "1"] if told == "--from 3" else []
    assert run([*args, *wish]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert told in " ".join(shown.err.split())
    assert list(tmp_path.iterdir()) == []


def test_the_columns_of_a_comparison() -> None:
    grid = _Grid((None, None), (None,), ("48", "96", "192"), ("host", "any"))
    assert (len(grid), MOST_COLUMNS) == (12, 60)
    assert [_title(one) for one in (Path("a/live.toml"), Question("8 mics"), None)] == [
        *("live", "8 mics", ""),
    ]


def test_what_is_asked_of_a_curve(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """From as many as have a wish for 48 V, by steps, and the last whatever the step."""
    seen: list[tuple[list[int], dict[str, bool]]] = []

    def stop(_: object, __: object, counts: list[int], *___: object, **more: bool) -> None:
        seen.append((counts, more))
        raise click.Abort

    monkeypatch.setattr(curve, "ask_curve", stop)
    asked = ["curve", "--catalog", str(SHOP), "--phantom", "3"]
    assert run([*asked, "--from", "3", "--to", "9", "--step", "4"]) == 130
    page = ["--page", str(tmp_path / "p.html"), "--second-opinion"]
    assert run([*asked, "--to", "16", *page]) == 130
    assert run(["curve", "--catalog", str(SHOP)]) == 130
    assert seen == [
        ([3, 7, 9], {"second": False, "every": False}),
        ([8, 16], {"second": True, "every": True}),
        ([8, 16, 24, 32, 40, 48, 56, 64], {"second": False, "every": False}),
    ]


def test_the_style_of_a_comparison_is_that_of_its_first_catalogue(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shops = []
    for name, mark in (("first", ";"), ("second", ",")):
        (tmp_path / name).mkdir()
        row = "id,role,price,mic\nbox,host,100,2\n".replace(",", mark)
        shops += ["--catalog", str(write(tmp_path / name, {"devices.csv": row}))]
    target = tmp_path / "c.csv"
    assert run(["compare", "--mic", "2", *shops, "--csv", str(target)]) == 0
    assert ";total;" in target.read_text("utf-8")
    assert run(["compare", "--mic", "2", *shops[2:], *shops[:2], "--csv", str(target)]) == 0
    assert ",total," in target.read_text("utf-8")
    capsys.readouterr()


@pytest.mark.parametrize("name", ["audit", "rates", "list", "compare"])
def test_without_a_catalogue_it_is_the_demo_which_is_invented(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[Path, bool]] = []

    def stop(folder: Path, *, invented: bool) -> None:
        seen.append((folder, invented))
        raise click.Abort

    monkeypatch.setattr(importlib.import_module(f"rigopt.cli.{name}"), "read_folder", stop)
    args = {"list": [], "compare": ["8 mics", "9 mics"]}.get(name, ["rig.toml"])
    assert run([name, *args]) == 130
    assert run([name, *args, "--catalog", str(SHOP)]) == 130
    assert seen == [(shipped.demo_catalogue(), True), (SHOP, False)]


def test_labels_are_a_page_or_csv_by_the_ending() -> None:
    rig = answered().rig
    assert plan_data._labels(rig, "a.html").startswith("<!")
    assert plan_data._labels(rig, "a.CSV").partition(",")[0].isalpha()
    found = plan_data.plan_data(Choice(answered()), CATALOGUE, Needs(mic=1))
    assert found["--labels"]().startswith("<!")
    assert sorted(found) == ["--input-list", "--json", "--labels", "--page", "--shopping-list"]
    none = plan_data.plan_data(Choice(OutOfTime(1.0)), CATALOGUE, Needs(mic=1))
    assert [*none] == ["--json"]


# --- wired rigs ---------------------------------------------------------------------------

WORKS = RIG.format(host="optical 1").replace("rate_khz = 48\n", "")
"""A rig that works, without its rate."""


def test_a_rig_that_says_no_rate(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rig, shop = tmp_path / "rig.toml", ["--catalog", str(SHOP)]
    rig.write_text(WORKS)
    assert run(["rates", str(rig), *shop]) == 0
    assert "44.1" in capsys.readouterr().out
    assert run(["audit", str(rig), *shop]) == 2
    assert "rate" in capsys.readouterr().err
    assert run(["audit", str(rig), *shop, "--needs", "16 mics"]) == 0
    names = tmp_path / "list.csv"
    names.write_text("name\nA\n")
    assert run(["audit", str(rig), *shop, "--sources", str(names)]) == 0


def test_a_rig_that_works_is_not_mended(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(audit, "ask_repair", None)
    rig = tmp_path / "rig.toml"
    rig.write_text(f"rate_khz = 48{WORKS}")
    assert run(["audit", str(rig), "--catalog", str(SHOP), "--fix"]) == 0
    assert "The rig works" in capsys.readouterr().out


# --- answers ------------------------------------------------------------------------------


def test_lines_from_a_pipe_are_answers_one_by_one() -> None:
    lines = Piped(io.BytesIO("8\r\n\r\né\r\n \r\n".encode()))
    assert [lines.take(ASKED) for _ in range(3)] == ["8", "", "é"]
    with pytest.raises(InputError) as caught:
        lines.refuse(ASKED, BadValueError("is odd"))
    assert str(caught.value) == "standard input, row 3: 'How many?': is odd (found 'é')"
    with pytest.raises(InputError) as caught:
        lines.refuse(ASKED, BadValueError("is odd", piece="x"))
    assert str(caught.value).endswith("is odd (found 'x')")
    lines.finish()
    assert lines.show("row") == "row\n"


def test_a_line_that_is_left_over_is_named() -> None:
    lines = Piped(io.BytesIO(b"8\n\nmore\n"))
    lines.take(ASKED)
    with pytest.raises(InputError) as caught:
        lines.finish()
    assert str(caught.value) == (
        "standard input, row 3: stands after the last answer; nothing was written"
    )
    empty = Piped(io.BytesIO(b""))
    with pytest.raises(InputError, match=r"ends before the question 'How many\?'; nothing"):
        empty.take(ASKED)


@pytest.mark.parametrize("more", [0, 1])
def test_as_many_bytes_as_answers_may_have(more: int) -> None:
    data = io.BytesIO(b"x" * (100_000 + more))
    if more:
        with pytest.raises(InputError, match="is more than 100000 bytes: one answer a line"):
            Piped(data)
    else:
        assert len(Piped(data).take(ASKED)) == 100_000


class _Input(io.BytesIO):
    def __init__(self, data: bytes, terminal: bool) -> None:
        super().__init__(data)
        self._terminal = terminal

    def isatty(self) -> bool:
        return self._terminal


def test_a_person_is_told_at_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for terminal, kind in ((True, Typed), (False, Piped)):
        stream = io.TextIOWrapper(_Input(b"8\n\x81\n" if terminal else b"8", terminal))
        monkeypatch.setattr(sys, "stdin", stream)
        source = answer_source()
        assert type(source) is kind
        if terminal:
            capsys.readouterr()
            assert source.take(ASKED) == "8\n"
            assert source.take(ASKED) == ""
            with pytest.raises(click.Abort):
                source.take(ASKED)
            assert capsys.readouterr().err == "\nHow many? [0]\n> " * 3
            source.hint("")
            source.hint("It would change.")
            source.refuse(ASKED, BadValueError("is odd"))
            assert source.show("row") == ""
            assert capsys.readouterr() == ("row\n", "  It would change.\n  That is odd.\n")


# --- the line of a long search ------------------------------------------------------------


def test_a_terminal_that_does_not_say_its_width(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.StringIO()
    assert progress._columns(stream) == 80
    with open(os.devnull, encoding="ascii") as null:
        for said, found in ((132, 132), (0, 80)):
            size = os.terminal_size((said, 24))
            monkeypatch.setattr(os, "get_terminal_size", lambda _fd, size=size: size)
            assert progress._columns(null) == found


def test_the_line_is_told_after_a_second_and_then_now_and_then() -> None:
    stream, watch = io.StringIO(), Watch("GBP")

    class Ended(threading.Event):
        waits: ClassVar[list[float | None]] = []

        def wait(self, timeout: float | None = None) -> bool:
            self.waits.append(timeout)
            return self.is_set()

        def is_set(self) -> bool:
            return len(self.waits) > 2

    ended = Ended()
    progress._keep_showing(watch, stream, ended)
    assert ended.waits == [progress.QUIET_S, progress.REFRESH_S, progress.REFRESH_S]
    line = "rigopt: no rig yet, 0 s"
    assert stream.getvalue() == f"\r{line}\r{line}\r{' ' * len(line)}\r"


def test_a_bound_is_told_only_where_it_says_something() -> None:
    watch = Watch("GBP")
    watch.bounded(0)
    assert progress.line(watch, 0.4) == "rigopt: no rig yet, 0 s"
    watch.bounded(250)
    assert progress.line(watch, 9.6) == "rigopt: no rig yet, none under 2.50, 10 s"


# --- the command line ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "sound"),
    [
        ({"": "bash_source"}, True),
        ({"": "fish_complete", "WORDS": "rigopt", "CWORD": ""}, True),
        ({"": "zsh_complete", "WORDS": "rigopt", "CWORD": "1"}, True),
        ({"": "zsh_complete", "WORDS": "rigopt", "CWORD": ""}, False),
        ({"": "zsh_complete", "CWORD": "1"}, False),
        ({"": "zsh_other", "WORDS": "rigopt", "CWORD": "1"}, False),
        ({"": "bash"}, False),
        ({"": "some_source"}, False),
    ],
)
def test_how_a_shell_asks_for_completion(asked: dict[str, str], sound: bool) -> None:
    asks = {f"COMP_{name}" if name else cli.COMPLETE: said for name, said in asked.items()}
    assert cli._completes(asks) == sound


def test_completion_in_this_process(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(cli.COMPLETE, "zsh_source")
    with pytest.raises(SystemExit) as left:
        run([])
    assert left.value.code == 0
    assert "#compdef rigopt" in capsys.readouterr().out
    monkeypatch.setenv(cli.COMPLETE, "zsh")
    assert run([]) == 2
    assert "asks for completion in no way that a shell does" in capsys.readouterr().err


def test_a_signal_is_the_end_with_its_number(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def left(status: int) -> NoReturn:
        raise SystemExit(status)

    monkeypatch.setattr(os, "_exit", left)
    with pytest.raises(SystemExit, match="130"):
        leaving.stopped(2, None)
    assert capfd.readouterr() == ("", "rigopt: stopped\n")
    with pytest.raises(SystemExit, match="143"):
        leaving.ended(15, None)
    assert capfd.readouterr() == ("", "")


def test_a_stretch_that_ended_before_its_rig(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    late = Stretch(60000, Point(8, OutOfTime(1.0)), None, proven=False)
    monkeypatch.setattr(stretch, "ask_stretch", lambda *_: late)
    target = tmp_path / "list.csv"
    asked = ["stretch", "--catalog", str(SHOP), "--budget", "600"]
    run([*asked, "--shopping-list", str(target)])
    assert "there is nothing to buy" in capsys.readouterr().err
    assert not target.exists()


def test_an_option_of_the_program_with_one_dash(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "argv", ["rigopt", "-version"])
    assert run() == 2
    assert "there is no option '-version'; did you mean '--version'" in capsys.readouterr().err


def test_what_a_program_that_answers_one_question_does_not_need(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = gc.get_threshold()
    for name in ("PYDANTIC_DISABLE_PLUGINS", "OPENBLAS_NUM_THREADS"):
        monkeypatch.delenv(name, raising=False)
    gc.set_threshold(700, 10, 10)
    try:
        cli._make_haste()
        assert gc.get_threshold() == (1_000_000, 20, 20)
        assert os.environ["PYDANTIC_DISABLE_PLUGINS"] == "__all__"
        assert os.environ["OPENBLAS_NUM_THREADS"] == "1"
        monkeypatch.setenv("OPENBLAS_NUM_THREADS", "2")
        cli._make_haste()
        assert os.environ["OPENBLAS_NUM_THREADS"] == "2"
    finally:
        gc.set_threshold(*before)


@pytest.mark.parametrize(("lines", "paged"), [(3, True), (4, True), (5, False)])
def test_a_text_that_would_run_off_the_terminal_is_paged(
    lines: int, paged: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    seen: list[str] = []
    monkeypatch.setattr(click, "echo_via_pager", seen.append)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size((80, lines)))
    about._show("a\nb\nc\nd\n")
    assert (seen, capsys.readouterr().out) == ([], "a\nb\nc\nd\n")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    about._show("a\nb\nc\nd\n")
    assert seen == (["a\nb\nc\nd"] if paged else [])


# --- errors of the program itself ---------------------------------------------------------


def test_a_caret_stays_under_its_place() -> None:
    assert cli._cleaned("    ^ \x1b") == "    ^ ␛"
    assert cli._cleaned("a\n") == "a"


def test_what_an_error_followed_from() -> None:
    inner, outer = KeyboardInterrupt(), ValueError()
    outer.__cause__ = OSError()
    outer.__cause__.__context__ = inner
    assert cli._chain(outer, KeyboardInterrupt)
    assert cli._chain(inner, KeyboardInterrupt)
    assert not cli._chain(ValueError(), KeyboardInterrupt)


def test_a_fault_names_the_three_last_places() -> None:
    def deep(levels: int) -> None:
        if not levels:
            raise ValueError("odd")
        deep(levels - 1)

    with pytest.raises(ValueError, match="odd") as caught:
        deep(5)
    first, second, third = cli._own_fault(caught.value).splitlines()
    assert first == "a fault of this program, not of your files. Please report it:"
    assert second == "ValueError: odd"
    assert [place.partition(":")[0] for place in third.split(", ")] == [
        *("at test_parts.py", "test_parts.py", "test_parts.py"),
    ]
