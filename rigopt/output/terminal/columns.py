"""What the columns of a catalogue folder mean, as a page that lies in the folder."""

from __future__ import annotations

from typing import Final

from rigopt.catalogue.columns import COLUMNS, needed
from rigopt.output.terminal.head import title
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.phrases import listed

FILE: Final = "columns.txt"
"""Its name in the folder. Whoever reads the catalogue does not read it."""

_INTRODUCTION: Final = (
    "A blank cell takes what stands in brackets. Columns may stand in any order, and those "
    "that you do not need may be left out. devices.csv, cables.csv and catalog.toml have to be "
    "there; the other files may be added. More: rigopt about catalogue"
)


def columns_text() -> str:
    """Every column of every table; it ends with a line end."""
    parts = [f"{title('The columns of a catalogue')}\n{paragraph(_INTRODUCTION)}"]
    parts += [_table(name) for name in COLUMNS]
    return "\n\n".join(parts) + "\n"


def _table(name: str) -> str:
    lines = [f"{name}.csv", paragraph(f"{listed(needed(name))} must be filled in.")]
    lines += [paragraph(column.told, f"  {column.name:<16}") for column in COLUMNS[name]]
    return "\n".join(lines)
