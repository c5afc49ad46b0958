"""Models stay small: told by what is in them, not by the time they take."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.chosen import chosen
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Incumbent, Search
from rigopt.optimiser.solver.run import Deadline
from tests.analogue.instances import instance
from tests.rig.line_shops import lined


def mix_with_lines() -> tuple[Problem, Incumbent]:
    """Three hosts, and expanders with direct outs that can be wired in 24 ways."""
    problem = state(*lined(179))
    first = Search(problem).first(Deadline(None), Scope())
    assert isinstance(first, Incumbent)
    return problem.apart(), first


def test_units_have_one_name_however_they_are_wired() -> None:
    problem, first = mix_with_lines()
    small = chosen(problem, first.mix.units, first.mix.packs)
    rig = build(cp_model.CpModel(), small, columns(small, ranks=0))
    assert len(rig.satellites) > 20
    names = {site for site, _ in rig.stubs}
    by_face = Counter(site.face for site in names)
    assert by_face
    for face, number in by_face.items():
        assert number <= first.mix.units[face.id], face
    assert len(by_face) <= 6


def test_bounds_of_a_mix_hang_on_its_types_alone() -> None:
    catalogue, needs = lined(179)
    problem, first = mix_with_lines()
    mix = first.mix
    used = {*mix.units, *mix.packs}
    fewer = replace(
        catalogue,
        devices={k: v for k, v in catalogue.devices.items() if k in used},
        cables={k: v for k, v in catalogue.cables.items() if k in used},
    )
    assert len(fewer.devices) < len(catalogue.devices)
    small = chosen(problem, mix.units, mix.packs)
    alone = chosen(state(fewer, needs).apart(), mix.units, mix.packs)
    assert replace(small, catalogue=fewer) == alone


def test_whether_a_rig_is_possible_is_first_looked_for_in_one_mix(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Problem] = []
    wired = Search._any

    def noted(
        search: Search, problem: Problem, *given: bool | Deadline, **more: bool
    ) -> object:
        asked.append(problem)
        return wired(search, problem, *given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Search, "_any", noted)
    question = with_line()
    assert Search(state(*question)).possible(Deadline(None)).found
    assert any(not problem.pooled for problem in asked)
    assert all(problem.pooled or problem.most is not None for problem in asked)


def with_line() -> tuple[Catalogue, Needs]:
    """A question that nothing but a direct out answers."""
    for seed in range(100):
        catalogue, needs = instance(seed)
        found = solve(catalogue, needs)
        if not isinstance(found, Answered):
            continue
        expanders = [
            i for i, d in catalogue.devices.items() if d.role != "preamp" and not d.may_host
        ]
        bare = replace(needs, avoid=tuple(expanders))
        digital = replace(
            bare,
            avoid=(*expanders, *(i for i, d in catalogue.devices.items() if d.has_direct_outs)),
        )
        if isinstance(solve(catalogue, bare), Answered) and not isinstance(
            solve(catalogue, digital), Answered
        ):
            return catalogue, bare
    raise AssertionError("no such question")
