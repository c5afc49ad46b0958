"""What the tables of rig files have in common: one base, and types of single values."""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated, Any, TypedDict, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, ValidationError, ValidationInfo

from rigopt.catalogue.rows import from_catalogue
from rigopt.catalogue.types import SOURCES, Catalogue, Device, Source
from rigopt.files import values
from rigopt.files.faults import Gathered
from rigopt.files.models import UNKNOWN, Loc, note, whole, word
from rigopt.files.values import BadValueError
from rigopt.rig.reading import words
from rigopt.rig.reading.draft import MOST_CHANNEL
from rigopt.rig.types import UnitRole

M = TypeVar("M", bound="Table")


class Table(BaseModel):
    """Base of all tables: a key that it does not know is a fault."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Context(TypedDict):
    """What values are looked up in. `lenient`: unknown keys are passed over."""

    catalogue: Catalogue
    units: Collection[str]
    lenient: bool


def _unit(value: object, info: ValidationInfo) -> str:
    return words.unit(value, (info.context or {})["units"])


def _source(value: object) -> str:
    """A name in quotation marks; a number is more likely one that belongs elsewhere."""
    if not isinstance(value, str):
        raise BadValueError("must be a name in quotation marks")
    return values.label(value)


Name = Annotated[str, PlainValidator(values.name)]
UnitName = Annotated[str, PlainValidator(_unit)]
"""The name of a unit that the file has."""

Label = Annotated[str, PlainValidator(values.label)]
SourceName = Annotated[str, PlainValidator(_source)]
Rate = Annotated[int, PlainValidator(values.rate)]
Socket = Annotated[int, PlainValidator(words.socket)]
Number = Annotated[int, whole(MOST_CHANNEL, least=1)]
DeviceId = Annotated[Device, from_catalogue(words.device)]
Role = Annotated[UnitRole, word(words.ROLES)]
Use = Annotated[Source, word(SOURCES)]


def parse(model: type[M], raw: dict[str, Any], context: Context, faults: Gathered) -> M | None:
    """`raw` as a `model`, or None; every fault of its values is noted.

    Where the context is lenient, keys that no table knows are taken out of `raw`.
    """
    try:
        return model.model_validate(raw, context=context)
    except ValidationError as error:
        details = error.errors(include_url=False)
    wrong = [d for d in details if not (context["lenient"] and d["type"] == UNKNOWN)]
    note(wrong, model, faults)
    if wrong:
        return None
    for detail in details:
        _take_out(raw, detail["loc"])
    return model.model_validate(raw, context=context)


def _take_out(raw: Any, loc: Loc) -> None:
    for part in loc[:-1]:
        raw = raw[part]
    del raw[loc[-1]]
