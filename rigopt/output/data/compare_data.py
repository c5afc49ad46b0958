"""A comparison as CSV and as JSON of the format `rigopt-compare/1`: a record a column."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from rigopt.answers.outcome import Answered, NotAsked
from rigopt.answers.series import Column
from rigopt.money import to_text
from rigopt.output.data.answer_json import outcome_json
from rigopt.output.data.json_parts import Json, document, rate_khz
from rigopt.output.facts.compare_values import Rates, Values, values
from rigopt.output.facts.records import csv_text, mix
from rigopt.output.terminal.compare_table import gigabytes, why
from rigopt.rig.figures import Figures

FORMAT: Final = "rigopt-compare/1"

_RIG_KEYS: Final = (
    "units", "links", "clock_master", "clock_hops", "mic_used", "mic_spare", "line_used",
    "line_spare", "instrument_used", "instrument_spare", "rack_units", "mains", "watts",
    "gb_per_hour",
)  # fmt: skip


def compare_csv(columns: Sequence[Column], rates: Rates) -> str:
    """A row for each column; what it has nothing to say of is blank."""
    return csv_text([_record(value) for value in values(columns, rates)])


def compare_json(columns: Sequence[Column], rates: Rates) -> str:
    """The same as JSON, each with its answer as `plan` gives it."""
    shown = values(columns, rates)
    return document(
        {
            "format": FORMAT,
            "currency": shown[0].currency,
            "exchange": {code: str(rate) for code, rate in sorted(rates.items())},
            "columns": [{**_record(value), "answer": _answer(value)} for value in shown],
        }
    )


def _answer(value: Values) -> Json | None:
    outcome = value.column.outcome
    if isinstance(outcome, NotAsked):
        return None
    return outcome_json(outcome, value.currency, value.column.scenario.needs)


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
        **_rig(value.answer, value.known),
        "why_none": why(value.column.outcome, value.currency, scenario.needs),
    }


def _money(value: Values) -> Json:
    """Amounts in the column's own currency; `converted` and `difference` in the first's."""
    answer, own = value.answer, value.currency
    each = value.known.price_per_mic if value.known else None
    return {
        "total": _text(answer.rig.total if answer else None, own),
        "bound": _text(answer.bound if answer else None, own),
        "per_input": _text(each, own),
        "converted": _text(value.converted, value.first),
        "difference": _text(value.difference, value.first),
    }


def _text(minor: int | None, currency: str) -> str | None:
    return None if minor is None else to_text(minor, currency)


def _rig(answer: Answered | None, known: Figures | None) -> Json:
    """The rig in figures; every key is there, though nothing stands behind it."""
    record: Json = dict.fromkeys(_RIG_KEYS)
    if answer is None or known is None:
        return record
    rig = answer.rig
    record |= {
        "units": mix(rig.units),
        "links": dict(sorted(Counter(link.kind for link in rig.links).items())),
        "clock_master": rig.master.device.id,
        "clock_hops": rig.clock_hops,
    }
    for kind in known.kinds:
        record |= {f"{kind.kind}_used": kind.used, f"{kind.kind}_spare": kind.spare}
    return record | {
        "rack_units": known.rack_units,
        "mains": known.mains,
        "watts": f"{known.watts.normalize():f}",
        "gb_per_hour": gigabytes(known.recording_gb_hour_used),
    }
