"""What money counts where prices are ranges, other than all of them at their upper ends.

A *rival* is a rig that another one is measured against: what it pays exactly, and how many
packs it buys of each item whose price is a range.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple


class Rival(NamedTuple):
    """A rig: `exact`, in minor units, is net of what is sold; `lows`: what one of its `packs`
    costs at least."""

    exact: int
    packs: Mapping[str, int]
    lows: Mapping[str, int]


class Pricing(NamedTuple):
    """`against`: the first packs of an item, as many as `bought` says, at its upper end, and
    each further one at its lower end. `middle`: everything doubled, ranges at the sum of
    their ends. `regret`: the largest regret over `rivals`.

    `limit`: the largest regret over `rivals` is at most this, whatever counts.
    """

    counts: Literal["against", "middle", "regret"]
    bought: Mapping[str, int] = {}
    rivals: tuple[Rival, ...] = ()
    limit: int | None = None
