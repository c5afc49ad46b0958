"""Money: orders and total are what the purchases come to, and no more than is allowed."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.invoice import Invoice, bill, invoices, without_rate
from rigopt.rig.audit.sold import proceeds
from rigopt.rig.types import Rig


def check_orders(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules exchange, order, sellers: each named seller has one order, and it adds up."""
    for seller in without_rate(rig.purchases, catalogue, needs):
        yield finding("exchange", seller=seller.id, code=seller.currency)
    right = invoices(rig.purchases, catalogue, needs)
    said = {
        order.seller: Invoice(
            order.currency, order.goods, order.delivery, order.tax, order.total
        )
        for order in rig.orders
    }
    for name in dict.fromkeys([*right, *said]):
        if right.get(name) != said.get(name):
            yield finding(
                "order", seller=name, said=_text(said.get(name)), right=_text(right.get(name))
            )
    if list(said) != sorted(said) or len(said) != len(rig.orders):
        yield finding("order", "unsorted")
    if needs.sellers is not None and len(right) > needs.sellers:
        yield finding("sellers", count=len(right), limit=needs.sellers)


def check_total(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules total, budget, avoid, owned-only; what is sold is taken off."""
    paid = bill(rig.purchases, catalogue, needs) - proceeds(rig)
    if paid != rig.total:
        yield finding("total", stated=rig.total, paid=paid)
    if needs.budget is not None and paid > needs.budget:
        yield finding("budget", paid=paid, budget=needs.budget, over=paid - needs.budget)
    for line in rig.purchases:
        if line.item in needs.avoid:
            yield finding("avoid", item=line.item)
    if needs.owned_only and rig.purchases:
        yield finding("owned-only", item=rig.purchases[0].item)


def _text(invoice: Invoice | None) -> str:
    if invoice is None:
        return "none"
    return (
        f"{invoice.goods} + {invoice.delivery} + {invoice.tax} minor units of "
        f"{invoice.currency}, together {invoice.total}"
    )
