"""A catalogue read back as CSV and as JSON of the format `rigopt-list/1`: a record a row."""

from __future__ import annotations

from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.output.data.csv import csv_text
from rigopt.output.data.json_parts import Json, document
from rigopt.output.words.rows import Row, rows

FORMAT: Final = "rigopt-list/1"
COLUMNS: Final = ("kind", "id", "label", "price", "currency", "says", "doubts")


def list_csv(catalogue: Catalogue) -> str:
    """A row for each row of the catalogue; its doubts are one cell."""
    return csv_text(COLUMNS, map(_cells, rows(catalogue)))


def _cells(row: Row) -> list[str]:
    doubts = "; ".join(f"{doubt.column}: {doubt.says}" for doubt in row.doubts)
    return [row.kind, row.id, row.label, row.price, row.currency, row.says, doubts]


def list_json(catalogue: Catalogue) -> str:
    """The same as one object; a price that is blank is null."""
    return document(
        {
            "format": FORMAT,
            "title": catalogue.title,
            "currency": catalogue.currency,
            "invented": catalogue.invented,
            "rows": [_record(row) for row in rows(catalogue)],
        }
    )


def _record(row: Row) -> Json:
    return {
        **row._asdict(),
        "price": row.price or None,
        "doubts": [doubt._asdict() for doubt in row.doubts],
    }
