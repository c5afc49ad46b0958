"""Which needs bind: each of them moved by one step, and what the cheapest rig then costs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from rigopt.answers.choice import Change, NeedName, Setting, Value
from rigopt.catalogue.types import Catalogue
from rigopt.facts import RATE_MULTIPLIER
from rigopt.needs.keys import MASTERS, MOST_HOPS, MOST_HOSTS
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.conflict import PORTS
from rigopt.optimiser.questions.conflict.edited_needs import COUNTS, edited, value_of
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError
from rigopt.rig.types import Rig

_MORE: Final[tuple[NeedName, ...]] = ("mic", "line", "instrument")
_OUTPUTS: Final[tuple[NeedName, ...]] = ("out_line", "out_phones")
_LIMITS: Final[tuple[NeedName, ...]] = ("rack_units", "mains", "units", "sellers")
_FLAGS: Final[tuple[NeedName, ...]] = ("new_only", "owned_only")


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
        try:
            total = probes.total(edited(needs, step.name, step.now))
        except TimeUpError:
            return Steps(tuple(known), complete=False)
        known.append(Change((step,), total))
    return Steps(tuple(known), complete=True)


def steps(catalogue: Catalogue, needs: Needs, rig: Rig) -> Iterator[Setting]:
    """The steps that can be taken from `needs`, whose cheapest rig is `rig`."""
    for name in (*COUNTS, *_OUTPUTS):
        was = getattr(needs, name)
        if was:
            yield Setting(name, was - 1)
        if was and name in _MORE:
            yield Setting(name, was + 1)
    for rate in _rates(catalogue, needs.rate_hz):
        yield Setting("rate_hz", rate)
    for master in MASTERS:
        # Where any master will do, one in the role it has now changes nothing.
        if master != needs.master and (needs.master != "any" or master != rig.master.role):
            yield Setting("master", master)
    yield from _hops(needs, rig)
    for name in _LIMITS:
        if getattr(needs, name) is not None:
            yield Setting(name, None)
    yield from _wishes(needs)


def _rates(catalogue: Catalogue, rate_hz: int) -> list[int]:
    """Other rates that a host of the catalogue offers."""
    hosts = [device for device in catalogue.devices.values() if device.may_host]
    offered = {rate for host in hosts for rate in host.rates_hz}
    return [rate for rate in RATE_MULTIPLIER if rate in offered and rate != rate_hz]


def _hops(needs: Needs, rig: Rig) -> Iterator[Setting]:
    was = needs.max_hops
    if rig.clock_hops == was > 0:
        yield Setting("max_hops", was - 1)
    if was < MOST_HOPS:
        yield Setting("max_hops", was + 1)
    if needs.max_hosts < MOST_HOSTS:
        yield Setting("max_hosts", needs.max_hosts + 1)


def _wishes(needs: Needs) -> Iterator[Setting]:
    if set(needs.ports) != set(PORTS):
        yield Setting("ports", PORTS)
    for name in _FLAGS:
        if getattr(needs, name):
            yield Setting(name, False)
    pairs = value_of(needs, "pairs")
    if pairs:
        yield Setting("pairs", 0)
    for item in needs.avoid:
        yield Setting("avoid", _less(needs.avoid, item))
    for item in needs.require:
        yield Setting("require", _less(needs.require, item))


def _less(items: tuple[str, ...], item: str) -> Value:
    return tuple(other for other in items if other != item)
