"""How right a rig is where prices are ranges, in words."""

from __future__ import annotations

from typing import Final

from rigopt.answers.outcome import Regret
from rigopt.output.words.phrases import amount, listed

UPPER_ENDS: Final = "Prices that are ranges count at their upper ends here."


def regret_proof(proven: bool, regret: Regret, currency: str) -> str:
    """What is certain whatever the true prices are, and which of them decide."""
    whatever = "whatever the true prices in their ranges"
    if not regret.most:
        settled = "complete" if proven else "complete but for ties"
        return f"{settled}; {whatever}, no rig of this catalogue costs less."
    said = (
        f"{whatever}, this rig costs at most {amount(regret.most, currency)} more than the "
        f"best one{_worst(regret, currency)}."
    )
    if regret.bound == regret.most:
        least = "No rig promises less." if proven else "No rig promises less; ties are open."
        return f"{'complete' if proven else 'complete but for ties'}; {said} {least}"
    least = f"Whether one promises less than {amount(regret.most, currency)} is open"
    if regret.bound:
        least += f", but none promises less than {amount(regret.bound, currency)}"
    return f"none yet; {said} {least}."


def _worst(regret: Regret, currency: str) -> str:
    if not regret.worst:
        return ""
    prices = [f"{item} at {amount(price, currency)}" for item, price in regret.worst]
    return f", and that only with {listed(prices)}"
