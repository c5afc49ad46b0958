"""What follows from answers about a box, and what the texts of questions may name."""

from __future__ import annotations

import pytest

from rigopt.catalogue.answers import Answers
from rigopt.facts import Format

SIXTEEN = Format("sixteen", "trunk", "trunk of 16", "fibre", (16, 8, 4))
STILL = Format("still", "trunk", "still", "flat", (8, 4, 2), clock=False, duplex=True)
TRUNKS = {row.id: row for row in (SIXTEEN, STILL)}


def of(**given: str) -> Answers:
    return Answers("GBP", TRUNKS, given)


def test_what_is_left_of_inputs_takes_what_the_others_do_not() -> None:
    """Of 8 for microphones 2 take all and 5 take line too; of 4 others one takes line alone."""
    box = of(mics="8", mic_line_inst="2", mic_line="5", others="4", line="1", line_inst="1")
    assert (box.left_mics, box.left_others) == (1, 2)
    assert box.kinds == ["mic_line_inst", "mic_line", "mic", "line_inst", "line", "inst"]
    assert box.facts()["letters"] == "a, b, c, d, e, f"
    plain = of(mics="8", instruments="1")
    assert plain.kinds == ["mic", "inst"]
    assert plain.facts()["kinds"] == "a mic, b instrument"
    assert plain.facts()["letters"] == "a, b"
    assert of(others="1", instruments="1").kinds == ["inst"]


@pytest.mark.parametrize(
    ("given", "line"),
    [
        ({"mics": "8"}, False),
        ({"mics": "8", "mic_line": "1"}, True),
        ({"others": "1", "line": "1", "instruments": "1"}, True),
        ({}, False),
    ],
)
def test_whether_some_input_takes_line(given: dict[str, str], line: bool) -> None:
    assert of(**given).takes_line == line


@pytest.mark.parametrize(
    ("given", "example"),
    [
        ({"optical_in": "1", "coax_in": "1", "trunk_in": "1"}, "optical in 1/coax in 1"),
        ({"coax_in": "1", "trunk_in": "1", "trunk": "sixteen"}, "coax in 1/trunk in 1"),
        ({"optical_in": "2"}, ""),
        ({"word_in": "1", "word_out": "2"}, "word in 1/word out 1"),
        ({"optical_in": "1", "word_out": "2"}, ""),
        ({"word_in": "1"}, ""),
    ],
)
def test_an_example_of_sockets_that_may_share_something(
    given: dict[str, str], example: str
) -> None:
    assert of(**given).both == of(**given).facts()["both"] == example


def test_blocks_are_those_that_it_has() -> None:
    assert of().blocks == []
    assert of(mics="2").blocks == ["analogue"]
    assert of(coax_in="1", trunk_in="1").blocks == ["coax", "trunk"]
    assert of(mics="2", optical_in="1").facts()["blocks"] == "analogue;optical"


def test_a_clock_comes_in_where_there_is_an_input_and_the_trunk_has_one() -> None:
    assert of(optical_in="1", trunk_in="1", trunk="sixteen").locks == ["optical", "trunk"]
    assert of(coax_in="1", trunk_in="1", trunk="still").locks == ["coax"]
    assert of(trunk_in="1").locks == []
    assert of(word_in="1").facts()["locks"] == "word"
    assert of(trunk_in="1", word_in="1").facts()["converts"] == "trunk"


def test_a_trunk_goes_both_ways_where_its_format_does() -> None:
    assert [of(trunk=name).duplex for name in ("sixteen", "still", "other")] == [
        *(False, True, False)
    ]
    assert of().facts()["trunks"] == "sixteen (trunk of 16), still"


def test_rates_have_their_classes() -> None:
    assert of().classes == {1}
    assert of(rates_khz="48;96;192").classes == {1, 2, 4}


@pytest.mark.parametrize(
    ("given", "role", "digital", "direct", "mains"),
    [
        ({"connection": "usb"}, "host", True, "0", "1"),
        ({"connection": "usb", "alone": "yes"}, "either", True, "0", "1"),
        ({"connection": "no"}, "expander", True, "0", "1"),
        ({"part": "preamp", "mics": "8"}, "preamp", False, "8", "1"),
        ({"part": "di"}, "di", False, "0", "0"),
    ],
)
def test_its_role_and_what_hangs_on_that(
    given: dict[str, str], role: str, digital: bool, direct: str, mains: str
) -> None:
    box = of(**given)
    assert (box.role, box.digital) == (role, digital)
    assert (box.facts()["direct"], box.facts()["mains"]) == (direct, mains)


def test_the_larger_number_of_sockets_is_named() -> None:
    facts = of(optical_in="1", optical_out="3", coax_in="2", coax_out="1").facts()
    assert (facts["optical"], facts["coax"], facts["mics"]) == ("3", "2", "0")
    assert facts["plugs"] == "jack, xlr or dsub"
