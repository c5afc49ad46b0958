"""Records, mappings with the same keys, as CSV for a spreadsheet.

Lines end in CR LF and cells are quoted as RFC 4180 has it.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from rigopt.output.data.shopping import harmless
from rigopt.rig.types import Unit

Record = Mapping[str, object]


def csv_text(records: Sequence[Record]) -> str:
    """A header and a row for each record; lists and counts by name are one cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(records[0])
    writer.writerows([_cell(value) for value in record.values()] for record in records)
    return out.getvalue()


def mix(units: Iterable[Unit]) -> dict[str, int]:
    """How many there are of each device id: hosts first, each in the order of ids."""
    boxes = list(units)
    hosts = {unit.device.id for unit in boxes if unit.role == "host"}
    counts = Counter(unit.device.id for unit in boxes)
    order = sorted(counts, key=lambda one: (one not in hosts, one))
    return {one: counts[one] for one in order}


def said(counts: Mapping[str, int]) -> str:
    """Counts by name on one line: '1 desk-8 + 2 pre-8'."""
    return " + ".join(f"{number} {name}" for name, number in counts.items())


def _cell(value: object) -> str:
    if isinstance(value, dict):
        return harmless(said(value))
    if value is None or isinstance(value, bool):
        return {None: "", True: "yes", False: "no"}[value]
    text = str(value)
    # A difference below zero is a number, not a formula.
    return text if _is_number(text) else harmless(text)


def _is_number(text: str) -> bool:
    return text.removeprefix("-").replace(".", "", 1).isdecimal() and text.isascii()
