"""The documents cut into fenced blocks, so that tests can run what they show."""

import csv
import re
import shlex
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner, Result
from openpyxl import load_workbook

from rigopt.cli.main import commands

ROOT = Path(__file__).resolve().parents[2]

_BLOCK = re.compile(r"(?:^<!-- ([^\n]*) -->\n)?^```(\w+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_REMARK = re.compile(r"^<!-- (fill in the prices of [\w.-]+) -->$", re.MULTILINE)


@dataclass(frozen=True)
class Step:
    """A fenced block with the remark right before it, or a remark alone (language '')."""

    language: str
    text: str
    remark: str = ""


def read(name: str) -> str:
    return (ROOT / name).read_text("utf-8")


def steps(name: str) -> list[Step]:
    """The blocks and remarks of a document in order."""
    text = read(name)
    found = {m.start(): Step(m[2], m[3], m[1] or "") for m in _BLOCK.finditer(text)}
    found |= {m.start(): Step("", "", m[1]) for m in _REMARK.finditer(text)}
    return [found[place] for place in sorted(found)]


def setup_lines(name: str) -> list[str]:
    """The commands that start with a fresh environment, one line each."""
    return [line for line in read(name).splitlines() if line.startswith("python3 -m venv")]


def fill_in(folder: Path) -> None:
    """Give every row of a catalogue a price: 100, 101 … for devices, 5, 6 … for cables."""
    if folder.suffix == ".xlsx":
        fill_in_sheets(folder)
        return
    for file, first in (("devices.csv", 100), ("cables.csv", 5)):
        with (folder / file).open(encoding="utf-8", newline="") as source:
            rows = list(csv.DictReader(source))
        with (folder / file).open("w", encoding="utf-8", newline="") as target:
            writer = csv.DictWriter(target, list(rows[0]))
            writer.writeheader()
            writer.writerows({**row, "price": str(first + i)} for i, row in enumerate(rows))


def fill_in_sheets(file: Path) -> None:
    """The same in a workbook."""
    book = load_workbook(file)
    for name, first in (("devices", 100), ("cables", 5)):
        head, *rows = book[name].iter_rows()
        (price,) = [place for place, cell in enumerate(head) if cell.value == "price"]
        for number, row in enumerate(row for row in rows if row[0].value):
            row[price].value = first + number
    book.save(file)


def run(line: str) -> Result:
    """Run a line that begins with `rigopt` in the working directory; it may end in `< FILE`."""
    line, _, file = line.partition(" < ")
    program, *arguments = shlex.split(line)
    assert program == "rigopt"
    typed = Path(file).read_bytes() if file else None
    return CliRunner().invoke(commands, arguments, input=typed, standalone_mode=False)
