"""A rig as TOML, for people: one line a unit, one line a cable.

    rate_khz = 48

    [units]                       # a name for each box = its device id
    host-1 = "desk-8"
    expander-1 = "pre-8"
    desk-b = { device = "stand-8", role = "expander" }   # where it could be either

    [cables]                      # output socket = input socket
    "expander-1 optical out 1" = "host-1 optical in 1"
    "host-1 optical out 1" = { to = "expander-1 optical in 1", cable = "opt-1m" }

    [clock]                       # what each unit's clock menu is set to
    host-1 = "internal"
    expander-1 = "optical 1"

    [phantom]                     # 48 V banks that are on
    expander-1 = [1]

    [inputs]                      # what is plugged in where, if you like
    "host-1 3" = "Voice"
    "expander-1 1" = { use = "mic", source = "Overhead L" }
    "expander-1 2" = { use = "instrument", through = "di-1" }

The socket of a clock setting may be left out where it can only be one. `carries` says
"clock" for a cable that is there for clock alone, `format` "stereo" for one in that format
over optical, and "expander-1 tee" = "expander-2 word in 1" goes on from a T-piece. From direct
out to input channel, "preamp-1 analogue out 1" = "host-1 analogue in 5"; ways of one loom have
the same `piece`, a number.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Final

from pydantic import BeforeValidator, Field, PlainValidator, ValidationInfo

from rigopt.catalogue.rows import from_catalogue
from rigopt.catalogue.types import Cable, Catalogue
from rigopt.files.faults import Gathered
from rigopt.files.models import ONE_SPELLING, at_most, column, filled, word
from rigopt.files.toml import read_toml
from rigopt.files.values import BadValueError, name
from rigopt.needs.table import TABLE
from rigopt.rig.reading import words
from rigopt.rig.reading.draft import (
    MOST_LINKS,
    MOST_UNITS,
    ClockDraft,
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
    SourceName,
    Table,
    UnitName,
    Use,
    parse,
)
from rigopt.rig.types import End, Load
from rigopt.rig.wired import StatedInput

_CHANNEL: Final = re.compile(r"(?P<unit>.+) (?P<channel>\d{1,6})")
_OF_NEEDS: Final = {*(row.table or row.name for row in TABLE), "source", "stage"} - {"rate_hz"}
"""Keys of a file of needs; where a rig has them as well, it has units."""


def _as(key: str) -> BeforeValidator:
    """A value that is no table stands for a table with that one key."""
    return BeforeValidator(lambda value: value if isinstance(value, dict) else {key: value})


def _as_list(value: object) -> object:
    return value if isinstance(value, list) else [value]


@dataclass(frozen=True, slots=True)
class Key:
    """A key that names a socket; it equals another spelling of the same socket."""

    text: str = field(compare=False)
    end: End


def _end(value: object, info: ValidationInfo) -> End:
    return words.end(value, (info.context or {})["units"])


def _key(value: object, info: ValidationInfo) -> Key:
    return Key(str(value), _end(value, info))


class UnitTable(Table):
    """A line of `[units]`."""

    device: DeviceId
    role: Role | None = None


class CableTable(Table):
    """A line of `[cables]`; its key is the output."""

    to: Annotated[End, PlainValidator(_end)]
    cable: Annotated[Cable, from_catalogue(words.cable)] | None = None
    format: Annotated[str, from_catalogue(words.format_id)] | None = None
    tee: Annotated[Cable, from_catalogue(words.cable)] | None = None
    terminator: Annotated[Cable, from_catalogue(words.cable)] | None = None
    piece: Number | None = None
    carries: (
        Annotated[
            tuple[Annotated[Load, word(words.LOADS)], ...],
            BeforeValidator(_as_list),
            at_most(9),
        ]
        | None
    ) = None


class InputTable(Table):
    """A line of `[inputs]`; its key is unit and channel, or the computer's number."""

    source: SourceName | None = None
    use: Use | None = None
    through: UnitName | None = None


Banks = Annotated[tuple[Number, ...], BeforeValidator(_as_list), at_most(1000)]


class RigFile(Table):
    """The whole file."""

    title: Label = ""
    rate_khz: Rate | None = None
    units: Annotated[
        dict[Name, Annotated[UnitTable, _as("device")]],
        filled("must not be empty"),
        at_most(MOST_UNITS),
        ONE_SPELLING,
    ]
    cables: Annotated[
        dict[Annotated[Key, PlainValidator(_key)], Annotated[CableTable, _as("to")]],
        at_most(MOST_LINKS),
        ONE_SPELLING,
    ] = Field(default_factory=dict)
    clock: Annotated[
        dict[UnitName, Annotated[ClockDraft, PlainValidator(words.clock)]], ONE_SPELLING
    ] = Field(default_factory=dict)
    phantom: Annotated[dict[UnitName, Banks], ONE_SPELLING] = Field(default_factory=dict)
    inputs: dict[str, Annotated[InputTable, _as("source")]] = Field(default_factory=dict)


def read_toml_draft(path: Path, catalogue: Catalogue, faults: Gathered) -> Draft | None:
    """The draft of a TOML file, or None and faults."""
    raw = read_toml(path, faults)
    if raw is None:
        return None
    if "units" not in raw and raw.keys() & _OF_NEEDS:
        faults.add(
            "is a file of needs, not a rig: a rig has [units]. To test a rig against needs: "
            "rigopt audit RIG --needs NEEDS"
        )
        return None
    units = raw.get("units")
    context: Context = {
        "catalogue": catalogue,
        "units": list(units) if isinstance(units, dict) else [],
        "lenient": False,
    }
    file = parse(RigFile, raw, context, faults)
    if file is None:
        return None
    _check_ends(file, faults)
    links = (_link(key, table, faults) for key, table in file.cables.items())
    seats = (_seat(key, table, context["units"], faults) for key, table in file.inputs.items())
    return Draft(
        title=file.title,
        rate_hz=file.rate_khz,
        units=tuple(_unit(unit, table, file) for unit, table in file.units.items()),
        links=tuple(link for link in links if link),
        seats=tuple(seat for seat in seats if seat),
    )


def _unit(unit: str, table: UnitTable, file: RigFile) -> UnitDraft:
    place, clock = column(("units", unit)), file.clock.get(unit)
    banks = file.phantom.get(unit, ())
    return UnitDraft(place, unit, table.device, table.role, clock, banks=banks)


def _check_ends(file: RigFile, faults: Gathered) -> None:
    """Note sockets that are there twice, as both ways and as one, and cables that are, the
    other way round.
    """
    first: dict[End | frozenset[End], str] = {}
    for key, table in file.cables.items():
        start, stop = _whole(key.end, file), _whole(table.to, file)
        ends = frozenset((start, stop))
        if start in first:
            problem = f"{first[start]!r} and {key.text!r} mean the same"
            faults.add(problem, column="cables")
        elif ends in first:
            problem = f"is the same cable as {first[ends]!r}, the other way round"
            faults.add(problem, column="cables", value=key.text)
        first.setdefault(start, key.text)
        first.setdefault(ends, key.text)


def _whole(end: End, file: RigFile) -> End:
    """The socket, whatever way of it a file says, where it works both ways."""
    trunk = file.units[end.unit].device.trunk
    both = end.kind == "trunk" and trunk is not None and trunk.duplex
    return end._replace(way="socket") if both else end


def _link(key: Key, table: CableTable, faults: Gathered) -> LinkDraft | None:
    """The cable of a line; one that is written from input to output is turned round."""
    place = column(("cables", key.text))
    one, other = key.end, table.to
    if "tee" in (one.way, other.way):
        return _from_tee(place, one, other, table, faults)
    if one.way == other.way != "socket":
        faults.add(f"joins an {one.way} to an {other.way}", column=place)
    elif one.kind != other.kind:
        problem = f"joins {one.kind} to {other.kind}; a cable joins sockets of one kind"
        faults.add(problem, column=place)
    else:
        forward = one.way in ("output", "socket") and other.way != "output"
        start, stop = (one, other) if forward else (other, one)
        return _draft(place, start, stop, table)
    return None


def _draft(place: str, start: End, stop: End, table: CableTable) -> LinkDraft:
    return LinkDraft(
        place,
        start.kind,
        start.unit,
        start.socket,
        stop.unit,
        stop.socket,
        table.cable,
        carries=table.carries,
        format=table.format,
        after=start.unit if start.way == "tee" else None,
        tee=table.tee,
        terminator=table.terminator,
        piece=table.piece,
    )


def _from_tee(
    place: str, one: End, other: End, table: CableTable, faults: Gathered
) -> LinkDraft | None:
    """A cable between a T-piece and the next word input, whichever is named first."""
    start, stop = (one, other) if one.way == "tee" else (other, one)
    if (stop.kind, stop.way) != ("word", "input"):
        faults.add("leads from a T-piece to something else than a word input", column=place)
        return None
    return _draft(place, start, stop, table)


def _from_1(digits: str) -> int:
    if not int(digits):
        raise BadValueError("counts from 1")
    return int(digits)


def _seat(
    key: str, table: InputTable, units: Collection[str], faults: Gathered
) -> SeatDraft | None:
    place = column(("inputs", key))
    number = unit = channel = None
    try:
        text = name(key)
        if text.isascii() and text.isdigit() and len(text) < 7:
            number = _from_1(text)
        elif found := _CHANNEL.fullmatch(text):
            unit, channel = words.unit(found["unit"], units), _from_1(found["channel"])
        else:
            raise BadValueError("must be a computer input, or unit and channel: 'host-1 3'")
    except BadValueError as fault:
        faults.bad(fault, column=place, value=key)
        return None
    said = StatedInput(
        number, unit, channel, table.use, table.source or None, through=table.through
    )
    return SeatDraft(place, said)
