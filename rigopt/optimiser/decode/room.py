"""What can still be hoped for while a list is seated: bounds that are quick to look up.

A place that has no room here is impossible; one that has may turn out so, which only the
solver can tell.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from rigopt.optimiser.decode.places import Bank, Seat, Take, starts_even


@dataclass(frozen=True, slots=True)
class Room:
    """Seats taken, banks known to be on or off, and what may still be spent.

    `banks` is how many may be on in all; the others count what is left: `moved`, sources
    that leave their place; `stray`, sources in shared banks that are on without need;
    `wasted`, line or instrument sources on microphone channels; `even`, pairs that begin on
    an even channel.
    """

    seats: Sequence[Seat]
    on: frozenset[Bank]
    off: frozenset[Bank]
    banks: int
    moved: int
    stray: int
    wasted: int
    even: int
    taken: frozenset[int] = frozenset()

    def has(self, take: Take) -> bool:
        """Whether `take` may still be possible."""
        if not self.taken.isdisjoint(take[1]):
            return False
        then = self.after([take])
        return (
            min(then.moved, then.stray, then.wasted, then.even) >= 0
            and len(then.on) <= self.banks
            and then.on.isdisjoint(then.off)
        )

    def after(self, takes: Iterable[Take]) -> Room:
        """The room that is left once these sit where they do."""
        room = self
        for block, at in takes:
            sat = [(m.group, self.seats[i]) for m, i in zip(block, at, strict=True)]
            moves = sum(self.seats[i].moves(m) for m, i in zip(block, at, strict=True))
            on = {seat.bank for group, seat in sat if group.phantom == "on" and seat.bank}
            off = {seat.bank for group, seat in sat if group.phantom == "off" and seat.bank}
            strays = sum(seat.bank in room.on and group.phantom != "on" for group, seat in sat)
            room = replace(
                room,
                on=room.on | on,
                off=room.off | off,
                moved=room.moved - moves,
                stray=room.stray - strays,
                wasted=room.wasted - sum(seat.wastes(group) for group, seat in sat),
                even=room.even - starts_even([seat for _, seat in sat]),
                taken=room.taken.union(at),
            )
        return room
