"""Names of sockets and cables as the steps say them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.output.facts.cables import is_line, pieces
from rigopt.output.facts.clocks import clock_goes_back
from rigopt.output.words.phrases import count, listed, runs
from rigopt.output.words.wiring import end_socket, start_socket
from rigopt.rig.types import Link, Rig, Unit

Numbered = tuple[int, Link]
"""A cable with its number on the sheet, from 1."""


def numbered(rig: Rig, kind: str | None = None) -> list[Numbered]:
    """The digital cables with their numbers; of one kind if `kind` is given."""
    every = [(one.numbers[0], one.first) for one in pieces(rig.links)]
    digital = [(number, link) for number, link in every if not is_line(link)]
    return [(number, link) for number, link in digital if kind in (None, link.kind)]


def sender(link: Link) -> str:
    """'expander-1 optical out 1', 'expander-1 word tee' where it begins at a T-piece."""
    return f"{link.after or link.from_unit} {start_socket(link)}"


def receiver(link: Link) -> str:
    """'host-1 optical in 1'."""
    return f"{link.to_unit} {end_socket(link)}"


def load(link: Link, units: Iterable[Unit]) -> str:
    """'8 channels and clock', 'clock alone', '16 channels, and 8 channels and clock back'."""
    clock_back = clock_goes_back(link, units)
    there = [count(link.channels, "channel")] if link.channels else []
    back = [count(link.back, "channel")] if link.back else []
    if "clock" in link.carries:
        (back if clock_back else there).append("clock")
    if there == ["clock"] and not back:
        return "clock alone"
    return ", and ".join(
        [
            *([" and ".join(there)] if there else []),
            *([f"{' and '.join(back)} back"] if back else []),
        ]
    )


def sockets(kind: str, ways: Sequence[tuple[str, Iterable[int]]]) -> str:
    """'optical in 1–2 and optical out 1'; ways without a socket are left out."""
    said = [(way, set(numbers)) for way, numbers in ways]
    return listed([f"{kind} {way} {runs(numbers)}" for way, numbers in said if numbers])


def grouped(told: Iterable[tuple[str, str]]) -> list[str]:
    """'expander-1 and expander-2: text' for (name, text), each text once, in their order."""
    names: dict[str, list[str]] = {}
    for name, text in told:
        names.setdefault(text, []).append(name)
    return [f"{listed(found)}: {text}" for text, found in names.items()]


def stands_alone(unit: Unit) -> bool:
    """Whether it is set up at the computer once, and runs without it in this rig."""
    return unit.device.role == "either" and unit.role == "expander" and unit.clock is not None


def whose(unit: Unit) -> str:
    """'expander-1 (stand-8)': a unit that has no label on it yet, with its device."""
    return f"{unit.name} ({unit.device.id})"
