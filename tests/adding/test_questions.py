"""Which questions are asked, and that whatever is answered can be written and read back."""

from __future__ import annotations

import random
from collections.abc import Mapping
from pathlib import Path

import pytest

from rigopt.catalogue.interview import COLUMNS, Interview
from rigopt.catalogue.questions import DECIMALS, Question
from rigopt.catalogue.read import read_folder
from rigopt.files.dialect import appended
from rigopt.files.values import BadValueError
from rigopt.output.terminal.added import asked_text, read_back
from tests.adding.boxes import shop
from tests.tiers import few


def asked(folder: Path, said: Mapping[str, str]) -> set[str]:
    """The keys of the questions about a box."""
    interview, keys = Interview(read_folder(folder)), set()
    while (question := interview.next()) is not None:
        keys.add(question.key)
        typed = said.get(question.key) or ("none" if question.default is None else "")
        interview.answer(question, typed)
    return keys


DIGITAL = {"rates_khz", "optical_in", "coax_out", "trunk", "word_in", "internal_clock"}
"""Some of what is asked of boxes that run at a rate."""

AT_2X = {"analogue_2x", "optical_2x", "coax_2x"}
AT_4X = {"analogue_4x", "optical_4x", "coax_4x"}


@pytest.mark.parametrize(
    ("said", "is_asked", "is_not"),
    [
        ({"connection": "usb"}, {"alone", "max_in_1x"}, {"part"}),
        ({"connection": "no"}, {"part"}, {"alone", "max_in_1x", "input_order"}),
        ({"part": "clock"}, {"word_out", "coax_in"}, {"mics", "others", "line_out", "trunk"}),
        (
            {"part": "preamp", "mics": "8", "mic_line": "8"},
            {"mic_line", "phantom_bank", "direct_out", "direct_plug", "mains"},
            {*DIGITAL, "others", "line_out", "line_plug", "phones", "line_in", "di_phantom"},
        ),
        (
            {"part": "di", "instruments": "2"},
            {"instruments", "di_phantom", "mains"},
            {*DIGITAL, "mics", "others", "phantom_bank", "line_out", "direct_out", "phones"},
        ),
        (
            {"part": "headphones", "phones": "4"},
            {"phones", "line_in", "mains"},
            {*DIGITAL, "mics", "others", "instruments", "line_out", "line_plug"},
        ),
        (
            {"connection": "usb", "mics": "8", "mic_line": "8"},
            {"line_plug"},
            {"direct_out", "line_in", "di_phantom", "instruments"},
        ),
        (
            {"connection": "usb", "alone": "yes", "mics": "8"},
            {"direct_out"},
            {"direct_plug", "line_plug"},
        ),
        ({"mics": "8", "direct_out": "4"}, {"direct_plug", "optical_out"}, {"line_plug"}),
        ({"others": "8", "line": "0"}, {"line_out"}, {"line_plug", "direct_out"}),
        ({"mics": "0"}, {"others"}, {"mic_line_inst", "mic_line", "phantom_bank"}),
        ({"mics": "1"}, {"mic_line_inst", "mic_line", "phantom_bank"}, {"line_inst"}),
        ({"others": "1", "line_inst": "0"}, {"line_inst", "line"}, {"mic_line"}),
        ({"mics": "8", "mic_line_inst": "8"}, {"phantom_bank"}, {"mic_line", "channel_order"}),
        ({"mics": "8", "mic_line": "6"}, {"channel_order"}, {"line"}),
        ({"others": "8", "line_inst": "8"}, set(), {"line", "phantom_bank"}),
        ({"optical_in": "0"}, set(), {"optical_1x", "optical_stereo", "clock_in", "either"}),
        ({"optical_out": "1"}, {"optical_1x"}, {"optical_2x", "optical_4x", "clock_in"}),
        ({"optical_in": "1", "rates_khz": "48;96"}, {"optical_2x"}, {"optical_4x", "coax_2x"}),
        (
            {"optical_in": "1", "rates_khz": "48;192", "optical_1x": "0"},
            {"optical_4x"},
            {"optical_2x"},
        ),
        (
            {"optical_in": "1", "rates_khz": "48;96", "optical_1x": "0"},
            {"optical_stereo", "rate_converter"},
            {"optical_2x", "trunk_in"},
        ),
        ({"coax_in": "1", "optical_in": "1"}, {"either", "clock_in"}, {"word_end"}),
        ({"word_in": "1"}, {"word_end", "clock_in"}, {"either", "rate_converter"}),
        ({"word_in": "1", "word_out": "1"}, {"either"}, set()),
        ({"rates_khz": "48;96;192"}, set(), {"max_in_1x", "max_in_2x", "max_in_4x"}),
        ({"connection": "usb", "rates_khz": "48;96"}, {"max_in_2x"}, {"max_in_4x"}),
        ({"connection": "usb", "rates_khz": "48;192"}, {"max_in_4x"}, {"max_in_2x"}),
        (
            {"mics": "2", "optical_in": "1", "coax_in": "1"},
            {"optical_1x"},
            {*AT_2X, *AT_4X},
        ),
        (
            {"mics": "2", "optical_in": "1", "coax_in": "1", "rates_khz": "48;96"},
            AT_2X,
            AT_4X,
        ),
        (
            {"mics": "2", "optical_in": "1", "coax_in": "1", "rates_khz": "48;192"},
            AT_4X,
            AT_2X,
        ),
        ({"trunk": "wide"}, {"trunk_in", "trunk_out"}, set()),
        ({"trunk": "stage"}, {"trunk_in"}, {"trunk_out"}),
    ],
)
def test_what_is_settled_is_not_asked(
    said: dict[str, str], is_asked: set[str], is_not: set[str], tmp_path: Path
) -> None:
    all_said = {"id": "new", "connection": "no", **said}
    keys = asked(shop(tmp_path / "shop"), all_said)
    assert is_asked <= keys
    assert is_not & keys == set()


def test_without_trunks_in_the_catalogue_none_is_asked_for(tmp_path: Path) -> None:
    folder = shop(tmp_path / "shop")
    (folder / "formats.csv").unlink()
    assert "trunk" not in asked(folder, {"id": "new", "connection": "no"})


def test_a_question_as_it_is_shown(tmp_path: Path) -> None:
    interview = Interview(read_folder(shop(tmp_path / "shop")))
    for typed in ("new", "", "", "no", "", "8"):
        question = interview.next()
        assert question is not None
        interview.answer(question, typed)
    question = interview.next()
    assert question is not None
    assert asked_text(question) == (
        "\nOf these 8, how many take line too, and an instrument (switch INST or Hi-Z)? [0]\n"
        "  Line sources and instruments need an input that takes them.\n> "
    )


def answers(question: Question, draw: random.Random) -> list[str]:
    """Things that somebody may answer, in any order, the safe ones last."""
    words = question.text.replace(":", ",").replace(" or ", ",").split(",")
    some = ["1", "2", "4", "8", "all", "?", "yes", "no", "none", "", "48;96", "44.1;192"]
    some += ["optical 1", "optical;coax", "coax in 1/optical in 1", "word", "4;2", "b a", "2/1"]
    some += [word.split(" (")[0].strip() for word in words]
    draw.shuffle(some)
    return [*some, f"box{draw.randrange(10)}", question.default or "none"]


@pytest.mark.parametrize("seed", few(range(200), 8))
def test_whatever_is_answered_is_read_back_as_it_was_said(seed: int, tmp_path: Path) -> None:
    draw = random.Random(seed)
    folder = shop(tmp_path / "shop", "id;role;price\nbox;host;10,5\n")
    catalogue = read_folder(folder)
    interview = Interview(catalogue)
    while (question := interview.next()) is not None:
        for typed in answers(question, draw):
            try:
                interview.answer(question, typed)
            except BadValueError:
                continue
            break
        else:
            pytest.fail(f"no answer to {question.text} was taken")
    file = folder / "devices.csv"
    done = appended(file.read_bytes(), interview.cells, COLUMNS, DECIMALS)
    file.write_bytes(done.data)
    after = read_folder(folder)
    assert after.devices == {**catalogue.devices, interview.device.id: interview.device}
    assert interview.device.id in read_back(interview.device, after, interview.open_facts)


@pytest.mark.parametrize(
    ("typed", "cell"),
    [
        ("48", "48"),
        ("44.1 kHz, 48 kHz", ""),
        ("44.1,48,96", "44.1;48;96"),
        ("44,1 48 96", "44.1;48;96"),
        ("44,1, 48, 96", "44.1;48;96"),
        ("44,1; 48; 96", "44.1;48;96"),
        ("44.1/48/88.2/96k", "44.1;48;88.2;96"),
        ("48 & 96 and 192", "48;96;192"),
        ("44100, 48000", ""),
        ("96;48", "48;96"),
    ],
)
def test_rates_as_people_write_them(typed: str, cell: str, tmp_path: Path) -> None:
    interview = Interview(read_folder(shop(tmp_path / "shop")))
    while (question := interview.next()) is not None and question.key != "rates_khz":
        otherwise = "no" if question.default is None else ""
        interview.answer(question, {"id": "new"}.get(question.key, otherwise))
    assert question is not None
    interview.answer(question, typed)
    assert interview.cells.get("rates_khz", "") == cell
