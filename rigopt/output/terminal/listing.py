"""A catalogue read back as text: a block for each row, what is doubtful under it."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.output.terminal.head import notes, title
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.phrases import count
from rigopt.output.words.rows import Row, rows

HEADS = {
    "device": "DEVICES",
    "cable": "CABLES",
    "extra": "EXTRAS",
    "format": "LINKS OF MANY CHANNELS",
    "seller": "SELLERS",
    "offer": "OFFERS",
}
PRICED = ("device", "cable", "extra", "offer")


def list_text(catalogue: Catalogue) -> str:
    """Every row, kind by kind; it ends with a line end."""
    found = rows(catalogue)
    parts = ["\n".join([title(catalogue.title), summary(found), *notes(catalogue)])]
    for kind, head in HEADS.items():
        blocks = [block(row) for row in found if row.kind == kind]
        parts += [f"{head}\n{blocks[0]}", *blocks[1:]] if blocks else []
    return "\n\n".join(parts) + "\n"


def summary(found: list[Row]) -> str:
    """How many rows there are, and how many to look at again."""
    doubtful = sum(bool(row.doubts) for row in found)
    again = f"{doubtful} to look at again, marked ?" if doubtful else "none is doubtful"
    return f"{count(len(found), 'row')}; {again}."


def block(row: Row) -> str:
    """Id, price and label on the first line, then the sentence and the doubts."""
    return "\n".join(_lines(row))


def _lines(row: Row) -> Iterator[str]:
    price = f"{row.price} {row.currency}" if row.price else "not for sale"
    name = f"{row.id}, {price}" if row.kind in PRICED else row.id
    label = f": {row.label}" if row.label not in ("", row.id) else ""
    yield paragraph(name + label, "", "    ")
    yield paragraph(f"{row.says}.", "    ")
    for doubt in row.doubts:
        yield paragraph(f"{doubt.column}: {doubt.says}", "  ? ")
