"""Needs with one of them set to another value, and nothing else changed.

Counts of sources hang together: a microphone that needs 48 V is a microphone, and with a
list of sources every count follows from it. So a smaller count leaves out the last sources
of the list, and a smaller number of those that care about 48 V makes the last of them
indifferent.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from rigopt.answers.choice import NeedName, Setting
from rigopt.needs.row import Row
from rigopt.needs.types import Group, Needs, SourceLine, Value


def edited(needs: Needs, name: NeedName, value: Value) -> Needs:
    """`needs` with the need `name` set to `value`."""
    if name == "pairs":
        return replace(needs, sources=tuple(replace(s, pair=None) for s in needs.sources))
    fields: dict[str, Any] = {name: value}
    if name == "mic":
        fields["no_phantom"] = min(needs.no_phantom, int(value or 0))  # type: ignore[arg-type]
        rest = int(value or 0) - fields["no_phantom"]  # type: ignore[arg-type]
        fields["phantom"] = min(needs.phantom, rest)
    new = replace(needs, **fields)
    return replace(new, sources=_listed(needs.sources, new)) if needs.sources else new


def value_of(needs: Needs, name: NeedName) -> Any:
    """The value of the need `name`."""
    if name != "pairs":
        return getattr(needs, name)
    return sum(source.pair is not None for source in needs.sources) // 2


def forbids(row: Row, value: Value) -> bool:
    """Whether `value` can stand in the way of a rig; ports are the same in any order."""
    if row.kind == "ports" and isinstance(value, tuple) and isinstance(row.neutral, tuple):
        return set(value) != set(row.neutral)
    return value != row.neutral


def with_settings(needs: Needs, settings: Iterable[Setting]) -> Needs:
    """`needs` with every one of `settings`."""
    for setting in settings:
        needs = edited(needs, setting.name, setting.now)
    return needs


def _listed(sources: Sequence[SourceLine], needs: Needs) -> tuple[SourceLine, ...]:
    """`sources` cut and extended so that their counts are those of `needs`."""
    room = Counter(needs.groups)
    kept: dict[int, SourceLine] = {}
    for place, source in enumerate(sources):
        if room[source.group] > 0:
            room[source.group] -= 1
            kept[place] = source
    for place, source in enumerate(sources):
        # One that no longer says anything of 48 V is still there.
        if place not in kept and room[Group(source.kind)] > 0:
            room[Group(source.kind)] -= 1
            kept[place] = replace(source, phantom="any")
    return _paired([kept[place] for place in sorted(kept)]) + _more(room)


def _paired(sources: Sequence[SourceLine]) -> tuple[SourceLine, ...]:
    """`sources`, where one whose other half is gone is no longer half of a pair."""
    halves = Counter(source.pair for source in sources)
    return tuple(
        source if halves[source.pair] == 2 else replace(source, pair=None) for source in sources
    )


def _more(room: Counter[Group]) -> tuple[SourceLine, ...]:
    """Sources for the room that is left."""
    more = []
    for (kind, phantom), number in sorted(room.items()):
        for count in range(number):
            name = f"another {kind} {phantom} {count + 1}"
            more.append(SourceLine(name, kind, phantom))
    return tuple(more)
