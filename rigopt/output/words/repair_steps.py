"""The steps of a repair: a verb, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.output.facts.repair import (
    Add,
    Fit,
    Lay,
    Lift,
    Move,
    Plug,
    PlugWay,
    Replace,
    SetClock,
    SetFormat,
    SetRate,
    SetRole,
    Step,
    Strip,
    Switch,
    TakeOff,
    Unplug,
)
from rigopt.output.words.phrases import count, khz, listed, runs
from rigopt.output.words.wiring import clock_setting, ends, piece, starts
from rigopt.rig.types import Link

_UNNAMED: Final = "the same"


def step_words(step: Step) -> tuple[str, str]:
    """'Set' and 'the clock of pre-1: internal (clock master)'."""
    match step:
        case TakeOff(link):
            said = "Take off", _there(link)
        case Move(before, after):
            said = "Move", f"{_there(before)}; to {_purpose(after)}"
        case Replace(before, after):
            said = "Replace", f"{_there(before)}, by {piece(after, _UNNAMED)}"
        case Add(link):
            said = "Add", f"{_purpose(link)}: {piece(link, _UNNAMED)}"
        case Strip(link, tee, end):
            said = "Take off", f"{_small(tee, end)} at {ends(link)}"
        case Fit(link, tee, end):
            said = "Put", f"{_small(tee, end)} at {ends(link)}{_named(link, tee, end)}"
        case SetFormat(link):
            said = "Set", f"{starts(link)} and {ends(link)} to {link.format.label}"
        case Lay() | Lift() | PlugWay() | Unplug():
            said = _of_ways(step)
        case _:
            said = _of_units(step)
    return said


def _of_units(step: SetRate | SetRole | SetClock | Switch | Plug) -> tuple[str, str]:
    """What to set on a unit, and what to plug into it."""
    match step:
        case SetRate(rate_hz):
            said = "Set", f"every unit to {khz(rate_hz)} kHz"
        case SetRole(unit):
            said = "Set", f"{unit.name} up as {unit.role}"
        case SetClock(unit):
            said = "Set", f"the clock of {unit.name}: {clock_setting(unit)}"
        case Switch(name, banks, on):
            noun = "bank" if len(banks) == 1 else "banks"
            said = "Switch", f"48 V {'on' if on else 'off'} on {noun} {runs(banks)} of {name}"
        case Plug(source, name, channel):
            said = "Plug", f"{source} into channel {channel} of {name}"
    return said


def _of_ways(step: Lay | Lift | PlugWay | Unplug) -> tuple[str, str]:
    """Of an analogue cable with several ways."""
    match step:
        case Lay(links):
            said = "Add", f"{_ways(links)}: {piece(links[0], _UNNAMED)}"
        case Lift(links):
            named = f": {piece(links[0], _UNNAMED)}" if links[0].cable else ""
            said = "Take off", f"{_ways(links)}{named}"
        case PlugWay(link):
            said = "Plug", f"{_purpose(link)}: a free way of {piece(link, 'the piece')}"
        case Unplug(link):
            said = "Unplug", f"{_route(link)}: the other ways stay"
    return said


def _there(link: Link) -> str:
    """A cable that is there: where it is, and which piece, if that is known."""
    return f"{_route(link)}: {piece(link, _UNNAMED)}" if link.cable else _route(link)


def _ways(links: Sequence[Link]) -> str:
    """A piece with several ways, which goes from one unit to one or several."""
    first = links[0]
    out = f"{first.kind} {first.from_unit} direct out {runs([x.from_socket for x in links])}"
    into = [
        f"{name} in {runs([x.to_socket for x in links if x.to_unit == name])}"
        for name in dict.fromkeys(link.to_unit for link in links)
    ]
    return f"{out} -> {listed(into)}"


def _purpose(link: Link) -> str:
    """Where a cable goes, and what for."""
    loads = [
        *([count(link.channels, "channel")] if link.channels else []),
        *([f"{count(link.back, 'channel')} back"] if link.back else []),
        *(["clock"] if "clock" in link.carries else []),
    ]
    return f"{_route(link)}, for {listed(loads)}"


def _route(link: Link) -> str:
    return f"{link.kind} {starts(link)} -> {ends(link)}"


def _small(tee: bool, end: bool) -> str:
    return listed([*(["a T-piece"] if tee else []), *(["a terminator"] if end else [])])


def _named(link: Link, tee: bool, end: bool) -> str:
    """Which pieces, where they have names."""
    pieces = [link.tee if tee else None, link.terminator if end else None]
    said = " + ".join(piece.label or piece.id for piece in pieces if piece is not None)
    return f": {said}" if said else ""
