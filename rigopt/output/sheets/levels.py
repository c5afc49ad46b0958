"""Levels: of analogue lines, and of every source."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.cables import is_line
from rigopt.output.facts.inputs import in_use
from rigopt.output.sheets import cautions
from rigopt.output.sheets.listening import heard
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import listed
from rigopt.output.words.wiring import ins
from rigopt.rig import levels as level
from rigopt.rig.types import Rig


def match(rig: Rig) -> Iterator[Step]:
    """The inputs that direct outs are plugged into, and what the levels mean."""
    taken = ins((link for link in rig.links if is_line(link)), "line in")
    if taken:
        lines = [f"{one}: set to line, at +4 dBu or its lowest gain." for one in taken]
        yield Step("Match the line levels", (*lines, *_facts()))


def gains(rig: Rig) -> Iterator[Step]:
    """Source by source, on meters and closed headphones (guides, practice)."""
    used = in_use(rig)
    if not used:
        return
    low, high = level.PEAKS_DBFS
    ears = " and closed headphones" if heard(rig) else ""
    lines = [
        f"The monitors stay off, and direct monitoring is muted: go by the meters{ears}.",
        "Source by source: let it play its loudest passage, and turn its gain up until the "
        f"peaks lie between {low} and {high} dBFS. Then leave it.",
    ]
    units = list(dict.fromkeys(item.unit for item in used))
    if len(rig.units) > 1:
        lines.append(f"The gain is that of the unit where it is plugged in: {listed(units)}.")
    if far := {link.to_unit for link in rig.links if is_line(link)}:
        there = listed([unit.name for unit in rig.units if unit.name in far])
        lines.append(f"The line inputs of {there} that a preamp is plugged into stay as set.")
    yield Step("Set the levels", tuple(lines), (cautions.HEARING,) if ears else ())


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
