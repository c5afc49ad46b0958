"""The least change of one need that lets some rig meet the others."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence

from rigopt.answers.choice import Need, NeedName, Setting
from rigopt.catalogue.types import COMPUTERS, SOURCES
from rigopt.needs.keys import MOST_COUNT
from rigopt.needs.table import ROWS
from rigopt.needs.types import Needs, Value
from rigopt.optimiser.questions.conflict.conflict import possible, rates
from rigopt.optimiser.questions.conflict.edited_needs import edited, value_of
from rigopt.optimiser.questions.conflict.probes import Probes

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

    was, row = value_of(needs, need.name), ROWS[need.name]
    if row.kind == "money":
        now: Value = probes.total(edited(needs, need.name, None))
    elif row.kind == "count":
        now = _most_sources(needs, need.name, was, works)
    elif row.kind in ("reach", "limit"):
        most = row.neutral if isinstance(row.neutral, int) else MOST_COUNT
        now = _least_number(was, most, works)
    else:
        now = next(filter(works, _choices(probes, needs, need)), None)
    return None if now is None else Setting(need.name, now)


def _choices(probes: Probes, needs: Needs, need: Need) -> Iterable[Value]:
    """Values in the order in which they are to be tried."""
    row = ROWS[need.name]
    if row.kind == "rate":
        return rates(probes.catalogue, needs.rate_hz)[1:]
    if row.kind == "ids":
        return [tuple(item for item in getattr(needs, need.name) if item != need.value)]
    if row.kind == "ports":
        others = [port for port in COMPUTERS if port not in needs.ports]
        return [*((*needs.ports, port) for port in others), COMPUTERS]
    if row.kind == "run":
        lengths = {cable.length_mm for cable in probes.catalogue.cables.values()}
        was = getattr(needs, need.name)
        return sorted((length for length in lengths if length < was), reverse=True)
    return [row.neutral]


def _most_sources(needs: Needs, name: NeedName, was: int, works: Check) -> int | None:
    """The greatest smaller number that works; a rig for no source at all is no answer."""
    sources = needs.inputs if name in SOURCES else was + 1
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
