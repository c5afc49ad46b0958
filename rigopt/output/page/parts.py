"""What several pages show of a rig: its picture, cables, inputs and settings."""

from __future__ import annotations

from collections.abc import Mapping

from rigopt.needs.types import Needs
from rigopt.output.page.picture.figure import picture
from rigopt.output.page.picture.marks import NO_MARKS, Marks
from rigopt.output.page.rows import setting_rows
from rigopt.output.words.inputs import INPUT_HEADERS, NO_INPUT, below, input_table, spare
from rigopt.output.words.ribbon import ribbon_line
from rigopt.output.words.wiring import (
    LINE_HEADERS,
    LINK_HEADERS,
    clock_notes,
    line_rows,
    link_rows,
)
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig


def cable_parts(rig: Rig, marks: Marks) -> Mapping[str, object]:
    """The same of a rig of which only units and cables are shown."""
    return {
        "picture": picture(rig, marks),
        "link_headers": LINK_HEADERS,
        "links": link_rows(rig),
        "line_headers": LINE_HEADERS,
        "lines": line_rows(rig),
        "settings": setting_rows(rig),
        "clocks": clock_notes(rig),
    }


def rig_parts(rig: Rig, needs: Needs, marks: Marks = NO_MARKS) -> Mapping[str, object]:
    """What `parts.html.j2` takes as a rig; `marks` are drawn on its picture."""
    ribbon = ribbon_line(rig.inputs)
    return {
        **cable_parts(rig, marks),
        "input_headers": INPUT_HEADERS,
        "inputs": input_table(rig, needs),
        "no_input": NO_INPUT,
        "spare": spare(figures(rig)),
        "below": [*([ribbon] if ribbon else []), *below(rig, needs.sources)],
    }
