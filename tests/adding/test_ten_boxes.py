"""A box described only by answers gives the row that somebody wrote by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.interview import Interview
from rigopt.catalogue.questions import QUESTIONS
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.rows import DeviceRow
from rigopt.files.values import BadValueError
from rigopt.output.words.device import sentence
from tests.adding.boxes import BOXES, OLD_DESK, Box, add, last_row, lines, shop


@pytest.mark.parametrize("box", BOXES, ids=lambda box: box.said["id"])
def test_the_row_is_the_one_by_hand(
    box: Box,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    by_hand = read_folder(shop(tmp_path / "by-hand", box.by_hand))
    asked = shop(tmp_path / "asked")
    assert add(monkeypatch, asked, "\n".join(lines(asked, box.said)) + "\n") == 0
    name = box.said["id"]
    device = read_folder(asked).devices[name]
    assert device == by_hand.devices[name]
    told = " ".join(capsys.readouterr().out.split())
    assert sentence(device) in told
    assert "devices.csv has it now." in told


@pytest.mark.parametrize("box", BOXES, ids=lambda box: box.said["id"])
def test_no_cell_says_what_a_blank_one_says(
    box: Box, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = shop(tmp_path / "shop")
    assert add(monkeypatch, folder, "\n".join(lines(folder, box.said))) == 0
    row = DeviceRow.model_validate(cells := last_row(folder), context={"currency": "GBP"})
    fields = DeviceRow.model_fields
    blank = [name for name in cells if getattr(row, name) == fields[name].get_default()]
    assert blank == []


def test_the_same_answers_make_the_same_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = []
    for name in ("one", "two"):
        folder = shop(tmp_path / name)
        assert add(monkeypatch, folder, "\n".join(lines(folder, OLD_DESK.said))) == 0
        files.append((folder / "devices.csv").read_bytes())
    assert files[0] == files[1]


@pytest.mark.parametrize("box", BOXES, ids=lambda box: box.said["id"])
def test_a_row_that_is_read_back_and_added_again_is_the_same(
    box: Box, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its cells, as they stand in the file, are answers that lead to them again."""
    folder = shop(tmp_path / "shop")
    assert add(monkeypatch, folder, "\n".join(lines(folder, box.said))) == 0
    cells = last_row(folder)
    again = shop(tmp_path / "again")
    said = {key: cells.get(key, typed) for key, typed in box.said.items()}
    # What Enter stands for, and the letters of an order, are no cells.
    said |= {key: box.said[key] for key in ("channel_order",) if key in box.said}
    said |= {"clock_in": cells.get("clock_in", "none")} if "clock_in" in said else {}
    assert add(monkeypatch, again, "\n".join(lines(again, said))) == 0
    assert last_row(again) == cells
    assert (again / "devices.csv").read_bytes() == (folder / "devices.csv").read_bytes()


def test_every_column_is_asked_for_or_follows() -> None:
    keys = [question.key for question in QUESTIONS]
    assert len(keys) == len(set(keys))
    follow = {"role", "computer", "mic", "inst"}
    own = {"connection", "alone", "part", "mics", "others", "instruments"}
    assert set(keys) - own | follow == set(DeviceRow.model_fields)


def test_the_boxes_are_asked_everything() -> None:
    """So no question is without a test of what it writes; Enter alone is one for the rest."""
    said = {key for box in BOXES for key in box.said}
    assert {question.key for question in QUESTIONS} - said == set()


COUNTED = ("mics", "others", "instruments", "phones")
"""Without these there is no box."""


@pytest.mark.parametrize("box", BOXES, ids=lambda box: box.said["id"])
def test_whatever_need_not_be_known_can_be_left_open(box: Box, tmp_path: Path) -> None:
    """A row comes of it, and each open question is told with what it would change."""
    interview, open_questions = Interview(read_folder(shop(tmp_path / "shop"))), []
    while (question := interview.next()) is not None:
        kept = question.key in ("id", "connection", "part", "rates_khz", *COUNTED)
        if question.unknown is None or kept or question.key.endswith(("_in", "_out", "trunk")):
            interview.answer(
                question, box.said.get(question.key, "") or (question.default or "none")
            )
            continue
        changes = interview.answer(question, "don’t know")
        assert changes.startswith("Taken as ")
        open_questions.append((question.text, changes))
    assert interview.device.id == box.said["id"]
    assert [text for text, _ in interview.open_facts] == [text for text, _ in open_questions]


def test_all_of_it_unknown_is_a_row_too(tmp_path: Path) -> None:
    interview = Interview(read_folder(shop(tmp_path / "shop")))
    question = interview.next()
    assert question is not None
    with pytest.raises(BadValueError, match="has to be known"):
        interview.answer(question, "?")
    while (question := interview.next()) is not None:
        interview.answer(
            question, "?" if question.unknown else "thing" * (question.key == "id")
        )
    assert interview.cells == {"id": "thing", "role": "expander"}


def test_the_templates_have_room_for_any_box(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every column of a template is filled by its name, wherever it stands."""
    folder = shop(
        tmp_path / "shop", (shipped.template("full-rack") / "devices.csv").read_bytes()
    )
    (folder / "formats.csv").write_bytes(
        (shipped.template("full-rack") / "formats.csv").read_bytes()
    )
    said = {"id": "new-1", "connection": "no", "mics": "1", "phantom_bank": "1"}
    said |= {"trunk": "aes50", "trunk_in": "1", "clock_in": "trunk"}
    before = (folder / "devices.csv").read_bytes()
    assert add(monkeypatch, folder, "\n".join(lines(folder, said))) == 0
    assert (folder / "devices.csv").read_bytes().startswith(before)
    assert read_folder(folder).devices["new-1"].trunk_in == 1
