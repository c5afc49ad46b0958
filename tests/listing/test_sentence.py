"""Every column of a device is heard in its sentence, and the sentence says what is meant."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from rigopt.catalogue.read import read_folder
from rigopt.catalogue.rows import DeviceRow
from rigopt.catalogue.types import Device
from rigopt.output.words import device as words
from rigopt.output.words.device import sentence
from tests.reading.folders import write

FORMATS = (
    "id,label,cable,channels_1x,channels_2x,channels_4x,duplex\n"
    "wide,Wide link,wide-cable,64,32,16,no\n"
    "both,Link both ways,both-cable,48,24,12,yes\n"
)


def device(folder: Path, cells: Mapping[str, str]) -> Device:
    """The device of a row with these cells."""
    row = {"id": "box", "role": "host", **cells}
    text = ",".join(row) + "\n" + ",".join(f'"{cell}"' for cell in row.values()) + "\n"
    write(folder, {"devices.csv": text, "formats.csv": FORMATS})
    return read_folder(folder).devices["box"]


def said(folder: Path, **cells: str) -> str:
    return sentence(device(folder, cells))


FULL = {
    "mic_line_inst": "2",
    "mic_line": "6",
    "line": "2",
    "phantom_bank": "4",
    "line_out": "4",
    "direct_out": "6",
    "phones": "1",
    "optical_in": "2",
    "optical_out": "2",
    "coax_in": "2",
    "coax_out": "2",
    "trunk": "wide",
    "trunk_in": "1",
    "trunk_out": "1",
    "word_in": "1",
    "word_out": "1",
    "clock_in": "optical;word",
    "rates_khz": "44.1;48;96;192",
    "rack_units": "1",
    "watts": "20",
}
"""A host that has everything, so that every column has something to change."""

CHANGED = {
    "role": "either",
    "mic_line_inst": "1",
    "mic_line": "5",
    "mic": "1",
    "line_inst": "1",
    "line": "3",
    "inst": "1",
    "phantom_bank": "8",
    "line_out": "5",
    "direct_out": "4",
    "direct_plug": "xlr",
    "line_plug": "dsub",
    "phones": "2",
    "optical_in": "3",
    "optical_out": "3",
    "optical_1x": "1",
    "optical_2x": "1",
    "optical_4x": "1",
    "optical_stereo": "1",
    "coax_in": "1",
    "coax_out": "1",
    "coax_2x": "1",
    "coax_4x": "1",
    "trunk_in": "2",
    "trunk_out": "2",
    "word_in": "2",
    "word_out": "2",
    "clock_in": "optical 1;word",
    "rate_converter": "optical",
    "either": "coax in 1/optical in 1",
    "word_end": "fixed",
    "internal_clock": "no",
    "rates_khz": "48;96;192",
    "computer": "network",
    "max_in_1x": "18",
    "max_in_2x": "18",
    "max_in_4x": "18",
    "input_order": "optical;analogue",
    "channel_order": "line;mic_line",
    "analogue_2x": "4",
    "analogue_4x": "4",
    "rack_units": "2",
    "watts": "20.5",
    "mains": "2",
    "note": "two",
}


@pytest.mark.parametrize("column", sorted(CHANGED))
def test_a_change_of_a_cell_is_heard(column: str, tmp_path: Path) -> None:
    before, after = tmp_path / "before", tmp_path / "after"
    before.mkdir()
    after.mkdir()
    assert said(before, **FULL) != said(after, **{**FULL, column: CHANGED[column]})


def test_another_trunk_is_heard(tmp_path: Path) -> None:
    cells = {**FULL, "trunk": "both", "trunk_out": ""}
    assert "48 channels by Link both ways at 48 kHz, 24 at 96, 12 at 192" in said(
        tmp_path, **cells
    )


OF_A_ROLE = {
    # What is heard of one role alone: that role, and another cell.
    "line_in": ("headphones", "4"),
    "di_phantom": ("di", "yes"),
}


@pytest.mark.parametrize("column", OF_A_ROLE)
def test_a_change_of_a_cell_of_one_role_is_heard(column: str, tmp_path: Path) -> None:
    role, cell = OF_A_ROLE[column]
    before, after = tmp_path / "before", tmp_path / "after"
    before.mkdir()
    after.mkdir()
    assert said(before, role=role) != said(after, role=role, **{column: cell})


def test_no_column_is_forgotten() -> None:
    heard = {*CHANGED, *OF_A_ROLE}
    assert heard | {"id", "label", "price", "trunk"} == set(DeviceRow.model_fields)


def test_an_expander_in_full(tmp_path: Path) -> None:
    """8/m channels a light-pipe (lib_xua feat_adat_tx.rst): 8 at 48 kHz, 4 at 96."""
    cells = {"role": "expander", "mic": "8", "phantom_bank": "8", "optical_out": "1"}
    assert said(tmp_path, **cells, rates_khz="48;96") == (
        "expander; 8 preamps (all for that alone); one 48 V switch for all; sends 8 channels "
        "by light-pipe at 48 kHz, 4 at 96; cannot follow another clock; runs at 48 and "
        "96 kHz; not for a rack; 1 mains plug"
    )


def test_a_host_in_full(tmp_path: Path) -> None:
    assert said(tmp_path, **FULL) == (
        "USB interface; 8 preamps (2 also for line or instrument, 6 also for line); "
        "2 line inputs; 48 V in banks of 4; 4 line outputs; 1 headphone output; "
        "6 direct outputs on jack; "
        "receives and sends 16 channels by light-pipe over 2 sockets at 48 kHz, 8 at 96, "
        "none at 192; receives and sends 4 channels by coax over 2 sockets at 48 kHz, 4 at "
        "96, none at 192; receives and sends 64 channels by Wide link at 48 kHz, 32 at 96, "
        "16 at 192; 1 word clock input with a 75-ohm end that can be switched off; 1 word "
        "clock output; can lock to optical or word clock; runs at 44.1, 48, 96 and 192 kHz; "
        "1 U of rack; 20 W; 1 mains plug"
    )


@pytest.mark.parametrize(
    ("cells", "wanted"),
    [
        ({"mic": "8", "phantom_bank": "1"}, "a 48 V switch for each"),
        ({"mic": "8"}, "no 48 V"),
        ({"mic": "8", "phantom_bank": "4;2"}, "banks of 4 and 2, none on the last 2"),
        ({"line_inst": "1"}, "; 1 input for line or instrument; "),
        ({"line_inst": "2"}, "; 2 inputs for line or instrument; "),
        ({"inst": "2"}, "; 2 instrument inputs; "),
        ({}, "; no analogue inputs; "),
        ({"mic": "2", "analogue_2x": "0", "rates_khz": "48;96"}, "none of its analogue inputs"),
        ({"optical_in": "1", "optical_stereo": "1"}, "receives 2 channels by optical stereo"),
        ({"optical_in": "2", "optical_1x": "1"}, "1 optical input without use"),
        ({"optical_out": "1", "rates_khz": "44.1"}, "8 channels by light-pipe at 44.1 kHz"),
        (
            {"optical_in": "2", "optical_1x": "1", "rates_khz": "48;96"},
            "8 channels by light-pipe over up to 2 sockets at 48 kHz, 8 at 96",
        ),
        (
            {"optical_in": "1", "input_order": "blank 2;optical;blank 2/1/0"},
            "numbered at the computer: 2 blank, optical, 2/1/0 blank",
        ),
        ({"max_in_1x": "18", "max_in_2x": "10"}, "sees at most 18 at 48 kHz;"),
        ({"role": "clock", "word_out": "4"}, "for clock alone; 4 word clock outputs"),
        (
            {"role": "clock", "coax_out": "2", "rates_khz": "48;96"},
            "sends clock by coax over 2 sockets at 48 and 96 kHz",
        ),
        (
            {"role": "preamp", "mic": "2", "phantom_bank": "1", "direct_out": "2"},
            "analogue preamp; 2 preamps (all for that alone); a 48 V switch for each; 2 direct "
            "outputs on jack; not for a rack; 1 mains plug",
        ),
        (
            {"role": "di", "inst": "2", "mains": "0"},
            "DI box; 2 instrument inputs; needs no 48 V from the microphone input that it goes "
            "into; not for a rack; no mains plug",
        ),
        ({"role": "di", "inst": "1", "di_phantom": "yes"}, "; needs 48 V from the microphone"),
        (
            {"role": "headphones", "phones": "4", "line_in": "1"},
            "headphone amplifier; 4 headphone outputs; fed by 1 line output; not for a rack",
        ),
        ({"line": "8", "line_plug": "dsub"}, "; line inputs on dsub; "),
        ({"computer": "pcie"}, "card in the computer"),
        ({"mains": "0"}, "no mains plug"),
    ],
)
def test_what_is_said(cells: dict[str, str], wanted: str, tmp_path: Path) -> None:
    assert wanted in said(tmp_path, **cells)


def test_what_is_not_said(tmp_path: Path) -> None:
    """Of banks that take every input, and of inputs that are all there at 96 kHz."""
    banks = said(tmp_path, mic="8", phantom_bank="6;2")
    assert "; 48 V in banks of 6 and 2; " in banks
    assert "none on" not in banks
    rates = {"mic": "8", "rates_khz": "48;96"}
    assert "of its analogue inputs" not in said(tmp_path, **rates, analogue_2x="8")
    assert "; 7 of its analogue inputs at 96 kHz; " in said(tmp_path, **rates, analogue_2x="7")


def test_an_expander_sends_no_more_than_it_has_at_the_rate(tmp_path: Path) -> None:
    cells = {"role": "expander", "mic": "16", "optical_out": "2", "rates_khz": "48;96"}
    assert "sends 16 channels" in said(tmp_path, **cells)
    assert "at 48 kHz, 8 at 96" in said(tmp_path, **cells)
    assert "at 48 kHz, 3 at 96" in said(tmp_path, **cells, analogue_2x="3")


def test_what_the_computer_sees_is_said_of_hosts_alone() -> None:
    box = Device("box", "", "expander", mic_line=8, max_in_1x=8)
    assert [*words._visible(box)] == []
    host = Device("box", "", "host", mic_line=8, max_in_1x=8)
    assert [*words._visible(host)] == ["the computer sees at most 8 at 48 kHz"]
