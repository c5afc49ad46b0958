"""A question in words: what is understood, written by hand, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from rigopt.cli import main as cli
from rigopt.cli.grow import grow
from rigopt.cli.plan import plan
from rigopt.errors import InputError
from rigopt.needs.question import KINDS
from rigopt.needs.read import read_needs
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs, Question, Stage
from rigopt.needs.words import NUMBERS, PHRASES
from tests.reading.folders import SMALL

EVERY_PORT = Needs().ports


def understood(text: str, **options: object) -> Needs:
    return read_needs(Question(text), SMALL, options)


def refused(text: str, **options: object) -> list[str]:
    with pytest.raises(InputError) as raised:
        understood(text, **options)
    return [str(fault) for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("text", "needs"),
    [
        (
            "24 mics at 48k, 8 condensers, 2 ribbons, 2 line outs, under 900",
            {"mic": 24, "phantom": 8, "no_phantom": 2, "out_line": 2, "budget": 90000},
        ),
        ("24 mics", {"mic": 24}),
        ("1 microphone.", {"mic": 1}),
        ("16 Mikes @ at 96", None),
        ("sixteen microphone inputs at 96 kHz", {"mic": 16, "rate_hz": 96000}),
        ("twenty-four mics", {"mic": 24}),
        ("thirty two mics 88.2k", {"mic": 32, "rate_hz": 88200}),
        ("a dozen mics at 44,1", {"mic": 12, "rate_hz": 44100}),
        ("two dozen mics,44100 hz", {"mic": 24, "rate_hz": 44100}),
        ("8 mics in 44k1", {"mic": 8, "rate_hz": 44100}),
        ("8 mics at 48,2 line inputs", None),
        ("8 mics at 48, 2 line inputs", {"mic": 8, "line": 2}),
        ("8 condensers", {"mic": 8, "phantom": 8}),
        ("2 line inputs and 8 condensers", {"line": 2, "mic": 8, "phantom": 8}),
        ("8 condenser mics and 2 ribbon mics", {"mic": 10, "phantom": 8, "no_phantom": 2}),
        (
            "10 dynamics, 8 condensers, a ribbon",
            {"mic": 19, "phantom": 8, "no_phantom": 1},
        ),
        ("24 mics, of which 8 condensers and 10 dynamics", {"mic": 24, "phantom": 8}),
        ("24 mics including 8 with phantom power", {"mic": 24, "phantom": 8}),
        ("24 mics with 8 that need 48 V", {"mic": 24, "phantom": 8}),
        ("8 condensers, 2 ribbons, 24 mics in all", {"mic": 24, "phantom": 8, "no_phantom": 2}),
        ("12 mics; 3 without 48V", {"mic": 12, "no_phantom": 3}),
        ("12 mics, 2 kept off phantom", {"mic": 12, "no_phantom": 2}),
        ("4 line-ins + 3 instruments", {"line": 4, "instrument": 3}),
        ("4 line sources & 1 instrument input", {"line": 4, "instrument": 1}),
        ("2 DI instruments, 3 line inputs", {"instrument": 2, "line": 3}),
        ("16 mics and 2 DIs", {"mic": 16, "instrument": 2}),
        ("one di, 4 mics", {"instrument": 1, "mic": 4}),
        (
            "8 mics, two line-level outputs, 3 headphone outs",
            {"mic": 8} | {"out_line": 2, "out_phones": 3},
        ),
        ("24 mics, 4 to spare", {"mic": 24, "spare": 4}),
        ("24 mics with four spare inputs", {"mic": 24, "spare": 4}),
        ("24 mics and 2 mic inputs left free", {"mic": 24, "spare": 2}),
        ("12 mics + one free input", {"mic": 12, "spare": 1}),
        ("8 mics and 2 headphones", {"mic": 8, "out_phones": 2}),
        ("8 mics for at most £900.50", {"mic": 8, "budget": 90050}),
        ("8 mics, a budget of 1,234.50 GBP", {"mic": 8, "budget": 123450}),
        ("8 mics within 90 gbp", {"mic": 8, "budget": 9000}),
        ("8 mics with the interface as clock master", {"mic": 8, "master": "host"}),
        ("8 mics, an expander as master", {"mic": 8, "master": "expander"}),
        ("8 mics, a clock box as the clock master", {"mic": 8, "master": "clock"}),
        ("8 mics, pre-8 as master", {"mic": 8, "master": "pre-8"}),
        ("8 mics, max 2 hops", {"mic": 8, "max_hops": 2}),
        ("8 mics, hosts on their own clocks", {"mic": 8, "own_clocks": True}),
        ("8 mics, at most 2 word inputs from one output", {"mic": 8, "word_inputs": 2}),
        ("8 mics over usb or thunderbolt", None),
        ("8 mics over usb and thunderbolt", {"mic": 8, "ports": ("usb", "thunderbolt")}),
        ("8 mics, USB only", {"mic": 8, "ports": ("usb",)}),
        ("32 mics on up to two interfaces", None),
        ("32 mics, up to two interfaces", {"mic": 32, "max_hosts": 2}),
        ("32 mics, one interface", {"mic": 32}),
        (
            "8 mics, 7.5 m to the rack, 1 m in the rack",
            {"mic": 8} | {"host_to_rack_mm": 7500, "within_rack_mm": 1000},
        ),
        ("8 mics, up to 3 U, at most 4 boxes", {"mic": 8, "rack_units": 3, "units": 4}),
        ("8 mics, no more than 3 mains plugs", {"mic": 8, "mains": 3}),
        ("8 mics, buy nothing", {"mic": 8, "owned_only": True}),
        ("8 mics, new things only, from one shop", {"mic": 8, "new_only": True, "sellers": 1}),
        ("no mics, 2 line outs", {"out_line": 2}),
        ("٢٤ mics", {"mic": 24}),
    ],
)
def test_what_is_understood(text: str, needs: dict[str, Any] | None) -> None:
    if needs is None:
        assert refused(text)
    else:
        assert understood(text) == Needs(**needs)


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("24 mics, 3 oboes", ["is not understood (found '3 oboes'); did you mean 'boxes'?"]),
        (
            "24 mics, 8 condensors, quick",
            [
                "is not understood (found '8 condensors'); did you mean 'condensers'?",
                "is not understood (found 'quick')",
            ],
        ),
        (
            "concert",
            [
                "is not understood; a file of needs ends in .toml, and there is none of this "
                "name (found 'concert')"
            ],
        ),
        (
            "24 mics plus 8 condensers",
            [
                "could be some of the microphones before it or more of them; say 'of which 8 "
                "condensers', or one number of microphones for all (found '8 condensers')"
            ],
        ),
        (
            "24 mics at 48k and 8 ribbons",
            [
                "could be some of the microphones before it or more of them; say 'of which 8 "
                "ribbons', or one number of microphones for all (found '8 ribbons')"
            ],
        ),
        (
            "8 condensers, 16 mics",
            [
                "could be all microphones or others than those before it; say '16 mics in "
                "all', or put it first (found '16 mics')"
            ],
        ),
        (
            "24 mics of which 4 spare",
            [
                "could be some of the inputs before it or more of them; say how many "
                "microphones there are, 'and 4 spare' (found '4 spare')"
            ],
        ),
        ("24 mics, 12 mics", ["is said twice (found '12 mics')"]),
        ("24 mics at 48 at 96", ["is said twice (found 'at 96')"]),
        ("24 mics then 32 mics", None),
        ("24 mics at 47k", None),
        ("24 mics under 1,300", None),
        (
            "24 mics under 900 EUR",
            [
                "under 900 eur: says 'EUR', but the currency is GBP (key currency in "
                "catalog.toml) (found '900 EUR')"
            ],
        ),
        ("24 mics under 900 euros", None),
        ("24 mics for 900", ["is not understood (found '900')"]),
        (
            "24 mics, two hosts",
            ["is not understood (found 'two hosts'); did you mean 'at most two hosts'?"],
        ),
        ("24 mics, hosts", ["is not understood (found 'hosts')"]),
        ("24 mics under 4 boxes", None),
        (
            "24 mics, 16 condensers, 16 dynamics",
            ["all kinds together are 32, more than all 24 microphones"],
        ),
        ("24.5 mics", None),
        ("1 2 mics", None),
        ("24 mics, desk-9 as master", None),
        ("mics", None),
    ],
)
def test_what_is_refused(text: str, faults: list[str] | None) -> None:
    found = refused(text)
    assert all(fault.startswith(("question: ", "question, ")) for fault in found)
    if faults is not None:
        assert [fault[len("question: ") :] for fault in found] == faults


def test_more_kinds_than_microphones_are_told_as_in_a_file() -> None:
    assert refused("8 mics, of which 6 condensers and 3 ribbons") == [
        "question, inputs.phantom: 6 that need 48 V and 3 that must not get it are more than "
        "all 8 microphones"
    ]


def test_two_words_for_one_need_are_two_slips() -> None:
    slip = "question: is not understood (found '{}')"
    assert refused("foo,bar") == [slip.format("foo"), slip.format("bar")]


def test_words_that_say_nothing_or_cannot_be_read() -> None:
    nothing = "question: asks nothing; say what you need, such as '16 mics'"
    assert refused(" ?!") == [nothing]
    assert refused("8 mics\x07") == [
        "question: holds a control character (U+0007) (found '8 mics\\x07')"
    ]


def test_a_device_may_be_called_as_a_number_is() -> None:
    shop = replace(SMALL, devices={"two": SMALL.devices["pre-8"]})
    assert read_needs(Question("two mics, two as master"), shop, {}).master == "two"


def test_every_option_overrides_the_words() -> None:
    asked = "24 mics at 48k, 8 condensers, under 900"
    found = understood(asked, mic="32", rate="96", budget="1000", owned={"desk-8": "1"})
    assert found == Needs(mic=32, phantom=8, rate_hz=96000, budget=100000, owned={"desk-8": 1})
    assert understood("8 condensers", mic="24") == Needs(mic=24, phantom=8)


def test_a_list_of_sources_stands_for_the_inputs_of_the_words(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("name,kind\nSax,line\n", "utf-8")
    found = understood("24 mics at 96k", sources=str(tmp_path / "list.csv"))
    assert (found.mic, found.line, found.rate_hz) == (0, 1, 96000)


def test_then_says_the_stages_and_keeps_what_was_said() -> None:
    asked = "8 mics at 48k under 300, then 16 mics, 4 ribbons; then at 96k under 500"
    found = read_needs(Question(asked, staged=True), SMALL, {"master": "host"})
    first = Needs(mic=8, budget=30000, master="host")
    second = Needs(mic=16, no_phantom=4, master="host")
    third = replace(second, rate_hz=96000, budget=50000)
    one = Decimal(1)
    assert found.stages == (
        Stage("Stage 1", first, one, 30000),
        Stage("Stage 2", second, one, None),
        Stage("Stage 3", third, one, 50000),
    )
    assert read_needs(Question("8 mics", staged=True), SMALL, {}) == Needs(mic=8)
    two = read_needs(Question("8 mics under 300, then 16 mics", staged=True), SMALL, {})
    assert [(stage.needs.budget, stage.budget) for stage in two.stages] == [
        (30000, 30000),
        (None, None),
    ]


def test_every_number_below_a_hundred_has_one_word() -> None:
    more = {"a": 1, "an": 1, "a-dozen": 12, "two-dozen": 24}
    plain = {word: number for word, number in NUMBERS.items() if word not in more}
    assert sorted(plain.values()) == list(range(100))
    assert {word: NUMBERS[word] for word in more} == more
    assert (NUMBERS["no"], NUMBERS["nineteen"], NUMBERS["twenty"]) == (0, 19, 20)
    assert (NUMBERS["twenty-nine"], NUMBERS["forty-two"], NUMBERS["ninety-one"]) == (29, 42, 91)


def test_every_need_but_names_can_be_said() -> None:
    """Ids, tables of them and pairs are for a file or an option."""
    said = {phrase.need for phrase in PHRASES} - set(KINDS) | {"phantom", "no_phantom"}
    names = ("ids", "table", "pairs")
    assert said == {row.name for row in TABLE if row.kind not in names}


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("there", Path),
        ("there.txt", Path),
        ("gone.toml", Path),
        ("GONE.TOML", Path),
        ("gone", Question),
        ("gone.xlsx", Question),
        ("8 mics", Question),
        ("x" * 5000, Question),
        ("a\0b", Question),
    ],
)
def test_what_is_a_file_and_what_a_question(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, kind: type
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there").write_text("", "utf-8")
    (tmp_path / "there.txt").write_text("", "utf-8")
    for command, staged in ((plan, False), (grow, True)):
        context = command.make_context(command.name, [name], help_option_names=cli.HELP)
        (found,) = [v for v in context.params.values() if isinstance(v, (Path, Question))]
        assert isinstance(found, kind)
        assert not isinstance(found, Question) or found.staged == staged


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["plan", "8 mics at 44.1, 2 line outs"], "44.1 kHz, 8 microphones, 2 line outputs"),
        (["compare", "8 mics", "8 mics at 96k"], "8 mics at 96k"),
        (["curve", "2 line outs", "--to", "8"], "8 microphones, 2 line outputs"),
        (["stretch", "under 300, 2 line outs"], "2 line outputs"),
        (["grow", "2 mics, then 4 mics"], "STAGE 2"),
    ],
)
def test_every_command_takes_it(args: list[str], said: str) -> None:
    done = CliRunner().invoke(cli.commands, args, standalone_mode=False)
    assert (done.return_value, done.exception) == (0, None)
    assert said in done.output


def test_a_rig_is_audited_by_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rig = str(tmp_path / "rig.json")
    assert cli.run(["plan", "8 mics", "--json", rig]) == 0
    assert cli.run(["audit", rig, "--needs", "8 mics"]) == 0
    assert cli.run(["audit", rig, "--needs", "40 mics"]) == 3
    assert cli.run(["audit", rig, "--needs", "40 mice"]) == 2
    assert "question: is not understood (found '40 mice')" in capsys.readouterr().err


def test_words_that_ask_for_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["plan", "at 96k"]) == 2
    assert "say what you need" in capsys.readouterr().err
    assert cli.run(["grow", "8 mics"]) == 2
    assert "then 16 mics" in capsys.readouterr().err
