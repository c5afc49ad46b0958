"""Where the prices of an answer come from, and how old they are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.rig.types import Purchase

CHECK: Final = (
    "A row of the catalogue is not a data sheet: compare every number in it with the manual of "
    "the very box."
)


def catalogue_told(catalogue: Catalogue, purchases: Iterable[Purchase] = ()) -> str:
    """The catalogue by its title, and the day of the oldest price paid that has one."""
    days = [line.as_of for line in purchases if line.as_of is not None]
    age = f"; the oldest dated price is of {min(days)}" if days else ""
    return f"from the catalogue '{catalogue.title}'{age}"
