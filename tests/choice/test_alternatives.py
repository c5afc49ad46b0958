"""The next cheapest mixes agree with enumeration, and each is a sound rig."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigopt.answers.choice import difference
from rigopt.answers.outcome import Alternatives, Answered
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions import alternatives as module
from rigopt.optimiser.questions import plan as solver
from rigopt.optimiser.questions.alternatives import Part, alternatives, enough
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import NOTHING_YET, Best, Incumbent, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.linear import LARGEST
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig
from tests.choice.mixes import needed
from tests.oracle.instances import catalogues, instance, needs_for
from tests.oracle.keys import Key, key_of
from tests.tiers import few
from tests.world import DESK, HUB, PRE, catalogue

Question = tuple[Catalogue, Needs]
MANY = 4


def key(rig: Rig) -> Key:
    found = key_of(rig)
    assert found is not None
    return found


def mix(rig: Rig) -> Counter[str]:
    return Counter(unit.device.id for unit in rig.units)


def winner(question: Question) -> Rig | None:
    found = solve(*question)
    return found.rig if isinstance(found, Answered) else None


def others(question: Question, rig: Rig, count: int = MANY) -> Alternatives:
    return alternatives(*question, rig, count, Deadline(None))


def small(question: Question) -> Question:
    shop, needs = question
    return shop, replace(needs, units=min(needs.units or 3, 3))


def trouble(question: Question) -> str:
    """How the alternatives differ from those by enumeration; empty when they do not."""
    rig = winner(question)
    expected = list(needed(*question))
    if rig is None:
        return "" if not expected else "no rig"
    found = others(question, rig)
    rigs = [rig, *(answer.rig for answer in found.found)]
    wanted = expected[: MANY + 1]
    if [key(one) for one in rigs] != [one for one, _ in wanted]:
        return f"{[key(one) for one in rigs]} are not {wanted}"
    keys = [one for one, _ in expected]
    for one, (its, devices) in zip(rigs, wanted, strict=True):
        if keys.count(its) == 1 and mix(one) != devices:
            return f"{mix(one)} is not {devices}"
    if (found.ended == "no more") != (len(expected) < MANY + 1):
        return f"ended: {found.ended}, of {len(expected)}"
    faults = [audit(one, *question) for one in rigs]
    return "" if not any(faults) else str(faults)


@pytest.mark.parametrize("first", few(range(0, 40, 10), now=0, slow=range(10, 40)))
def test_agree_with_enumeration(first: int) -> None:
    for seed in range(first, first + 10):
        assert not trouble(small(instance(seed))), f"seed {seed}"


@pytest.mark.long
@pytest.mark.parametrize("first", range(3000, 3400, 10))
def test_agree_with_enumeration_on_400_more(first: int) -> None:
    for seed in range(first, first + 10):
        assert not trouble(small(instance(seed))), f"seed {seed}"


@pytest.mark.long
@settings(
    max_examples=10, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)
@given(question=catalogues().flatmap(lambda c: st.tuples(st.just(c), needs_for(c))))
def test_agree_with_enumeration_on_any_catalogue(question: Question) -> None:
    assert not trouble(small(question))


def test_come_in_order_and_differ_on_the_demo() -> None:
    demo = read_folder(shipped.demo_catalogue())
    question = demo, Needs(mic=12, phantom=4)
    rig = winner(question)
    assert rig is not None
    found = others(question, rig, 6)
    rigs = [rig, *(answer.rig for answer in found.found)]
    assert found.ended == "asked"
    assert len(rigs) == 7
    keys = [key(one) for one in rigs]
    assert keys == sorted(keys)
    mixes = [mix(one) for one in rigs]
    assert all(not earlier <= later for n, later in enumerate(mixes) for earlier in mixes[:n])
    assert [audit(one, *question) for one in rigs] == [()] * 7
    assert all(answer.proven for answer in found.found)


def test_what_differs_and_by_how_much() -> None:
    twin = replace(PRE, id="pre-8-b", price=20500)
    question = catalogue(DESK, PRE, twin, HUB), Needs(mic=16)
    rig = winner(question)
    assert rig is not None
    second = others(question, rig, 1).found[0].rig
    told = difference(rig, second)
    assert (told.money, told.less, told.more) == (500, (("pre-8", 1),), (("pre-8-b", 1),))


def test_a_box_more_than_needed_is_no_alternative() -> None:
    question = catalogue(DESK, PRE), Needs(mic=8)
    rig = winner(question)
    assert rig is not None
    assert others(question, rig) == Alternatives((), "no more")


def test_nor_is_one_that_holds_a_dearer_alternative() -> None:
    both = replace(
        PRE, id="both-16", role="either", price=60000, mic_line=16, optical_out=2, line_out=0
    )
    question = catalogue(DESK, PRE, both), Needs(mic=16)
    rig = winner(question)
    assert rig is not None
    found = others(question, rig)
    assert found.ended == "no more"
    assert [mix(answer.rig) for answer in found.found] == [Counter({"both-16": 1})]


def shared(questions: range) -> list[tuple[Question, Rig]]:
    """Questions from seeds, with what is cheapest."""
    asked = [small(instance(seed)) for seed in questions]
    return [(question, rig) for question in asked if (rig := winner(question)) is not None]


@pytest.mark.full
def test_what_is_left_for_later_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """The guess at what is dear enough to wait may be too low."""
    demo = read_folder(shipped.demo_catalogue()), Needs(mic=24)
    rig = winner(demo)
    assert rig is not None
    cases = [(demo, rig), *shared(range(0, 15))]
    plain = [others(*case) for case in cases]

    def low(parts: Iterable[Part], *_: object) -> int:
        return min((part.lower for part in parts if part.first is not None), default=LARGEST)

    monkeypatch.setattr(module, "enough", low)
    assert [others(*case) for case in cases] == plain


@pytest.mark.full
def test_what_turns_out_dearer_waits_its_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pooled hosts may promise a rig for less than it comes to when they are apart."""
    cases = shared(range(0, 15))
    plain = [others(*case) for case in cases]
    honest = Search.first

    def promised(search: Search, deadline: Deadline, scope: Scope) -> Incumbent | Result:
        first = honest(search, deadline, scope)
        if not isinstance(first, Incumbent):
            return first
        return replace(first, objective=first.objective - len(search.limits))

    monkeypatch.setattr(Search, "first", promised)
    assert [others(*case) for case in cases] == plain


@pytest.mark.parametrize("count", [1, 2, 5, 9])
def test_equal_ones_come_in_the_order_of_ids(count: int) -> None:
    twins = [replace(PRE, id=f"pre-{letter}") for letter in "fbdace"]
    question = catalogue(DESK, HUB, *twins), Needs(mic=16)
    rig = winner(question)
    assert rig is not None
    found = others(question, rig, count)
    told = [
        min(mix(one) - Counter({"desk-8": 1})) for one in (rig, *(a.rig for a in found.found))
    ]
    assert told[:6] == [f"pre-{letter}" for letter in "abcdef"][: count + 1]
    assert len({one.rig.total for one in found.found[:5]}) == 1


def test_a_mix_that_splits_pairs_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """As a plan passes it over; the seats are stood in for."""
    twin = replace(PRE, id="pre-8-b", price=20500)
    question = catalogue(DESK, PRE, twin, HUB), Needs(mic=16)
    rig = winner(question)
    assert rig is not None
    plain = others(question, rig, 2).found
    calls: list[Answered] = []

    def answered(problem: Problem, best: Best, deadline: Deadline) -> Answered:
        made = solver.answered(problem, best, deadline)
        calls.append(made)
        split = ("a",) if len(calls) == 1 or split_all else ()
        return replace(made, rig=replace(made.rig, split_pairs=split))

    monkeypatch.setattr(module, "answered", answered)
    split_all = False
    assert others(question, rig, 1).found == plain[1:]
    split_all = True
    assert others(question, rig, 2).found == ()


def test_none_is_told_that_is_not_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    question = catalogue(DESK, PRE, HUB), Needs(mic=16)
    rig = winner(question)
    assert rig is not None
    late = Deadline(None)
    late.watch.stopped = True
    assert alternatives(*question, rig, 3, late).ended in ("time", "no more")
    for method in ("first", "best"):
        with monkeypatch.context() as patched:
            patched.setattr(Search, method, lambda *_: NOTHING_YET)
            assert others(question, rig) == Alternatives((), "time"), method


def after_desk(patch: pytest.MonkeyPatch, end: Best | Result | None = None) -> Any:
    """Where alternatives of one interface are looked for, and no mix that is found will do."""
    question = catalogue(DESK), Needs(mic=8)
    rig = winner(question)
    assert rig is not None
    after = module._After(state(*question), rig, 2, Deadline(None))
    found = end or desk()
    patch.setattr(Search, "best", lambda *_: found)
    patch.setattr(after, "_take", lambda _: False)
    patch.setattr(after, "_look", lambda *_: True)
    return after


def desk() -> Best:
    found = Search(state(catalogue(DESK), Needs(mic=8))).best_exact(Deadline(None))
    assert isinstance(found, Best)
    return found


@pytest.mark.parametrize(("split", "goes_on"), [(8, True), (9, False)])
def test_so_many_mixes_may_not_seat_their_pairs_before_it_is_given_up(
    split: int, goes_on: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    after = after_desk(monkeypatch)
    after._split = split
    assert after.step_by_ids(0) is goes_on
    assert after.ended == ("asked" if goes_on else "time")
    part = Part(0, 1, after._whole, None)
    assert after._settle(part, replace(desk(), objective=0)) is goes_on


@pytest.mark.parametrize(
    ("end", "why"),
    [
        (NOTHING_YET, "time"),
        (Result("infeasible", 0, lambda _: 0), "no more"),
        (replace(desk(), proven=False), "time"),
    ],
)
def test_how_the_search_by_ids_ends(
    end: Best | Result, why: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    after = after_desk(monkeypatch, end)
    assert not after.step_by_ids(0)
    assert after.ended == why


def test_as_many_types_are_kept_as_may_be_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Six interfaces do the same, each a little dearer than the last."""
    monkeypatch.setattr(module, "OTHER_MIXES", 0)
    hosts = [replace(DESK, id=f"desk-{n}", price=30000 + n) for n in range(6)]
    question = catalogue(*hosts), Needs(mic=8)
    rig = winner(question)
    assert rig is not None
    found = others(question, rig, 3)
    assert [answer.rig.total for answer in found.found] == [30001, 30002, 30003]
    assert found.ended == "asked"


def test_the_objective_within_which_there_are_mixes_enough() -> None:
    """Of five parts one is not known yet, and one begins with all of a mix that is found."""
    search = Search(state(catalogue(DESK), Needs(mic=8)))
    first = replace(desk(), mix=Mix(Counter(a=1), {}))
    firsts = {
        10: replace(first, mix=Mix(Counter(b=1), {})),
        20: None,
        30: replace(first, mix=Mix(Counter(a=1, c=1), {})),
        40: replace(first, mix=Mix(Counter(c=1), {})),
        50: replace(first, mix=Mix(Counter(d=1), {})),
    }
    parts = [Part(lower, n, search, one) for n, (lower, one) in enumerate(firsts.items())][::-1]
    found = [first.mix]
    assert [enough(parts, found, count) for count in (2, 3, 4, 5)] == [10, 40, 50, LARGEST]
