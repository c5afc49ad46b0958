"""What has to be bought, as text: order by order, with the total at the end."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from rigopt.catalogue.types import Catalogue, Seller
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import priced
from rigopt.rig.counts import ItemCounts, item_counts
from rigopt.rig.types import Order, Purchase, Rig


class Basket(NamedTuple):
    """What is bought in one place: an order at a named seller, or all at plain prices."""

    seller: str | None
    lines: tuple[Purchase, ...]
    currency: str
    order: Order | None


def baskets(rig: Rig, catalogue: Catalogue) -> tuple[Basket, ...]:
    """What is bought at plain prices, if anything, then the orders."""
    orders = {order.seller: order for order in rig.orders}
    found = []
    for seller in sorted({line.seller for line in rig.purchases}, key=lambda name: name or ""):
        lines = tuple(line for line in rig.purchases if line.seller == seller)
        order = orders.get(seller or "")
        currency = order.currency if order else catalogue.currency
        found.append(Basket(seller, lines, currency, order))
    return tuple(found)


def bill_text(rig: Rig, catalogue: Catalogue, needs: Needs) -> str:
    """A table of quantity, item, unit price and line total for each basket."""
    found = baskets(rig, catalogue)
    if not found:
        return "Nothing: everything in this rig is owned."
    if [basket.seller for basket in found] == [None]:
        total = [["", "Total", "", to_text(rig.total, catalogue.currency)]]
        return _table(found[0], total)
    parts = [_basket(basket, catalogue, needs) for basket in found]
    return "\n\n".join([*parts, f"Total: {priced(rig.total, catalogue)}"])


def order_rows(order: Order, seller: Seller) -> list[tuple[str, int]]:
    """What stands under the goods of an order, in minor units of the seller's currency."""
    rows = []
    if seller.delivery:
        limit = to_text(seller.free_over or 0, seller.currency)
        name = "Delivery" if order.delivery else f"Delivery, free from {limit}"
        rows.append((name, order.delivery))
    if seller.tax_percent:
        rows.append((f"Tax, {seller.tax_percent.normalize():f} %", order.tax))
    return rows


def owned_lines(rig: Rig, catalogue: Catalogue, needs: Needs) -> list[str]:
    """What is there and used, there and not used, left over, and still to be found."""
    counted = item_counts(rig, catalogue, needs)
    said: tuple[tuple[str, Callable[[ItemCounts], int]], ...] = (
        ("Owned and in use", lambda one: one.from_owned),
        ("Owned and not needed", lambda one: one.unused),
        ("Bought only to get free delivery", lambda one: _beyond(one, rig)),
        ("Left over from packs", lambda one: one.left_over - _beyond(one, rig)),
        ("Also needed, and not for sale here", lambda one: one.missing),
    )
    lines = []
    for name, number in said:
        parts = [f"{number(one)} of {one.label}" for one in counted if number(one)]
        if parts:
            lines.append(paragraph(f"{name}: {'; '.join(parts)}."))
    return lines


def _beyond(one: ItemCounts, rig: Rig) -> int:
    """Pieces in whole packs beyond need: these are bought for what they save elsewhere."""
    pieces = 0
    lines = [line for line in rig.purchases if line.item == one.item]
    for line in sorted(lines, key=lambda line: -line.pack):
        pieces += min(line.quantity, (one.left_over - pieces) // line.pack) * line.pack
    return pieces


def remarks(line: Purchase) -> list[str]:
    """What a buyer must know beyond the label."""
    pack = [f"pack of {line.pack}"] if line.pack > 1 else []
    note = [line.note] if line.note else []
    return [*pack, *note, *([f"price of {line.as_of}"] if line.as_of else [])]


def _basket(basket: Basket, catalogue: Catalogue, needs: Needs) -> str:
    order, currency = basket.order, basket.currency
    if order is None:
        title = f"Order at {basket.seller}" if basket.seller else "At plain prices"
        below = [("Together", sum(line.total for line in basket.lines))]
    else:
        title = f"Order at {order.seller}"
        below = order_rows(order, catalogue.sellers[order.seller])
        below.append(("Order", order.goods + order.delivery + order.tax))
    rows = [["", name, "", to_text(minor, currency)] for name, minor in below]
    parts = [paragraph(title), _table(basket, rows)]
    if order is not None and currency != catalogue.currency:
        rate = f"{needs.exchange[currency].normalize():f} {currency}"
        total = priced(order.total, catalogue)
        parts.append(f"At {rate} for 1 {catalogue.currency} this is {total}.")
    return "\n".join(parts)


def _table(basket: Basket, below: list[list[str]]) -> str:
    headers = ["Qty", "Item", "Unit price", f"Total {basket.currency}"]
    rows = [_row(line, basket.currency) for line in basket.lines]
    return table(headers, [*rows, [], *below], "Item", right=f"Qty|Unit price|{headers[-1]}")


def _row(line: Purchase, currency: str) -> list[str]:
    item = line.label or line.item
    if said := remarks(line):
        item += f" ({', '.join(said)})"
    return [
        str(line.quantity),
        item,
        to_text(line.unit_price, currency),
        to_text(line.total, currency),
    ]
