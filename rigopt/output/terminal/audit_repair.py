"""A repair as text: what to buy, plug, move, take off and set. Nothing else changes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.facts.bill import paid_in
from rigopt.output.facts.repair import repair_steps
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.bill import condition
from rigopt.output.words.phrases import INVENTED, amount, priced
from rigopt.output.words.repair import reasons
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.wired import WiredRig

UNASKED: Final = "Where nobody needs them, say so with --needs."


def repair_text(before: WiredRig, repair: Repaired | NoRepair, catalogue: Catalogue) -> str:
    """The heading and the steps, or the reasons why there are none."""
    if isinstance(repair, NoRepair):
        lines = ["NO REPAIR THAT KEEPS THE UNITS", "No such repair was found, because:"]
        return "\n".join([*lines, *(paragraph(reason, "- ") for reason in reasons(repair))])
    cost = priced(repair.money, catalogue) if repair.money else "nothing to buy"
    lines = [f"REPAIR: {cost}", *_steps(before, repair, catalogue)]
    if repair.for_outputs:
        kept = priced(repair.for_outputs, catalogue)
        lines.append(paragraph(f"{kept} of it keeps line outputs fed. {UNASKED}"))
    if not repair.proven:
        lines.append(paragraph("The time was short: a cheaper repair may exist."))
    if repair.money and catalogue.invented:
        lines.append(paragraph(INVENTED))
    return "\n".join(lines)


def _steps(before: WiredRig, repair: Repaired, catalogue: Catalogue) -> list[str]:
    todo = [*_buy(repair, catalogue), *map(step_words, repair_steps(before, repair))]
    if not todo:
        return [paragraph("Plug and set nothing: only what the file says has to change.")]
    return [paragraph(text, f"{verb}:".ljust(10)) for verb, text in todo]


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
