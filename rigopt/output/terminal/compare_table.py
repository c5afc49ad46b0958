"""The rows of a comparison: a name, and a short text for each column."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from rigopt.answers.outcome import Answered, Impossible, NotAsked, Outcome, OutOfTime
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.compare_values import Values, mixed
from rigopt.output.words.phrases import khz, priced
from rigopt.rig.figures import SOURCES, Figures

NONE: Final = "-"
"""Stands where a column has nothing to say."""


_WANTED: Final = {
    "Microphones": "mic",
    "with 48 V": "phantom",
    "kept off 48 V": "no_phantom",
    "Line sources": "line",
    "Instruments": "instrument",
    "Line outputs": "out_line",
    "Phones outputs": "out_phones",
}
"""What is asked for: the name of its row, and of its field in `Needs`."""


@dataclass(frozen=True, slots=True)
class Row:
    """A name and a cell for each column; a row without cells is a heading."""

    name: str
    cells: tuple[str, ...] = ()


def rows(shown: Sequence[Values]) -> list[Row]:
    """Every row that says something of at least one column."""
    found = [*_question(shown), *_price(shown)]
    parts = (
        ("Units", _counted(shown, lambda value: value.devices)),
        ("Cables", _counted(shown, lambda value: value.cables)),
        ("Clock", _clock(shown)),
        ("Inputs", _inputs(shown)),
        ("Size", _size(shown)),
    )
    for title, part in parts:
        told = [row for row in part if any(cell != NONE for cell in row.cells)]
        found += [Row(title), *told] if told else []
    return found


def reasons(shown: Sequence[Values]) -> list[str]:
    """Why a column has no rig, a sentence for each such column."""
    return [
        f"Column {v.number}: {why(v.column.outcome, v.currency, v.column.scenario.needs)}"
        for v in shown
        if v.answer is None
    ]


def signed(minor: int, currency: str) -> str:
    """A difference: '+74.42', '-12.00', 'none'."""
    return f"{'+' if minor > 0 else ''}{to_text(minor, currency)}" if minor else "none"


def gigabytes(amount: Decimal) -> str:
    """Rounded to a tenth."""
    return str(amount.quantize(Decimal("0.1"), ROUND_HALF_UP))


STOPPED: Final = "not asked, because it was stopped."


def why(outcome: Outcome | NotAsked, currency: str, needs: Needs) -> str:
    """Why there is no rig, in a sentence; empty if there is one."""
    if isinstance(outcome, NotAsked):
        return STOPPED
    if isinstance(outcome, Impossible):
        # Here and not above, so that an answer does not wait for it.
        from rigopt.output.words import reasons as words  # noqa: PLC0415

        told = words.reasons(outcome, currency, needs)
        return " ".join(text[:1].upper() + text[1:] for text in told)
    if isinstance(outcome, OutOfTime):
        return "no rig was found in the time, and it is not proven that there is none."
    return ""


def _question(shown: Sequence[Values]) -> Iterator[Row]:
    """What is asked, as far as it is anything, or differs."""
    catalogues = [value.column.scenario.catalogue for value in shown]
    titles = tuple(value.column.scenario.title or NONE for value in shown)
    if len(set(titles)) > 1:
        yield Row("Question", titles)
    names = {catalogue.name for catalogue in catalogues}
    if len(names) > 1:
        alike = len({catalogue.title for catalogue in catalogues}) < len(names)
        yield Row("Catalogue", tuple(c.name if alike else c.title for c in catalogues))
    needs = [value.column.scenario.needs for value in shown]
    yield Row("Rate, kHz", tuple(khz(need.rate_hz) for need in needs))
    for name, key in _WANTED.items():
        numbers = [getattr(need, key) for need in needs]
        if any(numbers):
            yield Row(name, tuple(str(number) for number in numbers))
    if len({need.master for need in needs}) > 1:
        yield Row("Master wanted", tuple(need.master for need in needs))


def _price(shown: Sequence[Values]) -> Iterator[Row]:
    first = shown[0].currency
    yield Row("Result", tuple(value.column.outcome.status for value in shown))
    yield Row("Total", tuple(_money(value, _total(value)) for value in shown))
    if mixed(shown) and any(v.converted is not None and v.currency != first for v in shown):
        yield Row(f"In {first}", tuple(_amount(value.converted, first) for value in shown))
    if any(value.answer and not value.answer.proven for value in shown):
        yield Row("At least", tuple(_money(value, _bound(value)) for value in shown))
    yield Row(
        "Difference",
        tuple(
            NONE if v.difference is None or v.number == 1 else signed(v.difference, first)
            for v in shown
        ),
    )
    yield Row("For each input", tuple(_money(value, _each(value)) for value in shown))


def _total(value: Values) -> int | None:
    return value.answer.rig.total if value.answer else None


def _bound(value: Values) -> int | None:
    return value.answer.bound if value.answer else None


def _each(value: Values) -> int | None:
    return value.known.price_per_mic if value.known else None


def _money(value: Values, minor: int | None) -> str:
    """An amount in the column's own currency."""
    return NONE if minor is None else priced(minor, value.column.scenario.catalogue)


def _amount(minor: int | None, currency: str) -> str:
    return NONE if minor is None else f"{to_text(minor, currency)} {currency}"


def _counted(
    shown: Sequence[Values], counts: Callable[[Values], Mapping[str, int]]
) -> Iterator[Row]:
    """How many of each name any column has, in the order of names."""
    for name in sorted({name for value in shown for name in counts(value)}):
        yield Row(name, tuple(str(counts(v).get(name) or NONE) for v in shown))


def _clock(shown: Sequence[Values]) -> Iterator[Row]:
    yield _told(shown, "Master", lambda answer, _: answer.rig.master.device.id)
    yield _told(shown, "Hops", lambda answer, _: str(answer.rig.clock_hops))


def _inputs(shown: Sequence[Values]) -> Iterator[Row]:
    for place, kind in enumerate(SOURCES):
        pairs = [value.known.kinds[place] if value.known else None for value in shown]
        if any(pair is not None and (pair.used or pair.spare) for pair in pairs):
            used = tuple(NONE if pair is None else str(pair.used) for pair in pairs)
            spare = tuple(NONE if pair is None else str(pair.spare) for pair in pairs)
            yield Row(f"{kind.capitalize()} used", used)
            yield Row(f"{kind.capitalize()} spare", spare)


def _size(shown: Sequence[Values]) -> Iterator[Row]:
    yield _told(shown, "Rack units", lambda _, known: str(known.rack_units))
    yield _told(shown, "Mains plugs", lambda _, known: str(known.mains))
    yield _told(shown, "Watts", lambda _, known: f"{known.watts.normalize():f}")
    yield _told(shown, "GB an hour", lambda _, k: gigabytes(k.recording_gb_hour_used))


def _told(shown: Sequence[Values], name: str, tell: Callable[[Answered, Figures], str]) -> Row:
    """A row of what `tell` says of each rig."""
    return Row(
        name,
        tuple(tell(v.answer, v.known) if v.answer and v.known else NONE for v in shown),
    )
