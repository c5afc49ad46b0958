"""Ten boxes: what somebody says of each, and its row as somebody wrote it by hand."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from rigopt.catalogue.interview import Interview
from rigopt.catalogue.read import read_folder
from rigopt.cli.main import run
from tests.reading.folders import write

FORMATS = (
    "id,label,cable,channels_1x,channels_2x,channels_4x,clock,duplex\n"
    "wide,Wide link,wide-cable,64,32,16,yes,no\n"
    "stage,Stage link,stage-cable,48,24,12,yes,yes\n"
)


class Box(NamedTuple):
    """`said`: answers by the key of their question; Enter alone to the others."""

    said: Mapping[str, str]
    by_hand: str


PLAIN = Box(
    {
        "id": "plain-8",
        "label": "Eight preamps, no digital sockets",
        "price": "£249",
        "connection": "USB",
        "mics": "8",
        "mic_line_inst": "2",
        "mic_line": "6",
        "phantom_bank": "all",
        "rates_khz": "44.1, 48, 88.2 and 96 kHz",
        "line_out": "8",
        "phones": "2",
        "rack_units": "1",
        "watts": "20 W",
    },
    "id,label,role,price,mic_line_inst,mic_line,phantom_bank,line_out,phones,rates_khz,"
    "computer,rack_units,watts\n"
    'plain-8,"Eight preamps, no digital sockets",host,249.00,2,6,8,8,2,44.1;48;88.2;96,'
    "usb,1,20\n",
)
DESK = Box(
    {
        "id": "desk-8",
        "price": "329,00",
        "connection": "usb",
        "mics": "8",
        "mic_line_inst": "2",
        "mic_line": "6",
        "phantom_bank": "4",
        "rates_khz": "44.1/48/88.2/96/176.4/192",
        "line_out": "8",
        "phones": "2",
        "optical_in": "1",
        "optical_out": "1",
        "optical_4x": "none",
        "coax_in": "1",
        "coax_out": "1",
        "coax_4x": "all",
        "word_out": "1",
        "clock_in": "optical and coax",
        "max_in_4x": "10",
        "rack_units": "1",
        "watts": "12.5",
        "note": "light-pipe off at 4x rates",
    },
    "id,role,price,mic_line_inst,mic_line,phantom_bank,line_out,phones,optical_in,optical_out,"
    "optical_2x,optical_4x,coax_in,coax_out,coax_4x,word_out,clock_in,rates_khz,max_in_4x,"
    "rack_units,watts,note\n"
    "desk-8,host,329.00,2,6,4,8,2,1,1,1,0,1,1,1,1,optical;coax,44.1;48;88.2;96;176.4;192,10,"
    "1,12.5,light-pipe off at 4x rates\n",
)
STAND_ALONE = Box(
    {
        "id": "stand-8",
        "connection": "thunderbolt",
        "alone": "yes",
        "mics": "8",
        "mic_line": "8",
        "phantom_bank": "4;2;2",
        "optical_in": "2",
        "optical_out": "2",
        "optical_1x": "1",
        "rates_khz": "48 96",
        "optical_2x": "2/1",
        "word_in": "1",
        "word_out": "1",
        "word_end": "none",
        "clock_in": "optical 1, word clock",
        "either": "word in 1/word out 1",
    },
    "id,role,mic_line,phantom_bank,optical_in,optical_out,optical_1x,optical_2x,rates_khz,"
    "word_in,word_out,word_end,clock_in,either,computer\n"
    "stand-8,either,8,4;2;2,2,2,1,2/1,48;96,1,1,none,optical 1;word,word in 1/word out 1,"
    "thunderbolt\n",
)
OUT_ONLY = Box(
    {
        "id": "pre-8-out",
        "price": "149.00 GBP",
        "connection": "no",
        "mics": "8",
        "mic_line": "8",
        "phantom_bank": "8",
        "optical_out": "1",
        "rack_units": "1",
        "watts": "15",
    },
    "id,role,price,mic_line,phantom_bank,optical_out,rack_units,watts\n"
    "pre-8-out,expander,149.00,8,8,1,1,15\n",
)
TWO_PIPES = Box(
    {
        "id": "pre-8-two",
        "connection": "no",
        "part": "audio",
        "mics": "8",
        "phantom_bank": "1",
        "rates_khz": "44,1;48;88,2;96",
        "optical_out": "2",
        "word_in": "1",
        "clock_in": "word",
    },
    "id,role,mic,phantom_bank,optical_out,optical_2x,word_in,clock_in,rates_khz\n"
    "pre-8-two,expander,8,1,2,2,1,word,44.1;48;88.2;96\n",
)
CONVERTER = Box(
    {
        "id": "adda-8",
        "connection": "no",
        "others": "8",
        "line": "8",
        "line_out": "8",
        "rates_khz": "44.1;48;96",
        "optical_in": "1",
        "optical_out": "1",
        "optical_2x": "0",
        "clock_in": "optical",
        "internal_clock": "no",
        "rate_converter": "optical",
    },
    "id,role,line,line_out,rates_khz,optical_in,optical_out,optical_2x,clock_in,internal_clock,"
    "rate_converter\n"
    "adda-8,expander,8,8,44.1;48;96,1,1,0,optical,no,optical\n",
)
STAGE_BOX = Box(
    {
        "id": "stage-16",
        "connection": "no",
        "mics": "16",
        "mic_line": "16",
        "phantom_bank": "1",
        "trunk": "stage",
        "trunk_in": "1",
        "clock_in": "trunk",
        "mains": "1",
    },
    "id,role,mic_line,phantom_bank,trunk,trunk_in,clock_in\nstage-16,expander,16,1,stage,1,trunk\n",
)
CARD = Box(
    {
        "id": "card-64",
        "connection": "pcie",
        "trunk": "wide",
        "trunk_in": "1",
        "trunk_out": "1",
        "word_in": "1",
        "word_end": "fixed",
        "clock_in": "trunk;word",
        "max_in_1x": "64",
        "input_order": "blank 2;trunk",
        "mains": "0",
    },
    "id,role,trunk,trunk_in,trunk_out,word_in,word_end,clock_in,computer,max_in_1x,input_order,"
    "mains\ncard-64,host,wide,1,1,1,fixed,word;trunk,pcie,64,blank 2;trunk,0\n",
)
OLD_DESK = Box(
    {
        "id": "old-10",
        "connection": "network",
        "mics": "4",
        "mic_line": "4",
        "others": "6",
        "line_inst": "2",
        "line": "3",
        "channel_order": "c a d b",
        "phantom_bank": "0",
        "rates_khz": "48;96;192",
        "analogue_2x": "8",
        "analogue_4x": "2",
        "optical_in": "1",
        "optical_1x": "0",
        "optical_stereo": "all",
        "coax_in": "2",
        "coax_2x": "1",
        "clock_in": "coax",
        "either": "coax in 1/optical in 1",
        "input_order": "optical;coax;analogue",
        "max_in_2x": "all",
    },
    "id,role,mic_line,line_inst,line,inst,channel_order,rates_khz,analogue_2x,analogue_4x,"
    "optical_in,optical_1x,optical_stereo,coax_in,coax_2x,clock_in,either,input_order,computer\n"
    "old-10,host,4,2,3,1,line;mic_line;inst;line_inst,48;96;192,8,2,1,0,1,2,1,coax,"
    "coax in 1/optical in 1,optical;coax;analogue,network\n",
)
CLOCK = Box(
    {
        "id": "clock-6",
        "connection": "no",
        "part": "clock",
        "rates_khz": "32, 44.1, 48, 96",
        "coax_out": "2",
        "word_in": "1",
        "word_out": "6",
        "clock_in": "none",
        "internal_clock": "yes",
    },
    "id,role,rates_khz,coax_out,word_in,word_out\nclock-6,clock,32;44.1;48;96,2,1,6\n",
)
PREAMP = Box(
    {
        "id": "analogue-8",
        "price": "99",
        "connection": "no",
        "part": "preamp",
        "mics": "8",
        "mic_line": "6",
        "phantom_bank": "all",
        "direct_out": "all",
        "direct_plug": "dsub",
        "rack_units": "1",
    },
    "id,role,price,mic_line,mic,phantom_bank,direct_out,direct_plug,rack_units\n"
    "analogue-8,preamp,99,6,2,8,8,dsub,1\n",
)
WITH_LINES = Box(
    {
        "id": "pre-4-lines",
        "connection": "no",
        "part": "audio",
        "mics": "4",
        "mic_line": "4",
        "phantom_bank": "4",
        "direct_out": "4",
        "line_plug": "xlr",
        "optical_out": "1",
    },
    "id,role,mic_line,phantom_bank,direct_out,line_plug,optical_out\n"
    "pre-4-lines,expander,4,4,4,xlr,1\n",
)
DI = Box(
    {
        "id": "di-2",
        "connection": "no",
        "part": "di",
        "instruments": "2",
        "di_phantom": "yes",
    },
    "id,role,inst,di_phantom,mains\ndi-2,di,2,yes,0\n",
)
AMPLIFIER = Box(
    {
        "id": "amp-4",
        "connection": "no",
        "part": "headphones",
        "phones": "4",
        "line_in": "1",
        "watts": "5",
    },
    "id,role,phones,line_in,watts\namp-4,headphones,4,1,5\n",
)
BOXES = (
    PLAIN,
    DESK,
    STAND_ALONE,
    OUT_ONLY,
    TWO_PIPES,
    CONVERTER,
    STAGE_BOX,
    CARD,
    OLD_DESK,
    CLOCK,
    PREAMP,
    WITH_LINES,
    DI,
    AMPLIFIER,
)


def shop(folder: Path, devices: str | bytes = "id,role,price\nbox,host,100\n") -> Path:
    """A catalogue with trunks, and these devices."""
    folder.mkdir(exist_ok=True)
    return write(folder, {"devices.csv": devices, "formats.csv": FORMATS})


def lines(folder: Path, said: Mapping[str, str]) -> list[str]:
    """What is typed, a line for each question, and a yes at the end."""
    interview, typed = Interview(read_folder(folder, empty=True)), []
    asked = set()
    while (question := interview.next()) is not None:
        asked.add(question.key)
        typed.append(said.get(question.key, ""))
        interview.answer(question, typed[-1])
    assert set(said) <= asked, "something is said that nobody asked"
    return [*typed, "yes"]


def piped(monkeypatch: object, text: str | bytes) -> None:
    """Give `text` to standard input, which is no terminal."""
    data = text if isinstance(text, bytes) else text.encode()
    stream = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8")
    monkeypatch.setattr("sys.stdin", stream)  # type: ignore[attr-defined]


def add(monkeypatch: object, folder: Path, text: str | bytes) -> int:
    """Run the command with these answers; its status."""
    piped(monkeypatch, text)
    return run(["add", "--catalog", str(folder)])


def last_row(folder: Path) -> dict[str, str]:
    """The cells of the last row of a UTF-8 file with commas that are not blank."""
    with (folder / "devices.csv").open(encoding="utf-8", newline="") as file:
        *_, row = csv.DictReader(file)
    return {name: cell for name, cell in row.items() if cell}
