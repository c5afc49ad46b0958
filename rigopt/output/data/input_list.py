"""The input list as CSV: each source with its channel, then the channels left to spare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rigopt.needs.sources import WRITTEN
from rigopt.needs.types import SourceLine
from rigopt.output.data.csv import csv_text
from rigopt.output.words import phrases
from rigopt.rig.types import Input, Rig
from rigopt.rig.wishes import Wish, gave_way

COLUMNS: Final = WRITTEN

NOTES: Final[dict[Wish, str]] = {
    "pair": "not side by side with its pair: no two free channels in a row would do",
    "odd": "its pair begins on an even channel",
    "order": "on a lower input than a source listed before it",
}


def input_list_csv(rig: Rig, sources: Sequence[SourceLine] = ()) -> str:
    """A row for each source in the order of the list, then one for each spare channel.

    Without a list, the inputs in use by their numbers.
    """
    return csv_text(COLUMNS, _rows(rig, sources))


def _rows(rig: Rig, sources: Sequence[SourceLine]) -> Iterator[list[str]]:
    places = {source.name: place for place, source in enumerate(sources)}
    listed = {source.name: source for source in sources}
    used = [item for item in rig.inputs if item.use]
    used.sort(key=lambda item: places.get(item.source or "", len(places)))
    notes = _notes(rig, sources)
    for number, item in enumerate(used, start=1):
        name = item.source or ""
        note = "; ".join(notes.get(name, []))
        asked = _asked(listed.get(name))
        yield [str(number), name, *_place(item, item.use or ""), *asked, note]
    for item in rig.inputs:
        if not item.use:
            place = _place(item, phrases.listed(item.accepts, "or"))
            yield ["", "spare", *place, *_asked(None), ""]


def _place(item: Input, kind: str) -> list[str]:
    number = [str(item.channel), str(item.computer_input)]
    return [item.unit, *number, kind, "on" if item.phantom else "off"]


def _asked(source: SourceLine | None) -> list[str]:
    """What the list of sources says, so that this one can be read back as one."""
    if source is None:
        return ["", ""]
    return [source.phantom if source.kind == "mic" else "", source.pair or ""]


def _notes(rig: Rig, sources: Sequence[SourceLine]) -> dict[str, list[str]]:
    """A source's own note, and what gave way for it; of a pair, for both."""
    notes = {source.name: [source.note] for source in sources if source.note}
    for wish in gave_way(rig, sources):
        for source in sources:
            named = source.name if wish.wish == "order" else source.pair
            if named in wish.names:
                notes.setdefault(source.name, []).append(NOTES[wish.wish])
    return notes
