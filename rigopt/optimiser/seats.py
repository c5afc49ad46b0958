"""Which source sits on which input, and which 48 V banks are on.

Variables: seat[i, g], 0/1, input i takes a source of group g; on[u, b], 0/1, bank b of unit u
is on.
Constraints: at most one source an input; as many seats a group as there are sources; a
microphone that needs 48 V only in a bank that is on, one that must not get it only in a
bank that is off or outside any.
Cost, in this order: banks on; line and instrument sources on channels that would take a
microphone; then low computer inputs, microphones first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from rigopt.catalogue.types import ACCEPTS, Source
from rigopt.needs.types import Needs
from rigopt.optimiser.channels import GROUPS, Group, Power, demands, serves
from rigopt.optimiser.run import Deadline, run
from rigopt.optimiser.variables import Terms, Var, total
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Link, Unit

Place = tuple[str, int]
"""A 48 V bank: unit name and bank number."""

USE: dict[Group, Source] = {
    "phantom": "mic",
    "no_phantom": "mic",
    "mic": "mic",
    "line": "line",
    "instrument": "instrument",
}


@dataclass(frozen=True, slots=True)
class Seat:
    """An input as a place for a source: its number, its channel's kind, its 48 V bank."""

    number: int
    kind: str
    bank: Place | None

    def may_take(self, group: Group) -> bool:
        """Whether it takes a source of that group, its bank switched as that one needs."""
        power: Power = "none"
        if self.bank is not None:
            power = "on" if group == "phantom" else "off"
        return serves(self.kind, power, group)


def seated(
    needs: Needs, units: Sequence[Unit], links: Sequence[Link]
) -> tuple[tuple[Unit, ...], tuple[Input, ...]]:
    """The units with their banks switched, and the inputs with their use."""
    seats = _seats(units, derive_inputs(units, links, needs.rate_hz))
    taken, on = _choose(seats, demands(needs))
    switched = tuple(
        replace(unit, phantom_banks_on=tuple(sorted(b for name, b in on if name == unit.name)))
        for unit in units
    )
    inputs = derive_inputs(switched, links, needs.rate_hz)
    return switched, tuple(
        replace(line, use=USE[taken[line.computer_input]])
        if line.computer_input in taken
        else line
        for line in inputs
    )


def _seats(units: Sequence[Unit], inputs: Sequence[Input]) -> list[Seat]:
    devices = {unit.name: unit.device for unit in units}
    seats = []
    for line in inputs:
        device = devices[line.unit]
        size, bank = device.phantom_bank, None
        if size and line.channel <= device.mic_capable:
            bank = (line.unit, (line.channel - 1) // size + 1)
        kind = device.channel_kinds[line.channel - 1]
        seats.append(Seat(line.computer_input, kind, bank))
    return seats


def _choose(
    seats: Sequence[Seat], wanted: Mapping[Group, int]
) -> tuple[dict[int, Group], list[Place]]:
    """The group on each input that is taken, and the banks that are on."""
    model = cp_model.CpModel()
    banks = dict.fromkeys(seat.bank for seat in seats if seat.bank is not None)
    on = {bank: model.new_bool_var(f"on {bank}") for bank in banks}
    takes = {
        (seat, group): model.new_bool_var(f"{seat.number} {group}")
        for seat in seats
        for group in wanted
        if seat.may_take(group)
    }
    for seat in seats:
        model.add_at_most_one(var for (place, _), var in takes.items() if place is seat)
    for group, number in wanted.items():
        model.add(total([(v, 1) for (_, g), v in takes.items() if g == group]) == number)
    for (seat, group), var in takes.items():
        if seat.bank is not None and group == "phantom":
            model.add_implication(var, on[seat.bank])
        elif seat.bank is not None and group == "no_phantom":
            model.add_implication(var, ~on[seat.bank])
    model.minimize(total(_cost(seats, takes, on)))
    value = run(model, Deadline(None)).value
    taken = {seat.number: group for (seat, group), var in takes.items() if value(var)}
    return taken, [bank for bank, var in on.items() if value(var)]


def _cost(
    seats: Sequence[Seat], takes: Mapping[tuple[Seat, Group], Var], on: Mapping[Place, Var]
) -> Terms:
    places = {seat: place for place, seat in enumerate(seats)}
    low = (len(seats) + 1) ** 2 * len(GROUPS)
    terms: Terms = []
    for (seat, group), var in takes.items():
        weight = len(GROUPS) - GROUPS.index(group)
        wasted = group in ("line", "instrument") and "mic" in ACCEPTS[seat.kind]
        terms.append((var, places[seat] * weight + wasted * low))
    return terms + [(var, low * (len(seats) + 1)) for var in on.values()]
