"""What the command line says, which overrides the file, and is read as the file is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from rigopt.catalogue.types import Catalogue
from rigopt.files.faults import Gathered
from rigopt.files.values import BadValueError
from rigopt.needs.row import NO_LIMIT, Reader, Row
from rigopt.needs.table import TABLE

_BY_OPTION: Final = {row.option.name: row for row in TABLE if row.option}


def option(name: str) -> str:
    """An option as it is typed."""
    return "--" + name.replace("_", "-")


def parse_overrides(
    overrides: Mapping[str, object], catalogue: Catalogue, faults: Gathered
) -> dict[str, Any]:
    """The options that are given, by the field names of `Needs`; None is not given."""
    found: dict[str, Any] = {}
    for name, value in overrides.items():
        if value is None:
            continue
        if row := _BY_OPTION.get(name):
            found[row.name] = read_value(row, value, option(name), catalogue, faults)
        else:
            faults.add("there is no such option", column=option(name))
    return found


def _is_none(value: object, catalogue: Catalogue) -> bool:
    """Whether an option takes back what the file says; a device may be called so, too."""
    match value:
        case str(word) | [str(word)]:
            return word.casefold() == NO_LIMIT and word not in catalogue.devices
    return False


def read_value(
    row: Row, value: object, column: str, catalogue: Catalogue, faults: Gathered
) -> Any:
    """A value, a list of them, or a table; what cannot be read is noted, and None instead."""

    def read(reader: Reader | None, said: object) -> Any:
        assert reader
        try:
            return reader(said, catalogue)
        except BadValueError as fault:
            faults.bad(fault, column=column, value=said)
            return None

    if row.kind in ("ids", "limit", "money") and _is_none(value, catalogue):
        return () if row.kind == "ids" else None
    if row.kind == "table":
        if isinstance(value, Mapping):
            return {read(row.read_name, name): read(row.read, n) for name, n in value.items()}
        faults.add("must be names, each with a number", column=column)
        return {}
    if row.is_list:
        entries = value if isinstance(value, (list, tuple)) else [value]
        return tuple(read(row.read, entry) for entry in entries)
    return read(row.read, value)
