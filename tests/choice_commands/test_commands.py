"""`rigopt compare`, `curve` and `stretch` for real, on a small shop in files."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from wcwidth import width

from rigopt.cli.main import run
from rigopt.output.terminal.layout import COLUMNS
from tests.choice_commands.shop import write

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _shops(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "shop")
    write(tmp_path / "euro", "EUR", desk_8=35100)
    write(tmp_path / "yen", "JPY", desk_8=40000)
    (tmp_path / "yen" / "catalog.toml").write_text('title = "Yen"\ncurrency = "JPY"\n')
    for name in ("devices.csv", "cables.csv"):
        file = tmp_path / "yen" / name
        file.write_text(file.read_text().replace(".00", ""))
    (tmp_path / "band.toml").write_text('title = "Band"\n[inputs]\nmic = 8\n')
    (tmp_path / "choir.toml").write_text("[inputs]\nmic = 16\nline = 0\n")
    (tmp_path / "crowd.toml").write_text("title = 'Crowd'\n[inputs]\nmic = 40\n")
    (tmp_path / "listed.toml").write_text('[[source]]\nname = "A"\n')
    monkeypatch.chdir(tmp_path)


def asked(capsys: pytest.CaptureFixture[str], *args: str, status: int = 0) -> tuple[str, str]:
    assert run(args) == status
    shown = capsys.readouterr()
    if "-" not in args:
        assert max(map(width, shown.out.splitlines())) <= COLUMNS
    return shown.out, shown.err


def row(text: str, name: str) -> list[str]:
    """The cells of the row that begins with `name`."""
    line = next(line for line in text.splitlines() if line.startswith(name))
    return [cell.strip() for cell in line.removeprefix(name).split("  ") if cell.strip()]


def section(text: str, name: str) -> str:
    return text.split(f"\n{name}\n")[1].split("\n\n", maxsplit=1)[0]


# --- compare ---------------------------------------------------------------------------


def test_files_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    out, err = asked(capsys, "compare", "band.toml", "choir.toml", "--catalog", "shop")
    assert err == ""
    assert row(out, "Question") == ["Band", "choir"]
    assert row(out, "Microphones") == ["8", "16"]
    assert row(out, "Total") == ["300.00 GBP", "506.00 GBP"]
    assert row(out, "Difference") == ["-", "+206.00"]
    assert row(out, "For each input") == ["37.50 GBP", "31.63 GBP"]
    assert row(out, "desk-8") == ["1", "1"]
    assert row(out, "pre-8") == ["-", "1"]
    assert row(out, "optical") == ["-", "1"]
    assert row(out, "Master") == ["desk-8", "pre-8"]
    assert row(out, "Hops") == ["0", "1"]
    assert row(out, "Mic used") == ["8", "16"]
    assert row(out, "Mic spare") == ["0", "0"]
    assert row(out, "Rack units") == ["1", "2"]
    assert row(out, "GB an hour") == ["4.1", "8.3"]
    assert "Catalogue" not in out
    assert "Master wanted" not in out


def test_options_as_a_grid(capsys: pytest.CaptureFixture[str]) -> None:
    grid = ["--rate", "48", "--rate", "96k", "--master", "host", "--master", "expander"]
    out, _ = asked(capsys, "compare", "--mic", "9", "--catalog", "shop", *grid)
    assert row(out, "Rate, kHz") == ["48", "48", "96", "96"]
    assert row(out, "Master wanted") == ["host", "expander", "host", "expander"]
    assert "Question" not in out
    assert out.startswith("4 columns side by side\n=")


def test_many_columns_continue_below(capsys: pytest.CaptureFixture[str]) -> None:
    files = ["band.toml", "choir.toml", "band.toml"]
    out, _ = asked(
        capsys, "compare", *files, "--catalog", "shop", "--rate", "48", "--rate", "44.1"
    )
    heads = [line.split() for line in out.splitlines() if line.startswith("Column")]
    assert heads == [["Column", "1", "2", "3"], ["Column", "4", "5", "6"]]


def test_an_impossible_column_keeps_its_place(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = asked(capsys, "compare", "crowd.toml", "band.toml", "--catalog", "shop")
    assert row(out, "Result") == ["impossible", "proven cheapest"]
    assert row(out, "Total") == ["-", "300.00 GBP"]
    assert row(out, "Difference") == ["-", "-"]
    assert "- Column 1: No rig serves 40 microphones on one host." in out


def test_no_column_is_possible(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = asked(capsys, "compare", "crowd.toml", "crowd.toml", "--catalog", "shop", status=3)
    assert "Difference" in out
    assert "UNITS" not in out


def test_currencies_stay_apart(capsys: pytest.CaptureFixture[str]) -> None:
    shops = ["--catalog", "shop", "--catalog", "euro"]
    out, _ = asked(capsys, "compare", "--mic", "8", *shops)
    assert row(out, "Total") == ["300.00 GBP", "351.00 EUR"]
    assert row(out, "Difference") == ["-", "-"]
    assert row(out, "Catalogue") == ["shop", "euro"]
    assert "with --exchange EUR=RATE" in out.replace("\n  ", " ")


def test_an_exchange_rate_makes_currencies_comparable(
    capsys: pytest.CaptureFixture[str],
) -> None:
    shops = ["--catalog", "shop", "--catalog", "euro", "--catalog", "yen"]
    rates = ["--exchange", "EUR=1.17", "--exchange", "JPY=200"]
    out, _ = asked(capsys, "compare", "--mic", "8", *shops, *rates)
    assert row(out, "Total") == ["300.00 GBP", "351.00 EUR", "400 JPY"]
    assert row(out, "In GBP") == ["300.00 GBP", "300.00 GBP", "2.00 GBP"]
    assert row(out, "Difference") == ["-", "none", "-298.00"]
    assert row(out, "Catalogue") == ["shop", "euro", "yen"]
    assert "Differences are in GBP, at the exchange rates given." in out
    back, _ = asked(
        capsys, "compare", "--mic", "8", *shops[4:], *shops[:2], "--exchange", "GBP=0.005"
    )
    assert row(back, "In JPY") == ["400 JPY", "60000 JPY"]


def test_titles_of_catalogues_where_they_differ(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = asked(capsys, "compare", "--mic", "8", "--catalog", "shop", "--catalog", "yen")
    assert row(out, "Catalogue") == ["Shop", "Yen"]


def test_a_title_that_all_share_stands_on_top(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["band.toml", "--catalog", "shop", "--rate", "48", "--rate", "96"]
    out, _ = asked(capsys, "compare", *args)
    assert out.startswith("Band: 2 columns side by side\n")


def test_comparison_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["compare", "crowd.toml", "band.toml", "choir.toml", "--catalog", "shop"]
    out, err = asked(capsys, *args, "--csv", "-", "--json", "a.json")
    assert err == "3 columns side by side\n======================\n"
    records = list(csv.DictReader(io.StringIO(out, newline="")))
    assert [r["total"] for r in records] == ["", "300.00", "506.00"]
    assert records[0]["why_none"].startswith("No rig serves 40 ")
    assert records[2]["units"] == "1 desk-8 + 1 pre-8"
    answer = json.loads(Path("a.json").read_text())
    assert answer["format"] == "rigopt-compare/2"
    assert answer["columns"][1]["answer"]["status"] == "proven cheapest"
    assert answer["columns"][2]["units"] == {"desk-8": 1, "pre-8": 1}
    assert [list(r)[:3] for r in answer["columns"]] == [["column", "question", "catalogue"]] * 3


def test_a_difference_below_zero_is_a_number_in_a_spreadsheet(
    capsys: pytest.CaptureFixture[str],
) -> None:
    args = ["compare", "choir.toml", "band.toml", "--catalog", "shop", "--csv", "-"]
    out, _ = asked(capsys, *args)
    records = list(csv.DictReader(io.StringIO(out, newline="")))
    assert records[1]["difference"] == "-206.00"


# --- curve -----------------------------------------------------------------------------


def test_a_curve_in_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["curve", "--catalog", "shop", "--from", "4", "--to", "40", "--step", "4"]
    out, err = asked(capsys, *args)
    assert err == ""
    assert "Asked:  48 kHz, 4 to 40 microphones" in out
    assert row(section(out, "COST"), "   4") == ["300.00", "37.50", "8", "1 desk-8"]
    assert row(out, "  12") == ["506.00", "+206.00", "31.63", "16", "1 desk-8 + 1 pre-8"]
    assert "- 8 costs the same as 4." in out
    assert "- 24 costs the same as 20." in out
    assert "- The host changes at 20: 1 hub-4 instead of 1 desk-8." in out
    assert "- 36 and more: No rig serves 36 microphones on one host." in out
    bars = section(out, "CHART").splitlines()
    assert len(bars) == 8
    assert [bar.count("#") for bar in bars] == sorted(bar.count("#") for bar in bars)
    assert width(bars[-1]) == COLUMNS


def test_several_counts_at_one_price(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = asked(
        capsys, "curve", "--catalog", "shop", "--from", "3", "--to", "5", "--step", "1"
    )
    assert "- 4 and 5 cost the same as 3." in out


def test_the_last_count_is_asked_whatever_the_step(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["curve", "--catalog", "shop", "--from", "2", "--to", "16", "--step", "9"]
    out, _ = asked(capsys, *args, "--csv", "-")
    assert [r["mic"] for r in csv.DictReader(io.StringIO(out))] == ["2", "11", "16"]


def test_one_count_is_a_curve_too(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = asked(
        capsys, "curve", "band.toml", "--catalog", "shop", "--from", "8", "--to", "8"
    )
    assert out.startswith("Band\n====\nAsked:  48 kHz, 8 microphones\n")


def test_no_count_is_possible(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["curve", "--catalog", "shop", "--from", "39", "--to", "40"]
    out, _ = asked(capsys, *args, "--page", "p.html", status=3)
    assert "- 39 and more: No rig serves 39 microphones on one host." in out
    assert "COST" not in out
    assert "<svg" not in Path("p.html").read_text()


def test_a_curve_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["curve", "--catalog", "shop", "--from", "16", "--to", "48", "--step", "16"]
    out, err = asked(capsys, *args, "--json", "-", "--csv", "c.csv")
    assert err.startswith("Price against microphones\n")
    answer = json.loads(out)
    assert answer["format"] == "rigopt-curve/1"
    assert [point["status"] for point in answer["points"]] == [
        "proven cheapest",
        "proven cheapest",
        "impossible",
    ]
    assert answer["points"][1]["more"] == "586.00"
    assert answer["points"][1]["host_changes"] is True
    assert answer["points"][1]["units"] == {"hub-4": 1, "pre-8": 4}
    records = list(csv.DictReader(io.StringIO(Path("c.csv").read_text(), newline="")))
    assert [r["host_changes"] for r in records] == ["no", "yes", ""]
    assert records[1]["hosts"] == "1 hub-4"


# --- stretch ---------------------------------------------------------------------------


def test_a_stretch_in_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    out, err = asked(capsys, "stretch", "--catalog", "shop", "--budget", "600")
    assert err == ""
    assert "What 600.00 GBP stretch to" in out
    assert "Most:   16 microphones for 506.00 GBP; 94.00 GBP are left." in out
    assert "Next:   17 microphones for 880.00 GBP, 280.00 GBP beyond the budget: 1 hub-4" in out
    assert "Asked:  48 kHz, 16 microphones" in out
    assert "TO BUY" in out


def test_a_budget_from_the_file(capsys: pytest.CaptureFixture[str]) -> None:
    Path("rich.toml").write_text("[limits]\nbudget = 5000\n")
    out, _ = asked(capsys, "stretch", "rich.toml", "--catalog", "shop")
    assert "Most:   32 microphones" in out
    assert "Next:   33 microphones: No rig serves 33 microphones on one host." in out


def test_a_budget_that_buys_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["stretch", "--catalog", "shop", "--budget", "20"]
    out, err = asked(capsys, *args, "--shopping-list", "s.csv", "--json", "a.json", status=3)
    assert "Next:   1 microphone for 80.00 GBP, 60.00 GBP beyond the budget" in out
    assert "nothing to buy" in err
    assert not Path("s.csv").exists()
    answer = json.loads(Path("a.json").read_text())
    assert answer["status"] == "impossible"
    assert answer["stretch"]["next"]["total"] == "80.00"


def test_a_stretch_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["stretch", "--catalog", "shop", "--budget", "5000"]
    out, err = asked(capsys, *args, "--json", "-", "--shopping-list", "s.csv")
    assert err.startswith("What 5000.00 GBP stretch to\n")
    answer = json.loads(out)
    assert answer["format"] == "rigopt-plan/2"
    assert answer["stretch"] == {
        "budget": "5000.00",
        "mic": 32,
        "proven": True,
        "next": {"mic": 33, "status": "impossible"},
    }
    assert Path("s.csv").read_bytes().endswith(b"total,,,,,,1092.00,GBP,\r\n")
    Path("a.json").write_text(out)
    assert run(["audit", "a.json", "--catalog", "shop"]) == 0
    capsys.readouterr()


def test_the_demo_says_that_its_prices_are_invented(capsys: pytest.CaptureFixture[str]) -> None:
    for args in (
        ["compare", "--mic", "8", "--rate", "48", "--rate", "96"],
        ["curve", "--to", "16"],
        ["stretch", "--budget", "300"],
    ):
        out, _ = asked(capsys, *args)
        assert out.count("The demo catalogue's prices are invented.") == 1


# --- pages -----------------------------------------------------------------------------


class Page(HTMLParser):
    """The page's tags in order, and its text."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self.feed(Path(file).read_text("utf-8"))

    def handle_starttag(self, tag: str, *_: object) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_page_of_a_curve(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["curve", "--catalog", "shop", "--from", "8", "--to", "40"]
    asked(capsys, *args, "--page", "p.html")
    page = Page("p.html")
    assert page.tags.count("figure") == 1
    for told in (
        "Total, GBP",
        "Microphones",
        "1092.00",
        "The host changes at 24",
        "40 and more",
    ):
        assert told in page.text
    assert "prices are invented" not in page.text


@pytest.mark.full
def test_the_page_of_a_comparison(capsys: pytest.CaptureFixture[str]) -> None:
    shops = ["--catalog", "shop", "--catalog", "euro"]
    files = ["crowd.toml", "band.toml"]
    asked(capsys, "compare", *files, *shops, "--page", "p.html")
    page = Page("p.html")
    assert page.tags.count("figure") == 2
    for told in ("Total, GBP", "Total, EUR", "4: Band, euro", "351.00 EUR", "Crowd", "Units"):
        assert told in page.text
    asked(capsys, "compare", *files, *shops, "--exchange", "EUR=1.2", "--page", "p.html")
    assert Page("p.html").tags.count("figure") == 1


def test_the_page_says_that_prices_are_invented(capsys: pytest.CaptureFixture[str]) -> None:
    asked(capsys, "compare", "--mic", "8", "--rate", "48", "--rate", "96", "--page", "p.html")
    assert Page("p.html").text.count("The demo catalogue's prices are invented.") == 1


def test_text_from_files_is_harmless_on_a_page(capsys: pytest.CaptureFixture[str]) -> None:
    Path("bad.toml").write_text('title = "<script>x</script> & $a_b$"\n[inputs]\nmic = 2\n')
    asked(capsys, "compare", "bad.toml", "band.toml", "--catalog", "shop", "--page", "p.html")
    page = Page("p.html")
    assert "script" not in page.tags
    assert "<script>x</script> & $a_b$" in page.text


@pytest.mark.full
def test_the_same_question_gives_the_same_page_in_every_process(tmp_path: Path) -> None:
    pages = set()
    for seed in ("1", "2"):
        subprocess.run(
            [
                sys.executable,
                "-m",
                "rigopt",
                "curve",
                "--catalog",
                "shop",
                "--to",
                "16",
                "--page",
                "p.html",
            ],
            check=True,
            capture_output=True,
            cwd=tmp_path,
            env={"PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "HOME": str(tmp_path)},
        )
        pages.add((tmp_path / "p.html").read_bytes())
    assert len(pages) == 1


# --- wrong use -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["compare"], "say what you need: a file, or for example --mic 16"),
        (["compare", "band.toml"], "that is one column; give more files"),
        (["compare", "--mic", "8", *["--rate", "48"] * 61], "61 columns, and 60 are the most"),
        (["compare", "band.toml", "gone.toml"], "gone.toml"),
        (
            ["compare", "--mic", "8", "--rate", "47", "--rate", "48", "--budget", "x"],
            "--budget",
        ),
        (["compare", "band.toml", "choir.toml", "--csv", "band.toml"], "an input file"),
        (["curve", "--from", "9", "--to", "8"], "--from is 9, which is more than --to, 8"),
        (["curve", "--from", "1", "--to", "999", "--step", "1"], "999 counts, and 200 are"),
        (
            ["curve", "--from", "1", "--to", "1000000", "--step", "1"],
            "1000000 counts, and 200 are the most",
        ),
        (["curve", "--from", "3", "--to", "1000", "--step", "5"], "201 counts, and 200 are"),
        (["curve", "--to", "200000000"], "--to"),
        (["curve", "--to", f"{10**30}", "--step", f"{10**29}"], "--to"),
        (["curve", "--from", "0"], "--from"),
        (["curve", "--phantom", "7", "--no-phantom", "3"], "start with all of them: --from 10"),
        (["curve", "listed.toml"], "the sources are listed one by one"),
        (["curve", "gone.toml", "--rate", "47"], "--rate"),
        (["curve", "--csv", "-", "--json", "-"], "would overwrite the output of"),
        (["stretch"], "say how much money there is, for example --budget 600"),
        (["stretch", "listed.toml", "--budget", "5"], "the sources are listed one by one"),
        (["stretch", "--mic", "8", "--budget", "5"], "No such option"),
    ],
)
def test_wrong_use(args: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*args, "--catalog", "shop"]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err


def test_every_fault_of_a_comparison_is_told_once(capsys: pytest.CaptureFixture[str]) -> None:
    args = ["compare", "--mic", "8", "--rate", "47", "--rate", "48", "--master", "nobody"]
    assert run([*args, "--catalog", "shop"]) == 2
    said = capsys.readouterr().err
    assert said.count("--rate") == 1
    assert said.count("--master") == 1
