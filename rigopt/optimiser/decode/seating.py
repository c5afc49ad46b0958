"""Which source sits on which input, and which 48 V banks are on.

With an input list, `listing` decides; a rig that is repaired keeps as much of its list as
can be. Without one the sources of a group are alike, and the cost is, in this order: line and
instrument sources that get 48 V; banks on; line and instrument sources on channels that would
take a microphone; then low computer inputs, microphones first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from rigopt.needs.types import GROUPS, Needs
from rigopt.optimiser.decode.di import chosen, fewest, members, plugged
from rigopt.optimiser.decode.listing import listed
from rigopt.optimiser.decode.places import (
    Bank,
    Chosen,
    Member,
    Place,
    Places,
    Seat,
    Use,
    places,
    seats_of,
    shut_banks,
)
from rigopt.optimiser.solver.lexicographic import optimise
from rigopt.optimiser.solver.linear import Terms
from rigopt.optimiser.solver.run import NO_END, Deadline, run_even_late
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Link, Unit


class Seating(NamedTuple):
    """Units with their banks switched, inputs with their use, and pairs not side by side."""

    units: tuple[Unit, ...]
    inputs: tuple[Input, ...]
    split_pairs: tuple[str, ...] = ()


def seated(  # noqa: PLR0917
    needs: Needs,
    units: Sequence[Unit],
    links: Sequence[Link],
    before: Mapping[str, Place] | None = None,
    boxed: Mapping[bool, int] | None = None,
    deadline: Deadline = NO_END,
) -> Seating:
    """The best seating of what is asked for on what is wired.

    `before` says where sources of a list were, by name. Banks of `units` that are on then
    stay on as far as can be. `boxed`: how many instruments may be in DI boxes, by whether
    their input must have 48 V; no more are than must. Past the deadline any seating will do.
    """
    seats = seats_of(units, derive_inputs(units, links, needs.rate_hz))
    shut = shut_banks(units, links)
    given = {(unit.name, bank) for unit in units for bank in unit.phantom_banks_on}
    boxes = fewest(seats, needs.groups, boxed, shut, deadline) if boxed else Counter()
    if needs.sources:
        inside = chosen(needs.sources, boxes)
        found = listed(seats, needs.sources, before or {}, given, shut, inside, deadline)
    else:
        found = _unlisted(seats, members(needs.groups, boxes), shut, deadline)
    on = {*found.on, *(given - {seat.bank for seat in seats})}
    switched = tuple(
        replace(unit, phantom_banks_on=tuple(sorted(b for name, b in on if name == unit.name)))
        for unit in units
    )
    inputs = derive_inputs(switched, links, needs.rate_hz)
    through = plugged(units, found.boxed)
    used = tuple(_used(line, found.uses, through) for line in inputs)
    return Seating(switched, used, found.split)


def _used(line: Input, uses: Mapping[int, Use], through: Mapping[int, str]) -> Input:
    use, source = uses.get(line.computer_input, (None, None))
    box = through.get(line.computer_input)
    path = line.path if box is None else (box, *line.path)
    return replace(line, use=use, source=source, path=path)


def _unlisted(
    seats: Sequence[Seat],
    wanted: Mapping[Member, int],
    shut: Collection[Bank],
    deadline: Deadline,
) -> Chosen:
    """The best seating of sources that have no names."""
    made = places(seats, {(member,): number for member, number in wanted.items()}, shut)
    any_seating = run_even_late(made.model, deadline)
    value = optimise(made.model, _costs(made), deadline, any_seating).result.value
    sat = {
        seats[at[0]].number: block[0] for (block, at), var in made.takes.items() if value(var)
    }
    return Chosen(
        {number: (member.kind, None) for number, member in sat.items()},
        tuple(bank for bank, var in made.on.items() if value(var)),
        boxed={number: member for number, member in sat.items() if member.boxed},
    )


def _costs(made: Places) -> list[Terms]:
    """What it costs, most important first; one sum of it all would take minutes."""
    low: Terms = []
    for (block, at), var in made.takes.items():
        # Instruments in DI boxes come after the microphones whose inputs they take.
        first = 2 * (len(GROUPS) - GROUPS.index(block[0].group)) - block[0].boxed
        low.append((var, at[0] * first))
    hot, on = [(var, 1) for var in made.hot], [(var, 1) for var in made.on.values()]
    return [hot, on, made.wasted(), low]
