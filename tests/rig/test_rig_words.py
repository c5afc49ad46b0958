"""Phrases of rig files by themselves: sockets, clock settings and names."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from rigopt.facts import FORMATS
from rigopt.files.values import BadValueError
from rigopt.rig.reading import words
from rigopt.rig.reading.draft import ClockDraft
from rigopt.rig.types import End
from tests.reading.folders import SMALL

UNITS = ["host-1", "a b"]


@pytest.mark.parametrize(
    ("text", "end"),
    [
        ("a b Optical OUT 1", End("a b", "optical", "output", 1)),
        ("host-1 word input 1000", End("host-1", "word", "input", 1000)),
        ("host-1 analogue in 5", End("host-1", "analogue", "input", 5)),
        ("host-1 Trunk 2", End("host-1", "trunk", "socket", 2)),
        ("host-1 trunk out 2", End("host-1", "trunk", "output", 2)),
        ("a b TEE", End("a b", "word", "tee", 0)),
    ],
)
def test_a_socket_in_words(text: str, end: End) -> None:
    assert words.end(f" {text} ", UNITS) == end


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("Internal", ClockDraft("internal")),
        ("optical", ClockDraft("optical")),
        ("word 2", ClockDraft("word", 2)),
        ("coax in 3", ClockDraft("coax", 3)),
        ("trunk input 1000", ClockDraft("trunk", 1000)),
    ],
)
def test_a_clock_in_words(text: str, clock: ClockDraft) -> None:
    assert words.clock(text) == clock


def end(value: object) -> End:
    return words.end(value, UNITS)


def unit(value: object) -> str:
    return words.unit(value, UNITS)


def device(value: object) -> object:
    return words.device(value, SMALL)


def cable(value: object) -> object:
    return words.cable(value, SMALL)


def form(value: object) -> object:
    return words.format_id(value, SMALL)


SOCKET = "must be a whole number from 1 to 1000"
NOWHERE = "there is no unit of that name"


@pytest.mark.parametrize(
    ("read", "text", "problem", "piece", "allowed"),
    [
        (
            *(end, "host-1 optical"),
            "must be unit, kind, in or out, and socket: 'host-1 optical in 1'",
            *(None, ()),
        ),
        (
            *(end, "host-1 optcal in 1"),
            "must be optical, coax, word, trunk or analogue",
            *("optcal", ("optical", "coax", "word", "trunk", "analogue")),
        ),
        (
            *(end, "host-1 optical at 1"),
            "must say in or out before the socket",
            *("at", ("in", "input", "out", "output")),
        ),
        (end, "ghost optical in 1", NOWHERE, "ghost", ("host-1", "a b")),
        (end, "ghost trunk 1", NOWHERE, "ghost", ("host-1", "a b")),
        (end, "ghost tee", NOWHERE, "ghost", ("host-1", "a b")),
        (end, "host-1 optical in 0", SOCKET, None, ()),
        (end, "host-1 trunk 1001", SOCKET, None, ()),
        (unit, "ghost", NOWHERE, "ghost", ("host-1", "a b")),
        (words.clock, "internal 1", "must be internal, without a socket", None, ()),
        (words.clock, "optical 0", SOCKET, None, ()),
        (
            *(words.clock, "by the left one"),
            "must be internal, or a socket such as 'optical 1'",
            *(None, ("internal", "optical", "coax", "word", "trunk")),
        ),
        (device, "opt-1.5m", "is a cable, but must be the id of a device", None, ()),
        (
            *(device, "desk-9"),
            "must be the id of a device in the catalogue",
            *(None, ("desk-8", "pre-8")),
        ),
        (cable, "desk-8", "is a device, but must be the id of a cable", None, ()),
        (cable, "opt", "must be the id of a cable in the catalogue", None, ("opt-1.5m",)),
        (
            form,
            "stereoo",
            f"must be {', '.join([*FORMATS][:-1])} or {[*FORMATS][-1]}",
            None,
            (*FORMATS,),
        ),
    ],
)
def test_words_that_are_refused(
    read: Callable[[object], Any],
    text: str,
    problem: str,
    piece: str | None,
    allowed: tuple[str, ...],
) -> None:
    with pytest.raises(BadValueError) as caught:
        read(text)
    told = (str(caught.value), caught.value.piece, caught.value.allowed)
    assert told == (problem, piece, allowed)


def test_where_no_unit_is_known_any_name_will_do() -> None:
    assert words.unit(" ghost ", []) == "ghost"
    assert words.device("desk-8", SMALL) is SMALL.devices["desk-8"]
    assert words.cable("opt-1.5m", SMALL) is SMALL.cables["opt-1.5m"]
