"""Numbers by kind of socket: how many sockets, links or channels there are of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rigopt.facts import Kind


class ByKind(Mapping[Kind, int]):
    """A number for each kind, 0 of one not named. It never changes, and may be a key."""

    __slots__ = ("_hash", "_numbers")

    def __init__(self, numbers: Iterable[tuple[Kind, int]] = ()) -> None:
        self._numbers = {kind: number for kind, number in numbers if number}
        self._hash = hash(frozenset(self._numbers.items()))

    def __getitem__(self, kind: Kind) -> int:
        return self._numbers.get(kind, 0)

    def __contains__(self, kind: object) -> bool:
        return kind in self._numbers

    def __iter__(self) -> Iterator[Kind]:
        return iter(self._numbers)

    def __len__(self) -> int:
        return len(self._numbers)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ByKind) and self._numbers == other._numbers

    def __hash__(self) -> int:
        return self._hash

    def covers(self, other: ByKind) -> bool:
        """Whether there are at least as many of each kind."""
        return all(self[kind] >= number for kind, number in other._numbers.items())

    def less(self, kind: Kind) -> ByKind:
        """One less of a kind of which there are any."""
        return ByKind((k, number - (k == kind)) for k, number in self._numbers.items())

    def times(self, each: ByKind) -> int:
        """What they come to at `each` apiece: links times channels, say."""
        return sum(number * each[kind] for kind, number in self._numbers.items())


NONE = ByKind()
