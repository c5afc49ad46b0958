"""Charts of prices for a page: SVG of our own, in the page's fonts and colours.

Across, everything is in hundredths of the width there is, and text is set by the page; so a
chart has the same lettering at every width, and needs no measuring of text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from rigopt.money import to_text
from rigopt.output.facts.steps import Flat
from rigopt.output.page.scale import Scale, scale
from rigopt.output.page.templates import template
from rigopt.output.words.phrases import amount, span, together

HIGH: Final = 240
"""Pixels from the lowest mark of a curve to the highest."""

APART: Final = 18.0
"""Hundredths of the width that an amount takes on a telephone."""

LINE: Final = 14.0
"""Pixels that a line of lettering takes."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One of several bars: its name, what it is worth in minor units, and that in words.

    A bar that is worth None is told in words alone. It begins at `least`.
    """

    name: str
    amount: int | None
    told: str
    least: int = 0


def bars(shown: Sequence[Bar], title: str) -> Markup:
    """A bar for each, with its name and its worth beside it."""
    amounts = [bar.amount for bar in shown if bar.amount is not None]
    # The longest bar has the whole width.
    across = Scale((min(0, *amounts), max(0, *amounts) or 1))
    rows = [(bar.name, bar.told, _bar(across, bar)) for bar in shown]
    nought = _text(100 * across.part(0))
    return Markup(template("bars.html.j2").render(title=title, rows=rows, nought=nought))


def _bar(across: Scale, bar: Bar) -> tuple[str, str] | None:
    """Where a bar begins and how long it is."""
    if bar.amount is None:
        return None
    ends = sorted((across.part(bar.least), across.part(bar.amount)))
    return _text(100 * ends[0]), _text(100 * (ends[1] - ends[0]))


def _text(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")


@dataclass(frozen=True, slots=True)
class Stair:
    """One flat of the flight as it is drawn; `rise` is where the one before lies.

    All but the heights are hundredths of the width.
    """

    left: str
    right: str
    y: str
    rise: str | None
    moved: bool
    told: str
    label: str


@dataclass(frozen=True, slots=True)
class Across:
    """The counts that a curve has room for, each with a cell of its own."""

    first: int
    last: int

    def left(self, mic: int) -> float:
        """Where the cell of a count begins, in hundredths."""
        return 100 * (mic - self.first) / (self.last - self.first + 1)

    def middle(self, mic: int) -> float:
        """Its middle."""
        return self.left(mic) + 50 / (self.last - self.first + 1)


def stairs(
    found: Sequence[Flat], asked: Sequence[int], none_from: int | None, currency: str
) -> Markup:
    """The price of every count as a flight of steps.

    `asked`: all counts that were asked for, ascending; those with a rig get a dot.
    """
    up, across = scale([flat.total for flat in found]), Across(asked[0], asked[-1])
    marks = zip(up.marks, up.texts(currency), strict=True)
    told = template("stairs.html.j2").render(
        currency=currency,
        high=HIGH,
        marks=[(_text(_y(up, mark)), text) for mark, text in marks],
        wide=max(len(text) for text in up.texts(currency)),
        stairs=_stairs(found, up, across, currency),
        dots=[
            (_text(across.middle(mic)), _text(_y(up, flat.total)))
            for flat in found
            for mic in asked
            if flat.first <= mic <= flat.last
        ],
        ticks=[(_text(across.middle(mic)), str(mic)) for mic in _ticks(asked, across)],
        rest=None if none_from is None else _rest(across.left(none_from)),
        none_from=none_from,
        moved=any(flat.moved for flat in found),
        told=_told(found, none_from, currency),
    )
    return Markup(told)


def _rest(left: float) -> tuple[str, str]:
    """From `left` to the right edge."""
    return _text(left), _text(100 - left)


def _y(up: Scale, worth: int) -> float:
    """Pixels from the top."""
    return HIGH * (1 - up.part(worth))


def _stairs(found: Sequence[Flat], up: Scale, across: Across, currency: str) -> list[Stair]:
    drawn: list[Stair] = []
    before: Flat | None = None
    taken: list[tuple[float, float]] = []
    for flat in found:
        joined = before is not None and before.last == flat.first - 1
        left, y = across.left(flat.first), _y(up, flat.total)
        labelled = _room(left, y, taken)
        taken += [(left, y)] * labelled
        drawn.append(
            Stair(
                _text(left),
                _text(across.left(flat.last + 1)),
                _text(y),
                _text(_y(up, before.total)) if before and joined else None,
                flat.moved,
                _step(flat, currency),
                to_text(flat.total, currency) if labelled else "",
            )
        )
        before = flat
    return drawn


def _room(left: float, y: float, taken: Sequence[tuple[float, float]]) -> bool:
    """Whether an amount has room above the left end of a flat, which ends at `left`."""
    return left >= APART and all(abs(left - x) >= APART or abs(y - h) >= LINE for x, h in taken)


def _ticks(asked: Sequence[int], across: Across) -> list[int]:
    """The first and the last count, and of those between as many as have room."""
    kept = [asked[0]]
    for mic in asked[1:]:
        far = across.middle(mic) - across.middle(kept[-1]) >= APART / 2
        from_end = across.middle(asked[-1]) - across.middle(mic)
        if mic == asked[-1] or (far and from_end >= APART / 2):
            kept.append(mic)
    return kept


def _step(flat: Flat, currency: str) -> str:
    price = amount(flat.total, currency)
    return f"{span(flat.first, flat.last)}: {price}, {together(flat.devices)}"


def _told(found: Sequence[Flat], none_from: int | None, currency: str) -> str:
    """The whole picture in words."""
    said = [f"{span(flat.first, flat.last)}: {amount(flat.total, currency)}" for flat in found]
    said += [] if none_from is None else [f"no rig from {none_from}"]
    return f"Price of the cheapest rig by number of microphones. {'; '.join(said)}."
