"""Which prices to look up, in sentences."""

from __future__ import annotations

from typing import Final

from rigopt.answers.prices import Why
from rigopt.output.words.phrases import count

BECAUSE: Final[dict[Why, str]] = {
    "every": "It is in every rig that could still be cheapest.",
    "could": "It is in a rig that is cheapest if what is not known costs next to nothing.",
}
HOW: Final = (
    "Type them into the price column, or add --price {item}=MONEY for each, and ask again."
)
UNKNOWN: Final = (
    "The price of {items} is not known and counts nothing here: every rig buys as much of it. "
    "It comes on top."
)


def all_known(unknown: int) -> str:
    """That it is done, and how many prices nobody had to look up."""
    if not unknown:
        return "Every price is known."
    return f"No more prices are needed: {count(unknown, 'unknown price')} never mattered."
