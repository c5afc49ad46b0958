"""Small random catalogues with sellers and offers; all data are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from rigopt.catalogue.types import Catalogue, Offer, Seller
from rigopt.needs.types import Needs
from tests.oracle.instances import Chooser, Drawn, Seeded, rarely, some_catalogue, some_needs

NAMES = ("north", "south", "east")
EXCHANGE = {"EUR": Decimal("1.17"), "JPY": Decimal("190.5"), "KWD": Decimal("0.39")}
SCALE = {"GBP": 100, "EUR": 117, "JPY": 190, "KWD": 390}
"""About how many minor units are worth as much as 100 pence."""

Question = tuple[Catalogue, Needs]


def instance(seed: int) -> Question:
    """The catalogue and needs of a seed."""
    return some_question(Seeded(seed))


@st.composite
def questions(draw: Any) -> Question:
    """Any small catalogue with sellers, and needs for it."""
    return some_question(Drawn(draw))


def some_question(choose: Chooser) -> Question:
    """Up to three units, some of them from named sellers."""
    catalogue = some_catalogue(choose, extras=not rarely(choose, 3))
    needs = some_needs(choose, catalogue, most_units=3)
    names = NAMES[: choose.number(1, 3)]
    sellers = {name: some_seller(choose, name) for name in names}
    # Large packs, so that enumeration has few ways to buy what there are many of.
    extras = {e.id: replace(e, pack=e.pack + 3) for e in catalogue.extras.values()}
    catalogue = replace(catalogue, extras=extras)
    offers = tuple(
        offer
        for item, price in prices(catalogue)
        for offer in some_offers(choose, item, price, sellers)
    )
    more: dict[str, Any] = {"exchange": EXCHANGE}
    if rarely(choose, 6):
        more["sellers"] = choose.number(0, 2)
    if rarely(choose, 8):
        more["new_only"] = True
    if rarely(choose, 15):
        more["owned_only"] = True
    return replace(catalogue, offers=offers, sellers=sellers), replace(needs, **more)


def prices(catalogue: Catalogue) -> list[tuple[str, int]]:
    shop = catalogue
    things: list[Any] = [*shop.devices.values(), *shop.cables.values(), *shop.extras.values()]
    return [(thing.id, thing.price or 700) for thing in things]


def some_seller(choose: Chooser, name: str) -> Seller:
    """A fee that a cable or two can be cheaper than, and a limit that a rig may reach."""
    currency = choose.pick(("GBP", "GBP", "EUR", "JPY", "KWD"))
    scale = SCALE[currency]
    fee = choose.pick((0, 500, 1200, 3000)) * scale // 100
    limit = choose.pick((None, 1500, 20_000, 30_600, 0))
    return Seller(
        name,
        currency,
        fee,
        None if limit is None else limit * scale // 100,
        Decimal(choose.pick(("0", "20", "7.7", "19"))),
    )


def some_offers(
    choose: Chooser, item: str, price: int, sellers: dict[str, Seller]
) -> list[Offer]:
    """None to three offers around the plain price."""
    offers = []
    for _ in range(choose.pick((1, 2, 0, 1, 3))):
        seller = sellers[choose.pick(tuple(sellers))]
        percent = choose.pick((100, 80, 90, 101, 120))
        many = 4 if item.startswith("extra") else 1
        offers.append(
            Offer(
                item,
                seller.id,
                price * percent * SCALE[seller.currency] // 10_000,
                choose.pick((1, 1, 1, 2)) * many,
                choose.pick((None, None, 1, 2)),
                choose.pick(("", "new", "used")),
            )
        )
    return offers
