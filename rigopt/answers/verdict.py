"""What is to be said of a rig that somebody wired: does it work, and does it do its job?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rigopt.needs.types import Needs
from rigopt.rig.audit import Finding, audit_needs, audit_wiring, warnings
from rigopt.rig.audit.causes import causes
from rigopt.rig.audit.clock import hops
from rigopt.rig.audit.demands import check_boxes
from rigopt.rig.audit.finding import finding
from rigopt.rig.audit.sources import check_sources
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Input, Rig
from rigopt.rig.wired import StatedInput, WiredRig, by_place, place_of, unburdened

SPARE: Final = ("carries-nothing", "line-idle", "line-needless")
"""Cables too many: a fault of a rig that is to be bought, a remark on one that is there."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A wired rig and what the audit says of it. No findings: it works."""

    rig: WiredRig
    findings: tuple[Finding, ...]
    warnings: tuple[Finding, ...]
    inputs: tuple[Input, ...]
    """Inputs that reach the computer, with the use the file gives them."""
    clock_hops: int

    @property
    def works(self) -> bool:
        """Whether nothing is wrong with it."""
        return not self.findings

    @property
    def status(self) -> str:
        """The word for it."""
        return "works" if self.works else "does not work"

    @property
    def exit_status(self) -> int:
        """The exit status that goes with it, where no repair was asked for."""
        return 0 if self.works else 3

    def as_rig(self) -> Rig:
        """The rig as outputs take it, with nothing to buy."""
        wired = self.rig
        return Rig(wired.rate_hz, wired.units, wired.links, self.inputs, (), self.clock_hops, 0)


def examine(rig: WiredRig, needs: Needs | None, own_clocks: bool = False) -> Verdict:
    """The verdict on `rig`, against `needs` where there are any.

    `own_clocks`: where there are none, whether hosts may run on clocks of their own.
    """
    units, rate_hz = rig.units, rig.rate_hz
    links = unburdened(units, rig.links, rate_hz)
    if needs is None:
        found = audit_wiring(units, links, rate_hz, own_clocks)
    else:
        found = audit_needs(units, links, rate_hz, needs)
    inputs, misplaced = seat(rig.stated, derive_inputs(units, links, rate_hz), needs)
    boxes = check_boxes(Wiring(units, links, rate_hz), inputs)
    said = [*found, *misplaced, *boxes]
    if needs is not None and any(item.source for item in inputs):
        said += check_sources(inputs, needs)
    first = causes(said)
    spare = tuple(x for x in first if x.rule in SPARE)
    remarks = (*spare, *warnings(units, links, rate_hz))
    faults = tuple(x for x in first if x.rule not in SPARE)
    return Verdict(rig, faults, remarks, inputs, hops(units))


def seat(
    stated: Sequence[StatedInput], inputs: Sequence[Input], needs: Needs | None
) -> tuple[tuple[Input, ...], list[Finding]]:
    """`inputs` with the use that `stated` gives them, and what is wrong with that.

    A named source of the needs is used as its kind where the file does not say more.
    """
    kinds = {line.name: line.kind for line in needs.sources} if needs else {}
    known = by_place(inputs)
    placed: dict[int, Input] = {}
    wrong: list[Finding] = []
    for said in stated:
        item = known.get(place_of(said))
        if item is None or item.computer_input in placed:
            wrong.append(_nowhere(said) if item is None else _twice(item))
            continue
        use = said.use or kinds.get(said.source or "")
        path = item.path if said.through is None else (said.through, *item.path)
        placed[item.computer_input] = replace(item, use=use, source=said.source, path=path)
        wrong += _check(said, placed[item.computer_input])
    return tuple(placed.get(item.computer_input, item) for item in inputs), wrong


def _check(said: StatedInput, item: Input) -> Iterator[Finding]:
    number = item.computer_input
    if said.number not in (None, number):
        yield finding(
            "input-channel",
            "listed",
            channel=item.channel,
            unit=item.unit,
            said=said.number or 0,
            number=number,
        )
    taken = item.use if said.through is None else "mic"
    if item.use is not None and taken not in item.accepts:
        yield finding("use", number=number, use=item.use, listed=", ".join(item.accepts))
    if item.use == "mic" and said.phantom not in (None, item.phantom):
        yield finding(
            "input-phantom",
            "listed",
            number=number,
            said="on" if said.phantom else "off",
            right="on" if item.phantom else "off",
            channel=item.channel,
            unit=item.unit,
        )


def _nowhere(said: StatedInput) -> Finding:
    if said.unit is not None and said.channel is not None:
        where = f"channel {said.channel} of {said.unit}"
    else:
        where = f"input {said.number}"
    return finding(
        "input-extra", "listed", where=where, what=said.source or said.use or "something"
    )


def _twice(item: Input) -> Finding:
    return finding("input-order", "twice", number=item.computer_input)
