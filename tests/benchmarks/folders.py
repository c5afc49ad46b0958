"""A catalogue as a folder that the version before can read, too."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from rigopt.catalogue.types import Catalogue

NUMBERS: Final = (
    *("mic_line_inst", "mic_line", "line", "phantom_bank", "line_out", "phones"),
    *("optical_in", "optical_out", "optical_2x", "optical_4x", "coax_in", "coax_out"),
    *("word_in", "word_out", "rack_units", "mains"),
)


def write_folder(shop: Catalogue, folder: Path) -> Path:
    """Write it, with the columns of light-pipe, coax and word clock alone."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "catalog.toml").write_text(
        'title = "Random"\ncurrency = "EUR"\n', encoding="utf-8"
    )
    header = [
        "id",
        "label",
        "role",
        "price",
        "internal_clock",
        "clock_in",
        "rates_khz",
        *NUMBERS,
    ]
    rows = [
        [
            box.id,
            box.label,
            box.role,
            (box.price or 0) / 100,
            "yes" if box.internal_clock else "no",
            ";".join(map(str, box.clock_in)),
            ";".join(f"{rate / 1000:g}" for rate in box.rates_hz),
            *(getattr(box, name) for name in NUMBERS),
        ]
        for box in shop.devices.values()
    ]
    _write(folder / "devices.csv", [header, *rows])
    cables = [
        [c.id, c.label, c.kind, c.length_mm / 1000, (c.price or 0) / 100, c.pack]
        for c in shop.cables.values()
    ]
    _write(
        folder / "cables.csv", [["id", "label", "kind", "length_m", "price", "pack"], *cables]
    )
    return folder


def _write(path: Path, rows: Sequence[Sequence[object]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
