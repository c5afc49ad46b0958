"""Every source in its channel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from rigopt.output.facts.inputs import box, in_use, jack_only
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.words.inputs import jack_lines
from rigopt.output.words.phrases import count, listed, plural, runs, sources
from rigopt.rig import levels as level
from rigopt.rig.banks import bank_channels
from rigopt.rig.types import Input, Rig


def patch(rig: Rig) -> Iterator[Step]:
    """Every source in its channel, 48 V still off."""
    lines = []
    used = sorted(in_use(rig), key=lambda item: [u.name for u in rig.units].index(item.unit))
    for name, group in groupby(used, key=lambda item: item.unit):
        lines.append(f"{name}: {_plugs(list(group))}.")
    lines += _boxes(rig)
    if lines and any(bank_channels(unit.device) for unit in rig.units):
        title = "Plug in the sources, 48 V off"
        said = (*lines, *jack_lines(rig.inputs))
        jacks = [cautions.JACKS] if any(map(jack_only, rig.inputs)) else []
        yield Step(title, said, (cautions.PHANTOM, *jacks))
    elif lines:
        yield Step("Plug in the sources", tuple(lines))


def _plugs(items: Sequence[Input]) -> str:
    """'Bass on channel 1' for each name, '8 microphones on channels 1–8' for the rest.

    'Bass through di-1 on channel 1' where a DI box stands between.
    """
    named = [
        f"{item.source}{_through(box(item))} on channel {item.channel}"
        for item in items
        if item.source
    ]
    rest = [item for item in items if not item.source]
    for use, between in dict.fromkeys((item.use, box(item)) for item in rest):
        channels = [x.channel for x in rest if (x.use, box(x)) == (use, between)]
        what = sources(len(channels), use) if use else count(len(channels), "source")
        where = f"{plural('channel', channels)} {runs(channels)}"
        named.append(f"{what}{_through(between)} on {where}")
    return ", ".join(named)


def _through(between: str | None) -> str:
    return f" through {between}" if between else ""


def _boxes(rig: Rig) -> Iterator[str]:
    """What each DI box in use is powered by, or takes away."""
    used = {box(item) for item in rig.inputs if item.use or item.source}
    found = [unit for unit in rig.units if unit.role == "di" and unit.name in used]
    if active := [unit.name for unit in found if unit.device.di_phantom]:
        yield f"{listed(active)}: active, fed by the 48 V of the channel, or by a battery."
    if others := [unit.name for unit in found if not unit.device.di_phantom]:
        less = -level.through_transformer(level.PASSIVE_DI)
        yield (
            f"{listed(others)}: a passive box of {level.PASSIVE_DI} to 1 takes {less:.0f} dB, "
            "which the preamp has to give; an active one needs its battery."
        )
