"""The least change of one need that lets some rig meet the others."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from typing import Final

from rigopt.answers.choice import Need, NeedName, Setting, Value
from rigopt.needs.keys import MOST_COUNT, MOST_HOPS, MOST_HOSTS
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.conflict import NEUTRAL, PORTS, possible, rates
from rigopt.optimiser.questions.conflict.edited_needs import COUNTS, edited, value_of
from rigopt.optimiser.questions.conflict.probes import Probes

_FEWER: Final[tuple[NeedName, ...]] = (*COUNTS, "out_line", "out_phones")
_MOST: Final[dict[NeedName, int]] = {
    "max_hops": MOST_HOPS,
    "max_hosts": MOST_HOSTS,
    "rack_units": MOST_COUNT,
    "mains": MOST_COUNT,
    "units": MOST_COUNT,
    "sellers": MOST_COUNT,
}
"""Needs that are loosened by a greater number, and how great it may be."""

Check = Callable[[Value], bool]


def least_change(
    probes: Probes, needs: Needs, need: Need, given_up: Sequence[Need] = ()
) -> Setting | None:
    """The least change of `need` with which some rig meets `needs` without those given up.

    None if there is none, or none that leaves a question worth asking.

    Raises:
        TimeUpError: When it is not known in time.
    """

    def works(value: Value) -> bool:
        return possible(probes, edited(needs, need.name, value), given_up)

    was = value_of(needs, need.name)
    if need.name == "budget":
        now: Value = probes.total(edited(needs, "budget", None))
    elif need.name in _FEWER:
        now = _most_sources(needs, need.name, was, works)
    elif need.name in _MOST:
        now = _least_number(was, _MOST[need.name], works)
    else:
        now = next(filter(works, _choices(probes, needs, need)), None)
    return None if now is None else Setting(need.name, now)


def _choices(probes: Probes, needs: Needs, need: Need) -> Iterable[Value]:
    """Values in the order in which they are to be tried."""
    if need.name == "rate_hz":
        return rates(probes.catalogue, needs.rate_hz)[1:]
    if need.name in ("avoid", "require"):
        return [tuple(item for item in getattr(needs, need.name) if item != need.value)]
    if need.name == "ports":
        return [*((*needs.ports, port) for port in PORTS if port not in needs.ports), PORTS]
    if need.name in ("host_to_rack_mm", "within_rack_mm"):
        lengths = {cable.length_mm for cable in probes.catalogue.cables.values()}
        was = getattr(needs, need.name)
        return sorted((length for length in lengths if length < was), reverse=True)
    return [NEUTRAL[need.name]]


def _most_sources(needs: Needs, name: NeedName, was: int, works: Check) -> int | None:
    """The greatest smaller number that works; a rig for no source at all is no answer."""
    sources = needs.inputs if name in ("mic", "line", "instrument") else was + 1
    low = 0 if sources > was else 1
    if low >= was or not works(low):
        return None
    return low + bisect_left(range(low + 1, was), True, key=lambda number: not works(number))


def _least_number(was: int, most: int, works: Check) -> int | None:
    """The least greater number that works, up to `most`."""
    if was >= most or not works(most):
        return None
    low, step = was, 1  # which does not work
    while low + step < most and not works(low + step):
        low, step = low + step, 2 * step
    higher = range(low + 1, min(low + step, most))  # of which none may work
    return higher.start + bisect_left(higher, True, key=works)
