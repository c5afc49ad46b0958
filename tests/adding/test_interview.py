"""Questions one after another: what is refused, taken back, left open, and what the row is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue.interview import Interview
from rigopt.catalogue.questions import Question
from rigopt.catalogue.types import Device
from rigopt.facts import FORMATS, Format
from rigopt.files.values import BadValueError
from tests.reading.folders import SMALL

WIDE = Format("wide", "trunk", "Wide link", "fibre", (64, 32, 16))
WITH_TRUNK = replace(SMALL, formats={**FORMATS, "wide": WIDE})


def until(interview: Interview, key: str, **said: str) -> Question:
    """The question of that key, those before it answered."""
    while (question := interview.next()) is not None and question.key != key:
        otherwise = "none" if question.default is None else ""
        interview.answer(question, said.get(question.key, otherwise))
    assert question is not None
    return question


def refused(interview: Interview, typed: str) -> tuple[str, str | None]:
    question = interview.next()
    assert question is not None
    with pytest.raises(BadValueError) as caught:
        interview.answer(question, typed)
    assert interview.next() == question
    return str(caught.value), caught.value.piece


def test_the_first_question_has_to_be_answered() -> None:
    fresh = Interview(SMALL)
    assert refused(fresh, " < ") == ("is the first question; nothing stands before it", None)
    assert refused(fresh, "?") == ("has to be known", None)
    assert refused(fresh, "  ") == ("needs an answer", None)
    taken = "is taken already in this catalogue; choose another"
    assert [refused(fresh, name)[0] for name in ("desk-8", "opt-1.5m", "lead")] == [taken] * 3
    assert refused(fresh, "a b")[0].startswith("must be 1 to 64 letters")
    assert fresh.cells == {"role": "expander"}


def test_what_is_not_known_is_open_until_it_is_taken_back() -> None:
    talk = Interview(SMALL)
    label = until(talk, "label", id="new")
    assert talk.answer(label, "Don\N{RIGHT SINGLE QUOTATION MARK}t  know") == (
        "Taken as the short name."
    )
    assert talk.open_facts == [("What should be printed for it", "Taken as the short name.")]
    price = talk.next()
    assert price is not None
    assert price.key == "price"
    assert (price.text, price.default) == ("What does it cost, in GBP", "")
    assert talk.answer(price, "<") == ""
    assert talk.open_facts == []
    assert talk.answer(until(talk, "label"), "A box") == ""
    assert talk.cells == {"id": "new", "label": "A box", "role": "expander"}
    assert talk.answer(until(talk, "price"), "<") == ""
    assert talk.answer(until(talk, "label"), "") == ""
    assert talk.cells == {"id": "new", "role": "expander"}


def test_a_number_that_breaks_a_rule_is_refused_with_it() -> None:
    talk = Interview(SMALL)
    until(talk, "optical_1x", id="new", connection="usb", mics="4", optical_in="1")
    assert refused(talk, "2") == ("is more than the 1 optical sockets each way", "2")
    until(talk, "optical_stereo")
    assert refused(talk, "x")[0] == "is not a number"


@pytest.mark.parametrize(
    ("connection", "computer"), [("usb", None), ("pcie", "pcie"), ("no", None)]
)
def test_the_usual_connection_leaves_its_cell_blank(
    connection: str, computer: str | None
) -> None:
    talk = Interview(SMALL)
    until(talk, "mics", id="new", connection=connection)
    assert talk.cells.get("computer") == computer
    assert talk.cells["role"] == ("expander" if connection == "no" else "host")


def test_cells_that_say_what_a_blank_one_says_are_blank() -> None:
    said = {"id": "new", "connection": "usb", "mics": "8", "mic_line": "6", "others": "3"}
    talk = Interview(WITH_TRUNK)
    trunk = until(talk, "trunk", **said, line="1", line_plug="jack", phantom_bank="4")
    assert "wide (Wide link) or no" in trunk.text
    assert talk.cells == {
        **{"id": "new", "role": "host", "mic_line": "6", "mic": "2", "line": "1"},
        **{"inst": "2", "phantom_bank": "4"},
    }
    until(talk, "note", trunk="wide", trunk_in="1", word_end="switch", mains="1")
    note = until(talk, "note")
    talk.answer(note, "by the door")
    assert talk.next() is None
    device = Device("new", "new", "host", mic_line=6, mic=2, line=1, inst=2, phantom_bank=4)
    assert talk.device == replace(device, trunk=WIDE, trunk_in=1, note="by the door")
