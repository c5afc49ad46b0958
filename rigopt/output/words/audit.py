"""The verdict on a wired rig in a few words."""

from __future__ import annotations

from rigopt.answers.verdict import Verdict
from rigopt.needs.types import Needs
from rigopt.output.facts.cables import is_line
from rigopt.output.words.answer import cables
from rigopt.output.words.phrases import count, khz
from rigopt.rig.counts import by_piece
from rigopt.rig.wired import WiredRig


def headline(verdict: Verdict) -> str:
    """'The rig works', or with how many faults it does not."""
    found = count(len(verdict.findings), "fault")
    return "The rig works" if verdict.works else f"The rig does not work: {found}"


def rate_told(rig: WiredRig) -> str:
    """'48 kHz, 3 units, 4 digital cables'."""
    leads = sum(map(is_line, by_piece(rig.links)))
    digital = sum(not is_line(link) for link in rig.links)
    size = f"{count(len(rig.units), 'unit')}, {cables(digital, leads)}"
    return f"{khz(rig.rate_hz)} kHz, {size}"


def needs_told(verdict: Verdict, needs: Needs) -> str:
    """Whether the needs are met."""
    name = f"{needs.title}: " if needs.title.strip() else ""
    return f"{name}{'met' if verdict.works else 'not met, or not by a rig that works'}"
