"""The needs file: every key, its limits, the source list, stages and the command line."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from rigopt.errors import InputError
from rigopt.needs.read import parse_needs_tables, read_needs
from rigopt.needs.types import Needs, SourceLine, Stage
from tests.reading.folders import SMALL, needs, needs_faults

EVERYTHING = """
title = "Live"
rate_khz = 44.1
[inputs]
mic = 24
phantom = 8
no_phantom = 1
line = 2
instrument = "3"
[outputs]
line = 2
phones = 1
[clock]
master = "pre-8"
max_hops = 2
[computer]
ports = ["USB", "pcie", "usb"]
max_hosts = 2
[cables]
host_to_rack_m = 2.5
within_rack_m = "0,75"
[limits]
budget = 900.50
rack_units = 6
mains = 5
units = 4
[owned]
desk-8 = 1
opt-1.5m = 2
pre-8 = 0
[choose]
avoid = ["desk-8"]
require = "pre-8"
"""

LISTED = """
[[source]]
name = "Overhead L"
phantom = "on"
pair = "Overheads"
[[source]]
name = "Overhead R"
kind = "Mic"
phantom = "ON"
pair = "Overheads"
[[source]]
name = "Ribbon"
phantom = "off"
[[source]]
name = "Bass"
kind = "instrument"
[[source]]
name = "Keys"
kind = "line"
phantom = "any"
"""


def test_without_anything_every_default_holds() -> None:
    assert read_needs(None, SMALL, {}) == Needs()


def test_every_key(tmp_path: Path) -> None:
    assert needs(tmp_path, EVERYTHING) == Needs(
        title="Live",
        rate_hz=44100,
        mic=24,
        phantom=8,
        no_phantom=1,
        line=2,
        instrument=3,
        out_line=2,
        out_phones=1,
        master="pre-8",
        max_hops=2,
        ports=("usb", "pcie"),
        max_hosts=2,
        host_to_rack_mm=2500,
        within_rack_mm=750,
        budget=90050,
        rack_units=6,
        mains=5,
        units=4,
        owned={"desk-8": 1, "opt-1.5m": 2},
        avoid=("desk-8",),
        require=("pre-8",),
    )


def test_the_command_line_overrides_the_file(tmp_path: Path) -> None:
    found = needs(
        tmp_path,
        EVERYTHING,
        mic=30,
        phantom="9",
        no_phantom=0,
        line=None,
        instrument=5,
        rate="48 kHz",
        master="Host",
        budget="£1,000.00",
        owned={"desk-8": 0, "pre-8": 2},
    )
    assert (found.mic, found.phantom, found.no_phantom, found.line) == (30, 9, 0, 2)
    assert (found.instrument, found.rate_hz, found.master) == (5, 48000, "host")
    assert (found.budget, found.owned) == (100000, {"opt-1.5m": 2, "pre-8": 2})


def test_the_command_line_is_enough() -> None:
    found = read_needs(None, SMALL, {"mic": 16, "rate": "96k", "owned": {"desk-8": 1}})
    assert found == Needs(mic=16, rate_hz=96000, owned={"desk-8": 1})


def test_the_counts_follow_from_the_list_of_sources(tmp_path: Path) -> None:
    found = needs(tmp_path, LISTED)
    assert (found.mic, found.phantom, found.no_phantom) == (3, 2, 1)
    assert (found.line, found.instrument) == (1, 1)
    assert found.sources[0] == SourceLine("Overhead L", "mic", "on", "Overheads")
    assert found.sources[4] == SourceLine("Keys", "line", "any", None)


def test_counts_beside_the_list_may_say_the_same(tmp_path: Path) -> None:
    assert needs(tmp_path, "inputs.mic = 3\n" + LISTED) == needs(tmp_path, LISTED)


def test_as_many_stages_as_there_may_be(tmp_path: Path) -> None:
    stages = needs(tmp_path, "stage = [" + "{}," * 32 + "]").stages
    assert [stage.title for stage in stages] == [f"Stage {n}" for n in range(1, 33)]


def test_the_ends_of_what_an_exchange_rate_may_be(tmp_path: Path) -> None:
    text = "exchange = {EUR = 1000000, USD = 0.000000001}"
    assert needs(tmp_path, text).exchange == {
        "EUR": Decimal(1_000_000),
        "USD": Decimal("0.000000001"),
    }


def test_an_empty_list_of_devices_names_none(tmp_path: Path) -> None:
    assert needs(tmp_path, "choose.avoid = []\ninputs.mic = 3\n") == Needs(mic=3)


def test_an_empty_list_of_sources_is_no_list(tmp_path: Path) -> None:
    assert needs(tmp_path, "source = []\ninputs.mic = 3\n") == Needs(mic=3)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "rate_khz = 47",
            "rate_khz: must be a sample rate in kHz: 32, 44.1, 48, 88.2, 96, "
            "176.4 or 192 (found '47')",
        ),
        (
            "rate_khz = 44",
            "rate_khz: must be a sample rate in kHz: 32, 44.1, 48, 88.2, 96, "
            "176.4 or 192 (found '44'); did you mean '44.1'?",
        ),
        (
            "titel = 'x'",
            "titel: there is no such key here (found 'titel'); did you mean 'title'?",
        ),
        ("mic = 4", "mic: there is no such key here; it belongs in [inputs] (found 'mic')"),
        ("line = 4", "line: there is no such key here (found 'line')"),
        (
            "computer.max_hops = 2",
            "computer.max_hops: there is no such key here; it belongs in [clock] (found "
            "'max_hops')",
        ),
        (
            "inputs.rate_khz = 48",
            "inputs.rate_khz: there is no such key here (found 'rate_khz')",
        ),
        (
            "titel = 'x'\ninputs.phantom = 1",
            "titel: there is no such key here (found 'titel'); did you mean 'title'?",
        ),
        (
            "[input]\nmic = 4",
            "input: there is no such key here (found 'input'); did you mean 'inputs'?",
        ),
        (
            "inputs.mics = 4",
            "inputs.mics: there is no such key here (found 'mics'); did you mean 'mic'?",
        ),
        ('"a\\u001b" = 1', "a\\x1b: there is no such key here (found 'a\\x1b')"),
        ("inputs = 4", "inputs: must be a table (found '4')"),
        ("owned = 4", "owned: must be a table (found '4')"),
        ("source = 4", "source: must be a list (found '4')"),
        ("source = [4]", "source[1]: must be a table (found '4')"),
        ("choose.avoid = 4", "choose.avoid: must be a list (found '4')"),
        ("inputs.mic = -1", "inputs.mic: must not be negative (found '-1')"),
        (
            "inputs.mic = 1.5",
            "inputs.mic: must be a whole number from 0 to 1000000 (found '1.5')",
        ),
        (
            "inputs.mic = 1000001",
            "inputs.mic: must be a whole number from 0 to 1000000 (found '1000001')",
        ),
        ("inputs.mic = true", "inputs.mic: must be a text or a number (found 'True')"),
        (
            "inputs.mic = 0x" + "f" * 5000,
            "inputs.mic: is not a number (found 'a number of more than 40 digits')",
        ),
        ("inputs.mic = nan", "inputs.mic: is not a number (found 'nan')"),
        (
            "inputs.mic = 1e400",
            "inputs.mic: is a power of ten; write the number in full (found '1e400')",
        ),
        (
            "inputs.mic = 1979-05-27",
            "inputs.mic: must be a text or a number (found '1979-05-27')",
        ),
        ("inputs.mic = {a = 1}", "inputs.mic: must be a text or a number (found 'a table')"),
        (
            "clock.max_hops = 33",
            "clock.max_hops: must be a whole number from 0 to 32 (found '33')",
        ),
        (
            "computer.max_hosts = 0",
            "computer.max_hosts: must be a whole number from 1 to 16 (found '0')",
        ),
        (
            "computer.max_hosts = 17",
            "computer.max_hosts: must be a whole number from 1 to 16 (found '17')",
        ),
        ("computer.ports = []", "computer.ports: names nothing; leave it out for every kind"),
        (
            "computer.ports = 'usbc'",
            "computer.ports[1]: must be usb, thunderbolt, pcie or "
            "network (found 'usbc'); did you mean 'usb'?",
        ),
        (
            "cables.within_rack_m = 1000.1",
            "cables.within_rack_m: must be a length from 0 to 1000 metres (found '1000.1')",
        ),
        (
            "limits.budget = 9.999",
            "limits.budget: has more decimals than GBP, which has 2; no "
            "thousands mark is needed (found '9.999')",
        ),
        (
            "owned.desk-9 = 1",
            "owned.desk-9: must be the id of a device, cable or extra in the "
            "catalogue (found 'desk-9'); did you mean 'desk-8'?",
        ),
        (
            "owned.opt-1.6m = 1",
            "owned.opt-1.6m: must be the id of a device, cable or extra in "
            "the catalogue (found 'opt-1.6m'); did you mean 'opt-1.5m'?",
        ),
        (
            "choose.avoid = ['lead']",
            "choose.avoid[1]: is an extra, but must be the id of a device (found 'lead')",
        ),
        ("choose.new_only = 'maybe'", "choose.new_only: must be yes or no (found 'maybe')"),
        ("limits.sellers = -1", "limits.sellers: must not be negative (found '-1')"),
        (
            "exchange.EUR = 0",
            "exchange.EUR: must be a number above 0 and up to 1000000 with up "
            "to 9 decimals (found '0')",
        ),
        (
            "exchange.EUR = 0.0000000001",
            "exchange.EUR: must be a number above 0 and up to "
            "1000000 with up to 9 decimals (found '0.0000000001')",
        ),
        (
            "exchange.EUR = 1000000.5",
            "exchange.EUR: must be a number above 0 and up to 1000000 "
            "with up to 9 decimals (found '1000000.5')",
        ),
        (
            "exchange.GBP = 1",
            "exchange.GBP: is the catalogue's own currency, and needs no rate (found 'GBP')",
        ),
        (
            "exchange.EURO = 1",
            "exchange.EURO: must be an ISO 4217 code of three capital "
            "letters (found 'EURO'); did you mean 'EUR'?",
        ),
        ("owned.desk-8 = -1", "owned.desk-8: must not be negative (found '-1')"),
        (
            "choose.avoid = ['opt-1.5m']",
            "choose.avoid[1]: is a cable, but must be the id of a device (found 'opt-1.5m')",
        ),
        ("choose.require = ['']", "choose.require[1]: must not be blank (found '')"),
        (
            "clock.master = 'hst'",
            "clock.master: must be any, host, expander, clock or the id "
            "of a device in the catalogue (found 'hst'); did you mean 'host'?",
        ),
        (
            "inputs = {mic = 2, phantom = 2, no_phantom = 1}",
            "inputs.phantom: 2 that need 48 V "
            "and 1 that must not get it are more than all 2 microphones",
        ),
        ("[[source]]", "source[1].name: this is missing"),
        (
            "currency = 'GBP'\ninputs.mic = 3",
            "currency: there is no such key here (found 'currency')",
        ),
        (
            "source = [{name = 'a', kind = 'inst'}]",
            "source[1].kind: must be mic, line or "
            "instrument (found 'inst'); did you mean 'instrument'?",
        ),
        (
            "source = [{name = 'a', phantom = true}]",
            "source[1].phantom: must be a text or a number (found 'True')",
        ),
        (
            "source = [{name = 'a', knd = 'mic'}]",
            "source[1].knd: there is no such key here (found 'knd'); did you mean 'kind'?",
        ),
        (
            "source = [{name = 'a', kind = 'line', phantom = 'off'}]",
            "source[1].phantom: is for microphones; leave it out for kind line (found 'off')",
        ),
        (
            "source = [{name = 'a'}, {name = ' a '}]",
            "source[2].name: is the name of source 1 already (found 'a')",
        ),
        (
            "source = [{name = 'a', pair = 'p'}]",
            "source[1].pair: a pair is two sources, but this one is alone (found 'p')",
        ),
        (
            "source = [{name = 'a', pair = 'p'}, {name = 'b', pair = 'p'}, "
            "{name = 'c', pair = 'p'}]",
            "source[3].pair: a pair is two sources, but 3 name this one (found 'p')",
        ),
        (
            "source = [{name = 'a', pair = 'p'}, {name = 'b', pair = 'p', kind = 'line'}]",
            "source[2].pair: a pair is two sources of one kind, not mic and line (found 'p')",
        ),
        (
            "inputs.mic = 2\nsource = [{name = 'a'}]",
            "inputs.mic: is 1 in the list of sources; "
            "leave the count out, it follows from the list (found '2')",
        ),
        ("[[stage]]\nprice_factor = 0", "stage[1].price_factor: must be above 0 (found '0')"),
        (
            "[[stage]]\nprice_factor = 101",
            "stage[1].price_factor: must be a number from 0 to "
            "100 with up to 6 decimals (found '101')",
        ),
        (
            "[[stage]]\nbudgt = 0",
            "stage[1].budgt: there is no such key here (found 'budgt'); did you mean 'budget'?",
        ),
        (
            "[[stage]]\nmic = 8",
            "stage[1].mic: there is no such key here; it is written inputs.mic (found 'mic')",
        ),
        (
            "[[stage]]\ninputs.max_hops = 2",
            "stage[1].inputs.max_hops: there is no such key here; it belongs in [clock] "
            "(found 'max_hops')",
        ),
        (
            "[[stage]]\nbudget = 5\nlimits.budget = 6",
            "stage[1].budget: says another sum than limits.budget of this stage; leave one out",
        ),
        (
            "[[stage]]\n[[stage]]\ninputs.phantom = 1",
            "stage[2].inputs.phantom: 1 that need "
            "48 V and 0 that must not get it are more than all 0 microphones",
        ),
        (
            "[[stage]]\ninputs = {mic = 8, phantom = 8}\n[[stage]]\ninputs.mic = 4",
            "stage[2].inputs.phantom: 8 that need "
            "48 V and 0 that must not get it are more than all 4 microphones",
        ),
        (
            "[[stage]]\nsource = [{name = 'a'}]\n[[stage]]\ninputs.mic = 2",
            "stage[2].inputs.mic: is 1 in "
            "the list of sources; give this stage its own list, [[stage.source]] (found '2')",
        ),
        (
            "[[stage]]\ninputs.mics = 1",
            "stage[1].inputs.mics: there is no such key here "
            "(found 'mics'); did you mean 'mic'?",
        ),
        (
            "source = [{name = 'a'}]\n[[stage]]\ninputs.mic = 2",
            "stage[1].inputs.mic: is 1 in "
            "the list of sources; give this stage its own list, [[stage.source]] (found '2')",
        ),
        ("stage = [" + "{}," * 33 + "]", "stage: has more than 32 entries"),
        ("source = [" + "{name = 'a'}," * 1001 + "]", "source: has more than 1000 entries"),
        ("inputs.mic = ", None),
    ],
)
def test_a_fault_of_the_file(tmp_path: Path, text: str, fault: str | None) -> None:
    found = needs_faults(tmp_path, text)
    if fault is None:
        assert len(found) == 1
        assert found[0].startswith("needs.toml, row 1: is not valid TOML: ")
    else:
        assert found == [f"needs.toml, {fault}"]


@pytest.mark.parametrize(
    ("options", "fault"),
    [
        ({"mic": "x"}, "--mic: is not a number (found 'x')"),
        (
            {"mic": "none"},
            "--mic: is no number; if it is not known, leave the cell blank (found 'none')",
        ),
        (
            {"avoid": ["none", "desk-8"]},
            "--avoid: must be the id of a device in the catalogue (found 'none')",
        ),
        ({"no_phantom": -1, "mic": 3}, "--no-phantom: must not be negative (found '-1')"),
        (
            {"rate": "45"},
            "--rate: must be a sample rate in kHz: 32, 44.1, 48, 88.2, 96, 176.4 "
            "or 192 (found '45')",
        ),
        (
            {"master": "pre8"},
            "--master: must be any, host, expander, clock or the id of a "
            "device in the catalogue (found 'pre8'); did you mean 'pre-8'?",
        ),
        (
            {"budget": "1,234"},
            "--budget: could mean 1234 or 1.234; write it without a comma (found '1,234')",
        ),
        (
            {"owned": {"pre-9": 1}},
            "--owned: must be the id of a device, cable or extra in "
            "the catalogue (found 'pre-9'); did you mean 'pre-8'?",
        ),
        ({"owned": {"pre-8": "x"}}, "--owned: is not a number (found 'x')"),
        ({"owned": {"opt-1.5m": "x"}}, "--owned: is not a number (found 'x')"),
        ({"owned": "pre-8"}, "--owned: must be names, each with a number"),
        (
            {"exchange": {"GBP": "1"}},
            "--exchange: is the catalogue's own currency, and needs no rate (found 'GBP')",
        ),
        ({"exchange": {"EUR": "x"}}, "--exchange: is not a number (found 'x')"),
        ({"sellers": -1}, "--sellers: must not be negative (found '-1')"),
        ({"ports": "usb"}, "--ports: there is no such option"),
        (
            {"phantom": 4},
            "--phantom: 4 that need 48 V and 0 that must not get it are more than "
            "all 0 microphones",
        ),
        (
            {"no_phantom": 4, "mic": 3},
            "--no-phantom: 0 that need 48 V and 4 that must not get "
            "it are more than all 3 microphones",
        ),
    ],
)
def test_a_fault_of_the_command_line(options: dict[str, object], fault: str) -> None:
    with pytest.raises(InputError) as raised:
        read_needs(None, SMALL, options)
    assert str(raised.value) == f"command line, {fault}"


def test_one_name_in_the_place_of_a_list() -> None:
    assert read_needs(None, SMALL, {"avoid": "desk-8"}) == Needs(avoid=("desk-8",))
    assert read_needs(None, SMALL, {"avoid": ()}) == Needs()


def test_a_device_may_be_called_none() -> None:
    shop = replace(SMALL, devices={"none": SMALL.devices["desk-8"]})
    assert read_needs(None, shop, {"avoid": ["none"]}) == Needs(avoid=("none",))


def test_tables_from_elsewhere_are_told_by_their_name() -> None:
    tables = {"inputs": {"mic": 3}, "source": []}
    assert parse_needs_tables(tables, "rig.json", SMALL) == Needs(mic=3)
    with pytest.raises(InputError) as raised:
        parse_needs_tables({"inputs": {"mic": -1}}, "rig.json", SMALL)
    assert str(raised.value) == "rig.json, inputs.mic: must not be negative (found '-1')"


def test_an_option_that_the_file_cannot_bear_is_told_as_the_option(tmp_path: Path) -> None:
    assert needs_faults(tmp_path, "inputs = {mic = 9, phantom = 9}", mic=8) == [
        "command line, --mic: 9 that need 48 V and 0 that must not get it are more than all 8 "
        "microphones"
    ]


def test_counts_on_the_command_line_do_not_go_with_a_list(tmp_path: Path) -> None:
    text = LISTED + "[[stage]]\n"
    assert needs_faults(tmp_path, text, mic=3, rate="96", line=1) == [
        "command line, --mic: the sources are listed, and the counts follow from the "
        "list; leave the option out or change the list (found '3')",
        "command line, --line: the sources are listed, and the counts follow from the "
        "list; leave the option out or change the list (found '1')",
    ]


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    text = """
        rate_khz = 1
        inputs = {mic = -1, line = "x", phantom = 5}
        choose = {avoid = ["desk-7", "lead"]}
        owned = {desk-7 = 1, desk-8 = "x"}
        source = [{name = "a", pair = "p"}]
        stage = [{budget = 1, limits.budget = 2}]
    """
    found = needs_faults(tmp_path, text, mic=2, budget="x")
    assert [line.partition(":")[0] for line in found] == [
        "needs.toml, rate_khz",
        "needs.toml, inputs.mic",
        "needs.toml, inputs.line",
        "needs.toml, owned.desk-7",
        "needs.toml, owned.desk-8",
        "needs.toml, choose.avoid[1]",
        "needs.toml, choose.avoid[2]",
        "needs.toml, source[1].pair",
        "needs.toml, stage[1].budget",
        "command line, --budget",
        "command line, --mic",
    ]


def test_a_file_that_is_missing(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.toml: there is no such file") as raised:
        read_needs(tmp_path / "none.toml", SMALL, {"mic": "x"})
    assert len(raised.value.faults) == 2


def test_stages_lay_their_words_over_those_of_the_stage_before(tmp_path: Path) -> None:
    text = """
        title = "Growth"
        rate_khz = 96
        inputs = {mic = 16, phantom = 4}
        limits = {budget = 900, units = 5}
        owned = {desk-8 = 1}
        [[stage]]
        title = "First"
        inputs.mic = 8
        [[stage]]
        price_factor = 0.9
        budget = 500
        rate_khz = 48
        owned.pre-8 = 2
        [[stage]]
        limits.budget = "400 GBP"
        owned.desk-8 = 0
    """
    found = needs(tmp_path, text)
    base = {"rate_hz": 96000, "phantom": 4, "budget": 90000, "units": 5, "owned": {"desk-8": 1}}
    assert found.stages == (
        Stage("First", Needs(title="First", mic=8, **base)),  # type: ignore[arg-type]
        Stage(
            "Stage 2",
            Needs(
                title="Growth",
                rate_hz=48000,
                mic=8,
                phantom=4,
                budget=50000,
                units=5,
                owned={"desk-8": 1, "pre-8": 2},
            ),
            Decimal("0.9"),
            50000,
        ),
        Stage(
            "Stage 3",
            Needs(
                title="Growth",
                mic=8,
                phantom=4,
                budget=40000,
                units=5,
                owned={"pre-8": 2},
            ),
            budget=40000,
        ),
    )
    assert (found.mic, found.rate_hz, found.budget) == (16, 96000, 90000)


def test_a_stage_that_names_one_need_keeps_all_others(tmp_path: Path) -> None:
    text = """
        [[stage]]
        rate_khz = 96
        inputs = {mic = 16, phantom = 8, line = 2}
        outputs.phones = 3
        clock.master = "pre-8"
        choose.avoid = ["desk-8"]
        exchange.EUR = 1.17
        [[stage]]
        inputs.mic = 24
    """
    first, second = (stage.needs for stage in needs(tmp_path, text).stages)
    assert (first.mic, first.phantom, first.rate_hz, first.master) == (16, 8, 96000, "pre-8")
    assert second == replace(first, mic=24)


def test_what_a_stage_says_of_itself_is_not_kept(tmp_path: Path) -> None:
    text = """
        title = "Growth"
        limits.budget = 900
        [[stage]]
        title = "First"
        price_factor = 0.9
        budget = 500
        [[stage]]
        limits.budget = 700
        [[stage]]
    """
    found = [
        (s.title, s.needs.title, s.price_factor, s.needs.budget, s.budget)
        for s in needs(tmp_path, text).stages
    ]
    assert found == [
        ("First", "First", Decimal("0.9"), 50000, 50000),
        ("Stage 2", "Growth", 1, 70000, 70000),
        ("Stage 3", "Growth", 1, 70000, None),
    ]


def test_a_list_of_sources_is_kept_until_there_is_another(tmp_path: Path) -> None:
    text = """
        [[stage]]
        source = [{name = "a"}, {name = "b"}]
        [[stage]]
        rate_khz = 96
        [[stage]]
        source = [{name = "c", kind = "line"}]
    """
    found = [stage.needs for stage in needs(tmp_path, text).stages]
    assert [[source.name for source in n.sources] for n in found] == [
        ["a", "b"],
        ["a", "b"],
        ["c"],
    ]
    assert [(n.mic, n.line) for n in found] == [(2, 0), (2, 0), (0, 1)]


def test_the_command_line_overrides_every_stage(tmp_path: Path) -> None:
    text = "[[stage]]\ninputs.mic = 8\nbudget = 500\n[[stage]]\ninputs.mic = 16\n"
    found = needs(tmp_path, text, mic=4, budget=100, master="pre-8")
    assert [(s.needs.mic, s.needs.budget, s.needs.master) for s in found.stages] == [
        (4, 10000, "pre-8"),
        (4, 10000, "pre-8"),
    ]
    assert [stage.budget for stage in found.stages] == [50000, None]


def test_a_stage_may_have_a_list_of_its_own(tmp_path: Path) -> None:
    text = "inputs = {mic = 9, line = 2}\n[[stage]]\n[[stage.source]]\nname = 'a'\n"
    stage = needs(tmp_path, text).stages[0].needs
    assert (stage.mic, stage.line, stage.sources) == (1, 0, (SourceLine("a"),))


def test_a_stage_inherits_the_list(tmp_path: Path) -> None:
    found = needs(tmp_path, LISTED + "[[stage]]\nrate_khz = 96\ninputs.mic = 3\n")
    assert found.stages[0].needs.sources == found.sources


def test_what_is_not_said_is_what_most_people_have() -> None:
    """48 kHz, one host, 1 m to the rack and half a metre in it."""
    usual = Needs()
    assert (usual.rate_hz, usual.master, usual.max_hops) == (48000, "any", 3)
    assert (usual.max_hosts, usual.word_inputs) == (1, 4)
    assert (usual.host_to_rack_mm, usual.within_rack_mm) == (1000, 500)
    assert (usual.inputs, usual.spare, usual.out_line, usual.out_phones) == (0, 0, 0, 0)
    assert (usual.own_clocks, usual.new_only, usual.owned_only) == (False,) * 3
    assert not usual.ask_for_something


@pytest.mark.parametrize(
    "needs",
    [
        *(Needs(mic=1), Needs(line=1), Needs(instrument=1), Needs(spare=1)),
        *(Needs(out_line=1), Needs(out_phones=1), Needs(require=("desk-8",))),
    ],
)
def test_each_of_these_gives_a_rig_something_to_do(needs: Needs) -> None:
    assert needs.ask_for_something
