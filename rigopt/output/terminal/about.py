"""The pages of the reference, and one of them as text for a terminal.

A page is Markdown, of which it uses a part: headings, paragraphs, lists, tables, fenced
blocks, remarks to the tests, and a few marks within a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rigopt.output.terminal.head import title
from rigopt.output.terminal.layout import paragraph, table

FOLDER: Final = Path(__file__).resolve().parents[2] / "reference"

TOPICS: Final = (
    # In the order in which they are best read; a page may use files of those before it.
    "commands",
    "answer",
    "needs",
    "words",
    "sources",
    "catalogue",
    "adding",
    "workbook",
    "buying",
    "prices",
    "choosing",
    "growing",
    "wired",
    "rules",
    "scope",
    "glossary",
    "json",
    "python",
    "history",
)

_FENCE: Final = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_REMARK: Final = re.compile(r"^<!-- .*? -->\n?", re.MULTILINE)
_CELLS: Final = re.compile(r"(?<!\\)\|")
_CODE: Final = re.compile(r"`([^`]*)`")
_NAME: Final = re.compile(r"(?<!\[)`([A-Za-z_]+)`(?!\])")
_LINK: Final = re.compile(r"\[([^]]*)\]\((\w+)\.md[^)]*\)")
_STRESS: Final = re.compile(r"\*{1,2}([^*]+)\*{1,2}")


def page(topic: str) -> str:
    """The page on a topic as it stands in its file."""
    return (FOLDER / f"{topic}.md").read_text("utf-8")


def contents() -> str:
    """Every topic with the title of its page."""
    titles = [(topic, page(topic).partition("\n")[0].removeprefix("# ")) for topic in TOPICS]
    return table(("Topic", "Page"), titles, soft="Page") + "\n"


def as_text(markdown: str) -> str:
    """A page for a terminal of 80 columns; it ends with a line end.

    What is printed by the program stands as it is printed, and so does what is to be typed,
    further in.
    """
    blocks: list[str] = []
    prose, *fenced = _FENCE.split(markdown)
    blocks += _prose(prose)
    while fenced:
        language, shown, prose, *fenced = fenced
        inset = "" if language == "text" else "    "
        blocks.append("\n".join((inset + line).rstrip() for line in shown.splitlines()))
        blocks += _prose(prose)
    return "\n\n".join(blocks) + "\n"


def _prose(markdown: str) -> Iterator[str]:
    """The blocks of a part without fences."""
    for block in re.split(r"\n{2,}", _REMARK.sub("", markdown).strip()):
        if block.startswith("# "):
            yield title(_plain(block.removeprefix("# ")))
        elif block.startswith("#"):
            yield _plain(block.lstrip("# ")).upper()
        elif block.startswith("|"):
            yield _entries(block)
        elif block.startswith("- "):
            items = re.split(r"^- ", block, flags=re.MULTILINE)[1:]
            yield "\n".join(paragraph(_said(item), "- ") for item in items)
        elif block:
            yield paragraph(_said(block))


def _entries(block: str) -> str:
    """A table as entries: its first cells, and under each what is said of it."""
    heads, _, *rows = (_CELLS.split(line.strip("|")) for line in block.splitlines())
    entries = []
    for name, *cells in rows:
        named = zip(heads[1:], cells, strict=True)
        said = [f"{head.strip()}: {cell.strip()}" for head, cell in named]
        text = "; ".join(said if len(said) > 1 else cells)
        entries.append(f"{paragraph(_plain(name))}\n{paragraph(_plain(text), '    ')}")
    return "\n".join(entries)


def _said(text: str) -> str:
    """The words of a sentence; a name that could be taken for one of them is quoted."""
    return _plain(_NAME.sub(r"'\1'", text))


def _plain(text: str) -> str:
    """The words of a piece of Markdown, on one line."""
    joined = " ".join(text.split()).replace("\\|", "|")
    linked = _LINK.sub(_linked, joined)
    # What is code holds no marks; every other part does not lie between backticks.
    parts = _CODE.split(linked)
    parts[::2] = [_STRESS.sub(r"\1", part) for part in parts[::2]]
    return "".join(parts)


def _linked(link: re.Match[str]) -> str:
    """A link: its words, and how the page is read where they do not name it."""
    words, topic = link[1], link[2]
    return words if words.strip("`") == topic else f"{words} (rigopt about {topic})"
