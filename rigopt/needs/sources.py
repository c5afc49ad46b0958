"""The optional list of sources: its own rules, and the counts that follow from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rigopt.catalogue.types import SOURCES
from rigopt.files.faults import Gathered
from rigopt.needs.types import SourceLine

COUNTS: Final = ("mic", "phantom", "no_phantom", "line", "instrument")
"""The needs that follow from a list of sources."""


def counts(sources: Iterable[SourceLine]) -> dict[str, int]:
    """How many sources there are of each kind, and of each need of 48 V."""
    sources = tuple(sources)
    found: dict[str, int] = {kind: sum(s.kind == kind for s in sources) for kind in SOURCES}
    mics = [s.phantom for s in sources if s.kind == "mic"]
    found |= {"phantom": mics.count("on"), "no_phantom": mics.count("off")}
    return {name: found[name] for name in COUNTS}


def check(sources: Sequence[SourceLine], prefix: str, faults: Gathered) -> None:
    """Note sources of one name, 48 V where it has no meaning, and pairs that are none."""
    first: dict[str, int] = {}
    pairs: dict[str, list[int]] = {}
    for number, source in enumerate(sources, start=1):
        place = f"{prefix}source[{number}]"
        if source.name in first:
            faults.add(
                f"is the name of source {first[source.name]} already",
                column=f"{place}.name",
                value=source.name,
            )
        first.setdefault(source.name, number)
        if source.kind != "mic" and source.phantom != "any":
            problem = f"is for microphones; leave it out for kind {source.kind}"
            faults.add(problem, column=f"{place}.phantom", value=source.phantom)
        if source.pair is not None:
            pairs.setdefault(source.pair, []).append(number)
    for pair, numbers in pairs.items():
        _check_pair(pair, numbers, sources, prefix, faults)


def _check_pair(
    pair: str,
    numbers: Sequence[int],
    sources: Sequence[SourceLine],
    prefix: str,
    faults: Gathered,
) -> None:
    kinds = [sources[number - 1].kind for number in numbers]
    place = f"{prefix}source[{numbers[-1]}].pair"
    if len(numbers) != 2:
        which = "this one is alone" if len(numbers) == 1 else f"{len(numbers)} name this one"
        faults.add(f"a pair is two sources, but {which}", column=place, value=pair)
    elif kinds[0] != kinds[1]:
        problem = f"a pair is two sources of one kind, not {kinds[0]} and {kinds[1]}"
        faults.add(problem, column=place, value=pair)
