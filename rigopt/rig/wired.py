"""A rig as somebody wired it: it may be unsound, and nothing says what it cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigopt.catalogue.types import Source
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.types import Input, Link, Unit

Place = tuple[str, int] | int | None
"""How an input is known: by unit and channel, or by the computer's number."""


@dataclass(frozen=True, slots=True)
class StatedInput:
    """What is said of one input: known by its computer input, or by unit and channel.

    `phantom` is what the file says of its 48 V; None where it says nothing. `through`: the DI
    box that the source is plugged into, if it is.
    """

    number: int | None
    unit: str | None
    channel: int | None
    use: Source | None = None
    source: str | None = None
    phantom: bool | None = None
    through: str | None = None


@dataclass(frozen=True, slots=True)
class WiredRig:
    """Units, cables and settings as read. Names are unique, and links name units of it.

    `channels` and `carries` of a link are as stated, or derived where nothing is stated;
    `stated` holds only inputs that are in use.
    """

    rate_hz: int
    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    stated: tuple[StatedInput, ...] = ()
    title: str = ""


def place_of(said: StatedInput) -> Place:
    """Unit and channel if both are said, else the computer's number."""
    if said.unit is not None and said.channel is not None:
        return said.unit, said.channel
    return said.number


def by_place(inputs: Sequence[Input]) -> dict[Place, Input]:
    """The inputs by each way to say which; of two on one channel the first counts."""
    found: dict[Place, Input] = {}
    for item in inputs:
        found.setdefault((item.unit, item.channel), item)
        found.setdefault(item.computer_input, item)
    return found


def through(item: Input) -> str | None:
    """The DI box before an input, if there is one."""
    return None if item.path[:1] in ((), (item.unit,)) else item.path[0]


def wire_of(link: Link) -> Wire:
    """The bare wire of a cable; one that has nothing but clock to carry brings no audio."""
    return Wire(
        link.format,
        link.from_unit,
        link.from_socket,
        link.to_unit,
        link.to_socket,
        link.cable,
        link.carries != ("clock",),
        link.after,
        link.tee,
        link.terminator,
        link.piece,
    )


def carried(units: Sequence[Unit], wires: Sequence[Wire], rate_hz: int) -> tuple[Link, ...]:
    """What each wire carries. Two cables that are said to sit on the very same sockets are
    taken for one, so that neither hides what they are for.
    """
    once = list(dict.fromkeys(wires))
    links = dict(zip(once, derive_links(units, once, rate_hz), strict=True))
    return tuple(links[wire] for wire in wires)


def unburdened(units: Sequence[Unit], links: Sequence[Link], rate_hz: int) -> tuple[Link, ...]:
    """`links` as they are stated, but for those that are said to be there for clock alone and
    that no unit is locked to: they carry nothing.
    """
    known = carried(units, [wire_of(link) for link in links], rate_hz)
    return tuple(
        real if (said.carries, real.carries) == (("clock",), ()) else said
        for said, real in zip(links, known, strict=True)
    )
