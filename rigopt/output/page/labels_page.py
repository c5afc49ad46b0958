"""The labels of cables and units as a page to print: 24 on a sheet of A4, 70 by 37 mm each."""

from __future__ import annotations

from typing import Final

from rigopt.output.page.templates import template
from rigopt.output.words.labels import labels
from rigopt.rig.types import Rig

ON_A_SHEET: Final = 24


def labels_page(rig: Rig) -> str:
    """The page as HTML text that ends with a line end."""
    all_of_them = labels(rig)
    sheets = [
        all_of_them[first : first + ON_A_SHEET]
        for first in range(0, len(all_of_them), ON_A_SHEET)
    ]
    return template("labels.html.j2").render(sheets=sheets)
