"""Which instruments are in DI boxes, and whose channel each takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence

from rigopt.needs.types import PHANTOM, Group, SourceLine
from rigopt.optimiser.decode.places import Bank, Block, Member, Seat, places
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.types import Unit

INSTRUMENT = Group("instrument")


def in_box(powered: bool) -> Group:
    """What an instrument in a box asks of the input."""
    return PHANTOM if powered else Group("mic")


def boxes(units: Iterable[Unit]) -> Counter[bool]:
    """How many instruments the DI boxes take, by whether the input must have 48 V."""
    found = Counter[bool]()
    for unit in units:
        if unit.role == "di":
            found[unit.device.di_phantom] += unit.device.inst
    return found


def members(groups: Mapping[Group, int], boxed: Mapping[bool, int]) -> dict[Member, int]:
    """The sources without names, so many of them in boxes."""
    found = Counter({Member(group): number for group, number in groups.items()})
    for powered, number in boxed.items():
        found[Member(INSTRUMENT)] -= number
        found[Member(in_box(powered), boxed=True)] += number
    return {member: number for member, number in found.items() if number}


def fewest(
    seats: Sequence[Seat],
    groups: Mapping[Group, int],
    room: Mapping[bool, int],
    shut: Collection[Bank],
    deadline: Deadline,
) -> Counter[bool]:
    """The fewest instruments in boxes with which every source finds a seat; past the deadline
    as many as there is room for."""
    ways = [
        Counter({True: powered, False: other})
        for powered in range(room.get(True, 0) + 1)
        for other in range(room.get(False, 0) + 1)
        if powered + other <= groups.get(INSTRUMENT, 0)
    ]
    for boxed in sorted(ways, key=lambda way: (way.total(), way[True])):
        wanted: dict[Block, int] = {(m,): n for m, n in members(groups, boxed).items()}
        if run(places(seats, wanted, shut).model, deadline).found:
            return boxed
    return Counter(room)


def chosen(sources: Sequence[SourceLine], boxed: Mapping[bool, int]) -> dict[int, Group]:
    """The sources of a list that are in boxes, by place: the last ones, first those that are
    not half of a pair."""
    instruments = [n for n, source in enumerate(sources) if source.kind == "instrument"]
    order = sorted(instruments, key=lambda n: (sources[n].pair is not None, -n))
    asked = [in_box(powered) for powered in (True, False) for _ in range(boxed.get(powered, 0))]
    return dict(zip(order, asked, strict=False))


def plugged(units: Sequence[Unit], boxed: Mapping[int, Member]) -> dict[int, str]:
    """The box of each computer input that an instrument comes to through one."""
    free = {
        powered: [
            unit.name
            for unit in units
            if unit.role == "di" and unit.device.di_phantom == powered
            for _ in range(unit.device.inst)
        ]
        for powered in (True, False)
    }
    return {
        number: free[boxed[number].group.phantom == "on"].pop(0) for number in sorted(boxed)
    }
