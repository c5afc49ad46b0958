"""The two opinions agree with each other, and with answers worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from tests.oracle.brute import brute_best, brute_force
from tests.oracle.facts_that_matter import CHANGES, Change
from tests.oracle.frozen import FOLDER, freeze, thaw
from tests.oracle.instances import instance
from tests.oracle.known import KNOWN, ONE, Known
from tests.oracle.known_clocks import KNOWN_CLOCKS
from tests.oracle.known_links import KNOWN_LINKS
from tests.oracle.mip import milp_best, milp_key
from tests.oracle.rich import rich, rich_questions
from tests.oracle.themes import Question
from tests.tiers import few

ALL_KNOWN = [*KNOWN_LINKS, *KNOWN_CLOCKS, *KNOWN]


@pytest.mark.parametrize("seed", few(range(30), 3))
def test_the_two_opinions_agree_on_the_whole_key(seed: int) -> None:
    catalogue, needs = instance(seed)
    assert milp_key(catalogue, needs) == brute_best(catalogue, needs), f"seed {seed}"


@pytest.mark.parametrize("seed", few(range(60, 70), 2))
def test_the_two_opinions_agree_on_extras(seed: int) -> None:
    catalogue, needs = instance(seed, extras=True)
    assert milp_key(catalogue, needs) == brute_best(catalogue, needs), f"seed {seed}"


@pytest.mark.parametrize("seed", few(range(20), 8))
def test_the_two_opinions_agree_on_links_numbers_and_clocks(seed: int) -> None:
    catalogue, needs = rich(seed)
    assert milp_key(catalogue, needs) == brute_best(catalogue, needs), f"seed {seed}"


@pytest.mark.full
@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.json")), ids=lambda path: path.stem)
def test_the_two_agree_on_what_once_disagreed(path: Path) -> None:
    catalogue, needs, key = thaw(path)
    if not any(cable.kind == "analogue" for cable in catalogue.cables.values()):
        assert brute_best(catalogue, needs) == key  # it knows nothing of direct outs
    assert milp_key(catalogue, needs) == key


@pytest.mark.long
@pytest.mark.parametrize("first", [30, *range(1000, 2000, 50)])
def test_the_two_opinions_agree_on_many(first: int) -> None:
    for seed in range(first, first + 50):
        catalogue, needs = instance(seed)
        assert milp_key(catalogue, needs) == brute_best(catalogue, needs), f"seed {seed}"


@pytest.mark.long
@pytest.mark.parametrize("block", range(20))
def test_the_two_opinions_agree_on_many_links_numbers_and_clocks(block: int) -> None:
    for seed in range(100 * block, 100 * block + 100):
        catalogue, needs = rich(seed)
        assert milp_key(catalogue, needs) == brute_best(catalogue, needs), f"seed {seed}"


@pytest.mark.long
@settings(
    max_examples=300, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)
@given(question=rich_questions())
def test_the_two_opinions_agree_on_anything(question: Question) -> None:
    assert milp_key(*question) == brute_best(*question)


@pytest.mark.parametrize("known", ALL_KNOWN, ids=lambda known: known.name)
def test_enumeration_knows_the_answers_worked_out_by_hand(known: Known) -> None:
    assert brute_best(known.catalogue, known.needs) == known.key


@pytest.mark.parametrize("known", few(ALL_KNOWN, 10), ids=lambda known: known.name)
def test_the_linear_model_knows_the_answers_worked_out_by_hand(known: Known) -> None:
    assert milp_key(known.catalogue, known.needs) == known.key


def test_money_alone_is_the_first_part_of_the_key() -> None:
    sixteen = replace(KNOWN[1].needs, mic=16)
    assert brute_force(ONE, sixteen) == milp_best(ONE, sixteen) == 35_600
    assert brute_force(ONE, replace(sixteen, mic=99)) is None
    assert milp_best(ONE, replace(sixteen, mic=99)) is None


def test_enumeration_wants_a_limit_on_units() -> None:
    with pytest.raises(ValueError, match="number of units"):
        brute_best(ONE, replace(KNOWN[0].needs, units=None))


@pytest.mark.full
def test_the_seeds_cover_all_sorts_of_answer() -> None:
    keys = [brute_best(*instance(seed)) for seed in range(150)]
    found = [key for key in keys if key is not None]
    assert 50 <= len(found) <= 120
    assert {key[1] for key in found} >= {1, 2, 3, 4}
    assert {key[3] for key in found} >= {0, 1, 2}


@pytest.mark.long
@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_each_fact_decides_some_answer(change: Change) -> None:
    """Without the fact, the answer of some seed is another one."""
    for seed in range(1000):
        question = rich(seed)
        other = change(*question)
        if other != question and brute_best(*other) != brute_best(*question):
            return
    pytest.fail("no seed hangs on it")


@pytest.mark.parametrize("seed", few(range(30), 10))
def test_a_frozen_instance_thaws_as_it_was(seed: int, tmp_path: Path) -> None:
    catalogue, needs = rich(seed)
    freeze(tmp_path / "one.json", catalogue, needs, None, "a note")
    thawed, asked, key = thaw(tmp_path / "one.json")
    assert replace(thawed, name=catalogue.name, title=catalogue.title) == catalogue
    assert (asked, key) == (needs, None)
