"""How a repair can end: with a rig that works and the way to it, or without one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal, NamedTuple

from rigopt.rig.audit.finding import Finding
from rigopt.rig.types import Link, Order, Purchase
from rigopt.rig.wired import WiredRig


@dataclass(frozen=True, slots=True)
class Moved:
    """A piece of cable that goes from one pair of sockets to another."""

    before: Link
    after: Link


@dataclass(frozen=True, slots=True)
class Repaired:
    """`rig` works. What it takes: cables to move, add and remove, and what to buy.

    A cable that is replaced in its place is removed there and added. `money` is all that
    is paid, in the catalogue's minor unit, `for_outputs` the part of it that only keeps line
    outputs fed where no needs say whether they are wanted; `proven`: no repair that keeps the
    units and what they do costs less.
    """

    rig: WiredRig
    moved: tuple[Moved, ...]
    added: tuple[Link, ...]
    removed: tuple[Link, ...]
    purchases: tuple[Purchase, ...]
    orders: tuple[Order, ...]
    money: int
    for_outputs: int
    proven: bool

    status: ClassVar = "repaired"
    exit_status: ClassVar = 0


UnmetName = Literal["inputs", "outputs", "hops", "master"]


class Unmet(NamedTuple):
    """A need that the units cannot meet: inputs, line outputs, clock hops at most, or which
    unit is the clock master; and what is asked for."""

    name: UnmetName
    value: int | str


CauseName = Literal[
    "size",
    "prices",
    "time",
    "cannot lock",
    "no clock",
    "no master",
    "clock",
    "budget",
    "cables",
    "needs",
    "many needs",
]


@dataclass(frozen=True, slots=True)
class Cause:
    """Why the search found no repair, as data; `output/words/repair.py` has the sentences.

    size, prices, time: it is not known, for there are too many variables, sums would not be
    exact, or `seconds` were not enough. cannot lock: the units of `items` lock to nothing;
    no clock: the unit of `items` does not and has none; no master: no unit has one; clock:
    no cables join all units to one. budget: cables cost more. cables: none is long enough,
    and there are none at all of the kinds of `items`. needs: `unmet` together; many needs:
    more than can be told.
    """

    name: CauseName
    items: tuple[str, ...] = ()
    unmet: tuple[Unmet, ...] = ()
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class NoRepair:
    """None that keeps the units was found, and why as far as can be told.

    No cable cures the faults `of_units`, nor those `of_list`, of the user's list of inputs.
    """

    causes: tuple[Cause, ...] = ()
    of_units: tuple[Finding, ...] = ()
    of_list: tuple[Finding, ...] = ()

    status: ClassVar = "no repair"
    exit_status: ClassVar = 3
