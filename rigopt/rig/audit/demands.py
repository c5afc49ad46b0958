"""Demands: each source takes one arriving channel that accepts it, with its 48 V.

Two questions. `check_room`: does any assignment exist? It is answered by Hall's
condition (P. Hall, 1935, from memory): one exists exactly if every group of demands has
as many channels that can serve at least one of the group. Pairs of sources are not part
of it. `check_uses`: is the assignment that a rig states a right one?
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from rigopt.needs.types import Needs, Phantom
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.inputs import arriving
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Input


@dataclass(frozen=True, slots=True)
class Demand:
    """`count` sources alike."""

    words: str
    kind: str
    phantom: Phantom
    count: int


def demands(needs: Needs) -> list[Demand]:
    """The needs as groups of like sources."""
    plain = needs.mic - needs.phantom - needs.no_phantom
    return [
        Demand("microphones that need 48 V", "mic", "on", needs.phantom),
        Demand("microphones that must not get 48 V", "mic", "off", needs.no_phantom),
        Demand("microphones", "mic", "any", plain),
        Demand("line sources", "line", "any", needs.line),
        Demand("instruments", "instrument", "any", needs.instrument),
    ]


def check_room(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule demand: the smallest groups of demands that find too few channels."""
    channels = [(behind.accepts, behind.phantom) for behind in arriving(wiring).values()]
    wanted = [demand for demand in demands(needs) if demand.count > 0]
    short: list[tuple[Demand, ...]] = []
    for size in range(1, len(wanted) + 1):
        for group in combinations(wanted, size):
            room = sum(any(_serves(channel, one) for one in group) for channel in channels)
            asked = sum(one.count for one in group)
            if asked > room and not any(set(known) <= set(group) for known in short):
                short.append(group)
                yield _short(group, asked, room)


def check_uses(inputs: Sequence[Input], needs: Needs) -> Iterator[Finding]:
    """Rules use, use-count, use-phantom of the assignment stated in `inputs`."""
    for item in inputs:
        if item.use is not None and item.use not in item.accepts:
            yield finding(
                "use", "input {number} is used for {use}; it accepts {listed}",
                "use an input that accepts {use}", number=item.computer_input, use=item.use,
                listed=", ".join(item.accepts),
            )  # fmt: skip
    for kind, asked in _asked(needs):
        used = sum(item.use == kind for item in inputs)
        if used != asked:
            yield finding(
                "use-count", "{used} inputs are used for {kind}; the needs ask for {asked}",
                "use {asked} inputs for {kind}", used=used, kind=kind, asked=asked,
            )  # fmt: skip
    yield from _check_phantom(inputs, needs)


def _check_phantom(inputs: Sequence[Input], needs: Needs) -> Iterator[Finding]:
    """On and off exclude each other, so the two counts decide whether the needs fit."""
    states = [item.phantom for item in inputs if item.use == "mic"]
    for on, asked in ((True, needs.phantom), (False, needs.no_phantom)):
        if states.count(on) < asked:
            yield finding(
                "use-phantom", "{found} microphone inputs in use have 48 V {state};"
                " {asked} microphones need it so",
                "switch a bank {state}, or use inputs that have 48 V {state}",
                found=states.count(on), state="on" if on else "off", asked=asked,
            )  # fmt: skip


def _serves(channel: tuple[tuple[str, ...], bool], demand: Demand) -> bool:
    kinds, powered = channel
    return demand.kind in kinds and demand.phantom in ("any", "on" if powered else "off")


def _asked(needs: Needs) -> tuple[tuple[str, int], ...]:
    return (("mic", needs.mic), ("line", needs.line), ("instrument", needs.instrument))


def _short(group: tuple[Demand, ...], asked: int, room: int) -> Finding:
    return finding(
        "demand", "{room} arriving channels can take {sources}; {asked} are needed",
        "bring in {missing} more such channels (switch a 48 V bank, add a cable or a unit)",
        room=room, asked=asked, missing=asked - room,
        sources=" and ".join(f"{one.count} {one.words}" for one in group),
    )  # fmt: skip
