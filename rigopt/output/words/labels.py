"""What is written on the labels of cables and units: a name, and lines below it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rigopt.output.facts.cables import Bundle, is_line, pieces
from rigopt.output.words.phrases import entry, listed, runs
from rigopt.output.words.wiring import (
    banks,
    clock_setting,
    clockless,
    end_socket,
    ins,
    load,
    outs,
    start_socket,
)
from rigopt.rig.types import Rig, Unit

LINES = 4
"""The most lines below a name."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label. `name` is a cable's number, the same on both of its ends, or a unit's name."""

    kind: Literal["cable", "unit"]
    name: str
    lines: tuple[str, ...]


def labels(rig: Rig) -> tuple[Label, ...]:
    """Two for each cable, in the order of their numbers; then one for each unit."""
    ends = [label for cable in pieces(rig.links) for label in _ends(cable, rig)]
    return (*ends, *(_unit(unit, rig) for unit in rig.units))


def _ends(cable: Bundle, rig: Rig) -> tuple[Label, Label]:
    """The label of the end to plug in where it begins, and of the other."""
    name = str(cable.numbers[0])
    start, end = _plugs(cable)
    below = (_load(cable, rig), _piece(cable))
    return (
        Label("cable", name, (start, f"to {end}", *below)),
        Label("cable", name, (end, f"from {start}", *below)),
    )


def _plugs(cable: Bundle) -> tuple[str, str]:
    """The sockets of both ends, each with its unit."""
    if is_line(cable.first):
        return listed(outs(cable.links)), listed(ins(cable.links, "line in"))
    link = cable.first
    return (
        f"{link.after or link.from_unit} {start_socket(link)}",
        f"{link.to_unit} {end_socket(link)}",
    )


def _load(cable: Bundle, rig: Rig) -> str:
    """'light-pipe, 8 ch + clock'; 'word clock' says all by itself."""
    told = f"{len(cable.links)} ch" if is_line(cable.first) else load(cable.first, rig.units)
    name = cable.first.format.label
    return name if told in name else f"{name}, {told}"


def _piece(cable: Bundle) -> str:
    return " + ".join(entry(piece.id, piece.label) for piece in cable.first.pieces)


def _unit(unit: Unit, rig: Rig) -> Label:
    clock = "no clock to set" if clockless(unit) else f"clock: {clock_setting(unit)}"
    phantom = f"48 V: {banks(unit)}" if unit.device.bank_channels else ""
    numbers = [item.computer_input for item in rig.inputs if item.unit == unit.name]
    which = "input" if len(numbers) == 1 else "inputs"
    arriving = f"computer {which} {runs(numbers)}" if numbers else ""
    told = (entry(unit.device.id, unit.device.label), clock, phantom, arriving)
    return Label("unit", unit.name, tuple(line for line in told if line))
