"""The tables and keys of a needs file, made from the table of needs.

Fields are named as in `Needs`; the key of the file is the alias. The validation context
holds the catalogue, in which every id is looked up at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, Final

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationError,
    create_model,
)

from rigopt.catalogue.rows import Label, SourceRow, from_catalogue
from rigopt.catalogue.sources import MOST_SOURCES, line
from rigopt.catalogue.types import Catalogue
from rigopt.files import models
from rigopt.files.faults import Gathered
from rigopt.files.models import ONE_SPELLING, at_most, filled
from rigopt.needs import keys
from rigopt.needs.row import Row
from rigopt.needs.table import ROWS, TABLE

MOST_STAGES: Final = 32


class Section(BaseModel):
    """Base of the tables: an unknown key is a fault."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


def _type(row: Row) -> Any:
    """What a row holds, as pydantic takes it."""
    assert row.read
    one = Annotated[Any, from_catalogue(row.read)]
    if row.read_name:
        name = Annotated[str, from_catalogue(row.read_name)]
        table: Any = Annotated[dict[name, one], ONE_SPELLING]
        # The points of an id mean something else to TOML; other names have none.
        return Annotated[table, BeforeValidator(keys.dotted)] if row.name == "owned" else table
    if not row.is_list:
        return one
    several = Annotated[tuple[one, ...], BeforeValidator(keys.as_list)]
    if row.kind == "ports":
        return Annotated[several, filled("names nothing; leave it out for every kind")]
    return several


def _field(row: Row) -> Any:
    return _type(row), Field(default=None, alias=row.leaf)


_ROWS: Final = [row for row in TABLE if row.read]
SECTIONS: Final[dict[str, type[Section]]] = {
    table: create_model(
        table,
        __base__=Section,
        **{row.name: _field(row) for row in _ROWS if row.table == table},
    )
    for table in dict.fromkeys(row.table for row in _ROWS)
    if table
}
"""The tables that hold one value for each key, by name."""


class SourceTable(SourceRow):
    """A `[[source]]`."""

    model_config = ConfigDict(extra="forbid")


HOMES: Final = {*SECTIONS, "owned", "source", "stage"}
"""Keys that needs are known by."""


def _settings() -> dict[str, Any]:
    """Everything that a stage may say as well as the file itself: values, then tables."""
    fields: dict[str, Any] = {"title": (Label, "")}
    fields |= {row.name: _field(row) for row in _ROWS if not (row.table or row.read_name)}
    for row in _ROWS:
        if row.table:
            fields[row.table] = (SECTIONS[row.table], Field(default=None))
        elif row.read_name:
            fields[row.name] = _field(row)
    one = Annotated[SourceTable, AfterValidator(line)]
    sources = Annotated[list[one], at_most(MOST_SOURCES)]
    return {**fields, "sources": (sources, Field(default=None, alias="source"))}


StageTable: Final = create_model(
    "StageTable",
    __base__=Section,
    **_settings(),
    price_factor=(Annotated[Decimal, PlainValidator(keys.factor)], None),
    outlay=(_type(ROWS["budget"]), Field(default=None, alias="budget")),
)
"""A `[[stage]]`. Its own `budget` is the outlay then, which no later stage takes over."""

_Stages: Any = list[StageTable]  # type: ignore[valid-type]

NeedsTable: Final = create_model(
    "NeedsTable",
    __base__=Section,
    **_settings(),
    stages=(Annotated[_Stages, at_most(MOST_STAGES)], Field(default=None, alias="stage")),
)
"""The whole file."""


def parse_needs(raw: dict[str, Any], catalogue: Catalogue, faults: Gathered) -> dict[str, Any]:
    """What the file says, by the field names of `Needs`; what it leaves out is not in it.

    `stages` are such dictionaries too, with `price_factor` and `outlay` beside the rest.
    Every fault of a value is noted. A top-level entry with a fault in it is left out, so
    that the rules between entries can still be checked for the others.
    """
    if other := _another_file(raw):
        faults.add(other)
        return {}
    context = {"catalogue": catalogue}
    try:
        return _said(NeedsTable.model_validate(raw, context=context))
    except ValidationError as error:
        details = error.errors(include_url=False)
    homes = {table: models.keys(section) for table, section in SECTIONS.items()}
    models.note(details, NeedsTable, faults, homes=homes)
    faulty = {detail["loc"][0] for detail in details}
    sound = {key: value for key, value in raw.items() if key not in faulty}
    return _said(NeedsTable.model_validate(sound, context=context))


def _another_file(raw: Mapping[str, Any]) -> str:
    """What the file is, if it is one of another kind; empty if it may be needs."""
    if "units" in raw or "links" in raw:
        return "is a rig, not needs; 'rigopt audit' tests it"
    if "currency" in raw and not raw.keys() & HOMES:
        return "is the head of a catalogue, not needs; give its folder after --catalog"
    return ""


def _said(table: Section) -> dict[str, Any]:
    """The values that stand in `table`, those of its sections among them."""
    said: dict[str, Any] = {}
    for name in table.model_fields_set:
        value = getattr(table, name)
        if isinstance(value, Section):
            said |= _said(value)
        else:
            said[name] = value
    if "stages" in said:
        said["stages"] = [_said(stage) for stage in said["stages"]]
    return said
