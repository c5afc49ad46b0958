"""Prices: each line of the purchases is something that somebody sells, at that price."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.types import Purchase, Rig

Item = Device | Cable | Extra


def check_purchases(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules purchase-unknown, purchase-twice, quantity, price, stock, not-new of each line."""
    for (item, _), count in Counter(map(_same, rig.purchases)).items():
        if count > 1:
            yield finding("purchase-twice", item=item, count=count)
    for line in rig.purchases:
        found = listed(line, catalogue)
        if found is None:
            yield finding("purchase-unknown", item=line.item, kind=line.kind)
            continue
        if line.quantity < 1:
            yield finding("quantity", item=line.item, quantity=line.quantity)
        offers = [offer for offer in catalogue.offers if offer.item == line.item]
        if offers and (line.seller is not None or found.price is None):
            yield from _check_offer(line, offers, needs)
        else:
            yield from _check_plain(line, found)


def listed(line: Purchase, catalogue: Catalogue) -> Item | None:
    """What the catalogue says of the item of a line; None if it has no such thing."""
    if line.kind == "device":
        return catalogue.devices.get(line.item)
    if line.kind == "cable":
        return catalogue.cables.get(line.item)
    return catalogue.extras.get(line.item)


def new(condition: str) -> bool:
    """Blank is new, and 'new' in any case; any other word says that it is not."""
    return condition.lower() in ("", "new")


def _same(line: Purchase) -> tuple[str, object]:
    """Its item, and what it has in common with others of the same offer."""
    return line.item, (line.kind, line.unit_price, line.pack, line.seller, line.note)


def _check_plain(line: Purchase, item: Item) -> Iterator[Finding]:
    pack = 1 if isinstance(item, Device) else item.pack
    if item.price is None:
        yield finding("not-for-sale", item=line.item)
    elif line.least not in (None, item.least) or (
        (line.unit_price, line.pack, line.seller) != (item.price, pack, None)
    ):
        yield finding(
            "price",
            item=line.item,
            said=line.unit_price,
            said_pack=line.pack,
            price=item.price,
            pack=pack,
        )


def _check_offer(line: Purchase, offers: list[Offer], needs: Needs) -> Iterator[Finding]:
    same = [
        offer
        for offer in offers
        if (offer.seller, offer.price, offer.pack, offer.condition)
        == (line.seller, line.unit_price, line.pack, line.note)
    ]
    if not same:
        yield finding(
            "price",
            "offer",
            item=line.item,
            said=line.unit_price,
            pack=line.pack,
            seller=line.seller or "nobody",
        )
        return
    stocks = [offer.stock for offer in same]
    stock = sum(number or 0 for number in stocks)
    if None not in stocks and line.quantity > stock:
        yield finding(
            "stock",
            quantity=line.quantity,
            item=line.item,
            seller=same[0].seller,
            stock=stock,
        )
    if needs.new_only and not new(line.note):
        yield finding("not-new", item=line.item, condition=line.note)
