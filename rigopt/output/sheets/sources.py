"""Every source in its channel, and the channels that nothing goes into."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from rigopt.needs.types import Needs, Phantom
from rigopt.output.facts.cables import is_line
from rigopt.output.facts.inputs import box, in_use, jack_only, microphones
from rigopt.output.facts.wants import wants
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.words.inputs import ASKS, JACK_ONLY, silent_lines
from rigopt.output.words.phrases import count, listed, plural, runs, sources
from rigopt.output.words.wiring import ins
from rigopt.rig import levels as level
from rigopt.rig.types import Input, Rig

_THAT: Final[Mapping[Phantom | None, tuple[str, str]]] = {
    "on": ("that needs 48 V", "that need 48 V"),
    "off": ("that must not get 48 V", "that must not get 48 V"),
}
"""What is said of one microphone, and of several."""


def patch(rig: Rig, needs: Needs) -> Iterator[Step]:
    """Every source in its channel, 48 V still off."""
    used = in_use(rig)
    if not used:
        return
    asked = wants(used, needs)
    order = [unit.name for unit in rig.units]
    used = sorted(used, key=lambda item: order.index(item.unit))
    lines = [
        f"Channels of {name}: {_plugs(list(group), asked)}."
        for name, group in groupby(used, key=lambda item: item.unit)
    ]
    lines += [*_boxes(rig), *_ribbons(used, asked), *_jacks(rig), *_empty(rig)]
    banks = any(unit.device.bank_channels for unit in rig.units)
    yield Step(
        "Plug in the sources, 48 V off" if banks else "Plug in the sources",
        tuple(lines),
        tuple(_cautions(rig, banks)),
    )


def _cautions(rig: Rig, banks: bool) -> Iterator[str]:
    if banks:
        yield cautions.PHANTOM
    if any(map(jack_only, rig.inputs)):
        yield cautions.JACKS
    yield cautions.WALKWAYS
    if microphones(rig):
        yield cautions.STANDS


def _plugs(items: Sequence[Input], asked: Mapping[int, Phantom]) -> str:
    """'Bass on 1' for each name, '8 microphones on 1–8' for the rest.

    'Bass through di-1 on 1' where a DI box stands between, 'Ribbon (no 48 V)' where
    it asks for something.
    """
    named = [
        f"{item.source}{_asks(item, asked)}{_through(box(item))} on {item.channel}"
        for item in items
        if item.source
    ]
    groups: dict[tuple[str | None, str | None, Phantom | None], list[int]] = {}
    for item in items:
        if not item.source:
            key = (item.use, box(item), asked.get(item.computer_input))
            groups.setdefault(key, []).append(item.channel)
    for (use, between, want), channels in groups.items():
        what = sources(len(channels), use) if use else count(len(channels), "source")
        if want in _THAT:
            what += f" {_THAT[want][len(channels) > 1]}"
        named.append(f"{what}{_through(between)} on {runs(channels)}")
    return "; ".join(named)


def _asks(item: Input, asked: Mapping[int, Phantom]) -> str:
    told = ASKS.get(asked.get(item.computer_input, "any"))
    return f" ({told})" if told else ""


def _through(between: str | None) -> str:
    return f" through {between}" if between else ""


def _ribbons(used: Iterable[Input], asked: Mapping[int, Phantom]) -> Iterator[str]:
    """Where a ribbon microphone may stand, if one that asks nothing of 48 V may be one.

    Practice notes (restated).
    """
    mics = [item for item in used if item.computer_input in asked]
    if not any(item.phantom and asked[item.computer_input] == "any" for item in mics):
        return
    off = [item for item in mics if not item.phantom]
    names = dict.fromkeys(item.unit for item in off)
    where = [f"{n} {runs(item.channel for item in off if item.unit == n)}" for n in names]
    told = f"only be on {listed(where)}" if where else "be on none of these"
    yield f"A ribbon microphone may {told}: the rest get 48 V. A dynamic one may be on any."


def _empty(rig: Rig) -> Iterator[str]:
    """Channels that are left: taken by another unit, not converted, or spare."""
    if taken := ins((link for link in rig.links if is_line(link)), "line in"):
        yield f"Nothing else goes into {listed(taken)}, which a preamp is plugged into."
    yield from silent_lines(rig)
    idle = [item for item in rig.inputs if item not in in_use(rig)]
    told = []
    for name, group in groupby(idle, key=lambda item: item.unit):
        items = list(group)
        channels = [item.channel for item in items]
        numbers = [item.computer_input for item in items]
        into = f"{plural('input', numbers)} {runs(numbers)}"
        told.append(f"{plural('channel', channels)} {runs(channels)} of {name} ({into})")
    if told:
        yield f"Free: {listed(told)}."


def _jacks(rig: Rig) -> Iterator[str]:
    if found := [item.computer_input for item in rig.inputs if jack_only(item)]:
        which = f"{plural('input', found)} {runs(found)}"
        yield (
            f"48 V comes on later at {which}, where no microphone is plugged in: {JACK_ONLY} "
            "there."
        )


def _boxes(rig: Rig) -> Iterator[str]:
    """What each DI box in use is powered by, or takes away."""
    used = {box(item) for item in rig.inputs if item.use or item.source}
    found = [unit for unit in rig.units if unit.name in used]
    if active := [unit.name for unit in found if unit.device.di_phantom]:
        yield f"{listed(active)}: active, fed by the 48 V of the channel, or by a battery."
    if others := [unit.name for unit in found if not unit.device.di_phantom]:
        less = -level.through_transformer(level.PASSIVE_DI)
        yield (
            f"{listed(others)}: a passive box of {level.PASSIVE_DI} to 1 takes {less:.0f} dB, "
            "which the preamp has to give; an active one needs its battery."
        )
