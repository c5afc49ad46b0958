"""`rigopt audit`: whether a wired rig works, what is wrong with it, and what to change."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.api.repair import ask_repair
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.cli import asking, options
from rigopt.cli.progress import watching
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs, Question
from rigopt.output.data.audit_json import audit_json
from rigopt.output.files import check_targets
from rigopt.output.terminal.audit import audit_text, head
from rigopt.rig.reading.read import read_rig


@click.command()
@click.argument("rig_file", metavar="RIG", type=click.Path(path_type=Path, readable=False))
@click.option(
    "--needs",
    "asked",
    type=options.ASKED,
    metavar="NEEDS",
    help="Also test whether the rig meets these needs: a TOML file, or as '16 mics'.",
)
@options.sources_option
@options.catalogue_option
@click.option("--rate", metavar="KHZ", help="Sample rate: overrides the rig's own.")
@click.option("--fix", is_flag=True, help="Work out the cheapest repair that keeps the units.")
@options.json_option
@options.page_option
@options.time_limit_option
def audit(
    *,
    rig_file: Path,
    asked: Path | Question | None,
    sources: str | None,
    catalog: Path | None,
    rate: str | None,
    fix: bool,
    json_to: str | None,
    page_to: str | None,
    time_limit: float | None,
) -> int:
    """Whether a wired rig works, and what to change if not.

    RIG is a rig as JSON, written by 'rigopt plan --json' or by hand, or as TOML with a
    line for each unit, cable and clock setting; `rigopt about wired` shows both.

    With --fix: the cheapest repair that keeps the units, as cables to add, move or take
    off and settings to change. The repaired rig is audited before it is shown.

    Exit status: 0 the rig works, or works once repaired as shown; 2 wrong use or an input
    in error; 3 it does not work, or no repair that keeps the units was found.
    """
    folder = catalog or shipped.demo_catalogue()
    targets = {"--json": json_to, "--page": page_to}
    given = {"rate": rate, "sources": sources}
    check_targets(targets, asking.inputs([rig_file, asked], [folder], given))
    catalogue = read_folder(folder, invented=catalog is None)
    needs = read_needs(asked, catalogue, given) if asked or sources else None
    rig = read_rig(rig_file, catalogue, rate, needs.rate_hz if needs else None)
    verdict = examine(rig, needs)
    repair = None
    if fix and not verdict.works:
        with watching(catalogue.currency) as watch:
            repair = ask_repair(rig, catalogue, needs, time_limit, watch)
    told = (verdict, catalogue, needs, repair)
    asking.deliver(
        targets,
        {"--json": partial(audit_json, *told), "--page": partial(_page, *told)},
        partial(audit_text, *told),
        partial(head, verdict, needs),
    )
    return (repair or verdict).exit_status


def _page(
    verdict: Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    repair: Repaired | NoRepair | None,
) -> str:
    # Here and not above, so that a verdict does not wait for what only pages need.
    from rigopt.output.page.audit_page import audit_page  # noqa: PLC0415

    return audit_page(verdict, catalogue, needs, repair)
