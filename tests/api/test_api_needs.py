"""`Needs` holds what a needs file can hold, in the same units, with the same faults."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

import rigopt
from rigopt.api.needs import KEYS, TABLES, settled
from rigopt.files.models import keys
from rigopt.needs import schema
from rigopt.needs.read import read_needs
from rigopt.needs.row import Row
from rigopt.needs.table import TABLE
from tests.api.api_world import SMALL

EVERYTHING = """
title = "All of it"
rate_khz = 44.1
[inputs]
mic = 24
phantom = 16
no_phantom = 2
line = 3
instrument = 4
[outputs]
line = 2
phones = 1
[clock]
master = "expander"
max_hops = 2
own_clocks = true
word_inputs = 3
[computer]
ports = ["usb", "pcie"]
max_hosts = 2
[cables]
host_to_rack_m = 1.5
within_rack_m = 0.25
[limits]
budget = 1500.50
rack_units = 6
mains = 7
units = 5
sellers = 2
[owned]
desk-8 = 1
[choose]
avoid = "rack-16"
require = ["pre-8"]
new_only = true
owned_only = false
[exchange]
EUR = 1.17
[[stage]]
title = "First"
budget = 400
price_factor = 0.9
inputs.phantom = 8
[[stage]]
limits.budget = 500
owned.opt-1m = 3
outputs.line = 4
"""

LISTED = """
[[source]]
name = "Overhead L"
phantom = "on"
pair = "Overheads"
[[source]]
name = "Overhead R"
phantom = "on"
pair = "Overheads"
[[source]]
name = "Bass"
kind = "instrument"
"""


def asked(**said: object) -> object:
    return settled(rigopt.Needs(**said), rigopt.read_catalogue(SMALL))  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [EVERYTHING, LISTED, ""])
def test_a_file_is_asked_as_the_command_asks_it(text: str, tmp_path: Path) -> None:
    file = tmp_path / "needs.toml"
    file.write_text(text, "utf-8")
    shop = rigopt.read_catalogue(SMALL)
    assert settled(rigopt.read_needs(file, shop), shop) == read_needs(file, shop, {})
    assert rigopt.read_needs(str(file), shop) == rigopt.read_needs(file, shop)


def test_every_key_of_a_file_has_a_field() -> None:
    fields = {field.name for field in dataclasses.fields(rigopt.Needs)}
    here = [(table, KEYS.get(name, name)) for table, names in TABLES.items() for name in names]
    file = [(table, key) for table, section in schema.SECTIONS.items() for key in keys(section)]
    assert sorted(here) == sorted(file)
    inside = {name for names in TABLES.values() for name in names}
    assert inside <= fields
    top = {KEYS.get(name, name) for name in fields - inside}
    said = {*keys(schema.NeedsTable), *keys(schema.StageTable)}
    assert top == said - {*schema.SECTIONS, "budget"}


@pytest.mark.parametrize("row", [row for row in TABLE if row.read], ids=lambda row: row.name)
def test_every_row_of_the_table_is_a_field(row: Row) -> None:
    fields = [field.name for field in dataclasses.fields(rigopt.Needs)]
    at = TABLES.get(row.table, fields)
    assert [name for name in at if KEYS.get(name, name) == row.leaf and name in fields]


def test_values_in_the_units_of_people() -> None:
    found = asked(
        rate_khz=44.1,
        mic=np.int64(8),
        host_to_rack_m=2,
        within_rack_m=Decimal("0.3"),
        budget=Decimal("99.90"),
        owned={"opt-1m": np.int64(2)},
        avoid=("rack-16",),
        ports="usb",
        exchange={"EUR": 1.17},
    )
    told = dataclasses.asdict(found)  # type: ignore[call-overload]
    wanted = {
        "rate_hz": 44100,
        "mic": 8,
        "host_to_rack_mm": 2000,
        "within_rack_mm": 300,
        "budget": 9990,
        "owned": {"opt-1m": 2},
        "avoid": ("rack-16",),
        "ports": ("usb",),
        "exchange": {"EUR": Decimal("1.17")},
    }
    assert {key: told[key] for key in wanted} == wanted


def test_what_is_not_said_is_as_in_an_empty_file(tmp_path: Path) -> None:
    empty = tmp_path / "empty.toml"
    empty.write_text("")
    assert asked() == read_needs(empty, rigopt.read_catalogue(SMALL), {})


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"mic": -1}, "needs, inputs.mic: must not be negative (found '-1')"),
        ({"rate_khz": 47}, "needs, rate_khz: must be a sample rate"),
        ({"budget": 0.001}, "needs, limits.budget: has more decimals than GBP"),
        ({"master": "hst"}, "did you mean 'host'?"),
        ({"owned": {"desk-9": 1}}, "needs, owned.desk-9: must be the id of"),
        ({"mic": 1, "phantom": 2}, "are more than all 1 microphones"),
        ({"price_factor": 2}, "needs, price_factor: there is no such key here"),
        ({"sources": [{"nome": "Alto"}]}, "needs, source[1].nome: there is no such key"),
        ({"stages": [rigopt.Needs(), rigopt.Needs(mic=-1)]}, "needs, stage[2].inputs.mic: "),
        ({"stages": [rigopt.Needs(stages=[])]}, "needs, stage[1].stage: there is no such key"),
    ],
)
def test_faults_are_those_of_a_file(said: dict[str, object], fault: str) -> None:
    with pytest.raises(rigopt.RigoptError) as error:
        asked(**said)
    assert fault in str(error.value)


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(rigopt.RigoptError) as error:
        asked(mic=-1, units="x", require=["desk-9"])
    assert len(str(error.value).splitlines()) == 3


def test_a_file_with_a_fault_is_named(tmp_path: Path) -> None:
    file = tmp_path / "needs.toml"
    shop = rigopt.read_catalogue(SMALL)
    with pytest.raises(rigopt.RigoptError, match=r"needs\.toml: there is no such file"):
        rigopt.read_needs(file, shop)
    file.write_text("[inputs]\nmikes = 3\n")
    with pytest.raises(rigopt.RigoptError, match=r"needs\.toml, inputs\.mikes: "):
        rigopt.read_needs(file, shop)


def test_a_slip_in_a_name_is_a_slip_in_python() -> None:
    with pytest.raises(TypeError, match="mikes"):
        rigopt.Needs(mikes=3)  # type: ignore[call-arg]


def test_the_wrong_way_round_is_told() -> None:
    with pytest.raises(TypeError, match=r"Needs come first.*found Catalogue"):
        rigopt.plan(rigopt.demo_catalogue(), rigopt.Needs(mic=8))  # type: ignore[arg-type]


WIRED: dict[str, object] = {"units": {"a": "desk-8"}, "clock": {"a": "internal"}}
STAGES = rigopt.Needs(stages=[rigopt.Needs(mic=8), rigopt.Needs(mic=16)])
FACES: dict[str, Callable[[rigopt.Catalogue], object]] = {
    "plan": lambda shop: rigopt.plan(rigopt.Needs(mic=8), shop),
    "compare": lambda shop: rigopt.compare(rigopt.Needs(mic=8), shop),
    "curve": lambda shop: rigopt.curve(rigopt.Needs(), shop, [8]),
    "stretch": lambda shop: rigopt.stretch(rigopt.Needs(budget=500), shop),
    "grow": lambda shop: rigopt.grow(STAGES, shop),
    "most": lambda shop: rigopt.grow(STAGES, shop, budget_per_stage=500),
    "audit": lambda shop: rigopt.audit(WIRED, shop, rigopt.Needs(mic=8)),
}


@pytest.mark.parametrize("face", FACES.values(), ids=FACES)
def test_a_price_that_could_count_must_be_known(
    face: Callable[[rigopt.Catalogue], object], tmp_path: Path
) -> None:
    shutil.copytree(SMALL, tmp_path / "shop")
    devices = tmp_path / "shop" / "devices.csv"
    devices.write_text(devices.read_text().replace("host,90.00,", "host,?,"))
    with pytest.raises(rigopt.RigoptError, match=r"devices\.csv, row 2, price"):
        face(rigopt.read_catalogue(tmp_path / "shop"))
