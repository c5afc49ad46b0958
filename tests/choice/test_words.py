"""The choice behind an answer in sentences and tables; data written by hand."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner
from wcwidth import width

from rigopt.answers.choice import Change, Fact, Need, NeedName, Price, Setting, Why
from rigopt.answers.outcome import Alternatives, Answered, Choice, Impossible, OutOfTime
from rigopt.cli import options
from rigopt.needs.read import read_needs
from rigopt.needs.table import ROWS
from rigopt.needs.types import Needs, Value
from rigopt.optimiser.questions.conflict.conflict import NEUTRAL
from rigopt.optimiser.questions.plan import solve
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.terminal.changes import changes_table
from rigopt.output.terminal.choice import choice_text
from rigopt.output.terminal.text import plan_text
from rigopt.output.words.needs import noun, option
from rigopt.output.words.reasons import reasons
from tests.world import DESK, HUB, PRE, catalogue

SHOP = catalogue(DESK, PRE, HUB)
NEEDS = Needs(mic=40, rate_hz=96000)


def answered(**needs: Any) -> Answered:
    found = solve(SHOP, Needs(**needs))
    assert isinstance(found, Answered)
    return found


FIRST, SECOND = answered(mic=16), answered(mic=16, avoid=("desk-8",))


def said(*conflict: Need, facts: tuple[Fact, ...] = (), minimal: bool = True) -> list[str]:
    found = Impossible(conflict=conflict, facts=facts, minimal=minimal)
    return list(reasons(found, "GBP", NEEDS))


# --- reasons ---------------------------------------------------------------------


def test_a_conflict_is_one_sentence() -> None:
    conflict = (Need("max_hosts", 1), Need("rate_hz", 96000), Need("mic", 40))
    assert said(*conflict) == ["No rig serves 40 microphones at 96 kHz on one host."]


@pytest.mark.parametrize(
    ("conflict", "sentence"),
    [
        (
            [Need("mic", 1), Need("budget", 30000)],
            "serves 1 microphone within a budget of 300.00 GBP",
        ),
        (
            [Need("phantom", 2), Need("no_phantom", 1)],
            "serves 2 microphones with 48 V and 1 microphone kept off 48 V",
        ),
        (
            [Need("line", 1), Need("instrument", 2), Need("sellers", 1)],
            "serves 1 line source and 2 instruments from up to 1 seller",
        ),
        (
            [Need("out_line", 8), Need("out_phones", 1), Need("rack_units", 2)],
            "serves 8 line outputs and 1 headphone output in up to 2 U of rack",
        ),
        (
            [Need("require", "pre-8"), Need("rate_hz", 44100)],
            "works at 44.1 kHz with pre-8 in the rig",
        ),
        (
            [Need("avoid", "desk-8"), Need("avoid", "hub-4")],
            "works without buying desk-8 or hub-4",
        ),
        ([Need("ports", ("pcie", "network"))], "works with hosts on pcie or network"),
        (
            [Need("master", "clock"), Need("max_hops", 1)],
            "works with a clock box as clock master and up to 1 cable between clock master and "
            "unit",
        ),
        (
            [Need("master", "desk-8"), Need("mains", 1), Need("units", 2)],
            "works with desk-8 as clock master, up to 1 mains plug and up to 2 units",
        ),
        (
            [Need("owned_only", True), Need("new_only", True)],
            "works without buying anything with new things only",
        ),
        (
            [Need("host_to_rack_mm", 4500), Need("within_rack_mm", 2000)],
            "works with 4.5 m from a host to other units and 2 m between other units",
        ),
    ],
)
def test_every_need_has_words(conflict: list[Need], sentence: str) -> None:
    assert said(*conflict) == [f"No rig {sentence}."]


FACTS = {
    Fact("no_host"): "No host is for sale or owned.",
    Fact(
        "no_host_at_rate", rates_hz=(44100, 48000)
    ): "No host offers 96 kHz, but 44.1 and 48 kHz.",
    Fact(
        "no_host_on_ports", ports=("pcie", "usb")
    ): "The hosts at 96 kHz connect by pcie or usb.",
    Fact(
        "most_inputs", "hub-4", 16
    ): "At 96 kHz one host shows the computer 16 inputs at most (hub-4).",
    Fact(
        "most_optical", "hub-4", 4, each=4
    ): "At 96 kHz one host has 4 light-pipe inputs at most, of 4 channels each (hub-4).",
    Fact(
        "most_optical", "desk-8", 0, each=4
    ): "At 96 kHz no host has a light-pipe input that works.",
    Fact("most_line_out", "desk-8", 1): "One host has 1 line output at most (desk-8).",
    Fact("most_phones", "desk-8", 2): "One host has 2 headphone outputs at most (desk-8).",
    Fact("smallest_bank"): "No unit here has 48 V.",
    Fact("smallest_bank", number=4): "48 V is switched for at least 4 inputs at once.",
    Fact(
        "longest_cable", "word", 7500, each=30000
    ): "The longest word cable to be had is 7.5 m; longer than 30 m does not work.",
    Fact("longest_cable", "net", 1000): "The longest net cable to be had is 1 m.",
    Fact(
        "longest_cable", "coax", 0, each=10000
    ): "No coax cable can be had that is long enough for any of the runs.",
    Fact("no_master"): "Nothing here can be that clock master.",
    Fact("not_had", "pre-8"): "pre-8 is neither for sale nor owned.",
    Fact("not_at_rate", "pre-8", rates_hz=(48000,)): "pre-8 offers 48 kHz.",
}


@pytest.mark.parametrize(("fact", "sentence"), FACTS.items())
def test_every_fact_has_a_sentence(fact: Fact, sentence: str) -> None:
    assert said(Need("mic", 40), facts=(fact,))[1:] == [sentence]


def test_what_explains_nothing_is_not_said() -> None:
    assert len(said(Need("phantom", 1), facts=(Fact("smallest_bank", number=1),))) == 1


def test_a_catalogue_without_use_and_a_search_without_time() -> None:
    assert said(facts=(Fact("no_host"),)) == ["No host is for sale or owned."]
    assert said() == ["No unit of this catalogue works as a host."]
    assert "time was up" in said(Need("mic", 40), minimal=False)[1]
    (unexplained,) = said(minimal=False)
    assert "the search ended before it was clear why" in unexplained


# --- changes ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "now", "words", "typed"),
    [
        ("mic", 32, "32 microphones", "--mic 32"),
        ("rate_hz", 44100, "44.1 kHz", "--rate 44.1"),
        ("budget", 80250, "a budget of 802.50 GBP", "--budget 802.50"),
        ("master", "any", "any unit as clock master", "--master any"),
        ("max_hosts", 2, "up to 2 hosts", "--hosts 2"),
        (
            "host_to_rack_mm",
            2500,
            "2.5 m from a host to other units",
            "--host-cable 2.5",
        ),
        ("rack_units", None, "no limit on height", "--rack-units none"),
        ("sellers", None, "no limit on sellers", "--sellers none"),
        (
            "ports",
            ("usb", "pcie"),
            "hosts on usb or pcie",
            "--port usb --port pcie",
        ),
        ("avoid", (), "no device avoided", "--avoid none"),
        ("avoid", ("a",), "a avoided", "--avoid a"),
        ("require", (), "no device required", "--require none"),
        ("require", ("a", "b"), "a and b in the rig", "--require a --require b"),
        ("owned_only", False, "things to be bought", "--no-owned-only"),
        ("owned_only", True, "nothing bought", "--owned-only"),
        ("pairs", 0, "no pair side by side", "[[source]] without pair"),
        ("new_only", False, "used things as well", "--no-new-only"),
    ],
)
def test_what_to_type(name: NeedName, now: Value, words: str, typed: str) -> None:
    assert noun(name, now, "GBP") == words
    assert option(Setting(name, now), "GBP") == typed


SAID = """
inputs.mic = 9
[clock]
own_clocks = true
[limits]
budget = 900
units = 3
rack_units = 3
mains = 3
sellers = 3
[choose]
avoid = ["hub-4"]
require = ["hub-4"]
owned_only = true
new_only = true
"""


def typeable() -> list[Setting]:
    """Each need set to something, and what may be taken back taken back."""
    values: dict[str, tuple[Value, ...]] = {
        "rate_hz": (96000,),
        "master": ("host",),
        "ports": (("usb",), ("usb", "pcie")),
        "avoid": ((), ("desk-8",), ("desk-8", "pre-8")),
        "require": ((), ("desk-8", "pre-8")),
    }
    kinds: dict[str, tuple[Value, ...]] = {
        "flag": (True, False),
        "limit": (2, None),
        "money": (200, None),
        "run": (4500,),
    }
    return [
        Setting(name, value)
        for name in NEUTRAL
        if name != "pairs"
        for value in values.get(name, kinds.get(ROWS[name].kind, (2,)))
    ]


@pytest.mark.parametrize("setting", typeable(), ids=str)
def test_what_to_type_can_be_pasted_and_is_read_as_meant(
    setting: Setting, tmp_path: Path
) -> None:
    (tmp_path / "needs.toml").write_text(SAID)
    typed = option(setting, "GBP")
    found: dict[str, object] = {}

    @click.command()
    @options.needs_options
    def echo(**given: object) -> None:
        found.update(given)

    run = CliRunner().invoke(echo, shlex.split(typed))
    assert run.exit_code == 0, run.output
    needs = read_needs(tmp_path / "needs.toml", SHOP, found)
    assert getattr(needs, setting.name) == setting.now


def test_a_list_of_sources_is_told_to_be_shortened() -> None:
    typed = option(Setting("mic", 32), "GBP", has_list=True)
    assert typed == "a shorter [[source]] list: 32 microphones"
    assert option(Setting("max_hosts", 2), "GBP", has_list=True) == "--hosts 2"


CHANGES = (
    Change((Setting("mic", 16), Setting("phantom", 16)), 70000),
    Change((Setting("rate_hz", 48000), Setting("max_hosts", 2)), None),
)


def test_changes_stand_in_a_table_with_their_cost() -> None:
    shown = changes_table(Impossible(changes=CHANGES), "GBP", NEEDS)
    assert shown.splitlines()[2:] == [
        "16 microphones            --mic 16 --phantom 16     700.00",
        "48 kHz and up to 2 hosts  --rate 48 --hosts 2",
    ]
    assert changes_table(Impossible(), "GBP", NEEDS) == ""


def test_an_impossible_plan_tells_all_of_it() -> None:
    conflict = (Need("mic", 40), Need("avoid", "hub-4"))
    found = Impossible(conflict, (), CHANGES)
    shown = plan_text(found, SHOP, NEEDS)
    assert "\n- No rig serves 40 microphones without buying hub-4.\n\nWHAT WOULD DO\n" in shown
    told = json.loads(plan_json(found, SHOP, NEEDS))
    assert told["conflict"] == [
        {"need": "inputs.mic", "value": 40},
        {"need": "choose.avoid", "value": "hub-4"},
    ]
    assert told["changes"] == [
        {"set": {"inputs.mic": 16, "inputs.phantom": 16}, "total": "700.00"},
        {"set": {"rate_khz": 48, "computer.max_hosts": 2}, "total": None},
    ]


# --- alternatives ----------------------------------------------------------------


def test_alternatives_stand_in_a_table() -> None:
    choice = Choice(FIRST, Alternatives((SECOND,), "no more"))
    assert choice_text(choice, "GBP").splitlines() == [
        "",
        "ALTERNATIVES",
        "No  Total GBP  More by  Instead of  There is          Units  Cables",
        "--  ---------  -------  ----------  ----------------  -----  ------",
        " 1     668.00   162.00  1 desk-8    1 hub-4, 1 pre-8      3       3",
        *(f"- {box.id}: {box.label}" for box in (DESK, HUB, PRE)),
        "Each is a complete rig, which --alternative shows whole by its number. A mix",
        "that only adds to a cheaper one is left out.",
        "No other mix of devices would do.",
    ]
    told = choice_json(choice, "GBP")["alternatives"]
    assert isinstance(told, list)
    (one,) = told
    assert one["difference"] == "162.00"
    assert (one["without"], one["with"]) == ({"desk-8": 1}, {"hub-4": 1, "pre-8": 1})
    assert one["total"] == "668.00"
    assert len(one["units"]) == 3
    assert "status" not in one


def test_without_alternatives_the_reason_is_told() -> None:
    text = choice_text(Choice(FIRST, Alternatives((), "time")), "GBP")
    assert text == "\nALTERNATIVES\nThe time was up before more were found.\n"
    text = choice_text(Choice(FIRST, Alternatives((FIRST,), "asked")), "GBP")
    assert "0.00  nothing" in text
    assert text.endswith("left out.\n")


@pytest.mark.parametrize("outcome", [Impossible(), OutOfTime(1.0)])
def test_without_a_rig_there_is_no_choice(outcome: Any) -> None:
    choice = Choice(outcome, Alternatives((), "asked"), Why((), ()))
    assert choice_text(choice, "GBP") == ""
    assert choice_json(choice, "GBP") == {}


# --- why -------------------------------------------------------------------------

WHY = Why(
    prices=(
        Price("desk-8", 1, 30000, 45000),
        Price("pre-8", 1, None, None, "owned"),
        Price("all", 1, 10, None, "always"),
        Price("many", 1, 10, None, "never"),
        Price("late", 1, 10, None, "unknown"),
        Price("hub-4", 0, 25000, 8800),
        Price("old", 0, None, 10),
        Price("line-8", 0, 1, None, "never"),
        Price("slow", 0, 1, None, "unusable"),
        Price("barred", 0, None, None, "avoided"),
        Price("x", 0, 1, None, "unknown"),
    ),
    changes=(
        Change((Setting("mic", 15),), 50600),
        Change((Setting("mic", 17),), 88000),
        Change((Setting("max_hosts", 2),), 50500),
        Change((Setting("rate_hz", 96000),), None),
    ),
    complete=False,
)


def test_why_in_text() -> None:
    shown = choice_text(Choice(FIRST, None, WHY), "GBP")
    lines = shown.splitlines()
    assert lines[:2] == ["", "WHY THIS RIG"]
    for line in (
        "desk-8          1      300.00                     450.00",
        "pre-8           1  not for sale           any price: owned",
        "hub-4                  250.00        88.00",
        "old              not for sale         0.10",
        "Not even for nothing: line-8.",
        "Of no use here, by rate, by ports or by what is asked: slow.",
        "Not to be bought: barred.",
        "Not known: x.",
        "17 microphones     880.00     +374.00",
        "up to 2 hosts      505.00       -1.00",
        "96 kHz             no rig",
        "No difference: 15 microphones.",
        "Not all of this could be found out.",
    ):
        words = line.split("  ")
        assert any(all(w.strip() in found for w in words) for found in lines), line
    assert max(map(width, lines)) <= 80


def test_why_leaves_out_what_there_is_nothing_to_say_of() -> None:
    shown = choice_text(Choice(FIRST, None, Why((), (WHY.changes[0],))), "GBP")
    assert shown == "\nWHY THIS RIG\nNo difference: 15 microphones.\n"
    shown = choice_text(Choice(FIRST, None, Why(WHY.prices[7:8], ())), "GBP")
    assert shown == "\nWHY THIS RIG\nNot even for nothing: line-8.\n"


def test_why_in_json() -> None:
    told = choice_json(Choice(FIRST, None, WHY), "GBP")["why"]
    assert isinstance(told, dict)
    assert told["complete"] is False
    assert told["prices"][0] == {
        "device": "desk-8",
        "units": 1,
        "unit_price": "300.00",
        "switch_price": "450.00",
        "note": None,
    }
    assert told["prices"][7] == {
        "device": "line-8",
        "units": 0,
        "unit_price": "0.01",
        "entry_price": None,
        "note": "never",
    }
    assert told["needs"][1] == {
        "set": {"inputs.mic": 17},
        "total": "880.00",
        "difference": "374.00",
    }
    assert told["needs"][3]["difference"] is None


def test_nothing_is_printed_raw() -> None:
    dirty = WHY.prices[5]._replace(device="a\x1b[2Jb")
    shown = choice_text(Choice(FIRST, None, Why((dirty,), ())), "GBP")
    assert "\x1b" not in shown
