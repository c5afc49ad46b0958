"""Phrases of hand-written files: 'expander-1 optical out 1', 'optical in 1', 'internal'."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final, get_args

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.facts import ANALOGUE, SOCKET_KINDS
from rigopt.files import amounts, values
from rigopt.files.values import BadValueError
from rigopt.rig.reading.draft import MOST_SOCKET, ClockDraft, ClockSource
from rigopt.rig.types import End, Load, UnitRole, Way

ROLES: Final[tuple[UnitRole, ...]] = get_args(UnitRole)
LINK_KINDS: Final = (*SOCKET_KINDS, ANALOGUE)
"""Kinds of socket that a cable may join; analogue ones are direct outs and input channels."""

CLOCK_SOURCES: Final[tuple[ClockSource, ...]] = get_args(ClockSource)
LOADS: Final[tuple[Load, ...]] = get_args(Load)

_WAYS: Final[dict[str, Way]] = {
    "in": "input",
    "input": "input",
    "out": "output",
    "output": "output",
}
_END: Final = re.compile(r"(?P<unit>.+) (?P<kind>\S+) (?P<way>\S+) (?P<socket>\S+)")
_BOTH: Final = re.compile(r"(?P<unit>.+) trunk (?P<socket>\d+)", re.IGNORECASE)
_TEE: Final = re.compile(r"(?P<unit>.+) tee", re.IGNORECASE)
_CLOCK: Final = re.compile(r"(?P<source>\S+)(?: (?:in|input))?(?: (?P<socket>\d+))?")


def end(value: object, units: Collection[str]) -> End:
    """A socket such as 'expander-1 optical out 1', of one of `units`.

    One that is both ways may be 'stage-1 trunk 1'; 'expander-1 tee' is its T-piece;
    'preamp-1 analogue out 1' is a direct out, 'host-1 analogue in 5' an input channel.

    Raises:
        BadValueError: When it is none.
    """
    text = values.name(value)
    if tee := _TEE.fullmatch(text):
        return End(unit(tee["unit"], units), "word", "tee", 0)
    if both := _BOTH.fullmatch(text):
        return End(unit(both["unit"], units), "trunk", "socket", socket(both["socket"]))
    found = _END.fullmatch(text)
    if not found:
        raise BadValueError("must be unit, kind, in or out, and socket: 'host-1 optical in 1'")
    try:
        kind = values.one_of(LINK_KINDS, found["kind"])
    except BadValueError as fault:
        raise BadValueError(str(fault), fault.allowed, found["kind"]) from None
    way = _WAYS.get(found["way"].casefold())
    if way is None:
        raise BadValueError("must say in or out before the socket", _WAYS, found["way"])
    return End(unit(found["unit"], units), kind, way, socket(found["socket"]))


def clock(value: object) -> ClockDraft:
    """A clock setting in words: 'internal', 'optical', 'optical 1' or 'optical in 1'.

    Raises:
        BadValueError: When it is none.
    """
    found = _CLOCK.fullmatch(values.name(value))
    if not found:
        raise BadValueError("must be internal, or a socket such as 'optical 1'", CLOCK_SOURCES)
    source = values.one_of(CLOCK_SOURCES, found["source"])
    if source == "internal" and found["socket"]:
        raise BadValueError("must be internal, without a socket")
    return ClockDraft(source, socket(found["socket"]) if found["socket"] else None)


def socket(value: object) -> int:
    """The number of a socket, from 1.

    Raises:
        BadValueError: When it is none.
    """
    return amounts.whole(value, MOST_SOCKET, least=1)


def unit(value: object, units: Collection[str]) -> str:
    """The name of one of the units; any will do where their names are not known.

    Raises:
        BadValueError: When there is no unit of that name.
    """
    text = values.name(value)
    if units and text not in units:
        raise BadValueError("there is no unit of that name", units, text)
    return text


def device(value: object, catalogue: Catalogue) -> Device:
    """The device of an id.

    Raises:
        BadValueError: When the catalogue has none of that id.
    """
    text = values.name(value)
    if text in catalogue.devices:
        return catalogue.devices[text]
    if text in catalogue.cables:
        raise BadValueError("is a cable, but must be the id of a device")
    raise BadValueError("must be the id of a device in the catalogue", catalogue.devices)


def format_id(value: object, catalogue: Catalogue) -> str:
    """The id of a format.

    Raises:
        BadValueError: When the catalogue has none of that id.
    """
    return values.one_of(tuple(catalogue.formats), value)


def cable(value: object, catalogue: Catalogue) -> Cable:
    """The cable of an id.

    Raises:
        BadValueError: When the catalogue has none of that id.
    """
    text = values.name(value)
    if text in catalogue.cables:
        return catalogue.cables[text]
    if text in catalogue.devices:
        raise BadValueError("is a device, but must be the id of a cable")
    raise BadValueError("must be the id of a cable in the catalogue", catalogue.cables)
