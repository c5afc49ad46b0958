"""Every row of a catalogue in plain words, with what is doubtful about it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Item, Offer, Seller
from rigopt.facts import FORMATS, Format
from rigopt.money import to_text
from rigopt.output.words.device import sentence
from rigopt.output.words.doubts import Doubt, doubts
from rigopt.output.words.phrases import between, count, metres, plain


class Row(NamedTuple):
    """A row read back. `kind`: device, cable, extra, format, seller or offer.

    `price` is decimal text in `currency`; blank for what is not for sale.
    """

    kind: str
    id: str
    label: str
    price: str
    currency: str
    says: str
    doubts: tuple[Doubt, ...] = ()


PER = {
    "mic": "microphone",
    "source": "source",
    "unit": "unit",
    "rack_unit": "rack unit",
    "mains": "mains plug",
    "rig": "rig",
}


def rows(catalogue: Catalogue) -> list[Row]:
    """All rows, file after file, in the order of each file."""
    return [*_items(catalogue), *_formats(catalogue), *_sellers(catalogue), *_offers(catalogue)]


def _items(catalogue: Catalogue) -> Iterator[Row]:
    for kind, shelf in catalogue.shelves.items():
        for item in shelf.values():
            price = _price(item, catalogue)
            found = tuple(doubts(item, catalogue))
            says = _says(item)
            yield Row(kind, item.id, item.label, price, catalogue.currency, says, found)


def _price(item: Item, catalogue: Catalogue) -> str:
    if item.id in catalogue.unknown:
        return "?"
    if item.price is None:
        return ""
    least = item.price if item.least is None else item.least
    return between(least, item.price, catalogue.currency, "-")


def _says(item: Item) -> str:
    if isinstance(item, Device):
        return sentence(item)
    return _cable(item) if isinstance(item, Cable) else _extra(item)


def _cable(cable: Cable) -> str:
    if not cable.length_mm:
        return cable.kind + _pack(cable.pack)
    kind = f"{cable.ways}-channel {cable.kind}" if cable.ways > 1 else cable.kind
    ends = f" from {cable.ends[0]} to {cable.ends[1]}" if cable.ends else ""
    return f"{kind} cable{ends}, {metres(cable.length_mm)}{_pack(cable.pack)}"


def _pack(pack: int) -> str:
    return f"; the price is for a pack of {pack}" if pack > 1 else ""


def _extra(extra: Extra) -> str:
    return f"{extra.each} for each {PER[extra.per]}{_pack(extra.pack)}"


def _formats(catalogue: Catalogue) -> Iterator[Row]:
    for row in catalogue.formats.values():
        if row.id not in FORMATS:
            yield Row("format", row.id, row.label, "", catalogue.currency, _format(row))


def _format(row: Format) -> str:
    one, two, four = row.channels
    parts = [
        f"{'/'.join(map(str, (one, two, four)))} channels at 1x/2x/4x rates",
        f"on a cable of the kind '{row.cable}'",
        "both ways on one cable" if row.duplex else "one way on each cable",
        "carries clock" if row.clock else "carries no clock",
    ]
    return "; ".join(parts + ([] if row.max_mm is None else [f"up to {metres(row.max_mm)}"]))


def _sellers(catalogue: Catalogue) -> Iterator[Row]:
    for seller in catalogue.sellers.values():
        yield Row("seller", seller.id, "", "", seller.currency, _seller(seller))


def _seller(seller: Seller) -> str:
    fee = f"delivery {to_text(seller.delivery, seller.currency)}" if seller.delivery else ""
    if fee and seller.free_over is not None:
        fee += f", none from {to_text(seller.free_over, seller.currency)}"
    tax = f"{plain(seller.tax_percent)} % tax" if seller.tax_percent else "no tax added"
    return f"{fee or 'no delivery fee'}; {tax}"


def _offers(catalogue: Catalogue) -> Iterator[Row]:
    labels = {
        item.id: item.label for shelf in catalogue.shelves.values() for item in shelf.values()
    }
    for offer in catalogue.offers:
        currency = catalogue.sellers[offer.seller].currency
        price = to_text(offer.price, currency)
        yield Row("offer", offer.item, labels[offer.item], price, currency, _offer(offer))


def _offer(offer: Offer) -> str:
    parts = [f"from {offer.seller}{_pack(offer.pack)}", offer.condition]
    parts.append("" if offer.stock is None else f"{count(offer.stock, 'pack')} in stock")
    parts.append("" if offer.as_of is None else f"price of {offer.as_of.isoformat()}")
    return "; ".join(part for part in parts if part)
