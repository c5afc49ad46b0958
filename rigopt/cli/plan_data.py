"""The texts of `rigopt plan` that are data: JSON, lists and page, each by its option."""

from __future__ import annotations

import datetime
from functools import partial

from rigopt.answers.checks import Checks
from rigopt.answers.outcome import Answered, Choice
from rigopt.catalogue.types import Catalogue
from rigopt.cli.asking import Tells
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.data.input_list import input_list_csv
from rigopt.output.data.labels_csv import labels_csv
from rigopt.output.data.shopping import shopping_csv
from rigopt.rig.types import Rig


def plan_data(
    choice: Choice,
    catalogue: Catalogue,
    needs: Needs,
    *,
    labels_to: str | None = None,
    today: datetime.date | None = None,
    checks: Checks | None = None,
) -> Tells:
    """What there is to tell; without a rig only the JSON.

    `labels_to`: the file for the labels; its ending says in which form they are. `today`: the
    day that was typed. `checks` are for the page.
    """
    outcome = choice.outcome
    more = choice_json(choice, catalogue.currency)
    tells = {"--json": partial(plan_json, outcome, catalogue, needs, more)}
    if isinstance(outcome, Answered):
        tells["--shopping-list"] = partial(shopping_csv, outcome.rig, catalogue)
        tells["--input-list"] = partial(input_list_csv, outcome.rig, needs)
        tells["--labels"] = partial(_labels, outcome.rig, labels_to or "")
        tells["--page"] = partial(_page, choice, catalogue, needs, today, checks)
    return tells


def _page(
    choice: Choice,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None,
    checks: Checks | None,
) -> str:
    # Here and not above, so that a list does not wait for what only pages need.
    from rigopt.output.page.page import plan_page  # noqa: PLC0415
    from rigopt.output.words.checks import checks_told  # noqa: PLC0415

    answer = choice.outcome
    assert isinstance(answer, Answered)
    told = checks_told(checks, answer.rig, catalogue)
    return plan_page(answer, catalogue, needs, today, told, choice=choice)


def _labels(rig: Rig, target: str) -> str:
    if target.casefold().endswith(".csv"):
        return labels_csv(rig)
    from rigopt.output.page.labels_page import labels_page  # noqa: PLC0415

    return labels_page(rig)
