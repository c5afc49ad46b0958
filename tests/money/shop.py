"""One tiny catalogue for questions of money: a host, an expander and two cables.

A rig of 16 inputs is one host, one expander and one cable, whoever is asked; which one it
is bought from is the question. All data are invented.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit
from rigopt.rig.types import Order, Rig
from tests.selling import from_sellers

DESK = Device(
    "desk",
    "interface",
    "host",
    30_000,
    mic_line=8,
    optical_in=4,
    optical_out=4,
    clock_in=("optical",),
    rack_units=1,
)
PRE = Device(
    "pre",
    "expander",
    "expander",
    20_000,
    mic_line=8,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    rack_units=1,
)
OPT = Cable("opt", "optical cable", "optical", 1000, 600)
COAX = Cable("coax", "coax cable", "coax", 1000, 300)


def shop(
    *offers: Offer,
    sellers: tuple[Seller, ...] = (Seller("north", "GBP"), Seller("south", "GBP")),
    extras: tuple[Extra, ...] = (),
    plain: bool = False,
    **changes: Any,
) -> Catalogue:
    """The catalogue with these offers; what is offered has no plain price beside them,
    unless `plain`."""
    found = Catalogue(
        "tiny",
        "Tiny",
        "GBP",
        {"desk": DESK, "pre": PRE},
        {"coax": COAX, "opt": OPT},
        {e.id: e for e in extras},
        offers,
        {s.id: s for s in sellers},
    )
    found = replace(found, **changes)
    return found if plain else from_sellers(found)


def found(catalogue: Catalogue, **needs: Any) -> Answered | Impossible:
    """How the question ends; a rig is proven, and audited before it is handed on."""
    wanted = Needs(**{"mic": 16, **needs})
    outcome = solve(catalogue, wanted)
    assert isinstance(outcome, Answered | Impossible)
    if isinstance(outcome, Answered):
        assert outcome.proven
        assert outcome.bound == outcome.rig.total
        assert audit(outcome.rig, catalogue, wanted) == ()
    return outcome


def rig(catalogue: Catalogue, **needs: Any) -> Rig:
    """The cheapest rig."""
    outcome = found(catalogue, **needs)
    assert isinstance(outcome, Answered), outcome
    return outcome.rig


def bought(found: Rig) -> list[tuple[str, str | None, int]]:
    """Item, seller and packs of each purchase."""
    return [(line.item, line.seller, line.quantity) for line in found.purchases]


def order(found: Rig, seller: str) -> Order:
    """The order at a seller."""
    return next(one for one in found.orders if one.seller == seller)
