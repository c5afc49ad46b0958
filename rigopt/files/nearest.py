"""The allowed name that a mistyped one most likely meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Final

LONGEST_LIST: Final = 1000
"""Longer lists of names are not searched: each look-up compares with every name."""


def nearest(word: str, allowed: Iterable[str]) -> str | None:
    """The name in `allowed` closest to `word`, or None when none is close.

    Case is ignored. A name of the same letters comes first ('GBP' for 'GPB'), and one that
    begins with `word` counts as close ('instrument' for 'inst'). Of equally close names the
    one that sorts last is taken, whatever their order.
    """
    names: dict[str, str] = {}
    for name in allowed:
        names.setdefault(name.casefold(), name)
    if not 0 < len(names) <= LONGEST_LIST:
        return None
    folded = word.casefold().strip()[:80]
    swapped = [name for name in names if sorted(name) == sorted(folded)]
    close = difflib.get_close_matches(folded, names, n=1, cutoff=0.6)
    longer = [name for name in names if len(folded) > 1 and name.startswith(folded)]
    found = (swapped + close + longer)[:1]
    return names[found[0]] if found else None
