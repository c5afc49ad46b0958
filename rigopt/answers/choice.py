"""What there is to say of the choice behind an answer, as data; sentences are made of it
elsewhere.

Money is in the minor unit of the catalogue's currency. A need is named by its field in
`Needs`, and its value is that of the field, but for these: `avoid` and `require` in a
conflict stand for one id each, and `pairs` is the number of pairs in the list of sources.
"""

from __future__ import annotations

from collections import Counter
from typing import Literal, NamedTuple

from rigopt.needs.types import Value
from rigopt.rig.types import Rig

NeedName = str
"""`name` of a row in `rigopt.needs.table`."""


class Need(NamedTuple):
    """One need and its value."""

    name: NeedName
    value: Value


class Setting(NamedTuple):
    """One need set to another value."""

    name: NeedName
    now: Value


class Change(NamedTuple):
    """Needs set to other values, and what the cheapest rig then costs; None: there is none."""

    settings: tuple[Setting, ...]
    total: int | None


FactName = Literal[
    "no_host",
    "no_host_at_rate",
    "no_host_on_ports",
    "most_inputs",
    "most_optical",
    "most_line_out",
    "most_phones",
    "amplifier",
    "analogue_way",
    "smallest_bank",
    "longest_cable",
    "no_master",
    "not_had",
    "not_at_rate",
]


class Fact(NamedTuple):
    """Something of the catalogue that explains a conflict.

    `item` is the id of a device or the kind of a cable; `number` counts inputs, sockets,
    outputs, microphones of a 48 V bank, or millimetres; `each` the channels of a socket, the
    line outputs that an amplifier takes, or the millimetres up to which a kind of cable works;
    `rates_hz` and `ports` what is offered instead. `analogue_way`: with preamps and leads as
    one could wish there would be a rig; the host with the most inputs that take line.
    """

    name: FactName
    item: str = ""
    number: int = 0
    each: int = 0
    rates_hz: tuple[int, ...] = ()
    ports: tuple[str, ...] = ()


class BlankCell(NamedTuple):
    """A cell of a device's row that may be blank by mistake.

    With `value` in it the cheapest rig costs `total`.
    """

    device: str
    column: str
    value: str
    total: int | None


PriceNote = Literal["", "owned", "always", "never", "unusable", "avoided", "unknown"]
"""Why there is no price: all of it is owned; no rig without that many; not even for
nothing; it cannot work here; it is not to be bought; the time was up."""


class Price(NamedTuple):
    """The price at which the answer changes.

    For a type in the answer, `limit` is its switch price: the highest unit price at which
    the cheapest rig still uses as many. For a type outside it (`units` is 0), `limit` is its
    entry price: at every whole price below, the cheapest rig uses at least one. `now` is
    today's unit price, None when it is not for sale.
    """

    device: str
    units: int
    now: int | None
    limit: int | None
    note: PriceNote = ""


class Why(NamedTuple):
    """The prices at which the answer changes, and what each need costs."""

    prices: tuple[Price, ...]
    changes: tuple[Change, ...]
    complete: bool = True
    """Whether everything was found out, before the time was up."""


class Difference(NamedTuple):
    """What another rig costs more, and its devices by id that come or go, with numbers."""

    money: int
    less: tuple[tuple[str, int], ...]
    more: tuple[tuple[str, int], ...]


class Alternative(NamedTuple):
    """A rig's place after the cheapest, counted from 1, and how it differs from that."""

    number: int
    difference: Difference


def difference(rig: Rig, other: Rig) -> Difference:
    """How `other` differs from `rig`."""
    here, there = (Counter(unit.device.id for unit in one.units) for one in (rig, other))
    return Difference(
        other.total - rig.total,
        tuple(sorted((here - there).items())),
        tuple(sorted((there - here).items())),
    )
