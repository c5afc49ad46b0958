"""What would make needs possible, as a table."""

from __future__ import annotations

from rigopt.answers.choice import Change
from rigopt.answers.outcome import Impossible
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.terminal.layout import table
from rigopt.output.words.needs import nouns, option, worth_saying


def changes_table(impossible: Impossible, currency: str, needs: Needs) -> str:
    """Changes that would do, each with its cost and what to type; empty without any."""
    if not impossible.changes:
        return ""
    total = f"Total {currency}"
    return table(
        ["Change to", "Type", total],
        [_row(change, currency, needs) for change in impossible.changes],
        "Change to|Type",
        right=total,
    )


def _row(change: Change, currency: str, needs: Needs) -> list[str]:
    said = nouns(worth_saying(change.settings), currency)
    typed = [option(s, currency, bool(needs.sources)) for s in change.settings]
    total = "" if change.total is None else to_text(change.total, currency)
    between = " " if all(text.startswith("--") for text in typed) else ", "
    return [said, between.join(typed), total]
