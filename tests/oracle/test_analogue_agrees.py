"""Rigs with an analogue half: the linear opinion, enumeration and the optimiser agree."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.types import Rig
from tests.analogue.brute import brute_best
from tests.analogue.instances import instance, looms
from tests.oracle.keys import key_of
from tests.oracle.mip import milp_key
from tests.oracle.patched import patched
from tests.oracle.test_solver_agrees import name, rig_of, troubles
from tests.tiers import few

Question = tuple[Catalogue, Needs]


@pytest.mark.parametrize("seeds", few([range(3), range(3, 30)]), ids=name)
@pytest.mark.parametrize("make", [instance, looms])
def test_the_two_opinions_agree(make: Callable[[int], Question], seeds: range) -> None:
    for seed in seeds:
        question = make(seed)
        assert milp_key(*question) == brute_best(*question), f"seed {seed}"


@pytest.mark.long
@pytest.mark.parametrize("first", range(30, 1000, 50))
@pytest.mark.parametrize("make", [instance, looms])
def test_agrees_with_the_linear_model(make: Callable[[int], Question], first: int) -> None:
    for seed in range(first, first + 50):
        question = make(seed)
        assert key_of(rig_of(question)) == milp_key(*question), f"seed {seed}"


@pytest.mark.parametrize("seeds", few([range(4, 6), range(10, 23)]), ids=name)
def test_agrees_beside_every_sort_of_digital_gear(seeds: range) -> None:
    found = troubles(seeds, milp_key, patched)
    assert not found, "\n".join(found)


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 3000, 50))
def test_agrees_beside_every_sort_of_digital_gear_on_2000_more(first: int) -> None:
    found = troubles(range(first, first + 50), milp_key, patched)
    assert not found, "\n".join(found)


def lines(rig: Rig) -> list[str]:
    """The role of the unit at the far end of each analogue line."""
    return [rig.unit(link.to_unit).role for link in rig.links if link.kind == "analogue"]


@pytest.mark.full
def test_the_cases_are_of_every_sort() -> None:
    rigs = [rig for seed in range(60) if (rig := rig_of(patched(seed)))]
    roles = [{unit.role for unit in rig.units} for rig in rigs]
    assert sum(bool(lines(rig)) for rig in rigs) >= 5
    assert any("expander" in lines(rig) for rig in rigs)
    assert any(lines(rig) and len(lines(rig)) < len(rig.links) for rig in rigs)
    assert any("di" in them for them in roles)
    assert any("headphones" in them for them in roles)
    assert any(rig.to_sell and lines(rig) for rig in rigs)
    assert len(rigs) < 100
