"""Blank cells without which there would be a rig.

A blank cell says that a unit has none of something, which may be true, or a slip. Each cell
is filled in alone, with what data sheets say, and what is told was solved. All cells of a
column are tried together first: where that opens no way, none of them does, and mostly no
column does. Of a unit that has nothing of the sort at all, a cell is more likely blank by
mistake, so those are tried before any other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from rigopt.answers.choice import BlankCell, Need
from rigopt.catalogue.columns import DEVICES
from rigopt.catalogue.rules import refilled
from rigopt.catalogue.types import Catalogue, Device
from rigopt.facts import COAX, FORMATS, LIGHT_PIPE, RATE_MULTIPLIER, SOCKET_KINDS
from rigopt.needs.table import ROWS
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.conflict.catalogue_facts import obtainable
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError

MOST: Final = 3
"""Cells that are told; a longer list is no hint."""

_SIZES: Final = ("money", "limit")
"""Kinds of needs that a rig there is meets too dearly, whatever stands in the cells."""

_GROUPS: Final = (
    ("optical_out", "coax_out", "trunk_out", "direct_out"),
    ("optical_in", "coax_in", "trunk_in"),
)
"""Columns of which one alone may do: the ways out of a unit, and the ways in."""

Values = Callable[[Device, Needs], Iterable[object]]


class Filled(NamedTuple):
    """A unit with one more cell filled in."""

    column: str
    value: object
    device: Device


def blank_cells(
    probes: Probes, needs: Needs, conflict: Sequence[Need]
) -> tuple[BlankCell, ...]:
    """The cells with one of which some rig meets `needs`, as far as there is time.

    Nothing is said of the demo, whose rows are nobody's slip.
    """
    sizes = any(ROWS[need.name].kind in _SIZES for need in conflict)
    if probes.catalogue.invented or not conflict or sizes:
        return ()
    found: list[BlankCell] = []
    try:
        for filled in _that_do(probes, needs):
            found.append(_costed(probes, needs, filled))
            if len(found) == MOST:
                break
    except TimeUpError:
        pass  # what is known so far is true
    return tuple(found)


def _that_do(probes: Probes, needs: Needs) -> Iterator[Filled]:
    """The cells that make a rig possible: those of units that lack all of its sort first."""
    there = [d for d in obtainable(state(probes.catalogue, needs)) if d.id not in needs.avoid]
    tries = [list(_tries(probes, there, needs, row.name)) for row in DEVICES if row.lacks]
    found = False
    for likely in (True, False):
        for column in tries:
            same = [t for t in column if _lacks_all(probes.catalogue, t[0]) == likely]
            for filled in _alone(probes, needs, same):
                found = True
                yield filled
        if found:
            return


def _tries(
    probes: Probes, there: Iterable[Device], needs: Needs, column: str
) -> Iterator[list[Filled]]:
    """What may have been meant in each blank cell of a column, the likeliest first.

    Raises:
        TimeUpError: When the time is up.
    """
    for device in there:
        probes.in_time()
        if getattr(device, column) or column in device.filled:
            continue
        values = dict.fromkeys(value for value in MEANT[column](device, needs) if value)
        if values:
            yield [Filled(column, v, refilled(device, column, v)) for v in values]


def _lacks_all(catalogue: Catalogue, filled: Filled) -> bool:
    group = next((g for g in _GROUPS if filled.column in g), (filled.column,))
    device = catalogue.devices[filled.device.id]
    return not any(getattr(device, column) for column in group)


def _alone(probes: Probes, needs: Needs, tries: Sequence[list[Filled]]) -> Iterator[Filled]:
    """The cells of `tries` that do alone, each with the first value that does; by halves."""
    if not tries or not _possible(probes, needs, [values[-1] for values in tries]):
        return
    if len(tries) == 1:
        yield next(f for f in tries[0] if f == tries[0][-1] or _possible(probes, needs, [f]))
        return
    middle = len(tries) // 2
    yield from _alone(probes, needs, tries[:middle])
    yield from _alone(probes, needs, tries[middle:])


def _possible(probes: Probes, needs: Needs, filled: Sequence[Filled]) -> bool:
    return Probes(_with(probes.catalogue, filled), probes.deadline).possible(needs)


def _with(catalogue: Catalogue, filled: Sequence[Filled]) -> Catalogue:
    changed = {one.device.id: one.device for one in filled}
    return replace(catalogue, devices={**catalogue.devices, **changed})


def _costed(probes: Probes, needs: Needs, filled: Filled) -> BlankCell:
    value = filled.value
    text = ";".join(value) if isinstance(value, tuple) else str(value)
    with_it = Probes(_with(probes.catalogue, [filled]), probes.deadline)
    return BlankCell(filled.device.id, filled.column, text, with_it.total(needs))


def _optical(device: Device, needs: Needs) -> Iterator[int]:
    return _links(LIGHT_PIPE, device, needs)


def _coax(device: Device, needs: Needs) -> Iterator[int]:
    return _links(COAX, device, needs)


def _links(name: str, device: Device, needs: Needs) -> Iterator[int]:
    """One socket, or as many as carry all the channels of the unit."""
    if device.digital:
        yield 1
        yield -(-device.analogue // FORMATS[name].carries(RATE_MULTIPLIER[needs.rate_hz]))


def _trunk(device: Device, _: Needs) -> Iterator[int]:
    if device.trunk is not None:
        yield 1


def _clock(device: Device, _: Needs) -> Iterator[tuple[str, ...]]:
    yield tuple(kind for kind in SOCKET_KINDS if getattr(device, f"{kind}_in"))


def _at_4x(kind: str, device: Device, needs: Needs) -> Iterator[int]:
    if RATE_MULTIPLIER[needs.rate_hz] == 4:
        yield max(getattr(device, f"{kind}_in"), getattr(device, f"{kind}_out"))


def _trunk_out(device: Device, needs: Needs) -> Iterator[int]:
    if device.trunk is not None and not device.trunk.duplex:
        yield from _trunk(device, needs)


MEANT: Final[dict[str, Values]] = {
    "optical_out": _optical,
    "optical_in": _optical,
    "clock_in": _clock,
    "coax_out": _coax,
    "coax_in": _coax,
    "direct_out": lambda device, _: [device.mic_capable if device.role != "host" else 0],
    "trunk_in": _trunk,
    "trunk_out": _trunk_out,
    "phantom_bank": lambda device, _: [device.mic_capable, min(device.mic_capable, 1)],
    "line_out": lambda device, needs: [needs.out_line if device.digital else 0],
    "phones": lambda device, needs: [needs.out_phones if device.role != "clock" else 0],
    "optical_4x": lambda device, needs: _at_4x("optical", device, needs),
    "coax_4x": lambda device, needs: _at_4x("coax", device, needs),
    "optical_stereo": lambda device, _: [max(device.optical_in, device.optical_out)],
    "word_out": lambda device, _: [1 if device.digital else 0],
}
"""What the blank cell of a unit may have been meant to say, by column; 0 is nothing."""
