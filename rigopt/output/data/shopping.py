"""The shopping list as CSV: what to buy, where, for how much."""

from __future__ import annotations

from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.data.csv import csv_text
from rigopt.output.facts.bill import baskets
from rigopt.output.words.bill import remarks, unit_price
from rigopt.output.words.phrases import INVENTED
from rigopt.rig.sales import proceeds
from rigopt.rig.types import Order, Purchase, Rig

COLUMNS: Final = (
    "item",
    "label",
    "kind",
    "seller",
    "quantity",
    "unit_price",
    "line_total",
    "currency",
    "note",
)


def shopping_csv(rig: Rig, catalogue: Catalogue) -> str:
    """One row for each purchase, four for the sums of each order, and the total."""
    return csv_text(COLUMNS, purchase_rows(rig, catalogue))


def purchase_rows(rig: Rig, catalogue: Catalogue) -> list[list[str]]:
    """The rows of a shopping list, its total last; what is to be sold is not on it."""
    rows = []
    for basket in baskets(rig, catalogue.currency):
        rows += [_line(line, basket.currency) for line in basket.lines]
        if basket.order is not None:
            rows += _order(basket.order, catalogue.currency)
    note = INVENTED if catalogue.invented else ""
    paid = rig.total + proceeds(rig.to_sell)
    return [*rows, _sum("total", "", paid, catalogue.currency, note)]


def _line(line: Purchase, currency: str) -> list[str]:
    return [
        line.item,
        line.label,
        line.kind,
        line.seller or "",
        str(line.quantity),
        unit_price(line, currency, "-"),
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
