"""The texts of `rigopt plan` that are data: JSON, lists and page, each for a target."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import click

from rigopt.answers.outcome import Answered, Choice
from rigopt.catalogue.types import Catalogue
from rigopt.cli.asking import Data
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.data.input_list import input_list_csv
from rigopt.output.data.shopping import shopping_csv

_NOTHING = {
    "--shopping-list": "there is nothing to buy, so no shopping list is written",
    "--input-list": "there is no rig, so no input list is written",
    "--page": "there is no rig, so no page is written",
}


def plan_data(
    choice: Choice, catalogue: Catalogue, needs: Needs, targets: Mapping[str, str | None]
) -> Data:
    """What each option in `targets` has to tell.

    Where there is no rig, only the JSON has anything; for the others that are given,
    standard error says so.
    """
    outcome = choice.outcome

    def as_json() -> str:
        return plan_json(outcome, catalogue, needs, choice_json(choice, catalogue.currency))

    tell: dict[str, Callable[[], str]] = {"--json": as_json}
    if isinstance(outcome, Answered):
        tell |= {
            "--shopping-list": lambda: shopping_csv(outcome.rig, catalogue),
            "--input-list": lambda: input_list_csv(outcome.rig, needs.sources),
            "--page": lambda: _page(outcome, catalogue, needs),
        }
    for option, target in targets.items():
        if target is not None and option not in tell:
            click.echo(f"rigopt: {_NOTHING[option]}", err=True)
    return {option: (target, tell.get(option)) for option, target in targets.items()}


def _page(answer: Answered, catalogue: Catalogue, needs: Needs) -> str:
    # Here and not above, so that a list does not wait for what only pages need.
    from rigopt.output.page.page import plan_page  # noqa: PLC0415

    return plan_page(answer, catalogue, needs)
