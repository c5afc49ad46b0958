"""Word-clock chains: every way to feed listeners from one unit's word outputs.

A chain leaves one output; each listener is joined to the one before by a cable, and all but
the last hang on a tee. A last one whose input has no 75-ohm end takes a tee and a
terminator more; one with a fixed end can only be last.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple


class Listener(NamedTuple):
    """A unit that is locked to the chain: whether it is a host, and its `word_end`."""

    host: bool
    end: str


class Laid(NamedTuple):
    """Word cables between a host and another unit, other word cables, and what ends them."""

    far: int
    near: int
    tees: int
    terminators: int

    def plus(self, other: Laid) -> Laid:
        """Both together."""
        return Laid(*(one + two for one, two in zip(self, other, strict=True)))


Chain = tuple[Listener, ...]


@cache
def ways(host: bool, listeners: tuple[Listener, ...], outs: int, most: int) -> frozenset[Laid]:
    """What it can take to feed all listeners from `outs` outputs, `most` on each."""
    return frozenset(
        laid(host, chains)
        for chains in chainings(listeners)
        if len(chains) <= outs and all(allowed(chain, most) for chain in chains)
    )


def fewest(listeners: tuple[Listener, ...], most: int) -> int:
    """The least number of outputs that can feed these listeners."""
    fixed = sum(one.end == "fixed" for one in listeners)
    return max(fixed, -(-len(listeners) // most))


def chainings(listeners: tuple[Listener, ...]) -> frozenset[tuple[Chain, ...]]:
    """Every way to put the listeners into chains, whatever the order of the chains."""
    if not listeners:
        return frozenset([()])
    return frozenset(
        tuple(sorted(chains))
        for rest in chainings(listeners[1:])
        for chains in inserted(listeners[0], rest)
    )


def inserted(one: Listener, chains: tuple[Chain, ...]) -> Iterator[tuple[Chain, ...]]:
    """The chains with one listener more, anywhere or in a chain of its own."""
    yield (*chains, (one,))
    for i, chain in enumerate(chains):
        for at in range(len(chain) + 1):
            longer = (*chain[:at], one, *chain[at:])
            yield (*chains[:i], longer, *chains[i + 1 :])


def allowed(chain: Chain, most: int) -> bool:
    """Whether a chain is short enough and no fixed end is before the last."""
    return len(chain) <= most and all(one.end != "fixed" for one in chain[:-1])


def laid(host: bool, chains: tuple[Chain, ...]) -> Laid:
    """What the chains take, from a unit that is a host or not."""
    total = Laid(0, 0, 0, 0)
    for chain in chains:
        senders = [host, *(one.host for one in chain[:-1])]
        far = sum(before != one.host for before, one in zip(senders, chain, strict=True))
        open_end = chain[-1].end == "none"
        tees = len(chain) - 1 + open_end
        total = total.plus(Laid(far, len(chain) - far, tees, int(open_end)))
    return total
