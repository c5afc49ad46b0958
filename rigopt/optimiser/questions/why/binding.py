"""Which needs bind: each of them moved by one step, and what the cheapest rig then costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from rigopt.answers.choice import Change, Setting
from rigopt.catalogue.types import SOURCES, Catalogue
from rigopt.facts import RATE_MULTIPLIER
from rigopt.needs.keys import MASTERS
from rigopt.needs.row import Kind, Row
from rigopt.needs.sources import COUNTS
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs, Value
from rigopt.optimiser.questions.conflict.edited_needs import edited, forbids, value_of
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError
from rigopt.rig.types import Rig


class Asked(NamedTuple):
    """A question, and the cheapest rig for it."""

    catalogue: Catalogue
    needs: Needs
    rig: Rig


@dataclass(frozen=True, slots=True)
class Steps:
    """Changes of one need by one step; not all of them if the time was up."""

    known: tuple[Change, ...]
    complete: bool


def changes(probes: Probes, needs: Needs, rig: Rig) -> Steps:
    """Each need relaxed or tightened by one step, everything else as asked."""
    known: list[Change] = []
    for step in steps(probes.catalogue, needs, rig):
        about = f"another {step.name.removesuffix('_hz').replace('_', ' ')}"
        probes.deadline.watch.question(about, probes.catalogue.currency)
        then = edited(needs, step.name, step.now)
        try:
            total = probes.total(then)
        except TimeUpError:
            return Steps(tuple(known), complete=False)
        known.append(Change(_settings(step, needs, then), total))
    return Steps(tuple(known), complete=True)


def _settings(step: Setting, needs: Needs, then: Needs) -> tuple[Setting, ...]:
    """The step, and every count that has to go along with it."""
    along = (Setting(name, getattr(then, name)) for name in COUNTS if name != step.name)
    return (step, *(one for one in along if one.now != getattr(needs, one.name)))


def steps(catalogue: Catalogue, needs: Needs, rig: Rig) -> Iterator[Setting]:
    """The steps that can be taken from `needs`, whose cheapest rig is `rig`."""
    asked = Asked(catalogue, needs, rig)
    for kind, step in _STEPS.items():
        for row in TABLE:
            if row.kind == kind:
                was = value_of(needs, row.name)
                yield from (Setting(row.name, now) for now in step(row, was, asked))


def _counts(row: Row, was: int, _: Asked) -> Iterator[Value]:
    if was:
        yield was - 1
    if was and row.name in SOURCES:
        yield was + 1


def _rates(_row: Row, was: int, asked: Asked) -> list[Value]:
    """Other rates that a host of the catalogue offers."""
    hosts = [device for device in asked.catalogue.devices.values() if device.may_host]
    offered = {rate for host in hosts for rate in host.rates_hz}
    return [rate for rate in RATE_MULTIPLIER if rate in offered and rate != was]


def _masters(_row: Row, was: str, asked: Asked) -> list[Value]:
    """Other masters. Where any will do, one in the role it has now changes nothing."""
    same = {was, asked.rig.master.role} if was == "any" else {was}
    return [master for master in MASTERS if master not in same]


def _reaches(row: Row, was: int, asked: Asked) -> Iterator[Value]:
    if row.name == "max_hops" and asked.rig.clock_hops == was > 0:
        yield was - 1
    if was != row.neutral:
        yield was + 1


def _dropped(row: Row, was: Value, _: Asked) -> list[Value]:
    return [row.neutral] if forbids(row, was) else []


def _each_dropped(_row: Row, was: tuple[str, ...], _: Asked) -> list[Value]:
    return [tuple(other for other in was if other != item) for item in was]


_STEPS: Final[dict[Kind, Callable[[Row, Any, Asked], Iterable[Value]]]] = {
    "count": _counts,
    "rate": _rates,
    "master": _masters,
    "reach": _reaches,
    "limit": _dropped,
    "ports": _dropped,
    "flag": _dropped,
    "pairs": _dropped,
    "ids": _each_dropped,
}
"""The steps of each kind of need, in the order in which they are told."""
