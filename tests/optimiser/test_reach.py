"""Hosts that fall short whatever stands beside them are left out, and no others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Device
from rigopt.facts import Format
from rigopt.needs.types import Needs
from rigopt.optimiser.model import model
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.reach import reaching
from rigopt.optimiser.questions.plan import solve
from tests.oracle.instances import instance
from tests.tiers import few
from tests.world import DESK, HUB, PRE, catalogue

TWO = Device("two", "2 preamps, no way in", "host", 9000, mic_line=2, phones=1, line_out=2)
CUT = replace(DESK, id="cut", max_in_1x=11)


def left(*hosts: Device, **needs: Any) -> set[str]:
    """The hosts that are left for these needs."""
    problem = state(catalogue(*hosts, PRE), Needs(**needs))
    reach = reaching(problem, columns(problem, ranks=0).hosts)
    return {column.device.id for column in reach}


@pytest.mark.parametrize(
    ("needs", "stay"),
    [
        ({"mic": 2}, {"desk-8", "two", "cut"}),
        ({"mic": 3}, {"desk-8", "cut"}),
        ({"mic": 11}, {"desk-8", "cut"}),  # 8 of its own and 3 of the 8 on its socket
        ({"mic": 12}, {"desk-8"}),
        ({"mic": 2, "spare": 1}, {"desk-8", "cut"}),
        ({"mic": 10, "line": 8}, {"desk-8"}),  # 8, a light-pipe of 8, a stereo link of 2
        ({"mic": 11, "line": 8}, set()),
        ({"mic": 1, "out_phones": 2}, {"desk-8", "cut"}),
        ({"mic": 1, "out_phones": 3}, set()),
        ({"mic": 1, "out_line": 2}, {"desk-8", "two", "cut"}),
        ({"mic": 1, "out_line": 14}, {"desk-8", "cut"}),  # 4, and 8 and 2 that it feeds
        ({"mic": 1, "out_line": 15}, set()),
        ({"mic": 14, "rate_hz": 96000}, {"desk-8", "cut"}),  # a light-pipe carries 4
        ({"mic": 15, "rate_hz": 96000}, set()),
    ],
)
def test_one_host_must_do_it_all(needs: dict[str, Any], stay: set[str]) -> None:
    assert left(DESK, TWO, CUT, **needs) == stay


def test_another_host_may_do_the_rest() -> None:
    assert left(DESK, TWO, mic=20, max_hosts=2) == {"desk-8", "two"}
    assert left(DESK, TWO, mic=21, max_hosts=2) == {"desk-8"}
    assert left(DESK, TWO, mic=36, max_hosts=2) == {"desk-8"}
    assert left(DESK, TWO, mic=37, max_hosts=2) == set()
    assert left(HUB, TWO, mic=1, out_phones=2, max_hosts=2) == {"two"}


def test_a_trunk_feeds_as_much_as_it_carries_and_an_amplifier_feeds_phones() -> None:
    """Light-pipe feeds eight, though it could be stereo; a trunk both ways feeds 16."""
    both = replace(TWO, id="both", optical_out=1, optical_stereo=1)
    assert left(both, mic=1, out_line=10) == {"both"}
    assert left(both, mic=1, out_line=11) == set()
    trunk = Format("t16", "trunk", "t16", "line", (16, 8, 4), True, True, None)
    stage = replace(TWO, id="stage", trunk=trunk, trunk_in=1)
    assert left(stage, mic=1, out_line=18) == {"stage"}
    assert left(stage, mic=1, out_line=19) == set()
    amplifier = Device("amp", "", "headphones", 5000, phones=4, line_in=2)
    shop = catalogue(TWO, replace(TWO, id="mute", phones=0), amplifier)
    problem = state(shop, Needs(mic=1, out_phones=4))
    assert {c.device.id for c in columns(problem).hosts} >= {"two"}
    few_lines = state(shop, Needs(mic=1, out_phones=4, out_line=3))
    assert not columns(few_lines).hosts


@pytest.mark.parametrize("first", few(range(500, 560, 20), now=0, slow=[520, 540]))
def test_the_answers_are_the_same_without(first: int, monkeypatch: pytest.MonkeyPatch) -> None:
    questions = [instance(seed) for seed in range(first, first + 20)]
    answers = [solve(*question) for question in questions]
    monkeypatch.setattr(model, "reaching", lambda _, hosts: hosts)
    for seed, (question, answer) in enumerate(zip(questions, answers, strict=True), first):
        assert solve(*question) == answer, f"seed {seed}"
