"""The same question twenty times in one process."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.repeat.question import DEMO, IMPOSSIBLE, QUESTIONS, SMALL, answers

pytestmark = pytest.mark.long

TIMES = 20


@pytest.mark.parametrize("name", QUESTIONS)
def test_twenty_times_in_one_process(
    name: str, first: dict[str, bytes], tmp_path: Path
) -> None:
    assert {answers(QUESTIONS[name], DEMO, tmp_path) for _ in range(TIMES)} == {first[name]}


def test_twenty_times_why_there_is_none(first: dict[str, bytes], tmp_path: Path) -> None:
    again = {answers(IMPOSSIBLE, SMALL, tmp_path) for _ in range(TIMES)}
    assert again == {first["impossible"]}
