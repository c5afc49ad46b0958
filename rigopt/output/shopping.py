"""The shopping list as CSV for a spreadsheet: what to buy, where, for how much.

Lines end in CR LF and cells are quoted as RFC 4180 has it.
"""

from __future__ import annotations

import csv
import io
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.bill import fees, remarks
from rigopt.output.clean import clean
from rigopt.output.phrases import INVENTED
from rigopt.rig.types import Rig

COLUMNS: Final = (
    "item", "label", "kind", "seller", "quantity", "unit_price", "line_total",
    "currency", "note",
)  # fmt: skip

_FORMULA: Final = tuple("=+-@＝＋－＠")
"""A spreadsheet may run a cell that begins so; the wide forms count in some locales."""


def shopping_csv(rig: Rig, catalogue: Catalogue) -> str:
    """One row for each purchase, one for delivery and tax if any, and the total."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows([harmless(cell) for cell in row] for row in _rows(rig, catalogue))
    return out.getvalue()


def harmless(text: str) -> str:
    """`text` as a cell that no spreadsheet takes for a formula.

    Tabs and carriage returns, which can hide one, are gone after cleaning.
    """
    cell = clean(text)
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _rows(rig: Rig, catalogue: Catalogue) -> list[list[str]]:
    currency = catalogue.currency
    rows = [
        [
            line.item,
            line.label,
            line.kind,
            line.seller or "",
            str(line.quantity),
            to_text(line.unit_price, currency),
            to_text(line.total, currency),
            currency,
            ", ".join(remarks(line)),
        ]
        for line in rig.purchases
    ]
    if fees(rig):
        rows.append(_sum_row("delivery and tax", fees(rig), currency, ""))
    note = INVENTED if catalogue.invented else ""
    return [*rows, _sum_row("total", rig.total, currency, note)]


def _sum_row(name: str, minor: int, currency: str, note: str) -> list[str]:
    return [name, "", "", "", "", "", to_text(minor, currency), currency, note]
