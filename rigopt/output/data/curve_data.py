"""A curve of prices as CSV and as JSON of the format `rigopt-curve/1`."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from rigopt.answers.series import Curve, Point
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import with_opinions
from rigopt.output.data.csv import records_text
from rigopt.output.data.json_parts import Json, amount, document, rate_khz
from rigopt.output.facts.curve import Mark, marks
from rigopt.output.facts.units import mix
from rigopt.output.words.reasons import why

FORMAT: Final = "rigopt-curve/1"


def curve_csv(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """A row for each point; what it has nothing to say of is blank."""
    return records_text(_records(curve, catalogue, needs))


def curve_json(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The same as JSON."""
    return document(
        {
            "format": FORMAT,
            "currency": catalogue.currency,
            "rate_khz": rate_khz(needs.rate_hz),
            "points": _records(curve, catalogue, needs),
            "unasked": list(curve.unasked),
        }
    )


def _records(curve: Curve, catalogue: Catalogue, needs: Needs) -> list[Json]:
    known = {mark.mic: mark for mark in marks(curve)}
    records = [_record(p, known.get(p.mic), catalogue, needs) for p in curve.points]
    return with_opinions(records, (point.outcome for point in curve.points))


def _record(point: Point, mark: Mark | None, catalogue: Catalogue, needs: Needs) -> Json:
    record: Json = {
        "mic": point.mic,
        "status": point.outcome.status,
        **dict.fromkeys(("currency", "total", "bound", "more", "per_input")),
        **dict.fromkeys(("mic_inputs", "hosts", "host_changes", "units", "why_none")),
    }
    if mark is None:
        return record | {
            "why_none": why(point.outcome, catalogue.currency, replace(needs, mic=point.mic))
        }
    currency = catalogue.currency
    return record | {
        "currency": currency,
        "total": amount(mark.total, currency),
        "bound": amount(mark.answer.bound, currency),
        "more": amount(mark.step, currency),
        "per_input": amount(mark.known.price_per_mic, currency),
        "mic_inputs": mark.room,
        "hosts": dict(mark.hosts),
        "host_changes": mark.moved,
        "units": mix(mark.answer.rig.units),
    }
