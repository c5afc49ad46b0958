"""Facts of the catalogue on which a rig hangs, to be looked at before anything is paid."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Check:
    """One fact of a type that is bought, and what is left if it is not so.

    `column` is that of `devices.csv`, `now` what the row says. With `needed`, which asks least,
    what is bought still does; with `tried` it does not: the cheapest rig then costs `total`, in
    minor units (None: there is none), and has devices `less` and `more`, by id with numbers.
    """

    device: str
    column: str
    now: str
    needed: str
    tried: str
    total: int | None
    less: tuple[tuple[str, int], ...] = ()
    more: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Checks:
    """All facts that matter, by type in the order of ids; `complete`: none is left out for
    want of time."""

    found: tuple[Check, ...]
    complete: bool = True
