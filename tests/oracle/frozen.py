"""Instances kept as JSON files, so that a change of the generator cannot lose them.

`python -m tests.oracle.frozen SEED "what disagreed"` writes the instance of a seed, and
`rich:SEED` one of rich.py.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import MISSING, fields
from decimal import Decimal
from pathlib import Path
from typing import Any

from rigopt.catalogue.types import Blank, Cable, Catalogue, Device, Extra, InOut, SocketRef
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs

FOLDER = Path(__file__).parent / "regressions"


def freeze(path: Path, catalogue: Catalogue, needs: Needs, key: Any, note: str) -> None:
    """Write an instance and its right key (None when impossible).

    Raises:
        ValueError: When the instance holds offers, sources or stages, which have no place.
    """
    if catalogue.offers or catalogue.sellers or needs.sources or needs.stages:
        raise ValueError("only devices, cables, extras and plain needs can be frozen")
    content = {
        "note": note,
        "key": key,
        "devices": [plain(device) for device in catalogue.devices.values()],
        "cables": [plain(cable) for cable in catalogue.cables.values()],
        "extras": [plain(extra) for extra in catalogue.extras.values()],
        "formats": [f._asdict() for f in catalogue.formats.values() if f.id not in FORMATS],
        "needs": plain(needs),
    }
    path.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


def thaw(path: Path) -> tuple[Catalogue, Needs, tuple[int, ...] | None]:
    """Read an instance and its right key."""
    content = json.loads(path.read_text(encoding="utf-8"))
    devices = [Device(**values(one)) for one in content["devices"]]
    cables = [Cable(**values(one)) for one in content["cables"]]
    extras = [Extra(**values(one)) for one in content["extras"]]
    formats = [Format(**values(one)) for one in content.get("formats", [])]
    catalogue = Catalogue(
        name=path.stem,
        title=content["note"],
        currency="GBP",
        devices={device.id: device for device in devices},
        cables={cable.id: cable for cable in cables},
        extras={extra.id: extra for extra in extras},
        formats={**FORMATS, **{form.id: form for form in formats}},
    )
    key = content["key"]
    return catalogue, Needs(**values(content["needs"])), None if key is None else tuple(key)


def plain(thing: Any) -> dict[str, Any]:
    """The fields of a dataclass that differ from their defaults."""
    found = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        made = field.default_factory() if field.default_factory is not MISSING else MISSING
        if value not in (field.default, made):
            found[field.name] = str(value) if isinstance(value, Decimal) else value
    return found


def values(found: dict[str, Any]) -> dict[str, Any]:
    """Fields as the dataclasses want them."""
    return {field: SETTLE.get(field, settled)(value) for field, value in found.items()}


def settled(value: Any) -> Any:
    """Lists as tuples."""
    return tuple(map(settled, value)) if isinstance(value, list) else value


def in_out(value: Any) -> Any:
    """A number of sockets, or one for each way."""
    return InOut(*value) if isinstance(value, list) else value


def tuples_of(make: Callable[..., Any]) -> Callable[[Any], Any]:
    """Lists inside a list as what `make` makes of them."""
    return lambda value: tuple(make(*v) if isinstance(v, list) else v for v in value)


SETTLE: dict[str, Callable[[Any], Any]] = {
    "trunk": lambda row: Format(*settled(row)),
    "watts": Decimal,
    "optical_1x": in_out,
    "optical_2x": in_out,
    "optical_4x": in_out,
    "clock_in": tuples_of(SocketRef),
    "either": lambda groups: tuple(tuples_of(SocketRef)(group) for group in groups),
    "input_order": tuples_of(Blank),
}


def main() -> None:
    """Freeze the instance of one seed with the key that enumeration finds."""
    from tests.oracle.brute import brute_best
    from tests.oracle.instances import instance
    from tests.oracle.rich import rich

    which, note = sys.argv[1:3]
    catalogue, needs = (
        rich(int(which[5:])) if which.startswith("rich:") else instance(int(which))
    )
    path = FOLDER / f"{which.replace(':', '-')}.json"
    freeze(path, catalogue, needs, brute_best(catalogue, needs), f"{which}: {note}")


if __name__ == "__main__":
    main()
