"""Ids in a needs statement: each must be in the catalogue, and of the right kind."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.catalogue.types import Catalogue
from rigopt.needs.keys import MASTERS
from rigopt.values import BadValueError, name


def master(value: object, catalogue: Catalogue) -> str:
    """One of `MASTERS` in any case, or a device id. A word of `MASTERS` is never an id.

    Raises:
        BadValueError: When it is neither.
    """
    text = name(value)
    if text.casefold() in MASTERS:
        return text.casefold()
    allowed = f"{', '.join(MASTERS)} or the id of a device"
    return _known(text, catalogue, [*MASTERS, *catalogue.devices], allowed)


def device(value: object, catalogue: Catalogue) -> str:
    """The id of a device.

    Raises:
        BadValueError: When it is none.
    """
    return _known(name(value), catalogue, catalogue.devices, "the id of a device")


def ownable(value: object, catalogue: Catalogue) -> str:
    """The id of a device or cable.

    Raises:
        BadValueError: When it is neither.
    """
    known = [*catalogue.devices, *catalogue.cables]
    return _known(name(value), catalogue, known, "the id of a device or cable")


def _known(text: str, catalogue: Catalogue, known: Iterable[str], what: str) -> str:
    if text in known:
        return text
    for kind, there in (("a cable", catalogue.cables), ("an extra", catalogue.extras)):
        if text in there:
            raise BadValueError(f"is {kind}, but must be {what}")
    raise BadValueError(f"must be {what} in the catalogue", known)
