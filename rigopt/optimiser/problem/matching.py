"""Whether everything that is wanted finds a place of its own, by augmenting paths."""

from __future__ import annotations

from collections.abc import Container, Sequence


def matched(able: Sequence[Sequence[int]], taken: Container[int] = ()) -> bool:
    """Whether each want finds a place; `able`: the places that serve it, `taken`: those that
    nobody has any more."""
    holder: dict[int, int] = {}

    def place(want: int, tried: set[int]) -> bool:
        for n in able[want]:
            if n in taken or n in tried:
                continue
            tried.add(n)
            if n not in holder or place(holder[n], tried):
                holder[n] = want
                return True
        return False

    return all(place(want, set()) for want in range(len(able)))
