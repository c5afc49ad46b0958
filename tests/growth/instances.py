"""Small random catalogues and two stages; all data are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs, Stage
from tests.growth.brute import only
from tests.money.instances import EXCHANGE, prices, some_offers, some_seller
from tests.oracle.instances import (
    PORTS,
    Chooser,
    Drawn,
    Seeded,
    rarely,
    some_catalogue,
    some_needs,
)

PLAIN: dict[str, Any] = {
    "line": 0,
    "instrument": 0,
    "out_line": 0,
    "out_phones": 0,
    "master": "any",
    "max_hops": 3,
    "ports": PORTS,
    "host_to_rack_mm": 1000,
    "within_rack_mm": 500,
    "rack_units": None,
    "mains": None,
    "require": (),
    "rate_hz": 48_000,
}
"""Wishes that leave most rigs possible."""

Question = tuple[Catalogue, tuple[Stage, ...]]


def instance(seed: int) -> Question:
    """The catalogue and stages of a seed."""
    return some_question(Seeded(seed))


@st.composite
def questions(draw: Any) -> Question:
    """Any small catalogue, and two stages for it."""
    return some_question(Drawn(draw))


def some_question(choose: Chooser) -> Question:
    """Up to three units a stage, from plain prices or from a seller or two."""
    catalogue = some_catalogue(choose, extras=rarely(choose, 3))
    catalogue = only(catalogue, devices=choose.number(3, 4), cables=2, extras=1)
    if rarely(choose, 3):
        catalogue = sold(choose, catalogue)
    needs = some_needs(choose, catalogue, most_units=3)
    needs = replace(needs, mic=choose.pick((4, 2, 6, 8)), budget=None, exchange=EXCHANGE)
    needs = replace(needs, phantom=min(needs.phantom, 1), no_phantom=min(needs.no_phantom, 1))
    if not rarely(choose, 4):
        needs = replace(needs, **PLAIN)
    return catalogue, (some_stage(choose, "small", needs), later(choose, catalogue, needs))


def sold(choose: Chooser, catalogue: Catalogue) -> Catalogue:
    """The same from one or two sellers, with an offer or two of some items."""
    sellers = {name: some_seller(choose, name) for name in ("north", "south")}
    offers = tuple(
        offer
        for item, price in prices(catalogue)
        if rarely(choose, 2)
        for offer in some_offers(choose, item, price, sellers)[:2]
    )
    return replace(catalogue, offers=offers, sellers=sellers)


def later(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Stage:
    """More microphones, mostly; another rate, other wishes and other limits now and then."""
    changes: dict[str, Any] = {"mic": needs.mic + choose.pick((4, 6, 8, 0))}
    if rarely(choose, 4):
        changes["rate_hz"] = choose.pick((96_000, 48_000, 192_000))
    if rarely(choose, 6):
        changes["avoid"] = (choose.pick(tuple(catalogue.devices)),)
        changes["require"] = ()
    if rarely(choose, 8):
        changes["new_only"] = True
    if rarely(choose, 10):
        changes["owned_only"] = True
    if rarely(choose, 10):
        changes["owned"] = {choose.pick(tuple(catalogue.devices)): 1}
    if rarely(choose, 8):
        changes["sellers"] = choose.number(0, 1)
    return some_stage(choose, "large", replace(needs, **changes))


def some_stage(choose: Chooser, title: str, needs: Needs) -> Stage:
    """A stage with its factor and, now and then, a budget."""
    factor = Decimal(choose.pick(("1", "1", "0.9", "1.25", "0.335", "1", "0")))
    budget = choose.number(1000, 90_000) if rarely(choose, 6) else None
    return Stage(title, replace(needs, budget=budget), factor, budget)
