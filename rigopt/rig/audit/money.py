"""Money: orders and total are what the purchases come to, and no more than is allowed."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.invoice import Invoice, bill, invoices, without_rate
from rigopt.rig.types import Rig


def check_orders(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules exchange, order, sellers: each named seller has one order, and it adds up."""
    for seller in without_rate(rig.purchases, catalogue, needs):
        yield finding(
            "exchange", "{seller} sells in {code}, and no rate is given for it",
            "give the rate", seller=seller.id, code=seller.currency,
        )  # fmt: skip
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
                "order", "the order at {seller} is stated as {said}; it is {right}",
                "state {right}", seller=name, said=_text(said.get(name)),
                right=_text(right.get(name)),
            )  # fmt: skip
    if list(said) != sorted(said) or len(said) != len(rig.orders):
        yield finding(
            "order", "the orders are not one for each seller, by name", "put them in order"
        )
    if needs.sellers is not None and len(right) > needs.sellers:
        yield finding(
            "sellers", "{count} sellers are ordered from; at most {limit} are allowed",
            "order from fewer, or allow {count}", count=len(right), limit=needs.sellers,
        )  # fmt: skip


def check_total(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules total, budget, avoid, owned-only."""
    paid = bill(rig.purchases, catalogue, needs)
    if paid != rig.total:
        yield finding(
            "total", "the total is {stated} minor units; the purchases come to {paid}",
            "state {paid}", stated=rig.total, paid=paid,
        )  # fmt: skip
    if needs.budget is not None and paid > needs.budget:
        yield finding(
            "budget", "the purchases come to {paid} minor units; the budget is {budget}",
            "spend {over} less, or raise the budget", paid=paid, budget=needs.budget,
            over=paid - needs.budget,
        )  # fmt: skip
    for line in rig.purchases:
        if line.item in needs.avoid:
            yield finding(
                "avoid", "{item} is bought, and is to be avoided",
                "use another device, or take {item} off the list", item=line.item,
            )  # fmt: skip
    if needs.owned_only and rig.purchases:
        yield finding(
            "owned-only", "{item} is bought, and nothing is to be bought",
            "use what is owned", item=rig.purchases[0].item,
        )  # fmt: skip


def _text(invoice: Invoice | None) -> str:
    if invoice is None:
        return "none"
    return (
        f"{invoice.goods} + {invoice.delivery} + {invoice.tax} minor units of "
        f"{invoice.currency}, together {invoice.total}"
    )
