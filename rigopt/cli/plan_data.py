"""The texts of `rigopt plan` that are data: JSON, lists and page, each by its option."""

from __future__ import annotations

from functools import partial

from rigopt.answers.checks import Checks
from rigopt.answers.outcome import Answered, Choice
from rigopt.catalogue.types import Catalogue
from rigopt.cli.asking import Tells
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.data.input_list import input_list_csv
from rigopt.output.data.shopping import shopping_csv


def plan_data(
    choice: Choice, catalogue: Catalogue, needs: Needs, checks: Checks | None = None
) -> Tells:
    """What there is to tell; without a rig only the JSON. `checks` are for the page."""
    outcome = choice.outcome
    more = choice_json(choice, catalogue.currency)
    tells = {"--json": partial(plan_json, outcome, catalogue, needs, more)}
    if isinstance(outcome, Answered):
        tells["--shopping-list"] = partial(shopping_csv, outcome.rig, catalogue)
        tells["--input-list"] = partial(input_list_csv, outcome.rig, needs.sources)
        tells["--page"] = partial(_page, choice, catalogue, needs, checks)
    return tells


def _page(choice: Choice, catalogue: Catalogue, needs: Needs, checks: Checks | None) -> str:
    # Here and not above, so that a list does not wait for what only pages need.
    from rigopt.output.page.page import plan_page  # noqa: PLC0415
    from rigopt.output.words.checks import check_lines  # noqa: PLC0415

    answer = choice.outcome
    assert isinstance(answer, Answered)
    labels = {device.id: device.label for device in catalogue.devices.values()}
    told = [] if checks is None else check_lines(checks, answer.rig, catalogue.currency, labels)
    return plan_page(answer, catalogue, needs, told, choice.more)
