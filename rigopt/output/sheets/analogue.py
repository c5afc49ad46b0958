"""Steps for analogue lines, DI boxes and headphone amplifiers."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.cables import is_line
from rigopt.output.facts.inputs import box
from rigopt.output.facts.outputs import Feed, feeds
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import listed, runs
from rigopt.output.words.wiring import ins
from rigopt.rig import levels as level
from rigopt.rig.types import Rig, Unit


def levels(rig: Rig) -> Iterator[Step]:
    """The inputs that direct outs are plugged into, and what the levels mean."""
    taken = ins((link for link in rig.links if is_line(link)), "line in")
    if taken:
        lines = [f"{one}: set to line, at +4 dBu or its lowest gain." for one in taken]
        yield Step("Match the line levels", (*lines, *_facts()))


def _facts() -> Iterator[str]:
    """EBU R68, SMPTE RP155 (restated); the rest follows from the definition of dBu."""
    low, high = level.full_scale(level.EBU_R68), level.full_scale(level.SMPTE_RP155)
    yield (
        f"A converter is full at {low:+.0f} dBu by EBU R68 and at {high:+.0f} dBu by SMPTE "
        f"RP155; the manual says at what yours is. A preamp at {high:+.0f} dBu clips an input "
        f"for +13 dBu by {level.clips_by(high, 13):.0f} dB: turn the preamp down, not the "
        "recording program."
    )
    yield (
        f"A switch that stands at {level.CONSUMER_DBV:.0f} dBV instead of "
        f"{level.STUDIO_DBU:+.0f} dBu makes it {level.over_consumer():.1f} dB too loud."
    )
    yield (
        f"An input of {level.BRIDGING} times the ohms of the output takes "
        f"{-level.loading(1, level.BRIDGING):.2f} dB, which does not matter."
    )


def boxes(rig: Rig) -> Iterator[str]:
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


def amplifiers(rig: Rig) -> Iterator[str]:
    """Which line outputs each headphone amplifier is fed by."""
    yield from map(_amplifier, feeds(rig))


def _amplifier(feed: Feed) -> str:
    if not feed.outputs:
        return f"{feed.unit.name}: no line output is left to feed it."
    told = [
        f"{_outputs([number for at, number in feed.outputs if at == name])} of {name}"
        for name in dict.fromkeys(name for name, _ in feed.outputs)
    ]
    return f"{feed.unit.name}: plug line {listed(told)} into it{_shared(feed.unit)}."


def _outputs(numbers: list[int]) -> str:
    return f"{'output' if len(numbers) == 1 else 'outputs'} {runs(numbers)}"


def _shared(unit: Unit) -> str:
    phones = unit.device.phones
    return f"; its {phones} headphones hear the same" if phones > 1 else ""
