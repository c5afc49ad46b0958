"""The input list as CSV: each source with its channel, then the channels left to spare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rigopt.needs.sources import WRITTEN
from rigopt.needs.types import Needs, SourceLine
from rigopt.output.data.csv import csv_text
from rigopt.output.facts.inputs import Lines, box, jack_only, lines
from rigopt.output.facts.wants import wants
from rigopt.output.words import phrases
from rigopt.output.words.inputs import JACK_ONLY, way
from rigopt.rig.types import Input, Rig
from rigopt.rig.wishes import Wish, gave_way

COLUMNS: Final = WRITTEN

NOTES: Final[dict[Wish, str]] = {
    "pair": "not side by side with its pair: no two free channels in a row would do",
    "odd": "its pair begins on an even channel",
    "order": "on a lower input than a source listed before it",
}

NO_XLR: Final = f"48 V is on: {JACK_ONLY}"


def input_list_csv(rig: Rig, needs: Needs) -> str:
    """A row for each source in the order of the list, then one for each spare channel.

    Without a list, the inputs in use by their numbers. What a microphone asks of 48 V and its
    pair stand beside it, so that the list can be read back as one.
    """
    return csv_text(COLUMNS, _rows(rig, needs))


def _rows(rig: Rig, needs: Needs) -> Iterator[list[str]]:
    sources, asked = needs.sources, wants(rig.inputs, needs)
    places = {source.name: place for place, source in enumerate(sources)}
    pairs = {source.name: source.pair for source in sources}
    used = [item for item in rig.inputs if item.use]
    known = lines(rig.units, rig.links)
    used.sort(key=lambda item: places.get(item.source or "", len(places)))
    notes = _notes(rig, sources)
    for number, item in enumerate(used, start=1):
        name = item.source or ""
        said = [NO_XLR] if jack_only(item) else []
        note = "; ".join([*said, *notes.get(name, [])])
        place = _place(item, item.use or "", known)
        yield [
            str(number),
            name,
            *place,
            asked.get(item.computer_input, ""),
            pairs.get(name) or "",
            note,
        ]
    for item in rig.inputs:
        if not item.use:
            place = _place(item, phrases.listed(item.accepts, "or"), known)
            yield ["", "spare", *place, "", "", ""]


def _place(item: Input, kind: str, known: Lines) -> list[str]:
    number = [str(item.channel), str(item.computer_input)]
    phantom = "on" if item.phantom else "off"
    return [item.unit, *number, kind, phantom, _path(item, known)]


def _path(item: Input, known: Lines) -> str:
    """'di-1 > host-1 3', 'preamp-1 1 > host-1 5'; nothing for a channel of its own unit."""
    through, told = box(item), way(item, known)
    if through:
        return f"{through} > {told}"
    return told if (item.unit, item.channel) in known else ""


def _notes(rig: Rig, sources: Sequence[SourceLine]) -> dict[str, list[str]]:
    """A source's own note, and what gave way for it; of a pair, for both."""
    notes = {source.name: [source.note] for source in sources if source.note}
    for wish in gave_way(rig, sources):
        for source in sources:
            named = source.name if wish.wish == "order" else source.pair
            if named in wish.names:
                notes.setdefault(source.name, []).append(NOTES[wish.wish])
    return notes
