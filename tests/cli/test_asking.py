"""What the commands share, each by itself: who gets which text, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import click
import pytest

from rigopt.catalogue.folder import OPTIONAL, REQUIRED
from rigopt.cli import asking
from rigopt.errors import InputError
from rigopt.needs.types import Needs, Question, Stage
from tests.reading.folders import SMALL, write


def said(text: str) -> Callable[[], str]:
    return lambda: text


def never() -> str:
    raise AssertionError("nobody asked for it")


def test_what_no_output_may_overwrite() -> None:
    shop, book = Path("shop"), Path("gear.xlsx")
    files = [shop / name for name in (*REQUIRED, *OPTIONAL)]
    asked: list[Path | Question | None] = [Path("n.toml"), Question("8 mics"), None]
    given = {"sources": "list.csv", "mic": "8"}
    assert asking.inputs(asked, [shop, book], given) == [
        *(Path("n.toml"), Path("list.csv")),
        *(*files, book),
    ]
    assert asking.inputs([None], [], {"sources": None}) == []


def test_options_that_were_given() -> None:
    given: dict[str, object] = {"mic": "0", "line": None, "owned": {}, "new_only": False}
    assert asking.overrides(given) == {"mic": "0", "new_only": False}


@pytest.mark.parametrize(
    ("needs", "given", "told"),
    [
        (Needs(), False, asking.SAY),
        (Needs(), True, f"nothing was asked for: no source and no output; {asking.SAY}"),
        (
            Needs(stages=(Stage("A", Needs(mic=1)),)),
            True,
            "only the stages ask for something; use 'rigopt grow'",
        ),
    ],
)
def test_needs_that_ask_for_nothing(needs: Needs, given: bool, told: str) -> None:
    asking.check_asked([Needs(mic=1), replace(needs, mic=1)], given)
    with pytest.raises(click.UsageError) as caught:
        asking.check_asked([Needs(mic=1), needs], given)
    assert caught.value.message == told


def test_each_text_goes_where_it_is_wanted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page, plan = tmp_path / "p.html", tmp_path / "p.json"
    targets = {"--json": str(plan), "--page": str(page), "--labels": None, "--csv": None}
    tells = {"--json": said("J"), "--page": said("P"), "--labels": never, "--csv": never}
    asking.deliver(targets, tells, said("text\n"), never)
    assert (plan.read_text(), page.read_text()) == ("J", "P")
    assert capsys.readouterr() == ("text\n", "")


def test_where_data_is_printed_the_text_makes_way(capsys: pytest.CaptureFixture[str]) -> None:
    asking.deliver({"--json": "-"}, {"--json": said("J\n")}, never, said("in short"))
    assert capsys.readouterr() == ("J\n", "in short\n")


def test_what_there_is_nothing_to_tell_of_is_said_in_the_order_of_the_options(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = ("--page", "--shopping-list", "--labels", "--input-list")
    targets = {name: str(tmp_path / name) for name in names}
    asking.deliver(targets, {}, said("text\n"), never)
    assert list(tmp_path.iterdir()) == []
    assert capsys.readouterr() == (
        "text\n",
        "rigopt: there is no rig, so no page is written\n"
        "rigopt: there is nothing to buy, so no shopping list is written\n"
        "rigopt: there is no rig, so no labels are written\n"
        "rigopt: there is no rig, so no input list is written\n",
    )


def test_lists_alone_are_in_the_style_of_the_catalogue(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    write(shop, {"devices.csv": "id;role;price\nbox;host;1,5\n"})
    names = ("--csv", "--shopping-list", "--input-list", "--page")
    targets = {name: str(tmp_path / name) for name in names}
    tells = {name: said("a,b\r\nx,1.50\r\n") for name in names}
    asking.deliver(targets, tells, said(""), never, shop)
    found = [(tmp_path / name).read_bytes().decode() for name in names]
    assert found == [*["\ufeffa;b\r\nx;1,50\r\n"] * 3, "a,b\r\nx,1.50\r\n"]
    asking.deliver({"--csv": "-", "--page": None}, tells, never, said("in short"), shop)
    assert capsys.readouterr().out.splitlines() == ["a;b", "x;1,50"]
    asking.deliver({"--page": targets["--page"]}, tells, said(""), never, tmp_path / "none")
    asking.deliver({"--csv": targets["--csv"]}, tells, said(""), never)
    assert (tmp_path / "--csv").read_bytes() == b"a,b\r\nx,1.50\r\n"


def test_a_number_that_is_to_grow_is_none_and_stages_are_gone() -> None:
    asked = {"phantom": "2", "line": "3"}
    assert asking.growing(None, SMALL, asked) == Needs(phantom=2, line=3)
    grown = asking.open_ended(Question("8 mics, then 16 mics", staged=True), SMALL, {})
    assert [stage.needs.mic for stage in grown.stages] == [1_000_000] * 2


def test_a_list_of_sources_cannot_grow(tmp_path: Path) -> None:
    path = tmp_path / "n.toml"
    path.write_text('rate_khz = 47\n[[source]]\nname = "A"\n')
    with pytest.raises(InputError) as caught:
        asking.growing(path, SMALL, {})
    first, second = caught.value.faults
    assert first.column == "rate_khz"
    assert str(second) == (
        "command line: the sources are listed one by one, so their number cannot grow"
    )


@pytest.mark.parametrize("known", [True, False])
def test_whether_prices_must_be_known(tmp_path: Path, known: bool) -> None:
    write(tmp_path, {"devices.csv": "id,role,price\nbox,host,?\nbax,host,\n"})
    given = {"mic": "1"}
    if known:
        with pytest.raises(InputError, match="nobody knows what it costs"):
            asking.question(None, tmp_path, given, {})
        write(tmp_path, {"devices.csv": "id,role,price\nbox,host,\nbax,host,\n"})
        with pytest.raises(InputError, match=r"no device in devices\.csv has a price"):
            asking.question(None, tmp_path, given, {})
        owning = {**given, "owned": {"bax": "1"}}
        shop, needs = asking.question(None, tmp_path, owning, {})
        assert (shop.invented, needs) == (False, Needs(mic=1, owned={"bax": 1}))
    else:
        shop, needs = asking.question(None, tmp_path, given, {}, known=False)
        assert (list(shop.unknown), needs) == (["box"], Needs(mic=1))


def test_without_a_catalogue_it_is_the_demo_and_what_a_stage_owns_counts(
    tmp_path: Path,
) -> None:
    shop, _ = asking.question(Question("8 mics"), None, {}, {})
    assert shop.invented
    write(tmp_path, {"devices.csv": "id,role,price\nbox,host,\n"})
    stages = tmp_path / "n.toml"
    stages.write_text("[[stage]]\ninputs.mic = 1\nowned.box = 1\n")
    assert asking.question(stages, tmp_path, {}, {})[1].stages[0].needs.owned == {"box": 1}
