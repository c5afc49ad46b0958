"""The question which prices are worth looking up.

`time_limit` is in seconds, for all of a question.
"""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.outcome import Impossible, OutOfTime
from rigopt.answers.prices import Prices
from rigopt.api.audited import audited, finished
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.watch import Watch

Found = Prices | Impossible | OutOfTime


def ask_prices(
    catalogue: Catalogue,
    needs: Needs,
    within: int = 0,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> tuple[Found, Catalogue]:
    """The prices to look up next, or the answer, which costs at most `within` more than the
    best rig (minor units); and the catalogue as far as it is known, from which that is.

    Raises:
        AuditFailedError: When the rig breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop.
    """
    # Here and not above, so that help does not wait for the solver.
    from rigopt.optimiser.questions.prices.prices import prices  # noqa: PLC0415
    from rigopt.optimiser.questions.prices.unknown import at_price, unknown  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415
    from rigopt.optimiser.solver.watch import Silent  # noqa: PLC0415

    watch = watch or Watch(catalogue.currency)
    deadline = Deadline(time_limit, Silent(watch))
    found = prices(catalogue, needs, within, deadline)
    blank = unknown(catalogue, needs)
    if isinstance(found, Impossible):
        free = at_price(catalogue, blank, 0)
        told = finished(found, free, needs, deadline)
        assert isinstance(told, Impossible)
        return told, free
    if not isinstance(found, Prices):
        return found, catalogue
    shop = at_price(at_price(catalogue, blank, None), found.blank, 0)
    if found.answer is None:
        return found, shop
    audited(found.answer, shop, needs)
    rig = found.answer.rig
    lines = tuple(
        replace(line, known=line.seller is not None or line.item not in found.blank)
        for line in rig.purchases
    )
    return replace(found, answer=replace(found.answer, rig=replace(rig, purchases=lines))), shop
