"""Findings that come first, without those that only follow from them.

Where the wiring itself is at fault, what a file states of its cables (channels, audio,
clock) cannot be right, and a cable may carry nothing for no fault of its own. At a rate that
a unit does not run at, its sockets are dead and nothing of it arrives.
"""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.rig.audit.finding import Finding

FOLLOWING = ("channels", "carries-audio", "carries-clock", "carries-nothing")
FIRST = (
    *("role", "no-host", "rate", "two-hosts", "clock-audio"),
    *("socket-missing", "socket-dead", "socket-format", "socket-taken", "socket-either"),
    *("clock-none", "clock-master", "clock-internal", "clock-tree", "clock-hosts"),
    *("clock-kind", "clock-link", "clock-format", "clock-loop", "chain-start"),
)


AT_RATE = (
    *FOLLOWING,
    *("socket-dead", "socket-format", "clock-format", "clock-tree", "clock-hosts"),
    *("input-extra", "input-channel", "demand", "spare", "line-outputs", "phones"),
    *("source-places", "two-hosts"),
)
"""What follows where a unit does not run at the rate."""

WHERE_DEAD = ("input-extra", "demand", "spare", "line-outputs", "phones", "source-places")
"""What follows where a socket carries nothing at the rate."""


def causes(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """`findings` in their order; it is empty only if they are."""
    rules = {found.rule for found in findings}
    follows = {
        *(FOLLOWING if rules.intersection(FIRST) else ()),
        *(AT_RATE if "rate" in rules else ()),
        *(WHERE_DEAD if "socket-dead" in rules else ()),
    }
    unlinked = [found.fact("unit") for found in findings if found.rule == "clock-link"]
    return tuple(
        found
        for found in findings
        if found.rule not in follows
        and not (found.rule == "clock-loop" and found.fact("unit") in unlinked)
    )
