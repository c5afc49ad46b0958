"""The shopping list as CSV for a spreadsheet: what to buy, where, for how much.

Lines end in CR LF and cells are quoted as RFC 4180 has it.
"""

from __future__ import annotations

import csv
import io
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.terminal.bill import baskets, remarks
from rigopt.output.words.clean import clean
from rigopt.output.words.phrases import INVENTED
from rigopt.rig.types import Order, Purchase, Rig

COLUMNS: Final = (
    "item", "label", "kind", "seller", "quantity", "unit_price", "line_total",
    "currency", "note",
)  # fmt: skip

_FORMULA: Final = tuple("=+-@＝＋－＠")
"""A spreadsheet may run a cell that begins so; the wide forms count in some locales."""


def shopping_csv(rig: Rig, catalogue: Catalogue) -> str:
    """One row for each purchase, four for the sums of each order, and the total."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows([harmless(cell) for cell in row] for row in purchase_rows(rig, catalogue))
    return out.getvalue()


def harmless(text: str) -> str:
    """`text` as a cell that no spreadsheet takes for a formula.

    Tabs and carriage returns, which can hide one, are gone after cleaning.
    """
    cell = clean(text)
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def purchase_rows(rig: Rig, catalogue: Catalogue) -> list[list[str]]:
    """The rows of a shopping list, its total last."""
    rows = []
    for basket in baskets(rig, catalogue):
        rows += [_line(line, basket.currency) for line in basket.lines]
        if basket.order is not None:
            rows += _order(basket.order, catalogue.currency)
    note = INVENTED if catalogue.invented else ""
    return [*rows, _sum("total", "", rig.total, catalogue.currency, note)]


def _line(line: Purchase, currency: str) -> list[str]:
    return [
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


def _order(order: Order, currency: str) -> list[list[str]]:
    """The sums of an order in the seller's currency, its total in the catalogue's."""
    sums = (("goods", order.goods), ("delivery", order.delivery), ("tax", order.tax))
    rows = [_sum(name, order.seller, minor, order.currency) for name, minor in sums]
    return [*rows, _sum("order total", order.seller, order.total, currency)]


def _sum(name: str, seller: str, minor: int, currency: str, note: str = "") -> list[str]:
    return [name, "", "", seller, "", "", to_text(minor, currency), currency, note]
