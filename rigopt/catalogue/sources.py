"""The list of sources: a line of it, and what the lines must be together.

It stands in the catalogue, in a file of its own, or in a needs file; each says in its own
way where a fault is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

from rigopt.catalogue.types import SourceLine
from rigopt.files.faults import Gathered

if TYPE_CHECKING:  # needs without a file do not wait for pydantic
    from rigopt.catalogue.rows import SourceRow

MOST_SOURCES: Final = 1_000


class Place(NamedTuple):
    """Where a fault is: a row and a column, or a key alone."""

    row: int | None
    column: str


Places = Callable[[int, str], Place]
"""The place of a column of the n-th line, counted from 1."""


def line(row: SourceRow) -> SourceLine:
    """A row of the list as the program has it."""
    return SourceLine(row.name, row.kind, row.phantom, row.pair or None, row.note)


def source_lines(
    rows: Sequence[tuple[int, SourceRow]], faults: Gathered
) -> tuple[SourceLine, ...]:
    """The sources of a table; rows that do not go together are noted by their numbers."""
    if len(rows) > MOST_SOURCES:
        faults.add(f"has {len(rows)} sources; {MOST_SOURCES} are the most")
        return ()
    lines = tuple(line(row) for _, row in rows)
    check(lines, lambda n, column: Place(rows[n - 1][0], column), faults)
    return lines


def check(sources: Sequence[SourceLine], place: Places, faults: Gathered) -> None:
    """Note sources of one name, 48 V where it has no meaning, and pairs that are none."""
    first: dict[str, int] = {}
    pairs: dict[str, list[int]] = {}
    for number, source in enumerate(sources, start=1):
        if source.name in first:
            taken = place(first[source.name], "name").row
            other = f"source {first[source.name]}" if taken is None else f"row {taken}"
            at = place(number, "name")
            faults.add(f"is the name of {other} already", value=source.name, **at._asdict())
        first.setdefault(source.name, number)
        if source.kind != "mic" and source.phantom != "any":
            problem = f"is for microphones; leave it out for kind {source.kind}"
            at = place(number, "phantom")
            faults.add(problem, value=source.phantom, **at._asdict())
        if source.pair is not None:
            pairs.setdefault(source.pair, []).append(number)
    for pair, numbers in pairs.items():
        if problem := _pair_problem([sources[number - 1].kind for number in numbers]):
            faults.add(problem, value=pair, **place(numbers[-1], "pair")._asdict())


def _pair_problem(kinds: Sequence[str]) -> str:
    """What is wrong with sources of these kinds that name one pair; '' is nothing."""
    if len(kinds) != 2:
        which = "this one is alone" if len(kinds) == 1 else f"{len(kinds)} name this one"
        return f"a pair is two sources, but {which}"
    if kinds[0] != kinds[1]:
        return f"a pair is two sources of one kind, not {kinds[0]} and {kinds[1]}"
    return ""
