"""A need set to another value, with the list of sources kept in step."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.choice import NeedName, Setting
from rigopt.needs.sources import counts
from rigopt.needs.types import Needs, SourceLine
from rigopt.optimiser.questions.conflict.edited_needs import edited, value_of, with_settings

LIST = (
    SourceLine("Kick"),
    SourceLine("Overhead L", phantom="on", pair="Overheads"),
    SourceLine("Overhead R", phantom="on", pair="Overheads"),
    SourceLine("Ribbon", phantom="off"),
    SourceLine("Piano L", "line", pair="Piano"),
    SourceLine("Piano R", "line", pair="Piano"),
    SourceLine("Snare"),
)
NEEDS = Needs(mic=5, phantom=2, no_phantom=1, line=2, sources=LIST)


def names(needs: Needs) -> list[str]:
    return [source.name for source in needs.sources]


@pytest.mark.parametrize(
    ("name", "value"),
    [("budget", 100), ("max_hosts", 2), ("avoid", ("a",)), ("rate_hz", 96000)],
)
def test_nothing_else_changes(name: NeedName, value: Any) -> None:
    assert edited(NEEDS, name, value) == replace(NEEDS, **{name: value})


@pytest.mark.parametrize(
    ("name", "value", "kept"),
    [
        ("mic", 4, ["Kick", "Overhead L", "Overhead R", "Ribbon"]),
        ("mic", 2, ["Overhead L", "Ribbon"]),
        ("mic", 0, []),
        ("line", 1, ["Kick", "Overhead L", "Overhead R", "Ribbon", "Piano L", "Snare"]),
    ],
)
def test_fewer_sources_leave_out_the_last(name: NeedName, value: int, kept: list[str]) -> None:
    needs = edited(NEEDS, name, value)
    pianos = ["Piano L", "Piano R"] if name == "mic" else []
    assert sorted(names(needs)) == sorted(kept + pianos)
    assert names(needs) == [n for n in names(NEEDS) if n in names(needs)]
    told = counts(needs.sources)
    assert told == {key: getattr(needs, key) for key in told}


def test_fewer_microphones_with_a_wish_stay_microphones() -> None:
    needs = edited(NEEDS, "phantom", 1)
    assert (needs.mic, needs.phantom, needs.no_phantom) == (5, 1, 1)
    assert names(needs) == names(NEEDS)
    assert Counter(source.phantom for source in needs.sources) == {"on": 1, "off": 1, "any": 5}


def test_half_a_pair_is_none() -> None:
    needs = edited(NEEDS, "line", 1)
    assert [source.pair for source in needs.sources if source.kind == "line"] == [None]
    assert [s.pair for s in needs.sources if s.phantom == "on"] == ["Overheads"] * 2


def test_pairs_are_given_up_together() -> None:
    assert value_of(NEEDS, "pairs") == 2
    needs = edited(NEEDS, "pairs", 0)
    assert value_of(needs, "pairs") == 0
    assert names(needs) == names(NEEDS)
    assert value_of(needs, "mic") == 5


def test_more_sources_get_names_of_their_own() -> None:
    needs = edited(edited(NEEDS, "mic", 7), "instrument", 1)
    assert counts(needs.sources) == {
        "mic": 7,
        "phantom": 2,
        "no_phantom": 1,
        "line": 2,
        "instrument": 1,
    }
    assert len(set(names(needs))) == 10


def test_without_a_list_only_the_counts_change() -> None:
    needs = Needs(mic=5, phantom=3, no_phantom=2)
    assert edited(needs, "mic", 4) == replace(needs, mic=4, phantom=2, no_phantom=2)
    assert edited(needs, "mic", 1) == replace(needs, mic=1, phantom=0, no_phantom=1)


def test_several_settings() -> None:
    settings = [Setting("mic", 4), Setting("budget", 10)]
    needs = with_settings(NEEDS, settings)
    assert (needs.mic, needs.budget) == (4, 10)
