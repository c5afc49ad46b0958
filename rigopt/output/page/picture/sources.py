"""The sources of each unit in groups, and what its outputs play on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from rigopt.output.facts.inputs import box, jack_only, lines
from rigopt.output.facts.outputs import feeds, outputs
from rigopt.output.page.picture.types import Box, Group, Out
from rigopt.output.words.phrases import listed, runs, sources, span
from rigopt.rig.types import Input, Rig, Unit

MONITORS: Final = 2
"""Line outputs that a pair of monitors takes."""


def groups(rig: Rig, unit: Unit, boxes: Mapping[str, Box]) -> list[Group]:
    """The channels of `unit` by what sits on them, in the order of their first ones.

    `boxes` are the heads of the units that are drawn beside them, by name.
    """
    found: dict[tuple[object, ...], list[Input]] = defaultdict(list)
    for item in rig.inputs:
        if item.unit == unit.name:
            found[_sort_of(item)].append(item)
    told = [_group(items, boxes) for items in found.values()]
    return [*told, *_lost(rig, unit)]


def _sort_of(item: Input) -> tuple[object, ...]:
    """Equal for inputs that are drawn as one group."""
    return item.use, item.phantom, box(item)


def _group(items: Sequence[Input], boxes: Mapping[str, Box]) -> Group:
    first = items[0]
    through = box(first)
    return Group(
        first.use or "spare",
        _title(first, len(items)),
        _remark(items),
        runs(item.channel for item in items),
        shown(item.computer_input for item in items),
        None if through is None else boxes.get(through),
    )


def _title(first: Input, number: int) -> str:
    if first.use is not None:
        return sources(number, first.use)
    return f"{number} free"


def _remark(items: Sequence[Input]) -> str:
    """What a hand at the plug must know: '48 V on', '48 V off: may be ribbon'."""
    first = items[0]
    if jack_only(first):
        return "48 V on: jack plug only"
    power = f"48 V {'on' if first.phantom else 'off'}"
    if first.use == "mic":
        return power if first.phantom else f"{power}: may be ribbon"
    if first.use is None:
        common = [k for k in first.accepts if all(k in item.accepts for item in items)]
        return ", ".join([f"for {listed(common, 'or')}", *[power] * first.phantom])
    return ""


def _lost(rig: Rig, unit: Unit) -> list[Group]:
    """The channels that do not reach the computer, and that nothing else sits on."""
    if unit.role not in ("host", "expander", "preamp"):
        return []
    known = lines(rig.units, rig.links)
    taken = {place for places in known.items() for place in places}
    taken |= {(item.unit, item.channel) for item in rig.inputs}
    rest = [n for n in range(1, unit.device.analogue + 1) if (unit.name, n) not in taken]
    return [Group("lost", "", "", runs(rest), "")] if rest else []


def shown(numbers: Iterable[int]) -> str:
    """Inputs of the computer: 'inputs 1–4, 7', 'input 3'; nothing for none."""
    found = list(numbers)
    if not found:
        return ""
    return f"{'input' if len(found) == 1 else 'inputs'} {runs(found)}"


def outs(rig: Rig, boxes: Mapping[str, Box]) -> dict[str, list[Out]]:
    """What is plugged into the outputs of each unit: monitors, amplifiers, headphones.

    `boxes` are the heads of the units that are drawn there.
    """
    fed = feeds(rig)
    taken = {place for feed in fed for place in feed.outputs}
    left = [place for place in outputs(rig) if place not in taken]
    found: dict[str, list[Out]] = defaultdict(list)
    for name, socket in _sockets(left[:MONITORS] if len(left) >= MONITORS else ()):
        found[name].append(Out("monitors", "monitors", socket))
    for feed in fed:
        for name, socket in _sockets(feed.outputs):
            heads = f"headphones: {feed.unit.device.phones}"
            found[name].append(Out("headphones", heads, socket, boxes.get(feed.unit.name)))
    for unit in rig.units:
        if unit.role == "host" and unit.device.phones:
            socket = f"phones out {span(1, unit.device.phones)}"
            found[unit.name].append(Out("headphones", "headphones", socket))
    return found


def _sockets(places: Iterable[tuple[str, int]]) -> list[tuple[str, str]]:
    """Line outputs by unit: ('host-1', 'line out 1–2')."""
    by_unit: dict[str, list[int]] = defaultdict(list)
    for name, number in places:
        by_unit[name].append(number)
    return [(name, f"line out {runs(numbers)}") for name, numbers in by_unit.items()]
