"""Every end of a question as what Python gets: the end, and how it is told.

The ends of `answers` know neither their question nor its catalogue; here they meet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial

from rigopt.answers import growth, outcome, rates, repair, series, verdict
from rigopt.answers.prices import Prices
from rigopt.api import results
from rigopt.api.ask import ask_checks
from rigopt.api.frames import Shown
from rigopt.api.prices import Found as Wanted
from rigopt.api.results import Told
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.audit_json import audit_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.data.compare_data import compare_json
from rigopt.output.data.curve_data import curve_json
from rigopt.output.data.grow_data import grow_json, most_json
from rigopt.output.data.json_parts import rate_khz
from rigopt.output.data.prices_json import prices_json
from rigopt.output.data.rates_json import rates_json
from rigopt.output.data.stretch_json import stretch_json
from rigopt.output.terminal.audit import audit_text
from rigopt.output.terminal.compare import compare_text
from rigopt.output.terminal.curve import curve_text
from rigopt.output.terminal.grow import grow_text
from rigopt.output.terminal.grow_most import most_text
from rigopt.output.terminal.prices import prices_text
from rigopt.output.terminal.rates import rates_text
from rigopt.output.terminal.stretch import stretch_text
from rigopt.output.terminal.text import whole_text
from rigopt.output.words.checks import checks_told


def planned(choice: outcome.Choice, catalogue: Catalogue, needs: Needs) -> results.Plan:
    """The end of a plan."""
    end, currency = choice.outcome, catalogue.currency
    more = choice_json(choice, currency)
    told = Told(
        text=partial(whole_text, choice, catalogue, needs),
        data=partial(plan_json, end, catalogue, needs, more),
        rigs=_shown(end, currency),
    )
    if not isinstance(end, outcome.Answered):
        return _without(end, told)
    told = replace(told, page=partial(_plan_page, choice, catalogue, needs), proven=end.proven)
    return results.Answered(end, told, _decimal(end.rig.total, currency))


def compared(found: series.Comparison) -> results.Comparison:
    """The end of a comparison."""
    asked = [(column.scenario, column.outcome) for column in found.columns]
    plans = [
        planned(outcome.Choice(end), scenario.catalogue, scenario.needs)
        for scenario, end in asked
        if not isinstance(end, outcome.NotAsked)
    ]
    exchange = asked[0][0].needs.exchange
    told = Told(
        text=partial(compare_text, found.columns, exchange),
        data=partial(compare_json, found.columns, exchange),
        page=partial(_compare_page, found.columns, exchange),
        rigs=[
            shown
            for number, (scenario, end) in enumerate(asked, start=1)
            for shown in _shown(end, scenario.catalogue.currency, number)
        ],
        label="column",
        proven=all(plan.proven for plan in plans),
    )
    return results.Comparison(found, told, plans)


def curved(
    found: series.Curve,
    catalogue: Catalogue,
    needs: Needs,
    drawn: Callable[[], series.Curve],
) -> results.Curve:
    """The end of a curve; `drawn` asks for it with every count, when a page is asked for."""
    plans = {
        point.mic: planned(
            outcome.Choice(point.outcome), catalogue, replace(needs, mic=point.mic)
        )
        for point in found.points
    }
    told = Told(
        text=partial(curve_text, found, catalogue, needs),
        data=partial(curve_json, found, catalogue, needs),
        page=lambda: _curve_page(drawn(), catalogue, needs),
        rigs=[
            shown
            for point in found.points
            for shown in _shown(point.outcome, catalogue.currency, point.mic)
        ],
        label="mic",
        proven=all(plan.proven for plan in plans.values()),
    )
    return results.Curve(found, told, plans)


def stretched(
    found: series.Stretch, catalogue: Catalogue, needs: Needs
) -> results.Stretched | results.Impossible | results.OutOfTime:
    """The end of a stretch."""
    told = Told(
        text=partial(stretch_text, found, catalogue, needs),
        data=partial(stretch_json, found, catalogue),
    )
    if found.best is None or found.best.answer is None:
        return _without(found, told)
    best, currency = found.best.answer, catalogue.currency
    proven = found.proven and best.proven
    page = partial(_stretch_page, found, best, catalogue, needs)
    told = replace(told, rigs=_shown(best, currency), proven=proven, page=page)
    total = _decimal(best.rig.total, currency)
    return results.Stretched(found, told, total, found.best.mic)


def grown(
    found: growth.Grown | growth.Most | growth.OutOfReach | outcome.OutOfTime,
    catalogue: Catalogue,
    needs: Needs,
) -> results.Grown | results.Impossible | results.OutOfTime:
    """The end of a growth."""
    if isinstance(found, growth.Most):
        told = Told(
            text=partial(most_text, found, catalogue, needs),
            data=partial(most_json, found, catalogue, needs),
            page=partial(_grow_page, found, catalogue, needs) if found.growth.steps else None,
            proven=found.ended != "time" and all(found.proven),
        )
        way = found.growth
    else:
        told = Told(
            text=partial(grow_text, found, catalogue, needs),
            data=partial(grow_json, found, catalogue),
            page=partial(_grow_page, found, catalogue, needs)
            if isinstance(found, growth.Grown)
            else None,
            proven=isinstance(found, growth.Grown) and found.together.proven,
        )
        way = found.together if isinstance(found, growth.Grown) else growth.Growth((), 0, True)
    told = replace(told, label="stage")
    if not way.steps:
        return _without(found, told)
    rigs = [Shown(step.rig, catalogue.currency, step.title) for step in way.steps]
    total = _decimal(way.total, catalogue.currency)
    return results.Grown(found, replace(told, rigs=rigs), total)


def audited(
    found: verdict.Verdict, catalogue: Catalogue, needs: Needs | None
) -> results.Works | results.Faulty:
    """The end of an audit."""
    if found.works:
        return works(found, catalogue, needs)
    return results.Faulty(found, _audit(found, catalogue, needs, None, found))


def works(found: verdict.Verdict, catalogue: Catalogue, needs: Needs | None) -> results.Works:
    """The end of an audit without findings."""
    return results.Works(found, _audit(found, catalogue, needs, None, found))


def repaired(
    before: verdict.Verdict,
    found: repair.Repaired | repair.NoRepair,
    catalogue: Catalogue,
    needs: Needs | None,
) -> results.Repaired | results.NoRepair:
    """The end of a repair."""
    if isinstance(found, repair.NoRepair):
        told = _audit(before, catalogue, needs, found, before)
        return results.NoRepair(found, replace(told, proven=False))
    after = verdict.examine(found.rig, needs)
    told = _audit(before, catalogue, needs, found, after)
    told = replace(told, proven=found.proven)
    return results.Repaired(found, told, _decimal(found.money, catalogue.currency))


def _audit(
    before: verdict.Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    found: repair.Repaired | repair.NoRepair | None,
    shown: verdict.Verdict,
) -> Told:
    """A verdict with what was found to mend it; the tables are of the rig `shown`."""
    rig = shown.as_rig()
    if isinstance(found, repair.Repaired):
        rig = replace(rig, purchases=found.purchases, orders=found.orders)
    return Told(
        text=partial(audit_text, before, catalogue, needs, found),
        data=partial(audit_json, before, catalogue, needs, found),
        page=partial(_audit_page, before, catalogue, needs, found),
        rigs=(Shown(rig, catalogue.currency),),
    )


def rated(found: rates.ByRate, catalogue: Catalogue) -> results.Rates:
    """The end of a question for all rates."""
    rigs = [
        Shown(one.verdict.as_rig(), catalogue.currency, rate_khz(one.rate_hz))
        for one in found.rates
    ]
    told = Told(
        text=partial(rates_text, found),
        data=partial(rates_json, found),
        page=partial(_rates_page, found),
        rigs=rigs,
        label="rate_khz",
    )
    return results.Rates(found, told)


def _without(end: results.Ending, told: Told) -> results.Impossible | results.OutOfTime:
    """No rig: proven, or for want of time."""
    if end.exit_status == outcome.IMPOSSIBLE:
        return results.Impossible(end, replace(told, proven=True))
    return results.OutOfTime(end, replace(told, proven=False))


def _shown(
    end: outcome.Outcome | outcome.NotAsked, currency: str, which: object = None
) -> list[Shown]:
    return [Shown(end.rig, currency, which)] if isinstance(end, outcome.Answered) else []


def _decimal(minor: int, currency: str) -> Decimal:
    return Decimal(to_text(minor, currency))


# Pages are imported when they are asked for: nothing else needs templates and pictures.


def _plan_page(choice: outcome.Choice, catalogue: Catalogue, needs: Needs) -> str:
    from rigopt.output.page.page import plan_page  # noqa: PLC0415

    end = choice.outcome
    assert isinstance(end, outcome.Answered)
    # A page always has them; they are worked out when it is asked for.
    checks = choice.checks or ask_checks(end, catalogue, needs)
    lines = checks_told(checks, end.rig, catalogue)
    return plan_page(end, catalogue, needs, None, lines, choice=choice)


def wanted(
    found: Wanted, shop: Catalogue, needs: Needs
) -> results.Prices | results.Impossible | results.OutOfTime:
    """The end of a question for prices; `shop` is the catalogue as far as it is known."""
    answer = found.answer if isinstance(found, Prices) else None
    told = Told(
        text=partial(prices_text, found, shop, needs),
        data=partial(prices_json, found, shop.currency, needs),
        rigs=_shown(answer, shop.currency) if answer else [],
        proven=isinstance(found, Prices) and found.done,
    )
    if not isinstance(found, Prices):
        return _without(found, told)
    return results.Prices(found, told)


def _compare_page(columns: Sequence[series.Column], exchange: Mapping[str, Decimal]) -> str:
    from rigopt.output.page.compare_page import compare_page  # noqa: PLC0415

    return compare_page(columns, exchange)


def _curve_page(found: series.Curve, catalogue: Catalogue, needs: Needs) -> str:
    from rigopt.output.page.curve_page import curve_page  # noqa: PLC0415

    return curve_page(found, catalogue, needs)


def _stretch_page(
    found: series.Stretch, best: outcome.Answered, catalogue: Catalogue, needs: Needs
) -> str:
    from rigopt.output.page.stretch_page import stretch_page  # noqa: PLC0415

    return stretch_page(found, best, catalogue, needs)


def _grow_page(found: growth.Grown | growth.Most, catalogue: Catalogue, needs: Needs) -> str:
    from rigopt.output.page.grow_page import growth_page  # noqa: PLC0415

    return growth_page(found, catalogue, needs)


def _audit_page(
    before: verdict.Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    found: repair.Repaired | repair.NoRepair | None,
) -> str:
    from rigopt.output.page.audit_page import audit_page  # noqa: PLC0415

    return audit_page(before, catalogue, needs, found)


def _rates_page(found: rates.ByRate) -> str:
    from rigopt.output.page.rates_page import rates_page  # noqa: PLC0415

    return rates_page(found)
