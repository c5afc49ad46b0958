"""A rig wired by hand, or planned, read from a JSON or a TOML file.

Every fault of the file is told at once, with its place, the value, and the nearest name
that is allowed. The forms are described in `reading/by_json.py` and `reading/by_toml.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.files.faults import Gathered
from rigopt.files.text import place
from rigopt.files.values import BadValueError, rate
from rigopt.rig.reading.assemble import assemble
from rigopt.rig.reading.by_json import json_draft, read_json_draft
from rigopt.rig.reading.by_toml import read_toml_draft
from rigopt.rig.reading.draft import Draft
from rigopt.rig.wired import WiredRig


def read_rig(
    source: Path | Mapping[str, Any],
    catalogue: Catalogue,
    rate_typed: str | None = None,
    rate_needed: int | None = None,
) -> WiredRig:
    """The rig in a file, or in what a JSON file would hold.

    A name that ends in .toml is TOML, any other JSON.

    Its rate is what was typed, or else what the file says, or else `rate_needed` in Hz.

    Raises:
        InputError: When anything is wrong with the file or the rate; it holds every
            fault found.
    """
    name = place(source) if isinstance(source, Path) else "rig"
    options, faults = Gathered("command line"), Gathered(name)
    typed = _typed(rate_typed, options)
    draft = _draft(source, catalogue, faults)
    rig = None
    if draft is not None:
        rate_hz = typed or draft.rate_hz or rate_needed
        if rate_hz is None and not options:
            problem = "the sample rate is missing; give it here or with --rate"
            faults.add(problem, column="rate_khz")
        rig = _assembled(draft, rate_hz, faults)
    found = [*faults.faults, *options.faults]
    if rig is None or found:
        raise InputError(found)
    return rig


def _draft(
    source: Path | Mapping[str, Any], catalogue: Catalogue, faults: Gathered
) -> Draft | None:
    if not isinstance(source, Path):
        return json_draft(dict(source), catalogue, faults)
    read = read_toml_draft if source.suffix.casefold() == ".toml" else read_json_draft
    return read(source, catalogue, faults)


def _typed(rate_typed: str | None, options: Gathered) -> int | None:
    if rate_typed is None:
        return None
    try:
        return rate(rate_typed)
    except BadValueError as fault:
        options.bad(fault, column="--rate", value=rate_typed)
    return None


def _assembled(draft: Draft, rate_hz: int | None, faults: Gathered) -> WiredRig | None:
    """The rig; where no rate is known any will do to find the other faults."""
    return assemble(draft, rate_hz or 48000, faults)
