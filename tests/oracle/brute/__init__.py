"""The cheapest rig by plain enumeration: no solver, no model, no shared code.

A *squad* is a multiset of boxes, each in the role that it plays. Squads are tried in order
of what the boxes cost. In each, every way to send audio, to feed outputs, to lock the clocks
and to plug the cables in is tried; the least key of all is kept.

The enumeration is complete because `needs.units` bounds the squad, sockets bound the links,
and these facts cut only what cannot be better:

* every cable carries audio or clock: one that does neither is left out, and so is a clock
  cable to a box that carries no audio and clocks nobody, which needs no clock without it;
* an audio cable of which nothing reaches the computer is no audio cable, and one that feeds
  only outputs which the others feed already is no feeding one; either may still bring clock;
* equal boxes may change places, so of their sendings one order counts; equal cable ends of a
  box may, so they are plugged in from left to right; cables that the computer sees all of
  are equal;
* more boxes, links, cables, tees or terminators never cost less, and more ends in a box
  never fit better; a word cable is at least as dear as one for the shorter run;
* what arrives is at most all channels that are sent, and more of it never serves worse;
* two units on internal clock are never in one tree;
* if nobody needs 48 V, or nobody must be spared it, one state of all banks is best.
"""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from tests.oracle.brute.boxes import Box, Boxes, castings, squads, within_limits
from tests.oracle.brute.demands import Demands
from tests.oracle.brute.key import NO_MONEY, Key
from tests.oracle.brute.purse import Purse, Thing
from tests.oracle.brute.squad import Squad

__all__ = [
    "NO_MONEY",
    "Box",
    "Boxes",
    "Key",
    "Purse",
    "Squad",
    "Thing",
    "brute_best",
    "brute_force",
    "castings",
    "squads",
    "within_limits",
]


def brute_force(catalogue: Catalogue, needs: Needs) -> int | None:
    """The least money in minor units of any rig; None when there is none."""
    best = brute_best(catalogue, needs)
    return None if best is None else best[0]


def brute_best(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least key of any rig; None when there is none.

    Raises:
        ValueError: When `needs.units` is None, since nothing then bounds the search.
    """
    if needs.units is None:
        raise ValueError("the enumeration needs a limit on the number of units")
    purse, demands = Purse(catalogue, needs), Demands(needs)
    best: Key | None = None
    for cost, boxes in sorted(
        squads(catalogue, needs, purse), key=lambda s: (s[0], len(s[1]), str(s[1]))
    ):
        if best is not None and (cost, len(boxes)) > best[:2]:
            break
        found = Squad(boxes, cost, needs, purse, demands).best(best)
        best = found or best
    return best
