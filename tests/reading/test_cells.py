"""Cells that hold more than one word or number."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from rigopt.catalogue import cells
from rigopt.catalogue.types import BLOCKS, CHANNEL_COLUMNS, Blank, InOut, SocketRef
from rigopt.files.values import BadValueError


def ref(text: str) -> SocketRef:
    kind, way, number = text.split()
    return SocketRef(kind, way, int(number))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "read"),
    [("2", 2), (" 2/1 ", InOut(2, 1)), ("2 / 0", InOut(2, 0)), ("0", 0)],
)
def test_sockets_each_way(text: str, read: object) -> None:
    assert cells.in_out(text) == read


@pytest.mark.parametrize("text", ["2/", "/2", "1/2/3", "two", "-1", "2/x"])
def test_sockets_each_way_refused(text: str) -> None:
    with pytest.raises(BadValueError):
        cells.in_out(text)


@pytest.mark.parametrize(("text", "read"), [("4", 4), ("0", 0), ("4;2; 2", (4, 2, 2))])
def test_banks(text: str, read: object) -> None:
    assert cells.banks(text) == read


@pytest.mark.parametrize("text", ["4;0", "4;x", "4/2", ""])
def test_banks_refused(text: str) -> None:
    with pytest.raises(BadValueError):
        cells.banks(text)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("word;Optical", ("optical", "word")),
        ("optical 2; word", ("word", ref("optical in 2"))),
        ("optical;optical 1", ("optical",)),
        ("trunk", ("trunk",)),
        ("none", ()),
    ],
)
def test_clock_inputs(text: str, read: object) -> None:
    assert cells.clock_inputs(text) == read


def test_a_clock_input_that_is_none_names_the_nearest() -> None:
    with pytest.raises(BadValueError) as caught:
        cells.clock_inputs("optical;wort")
    assert caught.value.piece == "wort"
    assert "word" in caught.value.allowed


def test_either() -> None:
    read = cells.either("coax in 1/optical in 1; word in 1 / word out 1;trunk 1/coax out 2")
    assert read == (
        (ref("coax in 1"), ref("optical in 1")),
        (ref("word in 1"), ref("word out 1")),
        (ref("trunk in 1"), ref("coax out 2")),
    )


@pytest.mark.parametrize(
    "text",
    [
        "coax in 1",
        "coax in 1/coax in 1",
        "coax 1/optical in 1",
        "coax in/optical in 1",
        "spdif in 1/coax in 1",
        "coax in 0/coax in 1",
    ],
)
def test_either_refused(text: str) -> None:
    with pytest.raises(BadValueError):
        cells.either(text)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("optical;coax", ("optical", "coax", "analogue", "trunk")),
        ("analogue; blank 2; coax", ("analogue", Blank(2, 2, 2), "coax", "optical", "trunk")),
        ("blank 0/4/6", (Blank(0, 4, 6), *BLOCKS)),
    ],
)
def test_input_order(text: str, read: object) -> None:
    assert cells.input_order(text) == read


@pytest.mark.parametrize("text", ["optical;optical", "blank", "blank 1/2", "mix", "blank x"])
def test_input_order_refused(text: str) -> None:
    with pytest.raises(BadValueError):
        cells.input_order(text)


def test_channel_order() -> None:
    first = ("line", "mic_line")
    rest = tuple(column for column in CHANNEL_COLUMNS if column not in first)
    assert cells.channel_order("line;mic_line") == (*first, *rest)
    for text in ("line;line", "lines"):
        with pytest.raises(BadValueError):
            cells.channel_order(text)


def test_kinds_with_a_rate_converter() -> None:
    assert cells.some_kinds("coax;optical") == ("optical", "coax")
    with pytest.raises(BadValueError):
        cells.some_kinds("word")


SOCKET = (
    "must be sockets such as 'coax in 1/optical in 1', groups separated by ';', of the kinds "
    "optical, coax, word, trunk"
)
CLOCK = (
    "must be some of optical, coax, word, trunk, or single sockets such as 'optical 1', "
    "separated by ';'"
)
GROUP = "must name two or more different sockets, such as 'coax in 1/optical in 1'"
BLOCK = (
    "must be some of analogue, coax, optical, trunk, 'blank 2' or 'blank 2/2/0' (1x/2x/4x), "
    "separated by ';'"
)
PLUG = "must be two of jack, xlr, dsub, such as 'jack-xlr': that at the direct outs first"
COLUMN = "must be some of mic_line_inst, mic_line, mic, line_inst, line, inst, separated by ';'"


@pytest.mark.parametrize(
    ("read", "text", "problem", "piece"),
    [
        (cells.in_out, "1/2/3", "must be a number, or inputs/outputs such as 2/1", None),
        (cells.in_out, "1001/1", "must be a whole number from 0 to 1000", None),
        (cells.banks, "4;0", "must be a whole number from 1 to 1000", None),
        (cells.banks, "1001", "must be a whole number from 0 to 1000", None),
        (cells.clock_inputs, "word;optical x", CLOCK, "optical x"),
        (cells.clock_inputs, "1", CLOCK, "1"),
        (cells.clock_inputs, "spdif 1", CLOCK, "spdif 1"),
        (cells.clock_inputs, "optical 0", "must be a whole number from 1 to 1000", None),
        (cells.either, "coax in 1", GROUP, "coax in 1"),
        (
            cells.either,
            "word in 1/word out 1;coax in 1/optical in 1/coax in 1",
            GROUP,
            "coax in 1/optical in 1/coax in 1",
        ),
        (cells.either, "coax 1/optical in 1", SOCKET, "coax 1"),
        (cells.either, "coax in 1/", SOCKET, "coax in 1/"),
        (cells.either, "spdif in 1/coax in 1", SOCKET, "spdif in 1"),
        (cells.either, "coax in x/coax in 1", SOCKET, "coax in x"),
        (cells.either, "coax in 0/coax in 1", "must be a whole number from 1 to 1000", None),
        (cells.input_order, "optical;coax;Optical", "names a block twice", "Optical"),
        (cells.input_order, "optical;blank", BLOCK, "blank"),
        (cells.input_order, "blank 1/2", BLOCK, "blank 1/2"),
        (cells.input_order, "blank 1/2/3/4", BLOCK, "blank 1/2/3/4"),
        (cells.input_order, "mix 2", BLOCK, "mix 2"),
        (cells.channel_order, "line;mic;Line", "names a column twice", "Line"),
        (cells.channel_order, "line;lines", COLUMN, "lines"),
        (cells.ends, "jack", PLUG, None),
        (cells.ends, "jack-xlr-xlr", PLUG, None),
        (cells.ends, "jack-plug", PLUG, None),
    ],
)
def test_what_is_refused_and_which_part_of_it(
    read: Callable[[object], Any], text: str, problem: str, piece: str | None
) -> None:
    with pytest.raises(BadValueError) as caught:
        read(text)
    assert (str(caught.value), caught.value.piece) == (problem, piece)


def test_what_may_have_been_meant() -> None:
    def allowed(read: Callable[[object], Any], text: str) -> tuple[str, ...]:
        with pytest.raises(BadValueError) as caught:
            read(text)
        return caught.value.allowed

    assert allowed(cells.clock_inputs, "opical") == ("optical", "coax", "word", "trunk")
    assert allowed(cells.input_order, "blnk 2") == (*BLOCKS, "blank")
    assert allowed(cells.channel_order, "lin") == CHANNEL_COLUMNS
    assert allowed(cells.some_kinds, "word") == ("optical", "coax", "trunk")


def test_the_ends_of_what_is_allowed() -> None:
    assert cells.in_out("1000/1000") == InOut(1000, 1000)
    assert cells.banks("1;1000") == (1, 1000)
    assert cells.ends(" Jack - DSUB") == ("jack", "dsub")
    assert cells.clock_inputs("word 2;word 1;coax 1;coax 1") == (
        *(ref("coax in 1"), ref("word in 1"), ref("word in 2")),
    )
    assert cells.either("Trunk  OUT 1/coax in 1000") == (
        (ref("trunk out 1"), ref("coax in 1000")),
    )
    assert cells.either("None") == ()
    assert cells.input_order("BLANK 2;trunk;blank 2") == (
        *(Blank(2, 2, 2), "trunk", Blank(2, 2, 2), "analogue", "coax", "optical"),
    )
