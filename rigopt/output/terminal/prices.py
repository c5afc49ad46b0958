"""Which prices to look up next, as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Mapping

from rigopt.answers.outcome import Impossible, OutOfTime
from rigopt.answers.prices import Prices
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.head import line, question
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.text import plan_text
from rigopt.output.words.lookups import BECAUSE, HOW, UNKNOWN, all_known
from rigopt.output.words.phrases import count, entry, listed, priced

Found = Prices | Impossible | OutOfTime


def prices_text(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """What to look up, or the rig; `catalogue` is as far as it is known."""
    if not isinstance(found, Prices):
        return plan_text(found, catalogue, needs)
    if found.answer is None:
        return prices_summary(found, catalogue, needs)
    opening = prices_summary(found, catalogue, needs)
    return f"{opening}\n{plan_text(found.answer, catalogue, needs)}"


def prices_summary(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """How far it is, and what to look up, in few lines."""
    if not isinstance(found, Prices):
        return plan_text(found, catalogue, needs)
    if found.done:
        said = [all_known(found.unknown)]
        if found.blank:
            said.append(UNKNOWN.format(items=listed(found.blank)))
        return paragraph(" ".join(said)) + "\n"
    heading = f"{count(len(found.ask), 'price')} to look up next"
    lines = [
        question(needs, heading, catalogue.currency),
        line("So far", _so_far(found, catalogue)),
    ]
    labels = _labels(catalogue)
    asked = [
        paragraph(f"{entry(ask.item, labels[ask.item])}. {BECAUSE[ask.why]}", "- ", "  ")
        for ask in found.ask
    ]
    return "\n".join([*lines, "", *asked, paragraph(HOW.format(item=found.ask[0].item))]) + "\n"


def _so_far(found: Prices, catalogue: Catalogue) -> str:
    unknown = f"{count(found.unknown, 'price')} not known; "
    if found.regret is None:
        return f"{unknown}no choice is safe yet."
    return (
        f"{unknown}the best choice with what is known costs at most "
        f"{priced(found.regret, catalogue)} more than the best rig."
    )


def _labels(catalogue: Catalogue) -> Mapping[str, str]:
    return {
        key: item.label for shelf in catalogue.shelves.values() for key, item in shelf.items()
    }
