"""The steps of a repair: a verb, and what to do."""

from __future__ import annotations

from typing import Final

from rigopt.output.facts.repair import (
    Add,
    Fit,
    Move,
    Plug,
    Replace,
    SetClock,
    SetFormat,
    SetRate,
    SetRole,
    Step,
    Strip,
    Switch,
    TakeOff,
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


def _there(link: Link) -> str:
    """A cable that is there: where it is, and which piece, if that is known."""
    return f"{_route(link)}: {piece(link, _UNNAMED)}" if link.cable else _route(link)


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
