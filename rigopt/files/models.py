"""Tables of files as pydantic models, and what pydantic finds wrong in the user's words.

It stands apart from the other modules here, which do not wait for pydantic.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    PlainValidator,
    ValidatorFunctionWrapHandler,
    WrapValidator,
)
from pydantic_core import ErrorDetails, PydanticCustomError

from rigopt.files import amounts, values
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError, escaped, shown

Loc = tuple[int | str, ...]
UNKNOWN: Final = "extra_forbidden"
"""What pydantic calls a key that a table does not have."""

_ENTRIES: Final = "entries"
_TABLES: Final = ("model_type", "dict_type")
_LISTS: Final = ("list_type", "tuple_type")
_PROBLEMS: Final = {
    **dict.fromkeys(_TABLES, "must be a table"),
    **dict.fromkeys(_LISTS, "must be a list"),
}
"""Faults by the names that pydantic has for them."""


def whole(most: int, least: int = 0, unit: str = "") -> PlainValidator:
    """A validator that takes a whole number from `least` to `most`."""
    return PlainValidator(lambda value: amounts.whole(value, most, least, unit))


def word(words: Sequence[Any]) -> PlainValidator:
    """A validator that takes one of `words`, whatever the case."""
    return PlainValidator(lambda value: values.one_of(words, value))


def at_most(most: int) -> BeforeValidator:
    """A validator that takes a list or a table of up to `most` entries.

    It refuses a long one before anything in it is looked at. Pydantic's own limit counts
    only the sound entries, so that a million bad ones would be a million faults.
    """

    def check(value: object) -> object:
        if isinstance(value, (list, dict)) and len(value) > most:
            raise PydanticCustomError(_ENTRIES, "has more than {most} entries", {"most": most})
        return value

    return BeforeValidator(check)


def _no_key_twice(value: Any, read: ValidatorFunctionWrapHandler) -> object:
    found = read(value)  # which refuses what is no table
    if len(found) == len(value):
        return found
    first: dict[object, object] = {}
    for key, entry in value.items():
        (meant,) = read({key: entry})
        if meant in first:
            both = {"one": repr(shown(first[meant])), "other": repr(shown(key))}
            raise PydanticCustomError(_ENTRIES, "{one} and {other} mean the same", both)
        first[meant] = key
    return found


ONE_SPELLING: Final = WrapValidator(_no_key_twice)
"""A validator of a table in which two keys may mean the same: then one would be lost."""


def filled(problem: str) -> AfterValidator:
    """A validator that says `problem` of a list or a table without entries."""

    def check(value: Collection[Any]) -> Collection[Any]:
        if not value:
            raise PydanticCustomError(_ENTRIES, "{problem}", {"problem": problem})
        return value

    return AfterValidator(check)


def keys(model: type[BaseModel]) -> list[str]:
    """The keys of a table as the file has them."""
    return [field.alias or name for name, field in model.model_fields.items()]


def column(loc: Loc) -> str:
    """A place in the file: inputs.mic, or source[2].kind with entries counted from 1."""
    parts = [
        f"[{part + 1}]" if isinstance(part, int) else f".{escaped(shown(part))}"
        for part in loc
        if part != "[key]"  # pydantic's word for a fault in a key itself
    ]
    return "".join(parts).lstrip(".")


def note(
    details: Iterable[ErrorDetails],
    model: type[BaseModel],
    faults: Gathered,
    *,
    row: int | None = None,
    homes: Mapping[str, Collection[str]] | None = None,
) -> None:
    """Note what pydantic has found wrong with a `model`, in the `row` of a table if any.

    `homes`: the tables of a TOML file with their keys. A key that stands in the wrong place,
    and has one of them alone, is told which.
    """
    for detail in details:
        loc, value = detail["loc"], detail["input"]
        place = column(loc)
        cause = detail.get("ctx", {}).get("error")
        if isinstance(cause, BadValueError):
            faults.bad(cause, row=row, column=place, value=value)
        elif detail["type"] == UNKNOWN:
            _unknown(loc, model, faults, homes or {})
        elif detail["type"] == _ENTRIES:
            faults.add(detail["msg"], column=place)
        elif homes is not None and (heading := _heading(detail)):
            faults.add(heading, column=place)
        elif detail["type"] != "missing":
            faults.add(
                _PROBLEMS.get(detail["type"], "is of a wrong kind"), column=place, value=value
            )
        elif not faults.about(place):  # a column that is not there is told once for all rows
            missing = "this is missing" if row is None else "must not be blank"
            faults.add(missing, row=row, column=place)


def _heading(detail: ErrorDetails) -> str:
    """What is wrong with the brackets of a heading, if that is what is wrong."""
    name = ".".join(str(part) for part in detail["loc"] if isinstance(part, str))
    if detail["type"] in _LISTS and isinstance(detail["input"], dict):
        return f"is a list: each entry begins with [[{name}]], in two brackets"
    if isinstance(detail["input"], list):  # where a table is wanted
        return f"is there once: it begins with [{name}], in one bracket"
    return ""


def _unknown(
    loc: Loc, model: type[BaseModel], faults: Gathered, homes: Mapping[str, Collection[str]]
) -> None:
    key = str(loc[-1])
    here = keys(_table(loc, model))
    having = [table for table, its_keys in homes.items() if key in its_keys]
    hint = ""
    if len(having) == 1:
        table = having[0]
        hint = f"; it belongs in [{table}]"
        if len(loc) > 1 and table in here:  # a table within another one, such as of a stage
            hint = f"; it is written {table}.{key}"
    allowed = [] if hint else here
    problem = f"there is no such key here{hint}"
    faults.add(problem, column=column(loc), value=key, allowed=allowed)


def _table(loc: Loc, model: type[BaseModel]) -> type[BaseModel]:
    """The model of the table that `loc` is in, within `model`."""
    for part in loc[:-1]:
        fields = {field.alias or name: field for name, field in model.model_fields.items()}
        if part in fields:
            model = next(_models(fields[part].annotation), model)
    return model


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    """The models in a type such as list[Annotated[Model, ...]] or Model | None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _models(part)
