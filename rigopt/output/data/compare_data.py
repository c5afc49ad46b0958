"""A comparison as CSV and as JSON of the format `rigopt-compare/2`: a record a column."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.answers.outcome import NotAsked
from rigopt.answers.series import Column
from rigopt.output.data.answer_json import outcome_json, with_opinions
from rigopt.output.data.csv import records_text
from rigopt.output.data.json_parts import Json, amount, document, rate_khz
from rigopt.output.facts.compare import Rates, Values, values
from rigopt.output.facts.units import mix
from rigopt.output.words.phrases import plain, tenth
from rigopt.output.words.reasons import why
from rigopt.rig.figures import SOURCES

FORMAT: Final = "rigopt-compare/2"

_RIG_KEYS: Final = (
    "units",
    "links",
    "clock_master",
    "clock_hops",
    *(f"{kind}_{state}" for kind in SOURCES for state in ("used", "spare")),
    "rack_units",
    "mains",
    "watts",
    "gb_per_hour",
)


def compare_csv(columns: Sequence[Column], rates: Rates) -> str:
    """A row for each column; what it has nothing to say of is blank."""
    return records_text(_records(values(columns, rates)))


def compare_json(columns: Sequence[Column], rates: Rates) -> str:
    """The same as JSON, each with its answer as `plan` gives it."""
    shown = values(columns, rates)
    return document(
        {
            "format": FORMAT,
            "currency": shown[0].currency,
            "exchange": {code: str(rate) for code, rate in sorted(rates.items())},
            "columns": [
                {**record, "answer": _answer(value)}
                for record, value in zip(_records(shown), shown, strict=True)
            ],
        }
    )


def _answer(value: Values) -> Json | None:
    outcome = value.column.outcome
    if isinstance(outcome, NotAsked):
        return None
    return outcome_json(outcome, value.currency, value.column.scenario.needs)


def _records(shown: Sequence[Values]) -> list[Json]:
    return with_opinions(map(_record, shown), (value.column.outcome for value in shown))


def _record(value: Values) -> Json:
    scenario = value.column.scenario
    return {
        "column": value.number,
        "question": scenario.title,
        "catalogue": scenario.catalogue.title,
        "rate_khz": rate_khz(scenario.needs.rate_hz),
        "mic": scenario.needs.mic,
        "line": scenario.needs.line,
        "instrument": scenario.needs.instrument,
        "master_wanted": scenario.needs.master,
        "status": value.column.outcome.status,
        "currency": value.currency,
        **_money(value),
        **_rig(value),
        "why_none": why(value.column.outcome, value.currency, value.column.scenario.needs),
    }


def _money(value: Values) -> Json:
    """Amounts in the column's own currency; `converted` and `difference` in the first's."""
    return {
        "total": amount(value.total, value.currency),
        "bound": amount(value.bound, value.currency),
        "per_input": amount(value.each, value.currency),
        "converted": amount(value.converted, value.first),
        "difference": amount(value.difference, value.first),
    }


def _rig(value: Values) -> Json:
    """The rig in figures; every key is there, though nothing stands behind it."""
    record: Json = dict.fromkeys(_RIG_KEYS)
    answer, known = value.answer, value.known
    if answer is None or known is None:
        return record
    record |= {
        "units": mix(answer.rig.units),
        "links": dict(sorted(value.cables.items())),
        "clock_master": answer.rig.master.device.id,
        "clock_hops": answer.rig.clock_hops,
    }
    for kind in known.kinds:
        record |= {f"{kind.kind}_used": kind.used, f"{kind.kind}_spare": kind.spare}
    return record | {
        "rack_units": known.rack_units,
        "mains": known.mains,
        "watts": plain(known.watts),
        "gb_per_hour": tenth(known.recording_gb_hour_used),
    }
