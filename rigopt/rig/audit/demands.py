"""Demands: each source takes one arriving channel that accepts it, with its 48 V.

Two questions. `check_room`: does any assignment exist? It is answered by Hall's
condition (P. Hall, 1935, from memory): one exists exactly if every group of demands has
as many channels that can serve at least one of the group. Pairs of sources are not part
of it. `check_uses`: is the assignment that a rig states a right one?
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from rigopt.needs.types import Needs, Phantom
from rigopt.rig.audit.banks import channels
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Finding, finding
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
        Demand("spare microphone inputs", "mic", "any", needs.spare),
    ]


def check_room(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rule demand: the smallest groups of demands that find too few channels.

    Instruments may be in DI boxes: it is enough if there is room with some of them in one.
    """
    ways = [list(_room(wiring, wanted)) for wanted in boxed(wiring, demands(needs))]
    if all(ways):
        yield from ways[0]


def boxed(wiring: Wiring, wanted: list[Demand]) -> Iterator[list[Demand]]:
    """The demands, with none of the instruments in a DI box first, then with some."""
    room = Counter[bool]()
    for unit in wiring.of_role("di"):
        room[unit.device.di_phantom] += unit.device.inst
    instruments = next(one.count for one in wanted if one.kind == "instrument")
    for powered in range(min(room[True], instruments) + 1):
        for other in range(min(room[False], instruments - powered) + 1):
            yield [
                *(
                    replace(one, count=one.count - powered - other)
                    if one.kind == "instrument"
                    else one
                    for one in wanted
                ),
                Demand("instruments in DI boxes that need 48 V", "mic", "on", powered),
                Demand("instruments in DI boxes", "mic", "any", other),
            ]


def _room(wiring: Wiring, every: list[Demand]) -> Iterator[Finding]:
    known = channels(wiring)
    arriving = [known[channel] for channel in listen(wiring).inputs.values()]
    wanted = [demand for demand in every if demand.count > 0]
    short: list[tuple[Demand, ...]] = []
    for size, _ in enumerate(wanted, start=1):
        for group in combinations(wanted, size):
            room = sum(any(_serves(channel, one) for one in group) for channel in arriving)
            asked = sum(one.count for one in group)
            if asked > room and not any(set(known) <= set(group) for known in short):
                short.append(group)
                yield _short(group, asked, room)


def check_uses(inputs: Sequence[Input], needs: Needs) -> Iterator[Finding]:
    """Rules use, use-count, use-phantom, spare of the assignment stated in `inputs`."""
    for item in inputs:
        taken = "mic" if _in_box(item) else item.use
        if item.use is not None and taken not in item.accepts:
            yield finding(
                "use", number=item.computer_input, use=item.use, listed=", ".join(item.accepts)
            )
    for kind, asked in _asked(needs):
        used = sum(item.use == kind for item in inputs)
        if used != asked:
            yield finding("use-count", used=used, kind=kind, asked=asked)
    yield from _check_phantom(inputs, needs)
    left = sum(item.use is None and "mic" in item.accepts for item in inputs)
    if left < needs.spare:
        yield finding("spare", count=left, asked=needs.spare)


def _in_box(item: Input) -> bool:
    """Whether something stands between the source and the unit of the input."""
    return item.path[:1] not in ((), (item.unit,))


def check_boxes(wiring: Wiring, inputs: Sequence[Input]) -> Iterator[Finding]:
    """Rules di-missing, di-phantom: instruments in DI boxes, each on a channel of its own."""
    used: Counter[str] = Counter()
    for item in inputs:
        if not _in_box(item):
            continue
        name = item.path[0]
        unit = wiring.by_name.get(name)
        used[name] += 1
        if (
            unit is None
            or unit.role != "di"
            or used[name] > unit.device.inst
            or item.use != "instrument"
        ):
            yield finding("di-missing", number=item.computer_input, box=name)
        elif unit.device.di_phantom and not item.phantom:
            yield finding("di-phantom", number=item.computer_input, box=name)


def _check_phantom(inputs: Sequence[Input], needs: Needs) -> Iterator[Finding]:
    """On and off exclude each other, so the two counts decide whether the needs fit."""
    states = [item.phantom for item in inputs if item.use == "mic"]
    for on, asked in ((True, needs.phantom), (False, needs.no_phantom)):
        if states.count(on) < asked:
            yield finding(
                "use-phantom", found=states.count(on), state="on" if on else "off", asked=asked
            )


def _serves(channel: tuple[tuple[str, ...], bool], demand: Demand) -> bool:
    kinds, powered = channel
    return demand.kind in kinds and demand.phantom in ("any", "on" if powered else "off")


def _asked(needs: Needs) -> tuple[tuple[str, int], ...]:
    return (("mic", needs.mic), ("line", needs.line), ("instrument", needs.instrument))


def _short(group: tuple[Demand, ...], asked: int, room: int) -> Finding:
    return finding(
        "demand",
        room=room,
        asked=asked,
        missing=asked - room,
        sources=" and ".join(f"{one.count} {one.words}" for one in group),
    )
