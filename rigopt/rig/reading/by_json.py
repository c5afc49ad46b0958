"""A rig as JSON: `units` and `links` as `rigopt plan --json` writes them, or by hand.

In hand-written files a lot may be left out: `role`, a clock's `from`, `channels`,
`carries`, `cable`, `owned`, `phantom_banks_on` follow from the rest. A clock may be said
in words, such as "internal" or "optical 1". A file with a `format` comes from this
program: keys that are not needed are passed over. Without one, an unknown key is a fault,
for it may be a slip.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field, PlainValidator

from rigopt.catalogue.rows import from_catalogue
from rigopt.catalogue.types import Cable, Catalogue
from rigopt.facts import SocketKind
from rigopt.files import values
from rigopt.files.faults import Gathered
from rigopt.files.json import read_json
from rigopt.files.models import at_most, filled, whole, word
from rigopt.files.values import BadValueError
from rigopt.rig.reading import words
from rigopt.rig.reading.draft import (
    MOST_CHANNEL,
    MOST_LINKS,
    MOST_UNITS,
    ClockDraft,
    ClockSource,
    Draft,
    LinkDraft,
    SeatDraft,
    UnitDraft,
)
from rigopt.rig.reading.models import (
    Context,
    DeviceId,
    Label,
    Name,
    Number,
    Rate,
    Role,
    Socket,
    SourceName,
    Table,
    UnitName,
    Use,
    parse,
)
from rigopt.rig.types import Load
from rigopt.rig.wired import StatedInput

FORMATS: Final = ("rigopt-plan/2", "rigopt-audit/2", "rigopt-plan/1", "rigopt-audit/1")


class ClockTable(Table):
    """The `clock` of a unit."""

    source: Annotated[ClockSource, word(words.CLOCK_SOURCES)]
    socket: Socket | None = None
    from_unit: UnitName | None = Field(default=None, alias="from")


def _clock(value: object) -> object:
    """A setting in words as the table that it stands for."""
    if not isinstance(value, str):
        return value
    said = words.clock(value)
    return {"source": said.source, "socket": said.socket}


class UnitTable(Table):
    """One of the `units`."""

    name: Name
    device: DeviceId
    role: Role | None = None
    clock: Annotated[ClockTable | None, BeforeValidator(_clock)] = None
    owned: Annotated[bool, PlainValidator(values.yes)] = True
    phantom_banks_on: Annotated[tuple[Number, ...], at_most(1000)] = ()


class LinkTable(Table):
    """One of the `links`."""

    kind: Annotated[SocketKind, word(words.LINK_KINDS)]
    from_unit: UnitName = Field(alias="from")
    from_socket: Socket
    to_unit: UnitName = Field(alias="to")
    to_socket: Socket
    channels: Annotated[int, whole(MOST_CHANNEL)] | None = None
    carries: Annotated[tuple[Annotated[Load, word(words.LOADS)], ...], at_most(9)] | None = None
    cable: Annotated[Cable, from_catalogue(words.cable)] | None = None
    format: Annotated[str, from_catalogue(words.format_id)] | None = None
    back: Annotated[int, whole(MOST_CHANNEL)] | None = None
    after: UnitName | None = None
    tee: Annotated[Cable, from_catalogue(words.cable)] | None = None
    terminator: Annotated[Cable, from_catalogue(words.cable)] | None = None
    piece: Number | None = None


class InputTable(Table):
    """One of the `inputs`; what follows from the wiring is passed over."""

    computer_input: Number | None = None
    unit: UnitName | None = None
    channel: Number | None = None
    accepts: Any = None
    phantom: Annotated[bool, PlainValidator(values.yes)] | None = None
    use: Use | None = None
    source: SourceName | None = None
    through: UnitName | None = None
    path: Any = None


class RigFile(Table):
    """The whole file; what follows from units and links is passed over."""

    format: Any = None
    status: Any = None
    currency: Any = None
    total: Any = None
    bound: Any = None
    purchases: Any = None
    clock_hops: Any = None
    title: Label = ""
    rate_khz: Rate | None = None
    units: Annotated[tuple[UnitTable, ...], filled("must not be empty"), at_most(MOST_UNITS)]
    links: Annotated[tuple[LinkTable, ...], at_most(MOST_LINKS)] = ()
    inputs: Annotated[tuple[InputTable, ...], at_most(100_000)] = ()


def read_json_draft(path: Path, catalogue: Catalogue, faults: Gathered) -> Draft | None:
    """The draft of a JSON file, or None and faults."""
    raw = read_json(path, faults)
    return None if raw is None else json_draft(raw, catalogue, faults)


def json_draft(raw: dict[str, Any], catalogue: Catalogue, faults: Gathered) -> Draft | None:
    """The draft of what a JSON file holds, or None and faults."""
    if not _holds_a_rig(raw, faults):
        return None
    context: Context = {
        "catalogue": catalogue,
        "units": _names(raw.get("units")),
        "lenient": raw.get("format") is not None,
    }
    file = parse(RigFile, raw, context, faults)
    return None if file is None else _draft(file)


def _names(units: object) -> list[str]:
    """The names of the units as far as they are names, for others to be looked up in."""
    found = []
    for unit in units if isinstance(units, list) else ():
        if isinstance(unit, dict):
            with contextlib.suppress(BadValueError):
                found.append(values.name(unit.get("name")))
    return found


def _holds_a_rig(raw: dict[str, Any], faults: Gathered) -> bool:
    form = raw.get("format")
    if form is not None and form not in FORMATS:
        problem = f"must be {values.listed(FORMATS)}, or be left out"
        faults.add(problem, column="format", value=form, allowed=FORMATS)
        return False
    if "units" not in raw and isinstance(raw.get("status"), str):
        problem = "holds no rig, for there was none to find"
        faults.add(problem, column="status", value=raw["status"])
        return False
    return True


def _draft(file: RigFile) -> Draft:
    seats = enumerate(file.inputs, start=1)
    boxes = [unit.name for unit in file.units if unit.device.role == "di"]
    return Draft(
        title=file.title,
        rate_hz=file.rate_khz,
        units=tuple(_unit(n, table) for n, table in enumerate(file.units, start=1)),
        links=tuple(_link(n, table) for n, table in enumerate(file.links, start=1)),
        seats=tuple(
            SeatDraft(f"inputs[{n}]", _seat(t, boxes)) for n, t in seats if t.use or t.source
        ),
    )


def _unit(number: int, table: UnitTable) -> UnitDraft:
    clock = None
    if table.clock is not None:
        said = table.clock
        clock = ClockDraft(said.source, said.socket, said.from_unit)
    return UnitDraft(
        place=f"units[{number}]",
        name=table.name,
        device=table.device,
        role=table.role,
        clock=clock,
        owned=table.owned,
        banks=table.phantom_banks_on,
    )


def _link(number: int, table: LinkTable) -> LinkDraft:
    return LinkDraft(f"links[{number}]", **dict(table))


def _seat(table: InputTable, boxes: Sequence[str]) -> StatedInput:
    """What is said of an input; a DI box is the first of its path, or said by itself."""
    path = table.path if isinstance(table.path, list) else []
    first = next((name for name in path[:1] if name in boxes), None)
    return StatedInput(
        number=table.computer_input,
        unit=table.unit,
        channel=table.channel,
        use=table.use,
        source=table.source or None,
        phantom=table.phantom,
        through=table.through or first,
    )
