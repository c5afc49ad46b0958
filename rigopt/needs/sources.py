"""What follows from a list of sources, and the list as a CSV file of its own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from rigopt.catalogue.types import SOURCES
from rigopt.errors import Fault
from rigopt.files.faults import Gathered
from rigopt.files.text import place, read_text
from rigopt.files.values import FORMULA
from rigopt.needs.types import SourceLine

COUNTS: Final = ("mic", "phantom", "no_phantom", "line", "instrument")
"""The needs that follow from a list of sources."""

WRITTEN: Final = (
    *("number", "source", "unit", "channel", "computer_input"),
    *("kind", "48_v", "path", "phantom", "pair", "note"),
)
"""The columns of an input list that the program wrote."""
_GUARD: Final = re.compile(rf"""(^|[,;][ "]*)'(?=[{re.escape("".join(FORMULA))}])""")
"""The apostrophe that kept a spreadsheet from running what stands behind it."""


def counts(sources: Iterable[SourceLine]) -> dict[str, int]:
    """How many sources there are of each kind, and of each need of 48 V."""
    sources = tuple(sources)
    found: dict[str, int] = {kind: sum(s.kind == kind for s in sources) for kind in SOURCES}
    mics = [s.phantom for s in sources if s.kind == "mic"]
    found |= {"phantom": mics.count("on"), "no_phantom": mics.count("off")}
    return {name: found[name] for name in COUNTS}


def read_sources(path: Path) -> tuple[tuple[SourceLine, ...], list[Fault]]:
    """The sources in a CSV file, and its faults; a list that names no source is one.

    It is a list by hand, or an input list that was written.
    """
    # Here and not above: a question without a list does not wait for it.
    from rigopt.catalogue.rows import SourceRow, parse_row, required  # noqa: PLC0415
    from rigopt.catalogue.sources import source_lines  # noqa: PLC0415
    from rigopt.files.csv import read_table  # noqa: PLC0415

    faults = Gathered(place(path))
    text = read_text(path, faults) or ""
    written = "computer_input" in text.lstrip().partition("\n")[0].casefold()
    columns = WRITTEN if written else tuple(SourceRow.model_fields)
    needed = ["source"] if written else required(SourceRow)
    rows = []
    for row in read_table(text, columns, needed, faults):
        cells = _as_asked(row.cells) if written else row.cells
        if cells and (parsed := parse_row(SourceRow, row.number, cells, None, faults)):
            rows.append((row.number, parsed))
    found = source_lines(rows, faults)
    if not (found or faults):
        faults.add("there is no source in it; each takes a row under the header")
    return found, faults.faults


def _as_asked(cells: Mapping[str, str]) -> dict[str, str]:
    """A row of an input list as a source; nothing for a channel that was left over.

    A list of an older version does not say what a microphone asked of 48 V: what the rig
    gave it stands for that, so that none meets 48 V which it was kept from. One without
    names is numbered.
    """
    if "number" not in cells:
        return {}
    kind = cells.get("kind", "mic")
    name = cells.get("source", f"{kind} {cells['number']}")
    name = _GUARD.sub(r"\1", name)
    asked = {"name": name, "kind": kind, "pair": cells.get("pair", "")}
    if kind == "mic":
        asked["phantom"] = cells.get("phantom", cells.get("48_v", "any"))
    return asked
