"""Small random catalogues and needs with every fact of links, numbers and clocks.

Plain boxes come from instances.py; *themes* change some of them, so that what a theme is
about happens often enough to matter. All data are invented.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.oracle.instances import Chooser, Drawn, Seeded, rarely, some_catalogue, some_needs
from tests.oracle.themes import THEMES, Question, Theme


def rich(seed: int, most_units: int = 4) -> Question:
    """The catalogue and needs of a seed; each theme has its turn."""
    return some_question(Seeded(seed), most_units, THEMES[seed % len(THEMES)])


@st.composite
def rich_questions(draw: Any) -> Question:
    """Any small catalogue, and needs for it."""
    choose = Drawn(draw)
    return some_question(choose, 3, choose.pick(THEMES))


def some_question(choose: Chooser, most_units: int, sure: Theme) -> Question:
    """Plain boxes and needs, changed by one theme at least."""
    catalogue = some_catalogue(choose, extras=rarely(choose))
    needs = some_needs(choose, catalogue, most_units)
    for theme in THEMES:
        if theme is sure or rarely(choose, 4):
            catalogue, needs = theme(choose, catalogue, needs)
    return catalogue, needs
