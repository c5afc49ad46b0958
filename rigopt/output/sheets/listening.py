"""Monitors and headphones, and what feeds them."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.outputs import Feed, feeds
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered
from rigopt.output.words.phrases import listed, plural, runs, span
from rigopt.output.words.wiring import end_socket, start_socket
from rigopt.rig.links import rank
from rigopt.rig.types import Link, Rig, Unit


def monitor(rig: Rig) -> Step:
    """Loudspeakers last; which expander's outputs get audio from its host."""
    lines = ["Switch on the monitors last. Bring levels up slowly, from silence."]
    lines += [line for unit in rig.units for line in _fed(rig, unit)]
    lines += _amplifiers(rig)
    return Step("Monitors on", tuple(lines), (cautions.HEARING,))


def _fed(rig: Rig, unit: Unit) -> Iterator[str]:
    """Cables from a host to an expander feed its line outputs in turn."""
    if unit.role != "expander":
        return
    into = [
        (rank(link.format), socket, number, link, channels)
        for number, link in numbered(rig)
        for socket, channels in [_feeds(link, unit.name)]
        if channels
    ]
    first = 1
    for _, _, number, link, channels in sorted(into, key=lambda one: one[:3]):
        yield _fed_by(unit.name, number, link, range(first, first + channels))
        first += channels


def _feeds(link: Link, name: str) -> tuple[int, int]:
    """The socket of a unit through which a link feeds its line outputs, and how many."""
    if link.from_unit == name:
        return link.from_socket, link.back
    return link.to_socket, link.channels if link.to_unit == name else 0


def _fed_by(name: str, number: int, link: Link, outs: range) -> str:
    back = link.from_unit == name
    socket, host = (start_socket, link.to_unit) if back else (end_socket, link.from_unit)
    return (
        f"{name}: line {plural('output', outs)} {span(outs.start, outs.stop - 1)} "
        f"by {socket(link)}, cable {number} from {host}."
    )


def _amplifiers(rig: Rig) -> Iterator[str]:
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
