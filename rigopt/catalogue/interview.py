"""Questions about a box one after another, until its row is known. Nothing is read or shown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.catalogue import rules
from rigopt.catalogue.answers import Answers
from rigopt.catalogue.questions import QUESTIONS, Question, Unknown
from rigopt.catalogue.rows import DeviceRow, parse_row
from rigopt.catalogue.types import Catalogue, Device
from rigopt.errors import Fault
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError, tidy

UNKNOWN: Final = (
    "?",
    "don't know",
    "i don't know",
    "dont know",
    "do not know",
    "unknown",
    "not sure",
    "no idea",
)
BACK: Final = "<"

COLUMNS: Final = tuple(DeviceRow.model_fields)


class Interview:
    """The answers so far, and the question that is next."""

    def __init__(self, catalogue: Catalogue) -> None:
        trunks = {k: row for k, row in catalogue.formats.items() if row.socket == "trunk"}
        self._answers = Answers(catalogue.currency, trunks)
        self._taken = {name for shelf in catalogue.shelves.values() for name in shelf}
        self._unknown: dict[str, tuple[str, str]] = {}

    def next(self) -> Question | None:
        """The first question that is open, its texts filled in; None at the end."""
        given = self._answers.given
        for question in QUESTIONS:
            if question.key not in given and question.when(self._answers):
                return self._filled(question)
        return None

    def _filled(self, question: Question) -> Question:
        facts = self._answers.facts()
        default, unknown = question.default, question.unknown
        return question._replace(
            text=question.text.format_map(facts),
            why=question.why.format_map(facts),
            default=None if default is None else default.format_map(facts),
            unknown=unknown and Unknown(*(part.format_map(facts) for part in unknown)),
        )

    def answer(self, question: Question, typed: str) -> str:
        """Take an answer to the next question; says what the truth would change, or nothing.

        Raises:
            BadValueError: When it is none; the question stays open.
        """
        text = tidy(typed).replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
        if text == BACK:
            self._back()
            return ""
        if text.casefold() in UNKNOWN:
            if question.unknown is None:
                raise BadValueError("has to be known")
            self._put(question.key, question.unknown.cell)
            self._unknown[question.key] = (question.text, question.unknown.changes)
            return question.unknown.changes
        said = text or question.default
        if said is None:
            raise BadValueError("needs an answer")
        self._put(question.key, question.read(said, self._answers))
        return ""

    def _back(self) -> None:
        """Open the question before this one again."""
        if not self._answers.given:
            raise BadValueError("is the first question; nothing stands before it")
        key, _ = self._answers.given.popitem()
        self._unknown.pop(key, None)

    def _put(self, key: str, cell: str) -> None:
        given = self._answers.given
        given[key] = cell
        problem = next(self._problems(), None)
        if problem is not None:
            del given[key]
            raise BadValueError(problem.problem, (), problem.value)
        if key in COLUMNS and self._is_default(key):
            given[key] = ""

    def _is_default(self, key: str) -> bool:
        """Whether a cell says what a blank one says."""
        row = self._row(Gathered(""))
        return bool(getattr(row, key) == DeviceRow.model_fields[key].get_default())

    def _problems(self) -> Iterator[Fault]:
        faults = Gathered("")
        if self._answers.cell("id") in self._taken:
            faults.add("is taken already in this catalogue; choose another", column="id")
        row = self._row(faults)
        for column, value, problem in rules.problems(row, self._answers.trunks) if row else ():
            faults.add(problem, column=column, value=value)
        yield from faults.faults

    def _row(self, faults: Gathered) -> DeviceRow | None:
        return parse_row(DeviceRow, 0, self.cells, self._answers.currency, faults)

    @property
    def cells(self) -> dict[str, str]:
        """The row so far, without the cells that are blank."""
        answers = self._answers
        cells = {
            **answers.given,
            "role": answers.role,
            "computer": answers.cell("connection")
            if answers.cell("connection") != "no"
            else "",
            "mic": str(answers.left_mics or ""),
            "inst": str(answers.left_others + answers.number("instruments") or ""),
        }
        if cells["computer"] == DeviceRow.model_fields["computer"].get_default():
            cells["computer"] = ""
        return {name: cells[name] for name in COLUMNS if cells.get(name)}

    @property
    def device(self) -> Device:
        """The device of a row whose questions are all answered."""
        row = self._row(Gathered(""))
        assert row is not None, "every answer was tested when it was given"
        return rules.device(row, self._answers.trunks)

    @property
    def open_facts(self) -> list[tuple[str, str]]:
        """What is not known: each question's text, and what the truth would change."""
        return list(self._unknown.values())
