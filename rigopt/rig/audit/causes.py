"""Findings that come first, without those that only follow from them.

Where the wiring itself is at fault, what a file states of its cables (channels, audio,
clock) cannot be right, and a cable may carry nothing for no fault of its own.
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


def causes(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """`findings` in their order; it is empty only if they are."""
    first = any(found.rule in FIRST for found in findings)
    unlinked = [found.fact("unit") for found in findings if found.rule == "clock-link"]
    return tuple(
        found
        for found in findings
        if not (first and found.rule in FOLLOWING)
        and not (found.rule == "clock-loop" and found.fact("unit") in unlinked)
    )
