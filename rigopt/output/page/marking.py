"""Marks on pictures: the faults of a rig, what its repair changes, what a stage brings."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Final

from rigopt.answers.rates import AtRate
from rigopt.answers.repair import Repaired
from rigopt.output.facts.cables import pieces
from rigopt.output.facts.changes import Change, changes
from rigopt.output.facts.repair import (
    Add,
    Fit,
    Lay,
    Lift,
    Move,
    PlugWay,
    Replace,
    SetClock,
    SetFormat,
    SetRole,
    Step,
    Switch,
    TakeOff,
    Unplug,
    repair_steps,
)
from rigopt.output.page.picture.marks import Mark, Marks
from rigopt.output.words.findings import says
from rigopt.output.words.rates import dead_told
from rigopt.output.words.repair_steps import step_words
from rigopt.output.words.wiring import banks, clock_setting
from rigopt.rig.audit.finding import Fact, Finding
from rigopt.rig.audit.wiring import line_name, link_name
from rigopt.rig.types import Link, Rig, Unit
from rigopt.rig.wired import WiredRig

NAMED: Final = ("unit", "units", "circle", "sockets", "sender")
"""Facts of a finding in which units are named."""


def fault_marks(rig: Rig, findings: Sequence[Finding]) -> Marks:
    """Each fault with its number in the list: on the cable that it names, or else on units."""
    units: dict[str, list[Mark]] = defaultdict(list)
    cables: dict[int, list[Mark]] = defaultdict(list)
    for number, found in enumerate(findings, start=1):
        facts = dict(found.facts)
        here = _numbers(rig.links, partial(_is_named, str(facts.get("link"))))
        for cable in here:
            cables[cable].append(Mark("fault", f"no. {number}"))
        for unit in [] if here else _units(rig, facts):
            units[unit].append(Mark("fault", f"no. {number}, {says(found)}"))
    return Marks(units, cables)


def rate_marks(column: AtRate) -> Marks:
    """The faults of a rig at a rate, and the units of which sockets with cables die there."""
    marks = fault_marks(column.verdict.as_rig(), column.verdict.findings)
    units = {name: list(told) for name, told in marks.units.items()}
    for dead in column.dead:
        if dead.cables:
            units.setdefault(dead.unit, []).append(Mark("fault", dead_told(dead)))
    return Marks(units, marks.cables)


def growth_marks(before: Rig, after: Rig) -> Marks:
    """What is new at a stage, and what is set or plugged otherwise than before."""
    found = changes(before, after)
    return Marks(
        {name: [_unit_mark(name, kind, before, after)] for name, kind in found.units.items()},
        {number: [Mark(kind)] for number, kind in found.cables.items()},
    )


def _unit_mark(name: str, kind: Change, before: Rig, after: Rig) -> Mark:
    return Mark(kind, "" if kind == "new" else _reset(before.unit(name), after.unit(name)))


def _reset(before: Unit, after: Unit) -> str:
    """What is set otherwise: '48 V: bank 1 (ch 1–8); clock: internal (clock master)'."""
    told = (
        (before.phantom_banks_on != after.phantom_banks_on, f"48 V: {banks(after)}"),
        (before.clock != after.clock, f"clock: {clock_setting(after)}"),
        (before.role != after.role, f"role: {after.role}"),
    )
    return "; ".join(text for differs, text in told if differs)


def repair_marks(before: WiredRig, repair: Repaired) -> Marks:
    """The steps of a repair, each where it is done, as far as there is anything afterwards."""
    units: dict[str, list[Mark]] = defaultdict(list)
    cables: dict[int, list[Mark]] = defaultdict(list)
    for step in repair_steps(before, repair):
        if isinstance(step, SetRole | SetClock | Switch):
            name = step.unit if isinstance(step, Switch) else step.unit.name
            units[name].append(Mark("changed", _told(step)))
        for number in _numbers(repair.rig.links, _links(step).__contains__):
            cables[number].append(Mark("new" if isinstance(step, Add | Lay) else "changed"))
    return Marks(units, cables)


def removal_marks(before: WiredRig, repair: Repaired) -> Mapping[int, Sequence[Mark]]:
    """The cables before a repair, by number, that it takes off or moves."""
    cables: dict[int, list[Mark]] = defaultdict(list)
    for step in repair_steps(before, repair):
        gone = _taken(step)
        for number in _numbers(before.links, gone.__contains__):
            cables[number].append(Mark("removed"))
    return cables


def _taken(step: Step) -> Sequence[Link]:
    """The links that a step takes off where they are."""
    match step:
        case TakeOff(link) | Unplug(link) | Move(link, _) | Replace(link, _):
            return [link]
        case Lift(links):
            return links
    return []


def _told(step: Step) -> str:
    verb, what = step_words(step)
    return f"{verb.lower()} {what}"


def _links(step: Step) -> Sequence[Link]:
    """The links that a step leaves behind, new or otherwise than they were."""
    match step:
        case Move(_, link) | Replace(_, link):
            return [link]
        case Add(link) | PlugWay(link) | SetFormat(link) | Fit(link, _, _):
            return [link]
        case Lay(links):
            return links
    return []


def _numbers(links: Iterable[Link], wanted: Callable[[Link], bool]) -> list[int]:
    """The numbers of the cables that have a wanted link."""
    return [cable.numbers[0] for cable in pieces(links) if any(map(wanted, cable.links))]


def _is_named(name: str, link: Link) -> bool:
    return name in (link_name(link), line_name(link))


def _units(rig: Rig, facts: Mapping[str, Fact]) -> Iterator[str]:
    """The units that the facts of a finding name, one of an input's number included."""
    said = " ".join(str(facts[name]) for name in NAMED if name in facts)
    number = facts.get("number")
    for unit in rig.units:
        named = re.search(rf"(?<![\w-]){re.escape(unit.name)}(?![\w-])", said)
        behind = any(i.computer_input == number and i.unit == unit.name for i in rig.inputs)
        if named or behind:
            yield unit.name
