"""A rig at every sample rate as one page: the numbers, and a picture where it falls short."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rigopt.answers.rates import AtRate, ByRate
from rigopt.output.page.marking import rate_marks
from rigopt.output.page.picture.figure import picture
from rigopt.output.page.templates import template
from rigopt.output.words.audit import rate_told
from rigopt.output.words.phrases import khz, listed
from rigopt.output.words.rates import TITLE, alike, sum_rows, unit_rows


def rates_page(found: ByRate) -> str:
    """The page as HTML text that ends with a line end."""
    rig, columns = found.rig, found.rates
    answer = [("Rig", rig.title)] if rig.title else []
    return template("rates.html.j2").render(
        title=TITLE,
        answer=[*answer, ("Given", rate_told(rig))],
        invented="",
        headers=["Unit", *(khz(column.rate_hz) for column in columns)],
        units=unit_rows(rig, columns),
        sums=sum_rows(columns),
        groups=[_group(same, said) for same, said in alike(columns)],
    )


def _group(columns: Sequence[AtRate], said: Sequence[str]) -> Mapping[str, object]:
    """Rates of which the same is said: that, and the rig as it stands at the first of them."""
    verdict = columns[0].verdict
    return {
        "title": f"At {listed([khz(column.rate_hz) for column in columns])} kHz",
        "said": said,
        "picture": picture(verdict.as_rig(), rate_marks(columns[0]))
        if verdict.rig.units
        else "",
    }
