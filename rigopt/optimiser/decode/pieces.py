"""Which piece of cable goes on which link."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rigopt.catalogue.types import Cable
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.links import Wire


def with_cables(
    problem: Problem,
    packs: Mapping[str, tuple[int, ...]],
    wires: Sequence[Wire],
    roles: Mapping[str, str],
) -> tuple[Wire, ...]:
    """`wires` in their order, each with the shortest piece that is long enough.

    The longer runs choose first; what they leave is as good for the shorter ones, since
    every piece they could have taken is long enough for both.
    """
    pool = _pool(problem, packs)
    runs = [problem.needs.run_mm(roles[w.from_unit], roles[w.to_unit]) for w in wires]
    wired = list(wires)
    for place in sorted(range(len(wires)), key=lambda n: -runs[n]):
        piece = next(
            c for c in pool if c.kind == wires[place].kind and c.length_mm >= runs[place]
        )
        pool.remove(piece)
        wired[place] = replace(wires[place], cable=piece)
    return tuple(wired)


def _pool(problem: Problem, packs: Mapping[str, tuple[int, ...]]) -> list[Cable]:
    """Every piece at hand, the shortest first."""
    pool: list[Cable] = []
    for cable in sorted(problem.cables, key=lambda c: (c.length_mm, c.id)):
        pieces = problem.owned(cable.id)
        for supply, number in zip(
            problem.ways(cable.id), packs.get(cable.id, ()), strict=False
        ):
            pieces += supply.pack * number
        pool += [cable] * min(pieces, problem.max_links)
    return pool
