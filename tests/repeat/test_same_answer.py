"""The same files give the same bytes: again, elsewhere, in another order, with less."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.repeat.question import (
    DEMO,
    IMPOSSIBLE,
    QUESTIONS,
    SMALL,
    answers,
    elsewhere,
    everything,
    shuffled,
    without,
)

pytestmark = pytest.mark.full

TIMES = 4
"""Twenty are asked for on demand, in test_twenty_times.py."""


def rig(answer: bytes) -> dict[str, list[dict[str, str]]]:
    """The JSON of an answer."""
    return json.loads(answer.split(b"\0")[2])


def test_the_questions_differ_and_are_answered(first: dict[str, bytes]) -> None:
    assert len(set(first.values())) == len(first) == len(QUESTIONS) + 1
    for name, answer in first.items():
        status, text, written, shopping = answer.split(b"\0")
        possible = name != "impossible"
        assert status == (b"0" if possible else b"3")
        assert text.startswith(b"The cheapest rig" if possible else b"No rig")
        assert ("units" in json.loads(written)) is possible
        assert shopping.endswith(b"\r\n" if possible else b"none")


@pytest.mark.parametrize("name", QUESTIONS)
def test_again_in_one_process(name: str, first: dict[str, bytes], tmp_path: Path) -> None:
    assert {answers(QUESTIONS[name], DEMO, tmp_path) for _ in range(TIMES)} == {first[name]}


def test_again_why_there_is_none(first: dict[str, bytes], tmp_path: Path) -> None:
    again = {answers(IMPOSSIBLE, SMALL, tmp_path) for _ in range(TIMES)}
    assert again == {first["impossible"]}


CORES = sorted(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else []


@pytest.mark.parametrize(
    ("cores", "seed"),
    [(1, "0"), (1, "12345"), (2, "1"), (2, "random")],
)
def test_in_other_processes(
    cores: int, seed: str, first: dict[str, bytes], tmp_path: Path
) -> None:
    if len(CORES) < cores:
        pytest.skip(f"this machine lets us choose of {len(CORES)} cores")
    found = elsewhere(DEMO, tmp_path, set(CORES[:cores]), seed)
    assert found == first


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_with_the_rows_in_another_order(
    seed: int, first: dict[str, bytes], tmp_path: Path
) -> None:
    other = shuffled(DEMO, tmp_path / "catalogue", seed)
    assert (other / "devices.csv").read_bytes() != (DEMO / "devices.csv").read_bytes()
    assert everything(other, tmp_path) == first


@pytest.mark.parametrize("name", QUESTIONS)
def test_without_the_types_that_were_not_bought(
    name: str, first: dict[str, bytes], tmp_path: Path
) -> None:
    found = rig(first[name])
    used = {unit["device"] for unit in found["units"]}
    used |= {link["cable"] for link in found["links"]}
    used |= {line["item"] for line in found["purchases"]} | {"opt-1m"}
    catalogue = without(DEMO, tmp_path / "catalogue", used)
    rows = (catalogue / "devices.csv").read_text().count("\n") - 1
    assert 0 < rows < (DEMO / "devices.csv").read_text().count("\n") - 1
    assert answers(QUESTIONS[name], catalogue, tmp_path) == first[name]
