"""The rows of a comparison: a name, and a short text for each column."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from rigopt.answers.outcome import second_on
from rigopt.answers.series import Scenario
from rigopt.output.facts.compare import Values
from rigopt.output.facts.units import labels
from rigopt.output.words.phrases import NO_LABELS, Labels, amount, khz, plain, signed, tenth
from rigopt.rig.figures import SOURCES, Figures

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
    """A name and a cell for each column; a row without cells is a heading.

    A cell is None where its column has nothing to say. `label`: what an id stands for that is
    the name.
    """

    name: str
    cells: tuple[str | None, ...] = ()
    label: str = ""

    @property
    def texts(self) -> list[str]:
        """The cells as they are shown."""
        return ["-" if cell is None else cell for cell in self.cells]


def rows(shown: Sequence[Values]) -> list[Row]:
    """Every row that says something of at least one column."""
    found = [*_question(shown), *_price(shown)]
    parts = (
        ("Units", _counted(shown, lambda value: value.devices, _labels(shown))),
        ("Cables", _counted(shown, lambda value: value.cables)),
        ("Clock", _clock(shown)),
        ("Inputs", _inputs(shown)),
        ("Size", _size(shown)),
    )
    for title, part in parts:
        told = [row for row in part if any(cell is not None for cell in row.cells)]
        found += [Row(title), *told] if told else []
    return found


def _question(shown: Sequence[Values]) -> Iterator[Row]:
    """What is asked, as far as it is anything, or differs."""
    scenarios = [value.column.scenario for value in shown]
    titles = tuple(value.column.scenario.title or None for value in shown)
    if len(set(titles)) > 1:
        yield Row("Question", titles)
    if len(set(shops := catalogues(scenarios))) > 1:
        yield Row("Catalogue", tuple(shops))
    needs = [value.column.scenario.needs for value in shown]
    yield Row("Rate, kHz", tuple(khz(need.rate_hz) for need in needs))
    for name, key in _WANTED.items():
        numbers = [getattr(need, key) for need in needs]
        if any(numbers):
            yield Row(name, tuple(str(number) for number in numbers))
    if len({need.master for need in needs}) > 1:
        yield Row("Master wanted", tuple(need.master for need in needs))


def catalogues(scenarios: Sequence[Scenario]) -> list[str]:
    """The title of each catalogue, or its folder's name where titles do not tell them apart."""
    found = [scenario.catalogue for scenario in scenarios]
    alike = len({one.title for one in found}) < len({one.name for one in found})
    return [one.name if alike else one.title for one in found]


def _price(shown: Sequence[Values]) -> Iterator[Row]:
    first = shown[0].currency
    yield Row("Result", tuple(value.column.outcome.status for value in shown))
    yield Row("Total", tuple(_amount(value.total, value.currency) for value in shown))
    if any(v.converted is not None and v.currency != first for v in shown):
        yield Row(f"In {first}", tuple(_amount(value.converted, first) for value in shown))
    if any(value.answer and not value.answer.proven for value in shown):
        yield Row("At least", tuple(_amount(value.bound, value.currency) for value in shown))
    opinions = [second_on(value.column.outcome) for value in shown]
    if any(opinions):
        yield Row("Second opinion", tuple(opinions))
    yield Row(
        "Difference",
        tuple(
            None if v.difference is None or v.number == 1 else signed(v.difference, first)
            for v in shown
        ),
    )
    yield Row("For each input", tuple(_amount(value.each, value.currency) for value in shown))


def _amount(minor: int | None, currency: str) -> str | None:
    return None if minor is None else amount(minor, currency)


def _counted(
    shown: Sequence[Values],
    counts: Callable[[Values], Mapping[str, int]],
    labels: Labels = NO_LABELS,
) -> Iterator[Row]:
    """How many of each name any column has, in the order of names."""
    for name in sorted({name for value in shown for name in counts(value)}):
        numbers = (counts(value).get(name) for value in shown)
        cells = tuple(None if n is None else str(n) for n in numbers)
        yield Row(name, cells, labels.get(name, ""))


def _labels(shown: Sequence[Values]) -> dict[str, str]:
    rigs = [value.answer.rig for value in shown if value.answer]
    return labels(unit for rig in rigs for unit in rig.units)


def _clock(shown: Sequence[Values]) -> Iterator[Row]:
    answers = [value.answer for value in shown]
    yield Row("Master", tuple(one.rig.master.device.id if one else None for one in answers))
    yield _told(shown, "Hops", lambda known: str(known.clock_hops))


def _inputs(shown: Sequence[Values]) -> Iterator[Row]:
    for place, kind in enumerate(SOURCES):
        pairs = [value.known.kinds[place] if value.known else None for value in shown]
        if any(pair is not None and (pair.used or pair.spare) for pair in pairs):
            used = tuple(None if pair is None else str(pair.used) for pair in pairs)
            spare = tuple(None if pair is None else str(pair.spare) for pair in pairs)
            yield Row(f"{kind.capitalize()} used", used)
            yield Row(f"{kind.capitalize()} spare", spare)


def _size(shown: Sequence[Values]) -> Iterator[Row]:
    yield _told(shown, "Rack units", lambda known: str(known.rack_units))
    yield _told(shown, "Mains plugs", lambda known: str(known.mains))
    yield _told(shown, "Watts", lambda known: plain(known.watts))
    yield _told(shown, "GB an hour", lambda known: tenth(known.recording_gb_hour_used))


def _told(shown: Sequence[Values], name: str, tell: Callable[[Figures], str]) -> Row:
    """A row of what `tell` says of each rig."""
    return Row(name, tuple(tell(value.known) if value.known else None for value in shown))
