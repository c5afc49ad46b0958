"""Which piece of cable goes on which link."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rigopt.catalogue.types import Cable
from rigopt.facts import TEE, TERMINATOR
from rigopt.optimiser.model.variables import Lead
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.links import Wire


def with_cables(
    problem: Problem,
    packs: Mapping[str, tuple[int, ...]],
    wires: Sequence[Wire],
    roles: Mapping[str, str],
    *,
    leads: Sequence[Lead],
    laid: Mapping[str, int],
) -> tuple[Wire, ...]:
    """`wires` in their order, each with the shortest piece that is long enough.

    Where a wire has a stand-in for a T-piece or a terminator, it gets one that is there.
    `leads`: what each numbered piece of analogue cable is. `laid`: how many are in use of
    those that could be sold.

    The longer runs choose first; what they leave is as good for the shorter ones, since
    every piece they could have taken is long enough for both.
    """
    pool = _pool(problem, packs, laid)
    starts = [roles[wire.after or wire.from_unit] for wire in wires]
    runs = [
        problem.needs.run_mm(start, roles[wire.to_unit])
        for start, wire in zip(starts, wires, strict=True)
    ]
    wired = list(wires)
    shared: dict[int, Cable] = {}
    for place in sorted(range(len(wires)), key=lambda n: -runs[n]):
        wire = wires[place]
        if wire.piece is None:
            piece = _take(pool, wire.format.cable, runs[place])
        else:
            piece = shared.get(wire.piece) or _lead(pool, leads[wire.piece - 1], runs[place])
            shared[wire.piece] = piece
        tee = _take(pool, TEE) if wire.tee else None
        terminator = _take(pool, TERMINATOR) if wire.terminator else None
        wired[place] = replace(wire, cable=piece, tee=tee, terminator=terminator)
    return tuple(wired)


def _take(pool: list[Cable], kind: str, length_mm: int = 0) -> Cable:
    """The shortest piece that is long enough, taken from the pool."""
    piece = next(c for c in pool if c.kind == kind and c.length_mm >= length_mm)
    pool.remove(piece)
    return piece


def _lead(pool: list[Cable], lead: Lead, length_mm: int) -> Cable:
    """The shortest piece of these plugs and channels that is long enough."""
    sort = lead.ends, lead.ways
    piece = next(c for c in pool if (c.ends, c.ways) == sort and c.length_mm >= length_mm)
    pool.remove(piece)
    return piece


def _pool(
    problem: Problem, packs: Mapping[str, tuple[int, ...]], laid: Mapping[str, int]
) -> list[Cable]:
    """Every piece that is there to be used, the shortest first."""
    pool: list[Cable] = []
    for cable in sorted(problem.cables, key=lambda c: (c.length_mm, c.id)):
        pieces = problem.owned(cable.id)
        for supply, number in zip(
            problem.ways(cable.id), packs.get(cable.id, ()), strict=False
        ):
            pieces += supply.pack * number
        if cable.id in problem.sellable:
            pieces = laid.get(cable.id, 0)
        pool += [cable] * min(pieces, problem.max_pieces(cable) + problem.max_units)
    return pool
