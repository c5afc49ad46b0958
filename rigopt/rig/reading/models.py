"""What the tables of rig files have in common: one base, and every fault with its place."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Annotated, Any, ClassVar, Final, TypedDict, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, ValidationError, ValidationInfo
from pydantic_core import ErrorDetails

from rigopt.catalogue.types import Catalogue, Device, Source
from rigopt.files import amounts, values
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError, escaped, shown
from rigopt.rig.reading import words
from rigopt.rig.reading.draft import MOST_CHANNEL
from rigopt.rig.types import UnitRole

Loc = tuple[int | str, ...]
UNKNOWN: Final = "extra_forbidden"
T = TypeVar("T")
M = TypeVar("M", bound="Table")

_SOURCES: Final[tuple[Source, ...]] = ("mic", "line", "instrument")
_PROBLEMS: Final = {
    # Kinds of fault as pydantic names them, apart from those of our own parsers.
    "missing": "this is missing",
    "model_type": "must be a table",
    "dict_type": "must be a table",
    "list_type": "must be a list",
    "tuple_type": "must be a list",
    "too_short": "must not be empty",
}


class Table(BaseModel):
    """Base of all tables: a key that it does not know is a fault.

    `inner` names the models of the tables within, by the key that holds them.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)
    inner: ClassVar[dict[str, type[Table]]] = {}


class Context(TypedDict):
    """What values are looked up in. `lenient`: unknown keys are passed over."""

    catalogue: Catalogue
    units: Collection[str]
    lenient: bool


def from_catalogue(parse: Callable[[object, Catalogue], T]) -> PlainValidator:
    """A validator that looks an id up in the catalogue of the validation context."""

    def find(value: object, info: ValidationInfo) -> T:
        return parse(value, (info.context or {})["catalogue"])

    return PlainValidator(find)


def _unit(value: object, info: ValidationInfo) -> str:
    return words.unit(value, (info.context or {})["units"])


def word(of: tuple[Any, ...]) -> PlainValidator:
    """A validator that takes one of some words, whatever the case."""
    return PlainValidator(lambda value: values.one_of(of, value))


def whole(most: int) -> PlainValidator:
    """A validator that takes a whole number from 1."""
    return PlainValidator(lambda value: amounts.whole(value, most, least=1))


Name = Annotated[str, PlainValidator(values.name)]
UnitName = Annotated[str, PlainValidator(_unit)]
"""The name of a unit that the file has."""

Label = Annotated[str, PlainValidator(values.label)]
Rate = Annotated[int, PlainValidator(values.rate)]
Socket = Annotated[int, PlainValidator(words.socket)]
Number = Annotated[int, whole(MOST_CHANNEL)]
DeviceId = Annotated[Device, from_catalogue(words.device)]
Role = Annotated[UnitRole, word(words.ROLES)]
Use = Annotated[Source, word(_SOURCES)]


def parse(model: type[M], raw: dict[str, Any], context: Context, faults: Gathered) -> M | None:
    """`raw` as a `model`, or None; every fault of its values is noted.

    Where the context is lenient, keys that no table knows are taken out of `raw`.
    """
    try:
        return model.model_validate(raw, context=context)
    except ValidationError as error:
        details = error.errors(include_url=False)
    # Entries with a fault are not counted, so a list of one may be called too short.
    details = [d for d in details if not (d["type"] == "too_short" and d["input"])]
    wrong = [d for d in details if not (context["lenient"] and d["type"] == UNKNOWN)]
    for detail in wrong:
        _note(model, detail, faults)
    if wrong:
        return None
    for detail in details:
        _take_out(raw, detail["loc"])
    return model.model_validate(raw, context=context)


def _take_out(raw: Any, loc: Loc) -> None:
    for part in loc[:-1]:
        raw = raw[part]
    del raw[loc[-1]]


def names(model: type[Table]) -> list[str]:
    """The keys of a table as the file has them."""
    return [field.alias or name for name, field in model.model_fields.items()]


def column(loc: Loc) -> str:
    """A place in the file: links[2].kind, with entries counted from 1."""
    parts = [
        f"[{part + 1}]" if isinstance(part, int) else f".{escaped(shown(part))}"
        for part in loc
        if part != "[key]"  # pydantic's word for a fault in a key itself
    ]
    return "".join(parts).lstrip(".")


def _note(model: type[Table], detail: ErrorDetails, faults: Gathered) -> None:
    value = detail["input"]
    cause = detail.get("ctx", {}).get("error")
    if isinstance(cause, BadValueError):
        faults.bad(cause, column=column(detail["loc"]), value=value)
    elif detail["type"] == UNKNOWN:
        key, allowed = str(detail["loc"][-1]), _allowed(model, detail["loc"])
        problem = "there is no such key here"
        faults.add(problem, column=column(detail["loc"]), value=key, allowed=allowed)
    elif detail["type"] == "too_long":
        most = detail["ctx"]["max_length"]
        faults.add(f"has more than {most} entries", column=column(detail["loc"]))
    else:
        bare = detail["type"] in ("missing", "too_short")
        problem = _PROBLEMS.get(detail["type"], "is of a wrong kind")
        faults.add(problem, column=column(detail["loc"]), value=None if bare else value)


def _allowed(model: type[Table], loc: Loc) -> list[str]:
    """The keys of the table that `loc` is in."""
    for part in loc[:-1]:
        model = model.inner.get(str(part), model)
    return names(model)
