"""Monitors and headphones: what they are plugged into, and when they come on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from rigopt.output.facts.inputs import in_use, microphones
from rigopt.output.facts.outputs import Feed, feeds, outputs
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered
from rigopt.output.words.phrases import listed, plural, runs, span
from rigopt.output.words.wiring import end_socket, start_socket
from rigopt.rig.figures import figures
from rigopt.rig.links import rank
from rigopt.rig.types import Link, Rig, Unit


class Fed(NamedTuple):
    """Line outputs of an expander, and the cable that brings them what they play."""

    number: int
    link: Link
    outputs: range


def plug(rig: Rig) -> Iterator[Step]:
    """With the power off: monitors on the first outputs, amplifiers on the last."""
    fed_by = feeds(rig)
    taken = {output for feed in fed_by for output in feed.outputs}
    left = [output for output in outputs(rig) if output not in taken]
    lines = []
    if left:
        lines.append(f"Monitors, still off: {_told(left[:2])}.")
    lines += map(_amplifier, fed_by)
    if ears := [unit.name for unit in rig.units if unit.role == "host" and unit.device.phones]:
        lines.append(f"Closed headphones: at {listed(ears)}.")
    lines += [
        _plays(unit.name, feed)
        for unit in rig.units
        if unit.role == "expander"
        for feed in fed(rig, unit)
    ]
    if lines:
        yield Step("Plug in monitors and headphones", tuple(lines))


def monitor(rig: Rig) -> Step:
    """Loudspeakers last (makers' notes, restated); open microphones howl (practice)."""
    mics = bool(microphones(rig))
    lines = []
    if mics:
        lines.append("Mute the microphones that are in the same room.")
    lines += [
        "Switch on the monitors last, turned down. Bring them up slowly, from silence.",
        "Listen to a source through the recording program or by direct monitoring, never both.",
    ]
    danger = [cautions.FEEDBACK] if mics else []
    danger += [] if heard(rig) else [cautions.HEARING]
    return Step("Monitors on", tuple(lines), tuple(danger))


def heard(rig: Rig) -> bool:
    """Whether levels are set by ear, on headphones, before the monitors come on."""
    return bool(in_use(rig)) and figures(rig).phones > 0


def fed(rig: Rig, unit: Unit) -> list[Fed]:
    """Cables from a host to an expander feed its line outputs in turn."""
    into = [
        ((rank(link.format), socket), number, link, channels)
        for number, link in numbered(rig)
        for socket, channels in [_feeds(link, unit.name)]
        if channels
    ]
    found, first = [], 1
    for _, number, link, channels in sorted(into, key=lambda one: one[0]):
        found.append(Fed(number, link, range(first, first + channels)))
        first += channels
    return found


def _feeds(link: Link, name: str) -> tuple[int, int]:
    """The socket of a unit through which a link feeds its line outputs, and how many."""
    if link.from_unit == name:
        return link.from_socket, link.back
    return link.to_socket, link.channels if link.to_unit == name else 0


def _plays(name: str, feed: Fed) -> str:
    link, outs = feed.link, feed.outputs
    back = link.from_unit == name
    socket, host = (start_socket, link.to_unit) if back else (end_socket, link.from_unit)
    return (
        f"{name}: line {plural('output', outs)} {span(outs.start, outs.stop - 1)} "
        f"{'plays' if len(outs) == 1 else 'play'} what comes in by {socket(link)}, cable "
        f"{feed.number} from {host}."
    )


def _amplifier(feed: Feed) -> str:
    if not feed.outputs:
        return f"{feed.unit.name}: no line output is left to feed it."
    return f"{feed.unit.name}: plug {_told(feed.outputs)} into it{_shared(feed.unit)}."


def _told(found: list[tuple[str, int]] | tuple[tuple[str, int], ...]) -> str:
    """'line outputs 1–2 of host-1'."""
    told = []
    for name in dict.fromkeys(name for name, _ in found):
        numbers = [number for at, number in found if at == name]
        told.append(f"{plural('output', numbers)} {runs(numbers)} of {name}")
    return f"line {listed(told)}"


def _shared(unit: Unit) -> str:
    phones = unit.device.phones
    return f"; its {phones} headphones hear the same" if phones > 1 else ""
