"""Why this rig: prices at which it changes, and what each need costs."""

from __future__ import annotations

from typing import Final

from rigopt.answers.choice import Change, PriceNote, Why
from rigopt.money import to_text
from rigopt.output.words.grids import Grid
from rigopt.output.words.needs import nouns
from rigopt.output.words.phrases import NO_LABELS, Labels, entry
from rigopt.rig.types import Rig

HEADING: Final = "Why this rig"
_NOTES: Final[dict[PriceNote, str]] = {
    "never": "Not even for nothing",
    "unusable": "Of no use here, by rate, by ports or by what is asked",
    "avoided": "Not to be bought",
    "unknown": "Not known",
}
"""What is said of types outside the rig that have no entry price."""

_STAYS: Final[dict[PriceNote, str]] = {
    "always": "any price: no rig without it",
    "owned": "any price: owned",
    "unknown": "not known",
    "never": "not with one price for all",
}
"""What is said of types in the rig that have no switch price."""

_NOT_ALL: Final = "Not all of this could be found out."
_SWITCH: Final = "Above its switch price, the cheapest rig has fewer of a type."
_ENTRY: Final = "Below its entry price, the cheapest rig has at least one of a type."


def why_told(why: Why, rig: Rig, currency: str, labels: Labels = NO_LABELS) -> list[Grid]:
    """All of it; `labels` of devices by their ids."""
    parts = [
        _inside(why, currency, labels),
        _outside(why, currency, labels),
        _needs(why, rig, currency),
    ]
    if not why.complete:
        parts.append(Grid([], [], [], [], lines=[_NOT_ALL]))
    return [part for part in parts if part.rows or part.lines]


def _inside(why: Why, currency: str, labels: Labels) -> Grid:
    """Types in the rig, with their switch prices."""
    rows = [
        [
            entry(price.device, labels.get(price.device, "")),
            str(price.units),
            _amount(price.now, currency),
            _STAYS[price.note] if price.note else _amount(price.limit, currency),
        ]
        for price in why.prices
        if price.units
    ]
    first, *others = headers = ["In the rig", "Units", f"Price {currency}", "Switch price"]
    return Grid(headers, rows, [first], others, lines=[_SWITCH] if rows else [])


def _outside(why: Why, currency: str, labels: Labels) -> Grid:
    """Types outside it, those with an entry price first."""
    outside = [price for price in why.prices if not price.units]
    rows = [
        [
            entry(price.device, labels.get(price.device, "")),
            _amount(price.now, currency),
            _amount(price.limit, currency),
        ]
        for price in outside
        if price.limit is not None
    ]
    first, *others = headers = ["Not in the rig", f"Price {currency}", "Entry price"]
    lines = [_ENTRY] if rows else []
    for note, text in _NOTES.items():
        items = [price.device for price in outside if price.note == note]
        if items:
            lines.append(f"{text}: {', '.join(items)}.")
    return Grid(headers, rows, [first], others, lines=lines)


def _amount(minor: int | None, currency: str) -> str:
    return "not for sale" if minor is None else to_text(minor, currency)


def _needs(why: Why, rig: Rig, currency: str) -> Grid:
    """What would differ if one need did."""
    differing = [change for change in why.changes if change.total != rig.total]
    rows = [_row(change, rig, currency) for change in differing]
    same = [
        nouns(change.settings, currency) for change in why.changes if change.total == rig.total
    ]
    first, *others = headers = ["If it were", f"Total {currency}", "Difference"]
    lines = [f"No difference: {'; '.join(same)}."] if same else []
    return Grid(headers, rows, [first], others, lines=lines)


def _row(change: Change, rig: Rig, currency: str) -> list[str]:
    if change.total is None:
        return [nouns(change.settings, currency), "no rig", ""]
    more = change.total - rig.total
    sign = "+" if more > 0 else ""
    amounts = [to_text(amount, currency) for amount in (change.total, more)]
    return [nouns(change.settings, currency), amounts[0], sign + amounts[1]]
