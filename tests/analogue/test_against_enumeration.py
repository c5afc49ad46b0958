"""Random small rigs with an analogue half: the optimiser agrees with plain enumeration."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.types import Rig
from tests.analogue.agree import rig_of, trouble
from tests.analogue.checks import faults
from tests.analogue.instances import Question, instance, looms
from tests.oracle.keys import key_of
from tests.tiers import few

# A seed in some hundreds keeps the enumeration busy for minutes, so each tier asks a few.
SEEDS = [range(0, 12), *(range(first, first + 60) for first in (12, 72, 132, 192, 252))]
MORE = [range(first, first + 60) for first in range(312, 1212, 60)]
LOOMS = [range(1, 5), range(5, 25), *(range(first, first + 40) for first in (25, 65, 105))]


def name(seeds: range) -> str:
    return f"seeds {seeds.start}-{seeds.stop - 1}"


@pytest.mark.parametrize("seeds", few(SEEDS, slow=SEEDS[4:]), ids=name)
def test_agrees_with_enumeration(seeds: range) -> None:
    found = {seed: trouble(instance(seed)) for seed in seeds}
    assert not any(found.values()), {seed: what for seed, what in found.items() if what}


@pytest.mark.long
@pytest.mark.parametrize("seeds", MORE, ids=name)
def test_agrees_with_enumeration_on_many_more(seeds: range) -> None:
    found = {seed: trouble(instance(seed)) for seed in seeds}
    assert not any(found.values()), {seed: what for seed, what in found.items() if what}


@pytest.mark.parametrize("seeds", few(LOOMS, slow=LOOMS[2:]), ids=name)
def test_agrees_with_enumeration_on_pieces_of_many_ways(seeds: range) -> None:
    found = {seed: trouble(looms(seed)) for seed in seeds}
    assert not any(found.values()), {seed: what for seed, what in found.items() if what}


def analogue(first: int) -> tuple[Question, Rig]:
    """The first question from a seed on that is answered with direct outs."""
    seed = first
    while True:
        question = instance(seed)
        rig = rig_of(question)
        if rig is not None and any(link.kind == "analogue" for link in rig.links):
            return question, rig
        seed += 1


def looser(question: Question) -> Iterator[tuple[str, Question]]:
    """Each way to ask for less or allow more."""
    catalogue, needs = question
    less: dict[str, dict[str, Any]] = {}
    for field in ("phantom", "no_phantom", "line", "instrument", "spare"):
        less[field] = {field: max(0, getattr(needs, field) - 1)}
    less["out_line"], less["out_phones"] = {"out_line": 0}, {"out_phones": 0}
    if needs.mic > needs.phantom + needs.no_phantom:
        less["mic"] = {"mic": needs.mic - 1}
    less["units"] = {"units": (needs.units or 0) + 1}
    less["require"] = {"require": ()}
    less |= {limit: {limit: None} for limit in ("budget", "rack_units", "mains")}
    less |= {run: {run: 400} for run in ("host_to_rack_mm", "within_rack_mm")}
    for item in (*catalogue.devices, *catalogue.cables):
        less[item] = {"owned": {**needs.owned, item: needs.owned.get(item, 0) + 1}}
    for what, change in less.items():
        yield what, (catalogue, replace(needs, **change))


def without(question: Question, item: str) -> Question:
    """The question when a device or cable type did not exist."""
    catalogue, needs = question
    smaller: Catalogue = replace(
        catalogue,
        devices={k: v for k, v in catalogue.devices.items() if k != item},
        cables={k: v for k, v in catalogue.cables.items() if k != item},
    )
    fewer: Needs = replace(needs, owned={k: n for k, n in needs.owned.items() if k != item})
    return smaller, fewer


@pytest.mark.parametrize("first", few(range(3000, 6000, 100), now=0, slow=range(3500, 6000)))
def test_a_looser_need_never_costs_more(first: int) -> None:
    question, rig = analogue(first)
    for what, relaxed in looser(question):
        other = rig_of(relaxed)
        assert other is not None, what
        assert other.total <= rig.total, what


@pytest.mark.parametrize("first", few(range(6000, 9000, 100), slow=range(6500, 9000)))
def test_what_is_not_in_the_rig_changes_nothing(first: int) -> None:
    question, rig = analogue(first)
    used = {unit.device.id for unit in rig.units}
    used |= {link.cable.id for link in rig.links if link.cable}
    used |= {line.item for line in rig.purchases}
    for item in sorted({*question[0].devices, *question[0].cables} - used):
        other = rig_of(without(question, item))
        assert key_of(other) == key_of(rig), item
        assert other is not None
        assert other.purchases == rig.purchases, item
        assert other == rig, item


def test_broken_rules_are_seen() -> None:
    question, rig = analogue(0)
    assert not faults(rig, question[1])
    lines = [link for link in rig.links if link.kind == "analogue"]
    rest = tuple(link for link in rig.links if link != lines[0])
    far = replace(question[1], host_to_rack_mm=29_999, within_rack_mm=29_999)
    itself = replace(lines[0], to_unit=lines[0].from_unit)
    occupied = replace(rig.inputs[0], unit=lines[0].to_unit, channel=lines[0].to_socket)
    assert faults(replace(rig, links=rest), question[1])
    assert faults(rig, far)
    assert faults(replace(rig, links=(*rest, itself)), question[1])
    assert faults(replace(rig, inputs=(*rig.inputs, occupied)), question[1])
