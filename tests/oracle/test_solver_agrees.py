"""The optimiser agrees with the opinions that know nothing of it, and keeps its word.

What ever disagreed is kept under regressions/ (see frozen.py) and tried on every run.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig
from tests.oracle.brute import brute_best
from tests.oracle.frozen import FOLDER, thaw
from tests.oracle.graph_checks import channels_suffice, clock_tree_faults
from tests.oracle.instances import PORTS, catalogues, instance, middling, needs_for
from tests.oracle.keys import key_of
from tests.oracle.known import KNOWN, Known
from tests.oracle.known_clocks import KNOWN_CLOCKS
from tests.oracle.known_links import KNOWN_LINKS
from tests.oracle.mip import milp_best, milp_key
from tests.oracle.rich import rich, rich_questions
from tests.tiers import few

Question = tuple[Catalogue, Needs]
Key = tuple[int, ...]

BY_ENUMERATION = [range(first, first + 10) for first in range(0, 150, 10)]
OF_EVERY_KIND = [range(first, first + 10) for first in range(0, 120, 10)]
BY_MODEL = [range(first, first + 5) for first in range(495, 445, -5)]
SLOW = [range(450, 455), range(485, 490)]
"""One of these keeps the linear model busy for a minute."""
MIDDLING = range(4, 12)


def rig_of(question: Question) -> Rig | None:
    """The optimiser's rig, None when there is none; anything unproven is a failure."""
    outcome = solve(*question)
    if isinstance(outcome, Impossible):
        return None
    assert isinstance(outcome, Answered)
    assert outcome.proven
    assert outcome.bound == outcome.rig.total
    return outcome.rig


def faults_of(rig: Rig | None, question: Question) -> list[Any]:
    """What the audit and graph theory find wrong with a rig."""
    if rig is None:
        return []
    found: list[Any] = [*audit(rig, *question), *clock_tree_faults(rig)]
    return found if channels_suffice(rig, question[1]) else [*found, "channels do not do"]


def differ(own: Key | None, key: Key | None) -> bool:
    """Whether an answer is not what an opinion says, which may be the first parts alone."""
    if own is None or key is None:
        return own is not key
    return own[: len(key)] != key


def test_a_difference_is_seen() -> None:
    own = (500, 2, 1, 1, -8)
    assert not any([differ(None, None), differ(own, own), differ(own, (500,))])
    assert all([differ(own, None), differ(None, own), differ(own, (499,))])
    assert differ(own, (500, 2, 1, 0))


def trouble(question: Question, key: Key | None) -> str:
    """How the optimiser differs from an opinion or breaks a rule; empty when it does not.

    The opinion may give the first parts of the key alone.
    """
    rig = rig_of(question)
    own = key_of(rig)
    if differ(own, key):
        return f"optimiser {own}, opinion {key}"
    return "".join(f"\n    {fault}" for fault in faults_of(rig, question))


def money_by_model(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The first part of the key alone, which takes the linear model a third of the time."""
    money = milp_best(catalogue, needs)
    return None if money is None else (money,)


def troubles(
    seeds: range,
    opinion: Callable[[Catalogue, Needs], Key | None],
    make: Callable[[int], Question] = instance,
) -> list[str]:
    """The trouble with each of these seeds, where there is any."""
    found = {seed: trouble(make(seed), opinion(*make(seed))) for seed in seeds}
    return [f"seed {seed}: {what}" for seed, what in found.items() if what]


def name(seeds: range) -> str:
    return f"seeds {seeds.start}-{seeds.stop - 1}"


# --- seeds -----------------------------------------------------------------------


@pytest.mark.parametrize("seeds", few(BY_ENUMERATION), ids=name)
def test_agrees_with_enumeration(seeds: range) -> None:
    found = troubles(seeds, brute_best)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("seeds", few(OF_EVERY_KIND), ids=name)
def test_agrees_with_enumeration_on_links_numbers_and_clocks(seeds: range) -> None:
    found = troubles(seeds, brute_best, rich)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("seeds", few(BY_MODEL, slow=SLOW), ids=name)
def test_agrees_with_the_linear_model(seeds: range) -> None:
    found = troubles(seeds, money_by_model)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("seed", few(MIDDLING, slow=range(8, 12)))
def test_money_of_middling_rigs_agrees_with_the_linear_model(seed: int) -> None:
    question = middling(seed)
    rig = rig_of(question)
    assert (rig and rig.total) == milp_best(*question), f"middling seed {seed}"
    assert not faults_of(rig, question), f"middling seed {seed}"


@pytest.mark.long
@pytest.mark.parametrize("first", [*range(150, 400, 50), *range(10_000, 19_000, 50)])
def test_agrees_with_enumeration_on_9250_more(first: int) -> None:
    found = troubles(range(first, first + 50), brute_best)
    assert not found, "\n".join(found)


@pytest.mark.long
@pytest.mark.parametrize("first", [*range(120, 300, 60), *range(10_000, 16_000, 60)])
def test_agrees_with_enumeration_on_6180_more_of_links(first: int) -> None:
    found = troubles(range(first, first + 60), brute_best, rich)
    assert not found, "\n".join(found)


@pytest.mark.long
@pytest.mark.parametrize("first", [400, *range(19_000, 20_000, 50)])
def test_agrees_with_the_linear_model_on_1050_more(first: int) -> None:
    found = troubles(range(first, first + 50), milp_key)
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "known", [*KNOWN, *KNOWN_LINKS, *KNOWN_CLOCKS], ids=lambda known: known.name
)
def test_knows_the_answers_worked_out_by_hand(known: Known) -> None:
    assert not trouble((known.catalogue, known.needs), known.key)


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.json")), ids=lambda path: path.stem)
def test_what_once_disagreed_agrees(path: Path) -> None:
    catalogue, needs, key = thaw(path)
    assert not trouble((catalogue, needs), key)


@pytest.mark.parametrize("seeds", few([range(10), range(10, 25), range(25, 50)]), ids=name)
def test_agrees_on_extras(seeds: range) -> None:
    asked = {seed: instance(seed, extras=True) for seed in seeds}
    found = {seed: trouble(one, brute_best(*one)) for seed, one in asked.items()}
    assert not any(found.values()), {seed: what for seed, what in found.items() if what}


# --- properties ------------------------------------------------------------------


@st.composite
def questions(draw: Any) -> Question:
    """A catalogue and needs for it."""
    catalogue = draw(catalogues())
    return catalogue, draw(needs_for(catalogue))


def looser(question: Question) -> dict[str, Question]:
    """Each way to ask for less or allow more, by the name of what is loosened."""
    catalogue, needs = question
    less: dict[str, dict[str, Any]] = {
        field: {field: max(0, getattr(needs, field) - 1)}
        for field in ("line", "instrument", "out_line", "out_phones", "phantom", "no_phantom")
    }
    if needs.mic > needs.phantom + needs.no_phantom:
        less["mic"] = {"mic": needs.mic - 1}
    less |= {field: {field: getattr(needs, field) + 1} for field in ("max_hops", "max_hosts")}
    less["units"] = {"units": (needs.units or 0) + 1}
    less |= {limit: {limit: None} for limit in ("budget", "rack_units", "mains")}
    less |= {field: {field: ()} for field in ("avoid", "require")}
    less |= {run: {run: 400} for run in ("host_to_rack_mm", "within_rack_mm")}
    less |= {"own_clocks": {"own_clocks": True}}
    less |= {"word_inputs": {"word_inputs": needs.word_inputs + 1}}
    less |= {"master": {"master": "any"}, "ports": {"ports": PORTS}}
    for item in (*catalogue.devices, *catalogue.cables):
        owned = {**needs.owned, item: needs.owned.get(item, 0) + 1}
        less[f"own another {item}"] = {"owned": owned}
    return {what: (catalogue, replace(needs, **change)) for what, change in less.items()}


def without(question: Question, item: str) -> Question:
    """The question when a device or cable type did not exist."""
    catalogue, needs = question
    smaller = replace(
        catalogue,
        devices={k: v for k, v in catalogue.devices.items() if k != item},
        cables={k: v for k, v in catalogue.cables.items() if k != item},
    )
    owned = {k: v for k, v in needs.owned.items() if k != item}
    avoid = tuple(device for device in needs.avoid if device != item)
    return smaller, replace(needs, owned=owned, avoid=avoid)


def some(examples: int) -> Any:
    """The same examples on every run; the solver may take its time."""
    return settings(
        max_examples=examples,
        derandomize=True,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )


@some(25)
@given(question=questions())
def test_total_equals_enumeration_and_the_audit_finds_nothing(question: Question) -> None:
    assert not trouble(question, brute_best(*question))


@some(30)
@given(question=rich_questions())
def test_key_equals_enumeration_on_links_numbers_and_clocks(question: Question) -> None:
    assert not trouble(question, brute_best(*question))


@some(15)
@given(question=questions(), data=st.data())
def test_a_looser_need_never_costs_more(question: Question, data: st.DataObject) -> None:
    rig = rig_of(question)
    assume(rig is not None)
    assert rig is not None
    ways = looser(question)
    what = data.draw(st.sampled_from(sorted(ways)))
    relaxed = rig_of(ways[what])
    assert relaxed is not None, what
    # Extras per microphone or source, boxes and cables: none grows with a looser need.
    assert relaxed.total <= rig.total, what


@some(15)
@given(question=questions(), data=st.data())
def test_a_type_that_is_not_in_the_rig_changes_nothing(
    question: Question, data: st.DataObject
) -> None:
    rig = rig_of(question)
    assume(rig is not None)
    assert rig is not None
    used = {unit.device.id for unit in rig.units} | {
        link.cable.id for link in rig.links if link.cable
    }
    used |= {purchase.item for purchase in rig.purchases}
    idle = sorted({*question[0].devices, *question[0].cables} - used)
    assume(idle)
    item = data.draw(st.sampled_from(idle))
    assert rig_of(without(question, item)) == rig, item


@some(15)
@given(question=questions())
def test_two_runs_give_the_same_rig(question: Question) -> None:
    assert rig_of(question) == rig_of(question)


@pytest.mark.parametrize("seed", few(range(0, 60, 5), now=0, slow=range(15, 60)))
def test_each_need_loosened_never_costs_more(seed: int) -> None:
    answered = (s for s in range(1000 * seed, 1000 * seed + 100) if brute_best(*instance(s)))
    question = instance(next(answered))
    rig = rig_of(question)
    assert rig is not None
    for what, relaxed in looser(question).items():
        other = rig_of(relaxed)
        assert other is not None, what
        assert other.total <= rig.total, what
