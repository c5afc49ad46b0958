"""How questions asked from Python can end: a type for each end, to match or to test.

What they are asked for is worked out then; nothing of it is changed by asking.
"""

from __future__ import annotations

import datetime
import html
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Protocol

from rigopt.api import frames

if TYPE_CHECKING:
    import pandas as pd


class Ending(Protocol):
    """What every end of a question has, whatever the question."""

    @property
    def status(self) -> str:
        """The word for it."""

    @property
    def exit_status(self) -> int:
        """With which the command ends."""


@dataclass(frozen=True, slots=True)
class Told:
    """How an end is told: the command's text, JSON and page (None: it has none).

    `rigs` are those it holds; where there may be several, `label` is the column that tells
    them apart.
    """

    text: Callable[..., str]
    data: Callable[[], str]
    page: Callable[[], str] | None = None
    rigs: Sequence[frames.Shown] = ()
    label: str = ""
    proven: bool = True


class Result:
    """The end of a question."""

    def __init__(self, ending: Ending, told: Told) -> None:
        self._ending = ending
        self._told = told

    def __repr__(self) -> str:
        total = "" if self.total is None else f", {self.total}"
        return f"<{type(self).__name__}: {self.status}{total}>"

    @property
    def status(self) -> str:
        """The word for it, as in the JSON where that has one."""
        return self._ending.status

    @property
    def exit_status(self) -> int:
        """With which the command would end."""
        return self._ending.exit_status

    @property
    def proven(self) -> bool:
        """Whether nothing better is left: no cheaper rig, or no rig at all."""
        return self._told.proven

    @property
    def total(self) -> Decimal | None:
        """What it costs, in the catalogue's currency; None where there is no one amount."""
        return None

    def to_text(self) -> str:
        """The text of the command."""
        return self._told.text()

    def to_dict(self) -> dict[str, Any]:
        """The JSON of the command."""
        found: dict[str, Any] = json.loads(self._told.data())
        return found

    def to_html(self) -> str:
        """The page of the command; where it has none, the text, ready for a page."""
        if self._told.page is None:
            return f"<pre>{html.escape(self.to_text())}</pre>\n"
        return self._told.page()

    def _repr_html_(self) -> str:
        """The same for a notebook; a page has a frame, which keeps its style to itself."""
        if self._told.page is None:
            return self.to_html()
        page = html.escape(self.to_html())
        return f'<iframe srcdoc="{page}" style="width:100%;height:40rem;border:0"></iframe>\n'

    @property
    def units(self) -> pd.DataFrame:
        """The boxes."""
        return self._frame(frames.units)

    @property
    def links(self) -> pd.DataFrame:
        """The digital cables."""
        return self._frame(frames.links)

    @property
    def inputs(self) -> pd.DataFrame:
        """The inputs of the computer."""
        return self._frame(frames.inputs)

    @property
    def purchases(self) -> pd.DataFrame:
        """What is to be bought."""
        return self._frame(frames.purchases)

    def _frame(self, rows: frames.Rows) -> pd.DataFrame:
        return frames.frame(rows, self._told.rigs, self._told.label)


class Priced(Result):
    """An end that has a total."""

    def __init__(self, ending: Ending, told: Told, total: Decimal) -> None:
        super().__init__(ending, told)
        self._total = total

    @property
    def total(self) -> Decimal:
        """What it costs, in the catalogue's currency."""
        return self._total


class Answered(Priced):
    """A rig that has passed the audit."""

    def to_text(
        self, *, wiring: bool = False, steps: bool = False, today: datetime.date | None = None
    ) -> str:
        """The text of the command, with its drawing of the cables and its steps if wanted.

        Prices are judged old or not by `today`; without it, by the system's date.
        """
        return self._told.text(wiring=wiring, steps=steps, today=today or datetime.date.today())


class Impossible(Result):
    """Proven: there is no rig, or no way through all stages; why, and what would do."""


class OutOfTime(Result):
    """The time limit came before any rig was found, or a proof that there is none."""


Plan = Answered | Impossible | OutOfTime


class Comparison(Result):
    """Several plans side by side: `columns`, in the order in which they were asked."""

    def __init__(self, ending: Ending, told: Told, columns: Sequence[Plan]) -> None:
        super().__init__(ending, told)
        self.columns = tuple(columns)


class Curve(Result):
    """Plans by their number of microphones, up to the first that is impossible."""

    def __init__(self, ending: Ending, told: Told, points: Mapping[int, Plan]) -> None:
        super().__init__(ending, told)
        self.points = dict(points)


class Stretched(Priced):
    """The cheapest rig for the most microphones, `mic`, that the budget is enough for."""

    def __init__(self, ending: Ending, told: Told, total: Decimal, mic: int) -> None:
        super().__init__(ending, told, total)
        self.mic = mic


class Grown(Priced):
    """What to buy at each stage; the tables say of which stage each row is."""


class Works(Result):
    """A wired rig that has no fault."""


class Faulty(Result):
    """A wired rig that does not work: its faults, and what to change."""


class Repaired(Priced):
    """A wired rig as it works, and what it takes; `total` is what that costs."""


class NoRepair(Result):
    """No repair that keeps the units was found: why, as far as can be told."""


class Prices(Result):
    """The prices to look up next, or the rig that no other price can change."""

    @property
    def done(self) -> bool:
        """Whether no price is worth looking up any more."""
        return bool(self.to_dict().get("done"))

    @property
    def ask(self) -> list[str]:
        """The ids of what to look up next."""
        return list(self.to_dict().get("ask", ()))


class Rates(Result):
    """A wired rig at each sample rate; the tables say at which rate each row is so."""
