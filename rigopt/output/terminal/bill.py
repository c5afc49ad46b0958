"""What has to be bought, as text: order by order, with the total at the end."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.catalogue.types import Catalogue, Seller
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.bill import Basket, baskets
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.bill import NOTHING_TO_BUY, line_total, remarks, unit_price
from rigopt.output.words.phrases import between, entry, plain, priced
from rigopt.rig.sales import proceeds
from rigopt.rig.types import Order, Purchase, Rig, Sale


def bill_text(rig: Rig, catalogue: Catalogue, needs: Needs) -> str:
    """A table of quantity, item, unit price and line total for each basket."""
    found = baskets(rig, catalogue.currency)
    if not found:
        return NOTHING_TO_BUY
    name, sold = ("To pay" if rig.to_sell else "Total"), proceeds(rig.to_sell)
    if not all(line.known for line in rig.purchases):
        name += " of what is known"
    paid = (rig.total_from + sold, rig.total + sold)
    first, *others = found
    if first.seller is None and not others:
        return _table(first.lines, catalogue.currency, [(name, *paid)])
    parts = [_basket(basket, catalogue, needs) for basket in found]
    currency = catalogue.currency
    return "\n\n".join([*parts, f"{name}: {between(*paid, currency)} {currency}"])


def sales_text(rig: Rig, currency: str) -> str:
    """A table of what is to be sold, with what is left to pay; nothing if nothing is."""
    if not rig.to_sell:
        return ""
    sold = proceeds(rig.to_sell)
    below = [("Sold", sold, sold), ("Total to pay", rig.total_from, rig.total)]
    return _table(rig.to_sell, currency, below)


def _basket(basket: Basket, catalogue: Catalogue, needs: Needs) -> str:
    order, currency = basket.order, basket.currency
    if order is None:
        title = f"Order at {basket.seller}" if basket.seller else "At plain prices"
        return "\n".join(
            [
                paragraph(title),
                _table(basket.lines, currency, [("Together", basket.paid_from, basket.paid)]),
            ]
        )
    sums = [*_fees(order, catalogue.sellers[order.seller]), ("Order", basket.paid)]
    below = [(name, minor, minor) for name, minor in sums]
    parts = [paragraph(f"Order at {order.seller}"), _table(basket.lines, currency, below)]
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


def _table(
    lines: Sequence[Purchase | Sale], currency: str, below: list[tuple[str, int, int]]
) -> str:
    headers = ["Qty", "Item", "Unit price", f"Total {currency}"]
    rows = [_row(line, currency) for line in lines]
    sums = [["", name, "", between(least, most, currency)] for name, least, most in below]
    return table(headers, [*rows, [], *sums], "Item", right=f"Qty|Unit price|{headers[-1]}")


def _row(line: Purchase | Sale, currency: str) -> list[str]:
    item = entry(line.item, line.label)
    if isinstance(line, Purchase) and (said := remarks(line)):
        item += f" ({', '.join(said)})"
    return [
        str(line.quantity),
        item,
        unit_price(line, currency),
        line_total(line, currency),
    ]
