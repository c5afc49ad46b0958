"""Catalogue folders in a temporary place, one small sound one and variants of it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.errors import InputError
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs

Files = Mapping[str, str | bytes]

SOUND: Files = {
    "catalog.toml": 'title = "Test"\ncurrency = "GBP"\n',
    "devices.csv": "id,role,price\nbox,host,100\n",
    "cables.csv": "id,kind,length_m,price\nopt,optical,1,5\n",
}

SMALL = Catalogue(
    name="small",
    title="Small",
    currency="GBP",
    devices={
        "desk-8": Device("desk-8", "Desk", "host", 30000),
        "pre-8": Device("pre-8", "Preamp", "expander", 20000),
    },
    cables={"opt-1.5m": Cable("opt-1.5m", "Optical", "optical", 1500, 600)},
    extras={"lead": Extra("lead", "Lead", "mic", 500)},
)


def write(folder: Path, files: Files) -> Path:
    """`folder` with the sound files and `files` over them."""
    for name, content in {**SOUND, **files}.items():
        data = content if isinstance(content, bytes) else content.encode("utf-8")
        (folder / name).write_bytes(data)
    return folder


def read_catalogue(folder: Path, *, invented: bool = False) -> Catalogue:
    """The catalogue in `folder`, as a command reads it for who owns nothing."""
    read = read_folder(folder, invented=invented)
    check_for_sale(folder, read, {})
    return read


def catalogue(folder: Path, files: Files) -> Catalogue:
    return read_catalogue(write(folder, files))


def device(folder: Path, **cells: str) -> Device:
    """A device that stands alone in `devices.csv` with these cells."""
    all_cells = {"id": "box", "role": "host", "price": "100", **cells}
    quoted = (f'"{cell}"' for cell in all_cells.values())
    text = f"{','.join(all_cells)}\n{','.join(quoted)}\n"
    return next(iter(catalogue(folder, {"devices.csv": text}).devices.values()))


def faults(folder: Path) -> list[str]:
    """The faults of the catalogue in `folder`, without the folder's name."""
    with pytest.raises(InputError) as raised:
        read_catalogue(folder)
    return [str(fault).replace(f"{folder}/", "") for fault in raised.value.faults]


def faults_of(folder: Path, files: Files) -> list[str]:
    return faults(write(folder, files))


def device_faults(folder: Path, **cells: str) -> list[str]:
    with pytest.raises(InputError) as raised:
        device(folder, **cells)
    return [str(fault).replace(f"{folder}/", "") for fault in raised.value.faults]


def needs(folder: Path, text: str, **options: object) -> Needs:
    path = folder / "needs.toml"
    path.write_text(text, encoding="utf-8")
    return read_needs(path, SMALL, options)


def needs_faults(folder: Path, text: str, **options: object) -> list[str]:
    with pytest.raises(InputError) as raised:
        needs(folder, text, **options)
    return [str(fault).replace(f"{folder}/", "") for fault in raised.value.faults]
