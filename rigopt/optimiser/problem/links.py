"""Numbers of links by format."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping


class Links(Mapping[str, int]):
    """A number for each format, by id; 0 of one not named. Never changes; may be a key."""

    __slots__ = ("_hash", "_numbers")

    def __init__(self, numbers: Iterable[tuple[str, int]] = ()) -> None:
        self._numbers = {name: number for name, number in sorted(numbers) if number}
        self._hash = hash(tuple(self._numbers.items()))

    def __getitem__(self, name: str) -> int:
        return self._numbers.get(name, 0)

    def __contains__(self, name: object) -> bool:
        return name in self._numbers

    def __iter__(self) -> Iterator[str]:
        return iter(self._numbers)

    def __len__(self) -> int:
        return len(self._numbers)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Links) and self._numbers == other._numbers

    def __hash__(self) -> int:
        return self._hash

    def plus(self, name: str, number: int) -> Links:
        """So many more of one format."""
        return Links({**self._numbers, name: self[name] + number}.items())

    def with_(self, other: Links) -> Links:
        """Both together."""
        names = dict.fromkeys([*self, *other])
        return Links((name, self[name] + other[name]) for name in names)


NONE = Links()
