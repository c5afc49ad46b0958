"""Ids in a needs statement: each must be in the catalogue, and of the right kind."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.catalogue.currencies import currency_code
from rigopt.catalogue.types import Catalogue
from rigopt.files.values import BadValueError, name
from rigopt.needs.keys import MASTERS


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
    """The id of a device, cable or extra.

    Raises:
        BadValueError: When it is none of them.
    """
    known = [*catalogue.devices, *catalogue.cables, *catalogue.extras]
    return _known(name(value), catalogue, known, "the id of a device, cable or extra")


def foreign(value: object, catalogue: Catalogue) -> str:
    """The code of a currency that is not the catalogue's.

    Raises:
        BadValueError: When it is no such code.
    """
    code = currency_code(value)
    if code == catalogue.currency:
        raise BadValueError("is the catalogue's own currency, and needs no rate")
    return code


def _known(text: str, catalogue: Catalogue, known: Iterable[str], what: str) -> str:
    if text in known:
        return text
    for kind, there in (("a cable", catalogue.cables), ("an extra", catalogue.extras)):
        if text in there:
            raise BadValueError(f"is {kind}, but must be {what}")
    raise BadValueError(f"must be {what} in the catalogue", known)
