"""What a buyer has to know: remarks on what is bought, and what is owned or left over."""

from __future__ import annotations

from collections.abc import Callable

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.bill import beyond_need
from rigopt.output.words.phrases import between, labelled
from rigopt.rig.counts import ItemCounts, item_counts
from rigopt.rig.types import Purchase, Rig, Sale

NOT_KNOWN = "not known"
NOTHING_TO_BUY = "Nothing: everything in this rig is owned."


def condition(line: Purchase) -> list[str]:
    """The size of the pack, and the condition that the offer states."""
    pack = [f"pack of {line.pack}"] if line.pack > 1 else []
    return [*pack, *([line.note] if line.note else [])]


def remarks(line: Purchase) -> list[str]:
    """What a buyer must know beyond the label."""
    return [*condition(line), *([f"price of {line.as_of}"] if line.as_of else [])]


def unit_price(line: Purchase | Sale, currency: str, dash: str = "–") -> str:
    """The price of a pack, which may be a range."""
    if isinstance(line, Purchase) and not line.known:
        return NOT_KNOWN
    if isinstance(line, Sale) or line.least is None:
        return to_text(line.unit_price, currency)
    return between(line.least, line.unit_price, currency, dash)


def line_total(line: Purchase | Sale, currency: str) -> str:
    """What all packs of a line come to, which may be a range."""
    if isinstance(line, Sale):
        return to_text(line.total, currency)
    if not line.known:
        return NOT_KNOWN
    return between(line.total_from, line.total, currency)


def owned_lines(rig: Rig, catalogue: Catalogue, needs: Needs) -> list[str]:
    """What is there and used, there and not used, left over, and still to be found."""
    counted = item_counts(rig, catalogue, needs)

    def beyond(one: ItemCounts) -> int:
        return beyond_need(one, rig.purchases)

    said: tuple[tuple[str, Callable[[ItemCounts], int]], ...] = (
        ("Owned and in use", lambda one: one.from_owned),
        ("Owned and not needed", lambda one: one.unused),
        ("Bought only to get free delivery", beyond),
        ("Left over from packs", lambda one: one.left_over - beyond(one)),
        ("Also needed, and not for sale here", lambda one: one.missing),
    )
    lines = []
    for name, number in said:
        parts = [
            f"{number(one)} of {labelled(one.item, one.label)}"
            for one in counted
            if number(one)
        ]
        if parts:
            lines.append(f"{name}: {'; '.join(parts)}.")
    return lines
