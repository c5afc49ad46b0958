"""Catalogues whose things are sold by named sellers alone."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Catalogue


def from_sellers(catalogue: Catalogue) -> Catalogue:
    """The same without a plain price where there is an offer."""
    sold = {offer.item for offer in catalogue.offers}
    return replace(
        catalogue,
        devices={
            k: replace(d, price=None) if k in sold else d for k, d in catalogue.devices.items()
        },
        cables={
            k: replace(c, price=None) if k in sold else c for k, c in catalogue.cables.items()
        },
        extras={
            k: replace(e, price=None) if k in sold else e for k, e in catalogue.extras.items()
        },
    )
