"""The key that is minimised."""

from __future__ import annotations

Key = tuple[int, int, int, int, int]
"""Money in minor units, units, links, clock hops, and minus the number of microphone-capable
channels that arrive: the least is best, in this order."""

NO_MONEY = 10**15
"""More than any rig costs: the price of what cannot be bought or is beyond the budget."""
