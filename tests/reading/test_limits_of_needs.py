"""What needs are where nothing is asked, at the ends of their limits, and taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from rigopt.errors import InputError
from rigopt.needs.read import read_needs
from rigopt.needs.table import ROWS, TABLE
from rigopt.needs.types import PHANTOM, Group, Needs
from tests.reading.folders import SMALL, needs


@pytest.mark.parametrize(
    "name", [row.name for row in TABLE if row.kind in ("count", "limit", "money", "ids")]
)
def test_a_need_that_is_given_up_is_as_if_it_was_never_said(name: str) -> None:
    assert ROWS[name].neutral == getattr(Needs(), name)


@pytest.mark.parametrize(
    ("name", "free"),
    [("max_hops", 32), ("max_hosts", 16), ("word_inputs", 64)],
)
def test_what_goes_furthest_is_the_most_that_can_be_said(
    tmp_path: Path, name: str, free: int
) -> None:
    row = ROWS[name]
    assert row.neutral == free
    assert getattr(needs(tmp_path, f"{row.key} = {free}"), name) == free


def test_the_wishes_that_are_given_up_are_the_freest() -> None:
    assert (ROWS["own_clocks"].neutral, ROWS["new_only"].neutral) == (True, False)
    assert (ROWS["owned_only"].neutral, ROWS["pairs"].neutral) == (False, 0)


def test_a_run_from_a_host_and_one_between_others() -> None:
    """A cable from a host to a rack is as long as that; two hosts stand side by side."""
    one = Needs(host_to_rack_mm=3000, within_rack_mm=700)
    assert one.run_mm("host", "expander") == one.run_mm("clock", "host") == 3000
    assert one.run_mm("expander", "clock") == one.run_mm("host", "host") == 700


@pytest.mark.parametrize(
    ("option", "said", "free"),
    [
        ("budget", "limits.budget = 500", None),
        ("units", "limits.units = 2", None),
        ("avoid", "choose.avoid = ['desk-8']", ()),
        ("require", "choose.require = ['pre-8']", ()),
    ],
)
@pytest.mark.parametrize("word", ["none", "None"])
def test_none_takes_back_what_the_file_says(
    tmp_path: Path, option: str, said: str, free: Any, word: str
) -> None:
    typed: Any = [word] if free == () else word
    path = tmp_path / "needs.toml"
    path.write_text(f"inputs.mic = 4\n{said}\n", "utf-8")
    assert getattr(read_needs(path, SMALL, {}), option) != free
    assert getattr(read_needs(path, SMALL, {option: typed}), option) == free


def test_at_least_one_word_input_is_fed(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="from 1 to 64"):
        needs(tmp_path, "clock.word_inputs = 0")


def test_inputs_to_spare_are_wanted_as_if_a_microphone_sat_on_each() -> None:
    wanted = Needs(mic=8, phantom=8, spare=2).wanted
    assert wanted == {PHANTOM: 8, Group("mic"): 2}
    assert Needs(mic=3, spare=2).wanted == {Group("mic"): 5}
    assert Needs(line=2).wanted == Needs(line=2).groups == {Group("line"): 2}


def test_what_the_needs_come_to() -> None:
    assert Needs(mic=1, phantom=1, line=2, instrument=4, spare=8).inputs == 7
    sold = {"desk-8": 100, "pre-8": 30, "lead": 7}
    assert Needs(owned={"desk-8": 2, "pre-8": 1}, resale=sold).sale == 230


def test_no_cable_is_the_shortest_run_and_one_host_has_words() -> None:
    assert [row.neutral for row in TABLE if row.kind == "run"] == [0, 0]
    assert ROWS["max_hosts"].named == {Needs().max_hosts: "one host"}
