"""The questions as Python asks them: the subject first, then the catalogue it is about.

Nothing here writes to a terminal, hears a signal, changes the environment or ends the
process. A call keeps nothing, so that many may run at once in threads.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from functools import partial
from itertools import islice
from os import PathLike
from pathlib import Path
from typing import Any

from rigopt.answers import prices as answers
from rigopt.answers.rates import by_rate
from rigopt.answers.series import Scenario
from rigopt.answers.verdict import Verdict, examine
from rigopt.api import telling
from rigopt.api.ask import ask_plan
from rigopt.api.growth import ask_growth, ask_most_each
from rigopt.api.needs import NAME, Needs, Number, settled
from rigopt.api.prices import ask_prices
from rigopt.api.repair import ask_repair
from rigopt.api.results import (
    Comparison,
    Curve,
    Faulty,
    Grown,
    Impossible,
    NoRepair,
    OutOfTime,
    Plan,
    Prices,
    Rates,
    Repaired,
    Stretched,
    Works,
)
from rigopt.api.series import MOST_POINTS, ask_curve, ask_each, ask_stretch
from rigopt.catalogue import shipped
from rigopt.catalogue.ends import with_price
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.errors import Fault, InputError
from rigopt.files.amounts import amount, span
from rigopt.files.values import BadValueError
from rigopt.needs import types
from rigopt.needs.keys import MOST_COUNT, MOST_PERCENT
from rigopt.rig.reading.read import read_rig

Rig = str | PathLike[str] | Mapping[str, Any]
"""A wired rig: a file as for `rigopt audit`, or what its JSON holds."""


def read_catalogue(folder: str | PathLike[str]) -> Catalogue:
    """The catalogue in a folder.

    Raises:
        RigoptError: When anything is wrong with the folder or its files.
    """
    return read_folder(Path(folder))


def demo_catalogue() -> Catalogue:
    """The catalogue that comes with the program; its prices are invented."""
    return read_folder(shipped.demo_catalogue(), invented=True)


def plan(
    needs: Needs,
    catalogue: Catalogue,
    *,
    alternatives: int = 0,
    why: bool = False,
    second_opinion: bool = False,
    checks: bool = False,
    more: Number | None = None,
    time_limit: float | None = None,
) -> Plan:
    """The cheapest rig.

    `alternatives`: so many of the next cheapest mixes are told, too; `why`: so are the prices
    and needs on which the answer hangs; `checks`: the facts on which it hangs; `more`: what up
    to so many percent more money buys; `second_opinion`: what a solver of another kind says of
    its money, or of there being no rig, here and below. `time_limit` in seconds.

    Raises:
        RigoptError: When anything is wrong with the needs, or `alternatives` or `more` is
            negative.
    """
    if alternatives < 0:
        raise _fault("must not be negative", "alternatives")
    if more is not None and not 0 <= Decimal(str(more)) <= MOST_PERCENT:
        raise _fault(f"must be from 0 to {MOST_PERCENT}", "more")
    asked = settled(needs, catalogue)
    choice = ask_plan(
        catalogue,
        asked,
        time_limit,
        alternatives=alternatives,
        why=why,
        second=second_opinion,
        checks=checks,
        more=None if more is None else Decimal(str(more)),
    )
    return telling.planned(choice, catalogue, asked)


def compare(
    needs: Needs | Iterable[Needs],
    catalogue: Catalogue | Iterable[Catalogue],
    *,
    exchange: Mapping[str, Number] | None = None,
    second_opinion: bool = False,
    time_limit: float | None = None,
) -> Comparison:
    """All needs, each asked of every catalogue, side by side.

    `exchange`: what one unit of the first catalogue's currency buys of others, for all needs.

    Raises:
        RigoptError: When anything is wrong with any of them, or there is none.
    """
    shops = [catalogue] if isinstance(catalogue, Catalogue) else list(catalogue)
    scenarios = []
    for said in [needs] if isinstance(needs, Needs) else needs:
        for shop in shops:
            # It is for the first column's currency; needs may have their own.
            rates_said = {**(said.exchange or {})}
            if shop.currency == shops[0].currency:
                rates_said |= exchange or {}
            asked = settled(replace(said, exchange=rates_said), shop)
            scenarios.append(Scenario(asked.title.strip(), shop, asked))
    if not scenarios:
        raise _fault("there is nothing to compare")
    return telling.compared(ask_each(scenarios, time_limit, second=second_opinion))


def curve(
    needs: Needs,
    catalogue: Catalogue,
    counts: Iterable[int] = range(8, 65, 8),
    *,
    second_opinion: bool = False,
    time_limit: float | None = None,
) -> Curve:
    """The cheapest rig for each of `counts` microphones; all else is as in `needs`.

    Raises:
        RigoptError: When anything is wrong with the needs, or a count is too small for them.
    """
    asked = replace(_open_ended(needs, catalogue), mic=0, stages=())
    # A range may be longer than memory is large, so no more of it is taken than is asked.
    taken = list(islice(counts, MOST_POINTS + 1))
    if len(taken) > MOST_POINTS:
        raise _fault(f"ask for {MOST_POINTS} counts of microphones at most")
    ascending = sorted(set(taken))
    least = max(1, asked.phantom + asked.no_phantom)
    if not ascending or ascending[0] < least:
        raise _fault(f"the counts of microphones must begin with {least} or more")
    if ascending[-1] > MOST_COUNT:
        raise _fault(f"the counts of microphones must end with {MOST_COUNT} or less")
    question = (catalogue, asked, ascending, time_limit)
    drawn = partial(ask_curve, *question, every=True)
    found = ask_curve(*question, second=second_opinion)
    return telling.curved(found, catalogue, asked, drawn)


def stretch(
    needs: Needs, catalogue: Catalogue, *, time_limit: float | None = None
) -> Stretched | Impossible | OutOfTime:
    """The most microphones for the budget in `needs`; all else is as they say.

    Raises:
        RigoptError: When anything is wrong with the needs, or they have no budget.
    """
    asked = replace(_open_ended(needs, catalogue), mic=0, stages=())
    if asked.budget is None:
        raise _fault("say how much money there is", "budget")
    found = ask_stretch(catalogue, asked, asked.budget, time_limit)
    return telling.stretched(found, catalogue, asked)


def grow(
    needs: Needs,
    catalogue: Catalogue,
    *,
    budget_per_stage: Number | None = None,
    second_opinion: bool = False,
    time_limit: float | None = None,
) -> Grown | Impossible | OutOfTime:
    """What to buy at each of the stages in `needs`, so that all together cost least.

    With `budget_per_stage`: the most microphones at each stage for this outlay.

    Raises:
        RigoptError: When anything is wrong with the needs, or they have no stages.
    """
    each = budget_per_stage
    asked = (
        settled(needs, catalogue)
        if each is None
        else _open_ended(replace(needs, budget=each), catalogue)
    )
    if not asked.stages:
        raise _fault("say the stages", "stage")
    if each is None or asked.budget is None:
        way = ask_growth(catalogue, asked.stages, time_limit, second=second_opinion)
        return telling.grown(way, catalogue, asked)
    most = ask_most_each(catalogue, asked.stages, asked.budget, time_limit)
    return telling.grown(most, catalogue, asked)


def audit(
    rig: Rig, catalogue: Catalogue, needs: Needs | None = None, rate_khz: Number | None = None
) -> Works | Faulty:
    """Whether a wired rig works, and meets `needs` where there are any.

    `rate_khz` is in place of the rig's own rate, and that of the needs.

    Raises:
        RigoptError: When anything is wrong with the rig or the needs.
    """
    verdict, asked = _examined(rig, catalogue, needs, rate_khz)
    return telling.audited(verdict, catalogue, asked)


def repair(
    rig: Rig,
    catalogue: Catalogue,
    needs: Needs | None = None,
    rate_khz: Number | None = None,
    *,
    time_limit: float | None = None,
) -> Works | Repaired | NoRepair:
    """The cheapest repair of a wired rig that keeps its units; else as `audit`.

    `time_limit` in seconds.

    Raises:
        RigoptError: When anything is wrong with the rig or the needs.
    """
    verdict, asked = _examined(rig, catalogue, needs, rate_khz)
    if verdict.works:
        return telling.works(verdict, catalogue, asked)
    found = ask_repair(verdict.rig, catalogue, asked, time_limit)
    return telling.repaired(verdict, found, catalogue, asked)


def prices(
    needs: Needs,
    catalogue: Catalogue,
    *,
    known: Mapping[str, str] | None = None,
    within: Number = 0,
    time_limit: float | None = None,
) -> Prices | Impossible | OutOfTime:
    """Which prices to look up next, or the rig once it is certain.

    `known`: prices by id, as if they stood in the catalogue. `within`: how much more than the
    best rig it may cost at most, in the catalogue's currency.

    Raises:
        RigoptError: When anything is wrong with the needs, an id or a price.
    """
    asked = settled(needs, catalogue, known=False)
    for item, price in (known or {}).items():
        if not any(item in shelf for shelf in catalogue.shelves.values()):
            raise _fault("there is no such device, cable or extra", item)
        try:
            catalogue = with_price(catalogue, item, span(price, catalogue.currency))
        except BadValueError as fault:
            raise _fault(str(fault), item) from None
    try:
        limit = amount(within, catalogue.currency)
    except BadValueError as fault:
        raise _fault(str(fault), "within") from None
    found, shop = ask_prices(catalogue, asked, limit, time_limit)
    going_on = isinstance(found, answers.Prices) and not found.done
    return telling.wanted(found, catalogue if going_on else shop, asked)


def rates(rig: Rig, catalogue: Catalogue, *, own_clocks: bool = False) -> Rates:
    """What reaches the computer from a wired rig at every sample rate.

    `own_clocks`: its hosts may run on clocks of their own.

    Raises:
        RigoptError: When anything is wrong with the rig.
    """
    found = by_rate(read_rig(_source(rig), catalogue, rate_needed=48000), own_clocks)
    return telling.rated(found, catalogue)


def _examined(
    rig: Rig, catalogue: Catalogue, needs: Needs | None, rate_khz: Number | None
) -> tuple[Verdict, types.Needs | None]:
    if needs is not None and rate_khz is not None:
        needs = replace(needs, rate_khz=rate_khz)
    asked = None if needs is None else settled(needs, catalogue)
    typed = None if rate_khz is None else str(rate_khz)
    wired = read_rig(_source(rig), catalogue, typed, asked.rate_hz if asked else None)
    return examine(wired, asked), asked


def _source(rig: Rig) -> Path | Mapping[str, Any]:
    return rig if isinstance(rig, Mapping) else Path(rig)


def _open_ended(needs: Needs, catalogue: Catalogue) -> types.Needs:
    """Needs whose number of microphones, and that of each stage, says nothing."""
    stages = needs.stages or ()
    if any(said.sources for said in (needs, *stages)):
        raise _fault("the sources are listed one by one, so their number cannot grow", "source")
    # As many as can be asked for, so that no share of them is too large.
    stages = [replace(stage, mic=None) for stage in stages]
    return settled(replace(needs, mic=MOST_COUNT, stages=stages), catalogue)


def _fault(problem: str, column: str | None = None) -> InputError:
    return InputError([Fault(NAME, problem, column=column)])
