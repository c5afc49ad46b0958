"""Fuzz: catalogues, needs and rigs broken in every way, through the command line."""

from __future__ import annotations

import json
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigopt.cli.main import COMMANDS
from tests.hostile import attack
from tests.hostile.breaking import ANY_FILE, CSV, TOML, Break, broken_tree

OFTEN = settings(
    max_examples=60,
    deadline=None,
    database=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)

OFFERS = "item,seller,price,pack,stock,condition\ndesk-8,North,300.00,1,2,used\n"
SELLERS = "seller,currency,delivery,free_over,tax_percent\nNorth,GBP,5.00,100.00,20\n"
EXTRAS = "id,label,price,pack,per,each\nlead-5m,Microphone lead,12.00,1,mic,1\n"
TABLES = {
    "devices.csv": attack.DEVICES,
    "cables.csv": attack.CABLES,
    "offers.csv": OFFERS,
    "sellers.csv": SELLERS,
    "extras.csv": EXTRAS,
}

STREAM = st.sampled_from(["text", "json", "csv"])


def broken(source: str, breaks: list[Break]) -> bytes:
    data = source.encode()
    for change in breaks:
        data = change(data)
    return data


def asked(folder: Path, stream: str, *more: object) -> attack.Said:
    """`rigopt plan`, what it says checked in the form asked for."""
    to = {"text": (), "json": ("--json", "-"), "csv": ("--shopping-list", "-")}[stream]
    said = attack.plan(folder, *more, "--time-limit", 5, *to)
    if stream == "json" and said.out:
        assert attack.harmless_json(said.out)
    if stream == "csv" and said.out:
        assert attack.harmless_csv(said.out)
    return said


@OFTEN
@given(st.sampled_from([*TABLES]), st.lists(CSV, min_size=1, max_size=3), STREAM)
def test_a_broken_table(name: str, breaks: list[Break], stream: str) -> None:
    with tempfile.TemporaryDirectory() as room:
        files = {"sellers.csv": SELLERS} if name == "offers.csv" else {}
        folder = attack.write(Path(room) / "c", {**files, name: broken(TABLES[name], breaks)})
        before = attack.snapshot(folder)
        asked(folder, stream, "--mic", 10)
        assert attack.snapshot(folder) == before


@OFTEN
@given(st.lists(TOML, min_size=1, max_size=3), STREAM)
def test_a_broken_head(breaks: list[Break], stream: str) -> None:
    with tempfile.TemporaryDirectory() as room:
        files = {"catalog.toml": broken(attack.HEAD, breaks)}
        asked(attack.write(Path(room) / "c", files), stream, "--mic", 10)


@OFTEN
@given(st.lists(TOML, min_size=1, max_size=3), STREAM)
def test_broken_needs(breaks: list[Break], stream: str) -> None:
    with tempfile.TemporaryDirectory() as room:
        needs = Path(room) / "needs.toml"
        needs.write_bytes(broken(attack.NEEDS, breaks))
        asked(attack.write(Path(room) / "c"), stream, needs)


WORDS = st.lists(
    st.tuples(
        st.sampled_from(
            [
                "--mic",
                "--phantom",
                "--no-phantom",
                "--line",
                "--instrument",
                "--rate",
                "--master",
                "--budget",
                "--owned",
                "--time-limit",
                "--catalog",
            ]
        ),
        st.sampled_from(attack.VALUES).filter(lambda value: "\x00" not in value),
    ),
    max_size=3,
)


@OFTEN
@given(WORDS)
def test_broken_options(options: list[tuple[str, str]]) -> None:
    words = [word for pair in options for word in pair]
    with tempfile.TemporaryDirectory() as room:
        folder = attack.write(Path(room) / "c")
        attack.rigopt("plan", "--catalog", folder, "--mic", 3, *words)


# --- rigs --------------------------------------------------------------------------------

RIG_TOML = """title = "Wired"
rate_khz = 48
[units]
host-1 = "desk-8"
expander-1 = "pre-8"
[cables]
"expander-1 optical out 1" = "host-1 optical in 1"
"host-1 optical out 1" = { to = "expander-1 optical in 1", cable = "opt-1m" }
[clock]
host-1 = "internal"
expander-1 = "optical 1"
[phantom]
expander-1 = [1]
[inputs]
"host-1 3" = "Voice"
"expander-1 1" = { use = "mic", source = "Overhead L" }
"""

audit = pytest.mark.skipif("audit" not in COMMANDS, reason="there is no such command")


@cache
def planned() -> Any:
    """A rig as `rigopt plan` writes it."""
    with tempfile.TemporaryDirectory() as room:
        said = attack.plan(attack.write(Path(room) / "c"), "--mic", 16, "--json", "-")
        return json.loads(said.out)


def audited(name: str, data: bytes, *more: str) -> attack.Said:
    with tempfile.TemporaryDirectory() as room:
        rig = Path(room) / name
        rig.write_bytes(data)
        said = attack.rigopt("audit", rig, "--catalog", attack.write(Path(room) / "c"), *more)
        if "--json" in more and said.out:
            assert attack.harmless_json(said.out)
        return said


HOW = st.sampled_from([(), ("--json", "-"), ("--fix",), ("--rate", "96")])


@audit
def test_the_rigs_that_are_broken_below_work() -> None:
    assert audited("rig.toml", RIG_TOML.encode()).status == 0
    assert audited("rig.json", json.dumps(planned()).encode()).status == 0


@audit
@OFTEN
@given(st.data(), HOW)
def test_a_rig_with_broken_values(data: st.DataObject, how: tuple[str, ...]) -> None:
    audited("rig.json", data.draw(broken_tree(planned())), *how)


@audit
@OFTEN
@given(st.lists(ANY_FILE, min_size=1, max_size=3), HOW)
def test_a_rig_of_broken_json(breaks: list[Break], how: tuple[str, ...]) -> None:
    audited("rig.json", broken(json.dumps(planned(), indent=1), breaks), *how)


@audit
@OFTEN
@given(st.lists(TOML, min_size=1, max_size=3), HOW)
def test_a_rig_of_broken_toml(breaks: list[Break], how: tuple[str, ...]) -> None:
    audited("rig.toml", broken(RIG_TOML, breaks), *how)
