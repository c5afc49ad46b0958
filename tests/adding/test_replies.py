"""What is typed to a question, and the cell that it makes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue import replies
from rigopt.catalogue.replies import Reader
from rigopt.files.values import BadValueError
from tests.adding.test_answers import of

BOX = of(mics="8", mic_line="3", others="2", optical_in="1", coax_in="1")
"""With inputs of three kinds: some take line, some microphones alone, two an instrument."""


@pytest.mark.parametrize(
    ("read", "typed", "cell"),
    [
        (replies.text, "  a  b ", "a b"),
        (replies.count, "No", "0"),
        (replies.count, "none", "0"),
        (replies.count, "1000", "1000"),
        (replies.most("left_mics"), "5", "5"),
        (replies.most("left_mics"), "no", "0"),
        (replies.limit, "All", ""),
        (replies.limit, " 3 ", "3"),
        (replies.limit, "0", "0"),
        (replies.all_is("mics"), "ALL", "8"),
        (replies.all_is("mics"), "None", "0"),
        (replies.all_is("mics"), "no", "0"),
        (replies.all_is("mics"), " 2/1", "2/1"),
        (replies.order, "c, A;b", "inst;mic_line;mic"),
        (replies.order, "a b c", ""),
        (replies.blocks, "analogue; coax, optical", ""),
        (replies.blocks, "coax then analogue and optical", "coax;analogue;optical"),
        (replies.banks, "All", "8"),
        (replies.banks, "4, 4", "4;4"),
        (replies.price, "", ""),
        (replies.price, "1.234,50 £", "1234.50"),
        (replies.watts, "12.50 W", "12.5"),
        (replies.watts, "0.125", "0.1250"),
        (replies.watts, "100", "100"),
        (replies.watts, "100000", "100000"),
        (replies.several, "Optical, Word  clock", "optical;word"),
        (replies.several, "None", ""),
        (replies.several, "no", ""),
        (replies.one_of("host", "no"), "N", "no"),
        (replies.one_of("host", "no"), "none", "no"),
        (replies.one_of("host", "no"), "HOST", "host"),
        (replies.one_of("fixed", "none"), "None", "none"),
        (replies.rates, "44.1,48,96 kHz", "44.1;48;96"),
        (replies.rates, " 44,1 and 48k ", "44.1;48"),
        (replies.yes_no, "Y", "yes"),
        (replies.yes_no, "0", "no"),
        (replies.trunk, "STILL", "still"),
        (replies.trunk, "no", ""),
    ],
)
def test_a_cell(read: Reader, typed: str, cell: str) -> None:
    assert read(typed, BOX) == cell


@pytest.mark.parametrize(
    ("read", "typed", "problem"),
    [
        (replies.count, "1001", "must be a whole number from 0 to 1000"),
        (replies.most("left_mics"), "6", "is more than the 5 that are left"),
        (replies.order, "a b", "must be the letters a, b, c in some order"),
        (replies.order, "a b b", "must be the letters a, b, c in some order"),
        (replies.watts, "100000.5", "must be a number from 0 to 100000 with up to 6 decimals"),
        (replies.one_of("fixed", "none"), "n", "must be fixed or none"),
        (replies.yes_no, "both", "must be yes or no"),
        (replies.trunk, "wide", "must be sixteen, still or no"),
    ],
)
def test_what_is_no_answer(read: Reader, typed: str, problem: str) -> None:
    with pytest.raises(BadValueError) as caught:
        read(typed, BOX)
    assert str(caught.value) == problem


def test_three_decimals_get_a_fourth_that_says_which_mark_it_is() -> None:
    assert replies.price("9.255", replace(BOX, currency="KWD")) == "9.2550"
