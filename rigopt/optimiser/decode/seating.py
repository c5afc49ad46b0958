"""Which source sits on which input, and which 48 V banks are on.

With an input list, `listing` decides. Without one the sources of a group are alike, and
the cost is, in this order: banks on; line and instrument sources on channels that would
take a microphone; then low computer inputs, microphones first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from rigopt.catalogue.types import Source
from rigopt.needs.types import GROUPS, Group, Needs
from rigopt.optimiser.decode.listing import listed
from rigopt.optimiser.decode.places import Bank, Places, Seat, places, seats_of
from rigopt.optimiser.solver.linear import Terms, total
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Link, Unit

Use = tuple[Source, str | None]
"""What an input is for: a kind of source, and its name if it has one."""


class Seating(NamedTuple):
    """Units with their banks switched, inputs with their use, and pairs not side by side."""

    units: tuple[Unit, ...]
    inputs: tuple[Input, ...]
    split_pairs: tuple[str, ...] = ()


def seated(needs: Needs, units: Sequence[Unit], links: Sequence[Link]) -> Seating:
    """The best seating of what is asked for on what is wired."""
    seats = seats_of(units, derive_inputs(units, links, needs.rate_hz))
    if needs.sources:
        found = listed(seats, needs.sources)
        uses: dict[int, Use] = {
            seats[i].number: (source.kind, source.name) for i, source in found.sources.items()
        }
        on, split = found.on, found.split
    else:
        taken, on = _choose(seats, needs.groups)
        uses = {number: (group.kind, None) for number, group in taken.items()}
        split = ()
    switched = _switched(units, on)
    inputs = derive_inputs(switched, links, needs.rate_hz)
    return Seating(switched, tuple(_used(line, uses) for line in inputs), split)


def _switched(units: Iterable[Unit], on: Iterable[Bank]) -> tuple[Unit, ...]:
    return tuple(
        replace(unit, phantom_banks_on=tuple(sorted(b for name, b in on if name == unit.name)))
        for unit in units
    )


def _used(line: Input, uses: Mapping[int, Use]) -> Input:
    use, source = uses.get(line.computer_input, (None, None))
    return replace(line, use=use, source=source)


def _choose(
    seats: Sequence[Seat], wanted: Mapping[Group, int]
) -> tuple[dict[int, Group], tuple[Bank, ...]]:
    """The group on each input that is taken, by number, and the banks that are on."""
    made = places(seats, {(group,): number for group, number in wanted.items()})
    made.model.minimize(total(_cost(made)))
    value = run(made.model, Deadline(None)).value
    taken = {
        seats[at[0]].number: block[0] for (block, at), var in made.takes.items() if value(var)
    }
    return taken, tuple(bank for bank, var in made.on.items() if value(var))


def _cost(made: Places) -> Terms:
    low = (len(made.seats) + 1) ** 2 * len(GROUPS)
    terms = [(var, low * (len(made.seats) + 1)) for var in made.on.values()]
    terms += [(var, low * factor) for var, factor in made.wasted()]
    for (block, at), var in made.takes.items():
        terms.append((var, at[0] * (len(GROUPS) - GROUPS.index(block[0]))))
    return terms
