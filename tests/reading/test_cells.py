"""Cells that hold more than one word or number."""

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
