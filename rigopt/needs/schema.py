"""The tables and keys of a needs file.

Fields are named as in `Needs`; where the file says it otherwise, its key is the alias.
The validation context holds the catalogue, in which every id is looked up at once, and
its currency.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any, Final

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationError,
    ValidationInfo,
)
from pydantic_core import ErrorDetails

from rigopt.catalogue.rows import COMPUTERS, Label, Money, Name, YesNo
from rigopt.catalogue.types import Catalogue, Source
from rigopt.files import values
from rigopt.files.entries import at_most
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError, escaped, shown
from rigopt.needs import ids, keys
from rigopt.needs.types import Phantom

MOST_SOURCES: Final = 1_000
MOST_STAGES: Final = 32


def _id(parse: Callable[[object, Catalogue], str]) -> PlainValidator:
    def find(value: object, info: ValidationInfo) -> str:
        return parse(value, (info.context or {})["catalogue"])

    return PlainValidator(find)


Count = Annotated[int, PlainValidator(keys.count)]
Run = Annotated[int, PlainValidator(keys.run)]
Device = Annotated[str, _id(ids.device)]
Devices = Annotated[tuple[Device, ...], BeforeValidator(keys.as_list)]
Port = Annotated[str, PlainValidator(lambda value: values.one_of(COMPUTERS, value))]


class Section(BaseModel):
    """Base of the tables: an unknown key is a fault."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Inputs(Section):
    """`[inputs]`."""

    mic: Count = 0
    phantom: Count = 0
    no_phantom: Count = 0
    line: Count = 0
    instrument: Count = 0


class Outputs(Section):
    """`[outputs]`."""

    out_line: Count = Field(default=0, alias="line")
    out_phones: Count = Field(default=0, alias="phones")


class Clock(Section):
    """`[clock]`."""

    master: Annotated[str, _id(ids.master)] = "any"
    max_hops: Annotated[int, PlainValidator(keys.hops)] = 3


class Computer(Section):
    """`[computer]`."""

    ports: Annotated[tuple[Port, ...], BeforeValidator(keys.as_list), Field(min_length=1)] = (
        COMPUTERS
    )
    max_hosts: Annotated[int, PlainValidator(keys.hosts)] = 1


class Cables(Section):
    """`[cables]`; runs are in millimetres once read."""

    host_to_rack_mm: Run = Field(default=1000, alias="host_to_rack_m")
    within_rack_mm: Run = Field(default=500, alias="within_rack_m")


class Limits(Section):
    """`[limits]`."""

    budget: Money | None = None
    rack_units: Count | None = None
    mains: Count | None = None
    units: Count | None = None
    sellers: Count | None = None


class Choose(Section):
    """`[choose]`."""

    avoid: Devices = ()
    require: Devices = ()
    new_only: YesNo = False
    owned_only: YesNo = False


class SourceTable(Section):
    """A `[[source]]`."""

    name: Name
    kind: Annotated[Source, PlainValidator(keys.source_kind)] = "mic"
    phantom: Annotated[Phantom, PlainValidator(keys.source_phantom)] = "any"
    pair: Label = ""


class Settings(Section):
    """Everything that a stage may say as well as the file itself."""

    title: Label = ""
    rate_hz: Annotated[int, PlainValidator(values.rate)] = Field(
        default=48000, alias="rate_khz"
    )
    inputs: Inputs = Inputs()
    outputs: Outputs = Outputs()
    clock: Clock = Clock()
    computer: Computer = Computer()
    cables: Cables = Cables()
    limits: Limits = Limits()
    owned: Annotated[
        dict[Annotated[str, _id(ids.ownable)], Count], BeforeValidator(keys.dotted)
    ] = {}
    choose: Choose = Choose()
    exchange: dict[
        Annotated[str, _id(ids.foreign)], Annotated[Decimal, PlainValidator(keys.exchange_rate)]
    ] = {}
    sources: Annotated[list[SourceTable], at_most(MOST_SOURCES)] = Field(
        default=[], alias="source"
    )


class StageTable(Settings):
    """A `[[stage]]`."""

    price_factor: Annotated[Decimal, PlainValidator(keys.factor)] = Decimal(1)
    budget: Money | None = None


class NeedsTable(Settings):
    """The whole file."""

    stages: Annotated[list[StageTable], at_most(MOST_STAGES)] = Field(default=[], alias="stage")


SECTIONS: Final[dict[str, type[Section]]] = {
    "inputs": Inputs,
    "outputs": Outputs,
    "clock": Clock,
    "computer": Computer,
    "cables": Cables,
    "limits": Limits,
    "choose": Choose,
}
_TABLES: Final[dict[str, type[Section]]] = {
    **SECTIONS,
    "source": SourceTable,
    "stage": StageTable,
}
_PROBLEMS: Final = {
    # Kinds of fault as pydantic names them, apart from those of our own parsers.
    "missing": "this is missing",
    "too_short": "names nothing; leave it out for every kind",
    "model_type": "must be a table",
    "dict_type": "must be a table",
    "list_type": "must be a list",
    "tuple_type": "must be a list",
}


def parse_needs(raw: dict[str, Any], catalogue: Catalogue, faults: Gathered) -> NeedsTable:
    """The file's tables; every fault of their values is noted.

    A top-level entry with a fault in it is left out, so that the rules between entries
    can still be checked for the others.
    """
    context = {"catalogue": catalogue, "currency": catalogue.currency}
    try:
        return NeedsTable.model_validate(raw, context=context)
    except ValidationError as error:
        details = error.errors(include_url=False)
    for detail in details:
        _note(detail, faults)
    faulty = {detail["loc"][0] for detail in details}
    sound = {key: value for key, value in raw.items() if key not in faulty}
    return NeedsTable.model_validate(sound, context=context)


def _note(detail: ErrorDetails, faults: Gathered) -> None:
    loc, value = detail["loc"], detail["input"]
    cause = detail.get("ctx", {}).get("error")
    if isinstance(cause, BadValueError):
        faults.bad(cause, column=column(loc), value=value)
    elif detail["type"] == "extra_forbidden":
        _note_unknown(loc, faults)
    elif detail["type"] == "too_long":
        most = detail["ctx"]["max_length"]
        faults.add(f"has more than {most} entries", column=column(loc))
    else:
        missing = detail["type"] in ("missing", "too_short")
        problem = _PROBLEMS.get(detail["type"], "is of a wrong kind")
        faults.add(problem, column=column(loc), value=None if missing else value)


def _note_unknown(loc: tuple[int | str, ...], faults: Gathered) -> None:
    """An unknown key, with the table it belongs in where there is just one."""
    key = str(loc[-1])
    table: type[Section] = NeedsTable
    for part in loc[:-1]:
        table = table if isinstance(part, int) else _TABLES[part]
    homes = [name for name, section in SECTIONS.items() if key in names(section)]
    hint = f"; it belongs in [{homes[0]}]" if len(homes) == 1 else ""
    faults.add(
        f"there is no such key here{hint}",
        column=column(loc),
        value=key,
        allowed=() if hint else names(table),
    )


def names(table: type[Section]) -> list[str]:
    """The keys of a table as the file has them."""
    return [field.alias or name for name, field in table.model_fields.items()]


def column(loc: tuple[int | str, ...]) -> str:
    """A place in the file: inputs.mic, or source[2].kind with entries counted from 1."""
    parts = [
        f"[{part + 1}]" if isinstance(part, int) else f".{escaped(shown(part))}"
        for part in loc
        if part != "[key]"  # pydantic's word for a fault in a key itself
    ]
    return "".join(parts).lstrip(".")


def settings(table: Settings) -> dict[str, Any]:
    """What `table` says, by the field names of `Needs`; what it leaves out is not in it."""
    flat: dict[str, Any] = {}
    for name in Settings.model_fields:
        value = getattr(table, name)
        if name not in table.model_fields_set:
            continue
        if isinstance(value, Section):
            flat |= {key: field for key, field in value if key in value.model_fields_set}
        else:
            flat[name] = value
    return flat
