"""What the cables of a rig cost at least, and how many analogue pieces that takes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from typing import NamedTuple

from rigopt.catalogue.types import Cable, Catalogue
from rigopt.needs.types import Needs
from tests.analogue.patching import Lines

OPTICAL_LIMIT = 10_000
ANALOGUE_LIMIT = 30_000


class Bundle(NamedTuple):
    """Lines that share pieces: they leave one unit by one plug and end in one plug.

    `single`: one piece must do. `runs`: the length that each line needs, ascending.
    """

    ends: tuple[str, str]
    runs: tuple[int, ...]
    single: bool


class Shop:
    """Prices of cables, with what is owned."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.cables, self.needs = list(catalogue.cables.values()), needs
        self.patched = cache(self._patched)
        self.optical = cache(self._optical)
        self.ways = cache(self._ways)
        self.leads = [c for c in self.cables if c.kind == "analogue"]
        self.leads = [c for c in self.leads if c.length_mm <= ANALOGUE_LIMIT]

    def run(self, one: int, other: int) -> int:
        """How long a cable between two units must be."""
        return self.needs.host_to_rack_mm if 0 in (one, other) else self.needs.within_rack_mm

    def price(self, used: Counter[str]) -> int | None:
        """Money for these pieces; None if they cannot be had."""
        money = 0
        for cable in self.cables:
            bought = max(0, used[cable.id] - self.needs.owned.get(cable.id, 0))
            if bought and cable.price is None:
                return None
            money += -(-bought // cable.pack) * (cable.price or 0)
        return money

    def _optical(self, far: int, near: int) -> int | None:
        """The least for optical cables of these runs."""
        cables = [c for c in self.cables if c.kind == "optical"]
        cables = [c for c in cables if c.length_mm <= OPTICAL_LIMIT]
        runs = [self.needs.host_to_rack_mm] * far + [self.needs.within_rack_mm] * near
        sums: set[tuple[str, ...]] = {()}
        for run in runs:
            some = [c.id for c in cables if c.length_mm >= run]
            sums = {tuple(sorted((*done, one))) for done in sums for one in some}
        prices = [self.price(Counter(one)) for one in sums]
        return min((price for price in prices if price is not None), default=None)

    def bundles(self, lines: Lines) -> tuple[Bundle, ...]:
        """The lines by what their pieces may share."""
        groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
        for stub, _, target, _ in lines:
            one = target if target.socket is not None else None
            key = (stub.plug, target.plug, stub, one)
            groups[key].append(self.run(stub.unit, target.unit))
        return tuple(
            sorted(
                Bundle((str(key[0]), str(key[1])), tuple(sorted(runs)), "dsub" in key[:2])
                for key, runs in groups.items()
            )
        )

    def _patched(self, bundles: tuple[Bundle, ...]) -> tuple[int, int] | None:
        """The least money, then pieces, for all bundles together."""
        sums: set[tuple[str, ...]] = {()}
        for bundle in bundles:
            ways = self.ways(bundle)
            sums = {tuple(sorted((*done, *way))) for done in sums for way in ways}
        keys = ((self.price(Counter(way)), len(way)) for way in sums)
        return min(((m, n) for m, n in keys if m is not None), default=None)

    def _ways(self, bundle: Bundle) -> frozenset[tuple[str, ...]]:
        """Every set of pieces for one bundle of which none can be spared."""
        fitting = [c for c in self.leads if c.ends == bundle.ends]
        if bundle.single:
            return frozenset((c.id,) for c in fitting if c.length_mm >= bundle.runs[-1])
        return frozenset(_covers(fitting, list(bundle.runs)))


def _covers(cables: list[Cable], runs: list[int]) -> Iterator[tuple[str, ...]]:
    """Pieces that take the longest runs first, each as many as it has ways or fewer."""
    if not runs:
        yield ()
        return
    for cable in cables:
        if cable.length_mm >= runs[-1]:
            for more in _covers(cables, runs[: max(0, len(runs) - cable.ways)]):
                yield tuple(sorted((cable.id, *more)))


def joins(cables: Iterable[Cable], needs: Needs) -> set[tuple[str, str]]:
    """Plugs that a cable which can be had joins."""
    return {
        c.ends
        for c in cables
        if c.ends and (c.price is not None or needs.owned.get(c.id, 0)) and c.kind == "analogue"
    }
