"""How a repair can end: with a rig that works and the way to it, or without one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

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
    is paid, in the catalogue's minor unit; `proven`: no repair that keeps the units and
    what they do costs less.
    """

    rig: WiredRig
    moved: tuple[Moved, ...]
    added: tuple[Link, ...]
    removed: tuple[Link, ...]
    purchases: tuple[Purchase, ...]
    orders: tuple[Order, ...]
    money: int
    proven: bool

    status: ClassVar = "repaired"
    exit_status: ClassVar = 0


@dataclass(frozen=True, slots=True)
class NoRepair:
    """None that keeps the units was found, and why as far as can be told.

    No cable cures the faults `of_units`, nor those `of_list`, of the user's list of inputs.
    """

    reasons: tuple[str, ...] = ()
    of_units: tuple[Finding, ...] = ()
    of_list: tuple[Finding, ...] = ()

    status: ClassVar = "no repair"
    exit_status: ClassVar = 3
