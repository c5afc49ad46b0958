"""What has to be bought, as text: order by order, with the total at the end."""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue, Seller
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.bill import Basket, baskets
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.bill import NOTHING_TO_BUY, remarks
from rigopt.output.words.phrases import entry, plain, priced
from rigopt.rig.types import Order, Purchase, Rig


def bill_text(rig: Rig, catalogue: Catalogue, needs: Needs) -> str:
    """A table of quantity, item, unit price and line total for each basket."""
    found = baskets(rig, catalogue.currency)
    if not found:
        return NOTHING_TO_BUY
    if [basket.seller for basket in found] == [None]:
        return _table(found[0], [("Total", rig.total)])
    parts = [_basket(basket, catalogue, needs) for basket in found]
    return "\n\n".join([*parts, f"Total: {priced(rig.total, catalogue)}"])


def _basket(basket: Basket, catalogue: Catalogue, needs: Needs) -> str:
    order, currency = basket.order, basket.currency
    if order is None:
        title = f"Order at {basket.seller}" if basket.seller else "At plain prices"
        return "\n".join([paragraph(title), _table(basket, [("Together", basket.paid)])])
    below = [*_fees(order, catalogue.sellers[order.seller]), ("Order", basket.paid)]
    parts = [paragraph(f"Order at {order.seller}"), _table(basket, below)]
    if currency != catalogue.currency:
        rate = f"{plain(needs.exchange[currency])} {currency}"
        total = priced(order.total, catalogue)
        parts.append(f"At {rate} for 1 {catalogue.currency} this is {total}.")
    return "\n".join(parts)


def _fees(order: Order, seller: Seller) -> list[tuple[str, int]]:
    """What stands under the goods of an order, in minor units of the seller's currency."""
    rows = []
    if seller.delivery:
        limit = to_text(seller.free_over or 0, seller.currency)
        name = "Delivery" if order.delivery else f"Delivery, free from {limit}"
        rows.append((name, order.delivery))
    if seller.tax_percent:
        rows.append((f"Tax, {plain(seller.tax_percent)} %", order.tax))
    return rows


def _table(basket: Basket, below: list[tuple[str, int]]) -> str:
    headers = ["Qty", "Item", "Unit price", f"Total {basket.currency}"]
    rows = [_row(line, basket.currency) for line in basket.lines]
    sums = [["", name, "", to_text(minor, basket.currency)] for name, minor in below]
    return table(headers, [*rows, [], *sums], "Item", right=f"Qty|Unit price|{headers[-1]}")


def _row(line: Purchase, currency: str) -> list[str]:
    item = entry(line.item, line.label)
    if said := remarks(line):
        item += f" ({', '.join(said)})"
    return [
        str(line.quantity),
        item,
        to_text(line.unit_price, currency),
        to_text(line.total, currency),
    ]
