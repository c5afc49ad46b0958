"""The documents cut into fenced blocks, so that tests can run what they show."""

from __future__ import annotations

import contextlib
import csv
import io
import os
import re
import shlex
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner, Result
from openpyxl import load_workbook

import rigopt
from rigopt.cli.main import commands
from rigopt.output.terminal.about import FOLDER, TOPICS

ROOT = Path(__file__).resolve().parents[2]

PACKAGE = Path(rigopt.__file__).resolve().parent
"""Of the tree, or where it is installed from a wheel."""

REFERENCE = FOLDER
README = "README.md"
DOCUMENTS = (README, *(f"rigopt/reference/{topic}.md" for topic in TOPICS))
"""What users read; a document may use the files of those before it."""

WRITE = os.environ.get("RIGOPT_GOLDEN") == "write"
"""Whether what is shown is written anew, instead of compared."""

ABOVE = "output of the lines above"

_BLOCK = re.compile(r"(?:^<!-- ([^\n]*) -->\n)?^```(\w+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_REMARK = re.compile(r"^<!-- (fill in the prices of [\w.-]+) -->$", re.MULTILINE)

_PREPARED = re.compile(r"(?:file: |fill in the prices of )([^/]+).*")
"""A remark on a file or folder."""


@dataclass(frozen=True)
class Step:
    """A fenced block with the remark right before it, or a remark alone (language '')."""

    language: str
    text: str
    remark: str = ""

    @property
    def commands(self) -> list[str]:
        """The lines in it that are run."""
        lines = self.text.splitlines() if self.language == "sh" else []
        return [line for line in lines if line.startswith("rigopt ")]


def place(name: str) -> Path:
    """Where a file of the tree is; of the package, where that is."""
    return (PACKAGE.parent if name.startswith("rigopt/") else ROOT) / name


def read(name: str) -> str:
    return place(name).read_text("utf-8")


def steps(name: str) -> list[Step]:
    """The blocks and remarks of a document in order."""
    text = read(name)
    found = {m.start(): Step(m[2], m[3], m[1] or "") for m in _BLOCK.finditer(text)}
    found |= {m.start(): Step("", "", m[1]) for m in _REMARK.finditer(text)}
    return [found[place] for place in sorted(found)]


def section(name: str, title: str) -> str:
    """The text under a heading of the second level."""
    return re.split(r"^## ", read(name).split(f"\n## {title}\n")[1], flags=re.MULTILINE)[0]


def reference(topic: str) -> str:
    """The page on a topic."""
    return read(f"rigopt/reference/{topic}.md")


def first_column(table: str) -> list[str]:
    """Every `name` in the first cell of a table's rows, in order."""
    cells = re.findall(r"^\| ([^|]*`[^|]*) \|", table, re.MULTILINE)
    return [name for cell in cells for name in re.findall(r"`([^`]+)`", cell)]


def tables(text: str) -> list[str]:
    return re.findall(r"(?:^\|[^\n]*\n)+", text, re.MULTILINE)


def setup_lines(name: str) -> list[str]:
    """The commands that start with a fresh environment, one line each."""
    return [line for line in read(name).splitlines() if line.startswith("python3 -m venv")]


def prepare(step: Step) -> None:
    """Write the file that a step shows, or fill in the prices that it leaves to the reader."""
    if step.remark.startswith("fill in the prices of "):
        fill_in(Path(step.remark.split()[-1]))
    elif step.remark.startswith("file: "):
        target = Path(step.remark.removeprefix("file: "))
        target.parent.mkdir(exist_ok=True)
        target.write_text(step.text, "utf-8")


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


def set_the_scene(name: str) -> None:
    """Make in the working directory what a document takes from those before it."""
    text = read(name)
    for document in DOCUMENTS[: DOCUMENTS.index(name)]:
        for step in steps(document):
            for line in step.commands:
                if line.startswith("rigopt new ") and _named(line.split()[2], text):
                    answered(line)
            made = _PREPARED.fullmatch(step.remark)
            if made and _named(made[1], text):
                prepare(step)


def _named(file: str, text: str) -> bool:
    return re.search(rf"\b{re.escape(file)}(?![\w.-])", text) is not None


def answered(line: str) -> str:
    """What a command says that answers."""
    result = run(line)
    assert result.exception is None, (line, result.exception, result.output)
    assert not result.return_value, (line, result.output)
    return result.stdout


@dataclass
class Reader:
    """Does what a document says, step by step, in the working directory."""

    said: dict[str, str] = field(default_factory=dict)
    """What each command has printed the last time."""
    names: dict[str, object] = field(default_factory=lambda: {"__name__": "document"})
    printed: str = ""
    """By the last lines of Python."""

    def do(self, step: Step) -> str:
        """Do what a step says; what the block shows in truth, if it shows an output."""
        prepare(step)
        for line in step.commands:
            self.said[line] = answered(line)
        if step.language == "python":
            out = io.StringIO()
            with contextlib.redirect_stdout(out):
                exec(compile(step.text, "document", "exec"), self.names)
            self.printed = out.getvalue()
        if step.remark == ABOVE:
            return self.printed
        if step.remark.startswith("output of: "):
            line = step.remark.removeprefix("output of: ")
            return self.said[line] if line in self.said else run(line).stdout
        return step.text
