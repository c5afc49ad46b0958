"""What is asked from Python: the keys of a needs file, in the units of people.

Ids and money mean something only beside a catalogue, so `settled` reads it all anew with the
one that is asked, in the way in which a file is read, and with the same faults.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from numbers import Integral
from os import PathLike
from pathlib import Path
from typing import Any, Final

from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.files.faults import Gathered
from rigopt.files.text import place
from rigopt.files.toml import read_toml
from rigopt.needs import read, types
from rigopt.needs.keys import dotted
from rigopt.needs.known import check_known
from rigopt.needs.table import TABLE

Number = int | float | Decimal | str
"""A number as people write it: 48, 44.1, Decimal("12.50"), "12.50"."""

NAME: Final = "needs"
"""Stands in messages where the name of a file would."""

_IN_TABLES: Final = {
    # Outputs are called as inputs are, so that here they need a name of their own.
    (f"out_{row.leaf}" if row.table == "outputs" else row.leaf): (row.table, row.leaf)
    for row in TABLE
    if row.table and row.read
}
TABLES: Final = {
    table: tuple(name for name, (at, _) in _IN_TABLES.items() if at == table)
    for table, _ in _IN_TABLES.values()
}
"""The fields of `Needs` that a file has in tables; all others stand at its top."""

KEYS: Final = {
    **{name: leaf for name, (_, leaf) in _IN_TABLES.items()},
    "sources": "source",
    "stages": "stage",
}
"""What a file calls the fields."""


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What is asked of a rig; what is left out is as in a file that leaves it out.

    The fields are the keys of a needs file without their tables, but for `[outputs]`:
    `out_line` and `out_phones`. Lengths are in metres, money in the catalogue's currency.
    A source is a mapping with the keys of a `[[source]]`; a stage is a `Needs` that says what
    is different then, with its `price_factor`. `dataclasses.replace` changes what is said.

    What is wrong with it is told when it is asked, as a `RigoptError`.
    """

    title: str | None = None
    rate_khz: Number | None = None
    mic: int | None = None
    phantom: int | None = None
    no_phantom: int | None = None
    line: int | None = None
    instrument: int | None = None
    spare: int | None = None
    out_line: int | None = None
    out_phones: int | None = None
    master: str | None = None
    max_hops: int | None = None
    own_clocks: bool | None = None
    word_inputs: int | None = None
    ports: str | Sequence[str] | None = None
    max_hosts: int | None = None
    host_to_rack_m: Number | None = None
    within_rack_m: Number | None = None
    budget: Number | None = None
    rack_units: int | None = None
    mains: int | None = None
    units: int | None = None
    sellers: int | None = None
    owned: Mapping[str, int | Mapping[str, Number]] | None = None
    """How many by id; or `{"count": 1, "resale": 150}`, sold at that price if not used."""
    avoid: str | Sequence[str] | None = None
    require: str | Sequence[str] | None = None
    new_only: bool | None = None
    owned_only: bool | None = None
    exchange: Mapping[str, Number] | None = None
    sources: Sequence[Mapping[str, str]] | None = None
    stages: Sequence[Needs] | None = None
    price_factor: Number | None = None


def read_needs(file: str | PathLike[str], catalogue: Catalogue) -> Needs:
    """The needs in a TOML file, as far as it says anything.

    Raises:
        RigoptError: When anything is wrong with the file, or its ids are not in `catalogue`.
    """
    faults = Gathered(place(Path(file)))
    raw = read_toml(Path(file), faults)
    if raw is None:
        raise InputError(faults.faults)
    read.parse_needs_tables(raw, faults.file, catalogue)
    return _needs(raw)


def settled(needs: Needs, catalogue: Catalogue, *, known: bool = True) -> types.Needs:
    """What is asked, once every default and unit is settled.

    `known`: whether every price that could count must be known.

    Raises:
        RigoptError: When anything is wrong with it.
        TypeError: When it is not `Needs`, as when the two are given the wrong way round.
    """
    if not isinstance(needs, Needs):
        raise TypeError(f"Needs come first, then the catalogue (found {type(needs).__name__})")
    found = read.parse_needs_tables(_tables(needs), NAME, catalogue)
    if known:
        check_known(catalogue, found)
    return found


def _needs(raw: Mapping[str, Any]) -> Needs:
    """The tables of a sound file, or of a stage in it, laid out flat."""
    said = {key: value for key, value in raw.items() if key not in TABLES}
    for table, names in TABLES.items():
        there = raw.get(table, {})
        said |= {name: there[key] for name in names if (key := KEYS.get(name, name)) in there}
    if "owned" in said:
        said["owned"] = dotted(said["owned"])
    if "stage" in said:
        said["stages"] = tuple(map(_needs, said.pop("stage")))
    if "source" in said:
        said["sources"] = said.pop("source")
    return Needs(**said)


def _tables(needs: Needs) -> dict[str, Any]:
    """What is said, in the tables of a file."""
    raw: dict[str, Any] = {table: {} for table in TABLES}
    table_of = {name: raw[table] for table, names in TABLES.items() for name in names}
    for field in fields(needs):
        value = getattr(needs, field.name)
        if value is not None:
            name = field.name
            table_of.get(name, raw)[KEYS.get(name, name)] = _plain(value)
    return raw


def _plain(value: object) -> object:
    """A value as a file could hold it: lists and mappings of Python's own kinds."""
    if isinstance(value, Needs):
        return _tables(value)
    if isinstance(value, Mapping):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(part) for part in value]
    if isinstance(value, Integral) and not isinstance(value, bool):
        return int(value)  # one of numpy's, as in a column of a table
    return value
