"""What the sources ask of a channel: five groups, and which channel serves which."""

from __future__ import annotations

from typing import Literal

from rigopt.catalogue.types import ACCEPTS, Source
from rigopt.needs.types import Needs

Group = Literal["phantom", "no_phantom", "mic", "line", "instrument"]
Power = Literal["on", "off", "none"]
GROUPS: tuple[Group, ...] = ("phantom", "no_phantom", "mic", "line", "instrument")


def demands(needs: Needs) -> dict[Group, int]:
    """How many sources are in each group that is not empty."""
    counts: dict[Group, int] = {
        "phantom": needs.phantom,
        "no_phantom": needs.no_phantom,
        "mic": needs.mic - needs.phantom - needs.no_phantom,
        "line": needs.line,
        "instrument": needs.instrument,
    }
    return {group: counts[group] for group in GROUPS if counts[group]}


def serves(channel_kind: str, power: Power, group: Group) -> bool:
    """Whether a channel in a bank of that state takes a source of that group."""
    accepts = ACCEPTS[channel_kind]
    if group in ("line", "instrument"):
        return group in accepts
    wanted: Source = "mic"
    if wanted not in accepts:
        return False
    return group == "mic" or (power == "on") == (group == "phantom")
