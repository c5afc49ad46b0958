"""What a repair takes: what to buy, then what to plug and set, a verb and its object each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.answers.repair import Repaired
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.facts.bill import paid_in
from rigopt.output.facts.repair import repair_steps
from rigopt.output.words.bill import condition
from rigopt.output.words.phrases import amount, priced
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.wired import WiredRig

NOTHING_TO_DO: Final = "Plug and set nothing: only what the file says has to change."
SHORT_OF_TIME: Final = "The time was short: a cheaper repair may exist."


def repair_cost(repair: Repaired, catalogue: Catalogue) -> str:
    """What it costs."""
    return priced(repair.money, catalogue) if repair.money else "nothing to buy"


def repair_told(
    before: WiredRig, repair: Repaired, catalogue: Catalogue
) -> list[tuple[str, str]]:
    """Every purchase and every step."""
    return [*_buy(repair, catalogue), *map(step_words, repair_steps(before, repair))]


def _buy(repair: Repaired, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """What to buy; then what each order comes to."""
    for line in repair.purchases:
        said = ", ".join(condition(line))
        yield (
            "Buy",
            f"{line.quantity} x {line.label or line.item}"
            f"{f' ({said})' if said else ''}"
            f"{f' from {line.seller}' if line.seller else ''}, "
            f"{amount(line.total, paid_in(line, repair.orders, catalogue.currency))}",
        )
    for order in repair.orders:
        parts = [("delivery", order.delivery), ("tax", order.tax)]
        more = [f"{name} {to_text(sum_, order.currency)}" for name, sum_ in parts if sum_]
        yield (
            "Order",
            f"{order.seller}, {', '.join([*more, 'in all'])} {priced(order.total, catalogue)}",
        )
