"""Instances kept as JSON files, so that a change of the generator cannot lose them.

`python -m tests.oracle.frozen SEED "what disagreed"` writes the instance of a seed.
"""

from __future__ import annotations

import json
import sys
from dataclasses import MISSING, fields
from decimal import Decimal
from pathlib import Path
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
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
        "needs": plain(needs),
    }
    path.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


def thaw(path: Path) -> tuple[Catalogue, Needs, tuple[int, ...] | None]:
    """Read an instance and its right key."""
    content = json.loads(path.read_text(encoding="utf-8"))
    devices = [Device(**values(one)) for one in content["devices"]]
    cables = [Cable(**values(one)) for one in content["cables"]]
    extras = [Extra(**values(one)) for one in content["extras"]]
    catalogue = Catalogue(
        name=path.stem,
        title=content["note"],
        currency="GBP",
        devices={device.id: device for device in devices},
        cables={cable.id: cable for cable in cables},
        extras={extra.id: extra for extra in extras},
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
    settled = {k: tuple(v) if isinstance(v, list) else v for k, v in found.items()}
    if "watts" in settled:
        settled["watts"] = Decimal(settled["watts"])
    return settled


def main() -> None:
    """Freeze the instance of one seed with the key that enumeration finds."""
    from tests.oracle.brute import brute_best
    from tests.oracle.instances import instance

    seed, note = int(sys.argv[1]), sys.argv[2]
    catalogue, needs = instance(seed)
    path = FOLDER / f"seed-{seed}.json"
    freeze(path, catalogue, needs, brute_best(catalogue, needs), f"seed {seed}: {note}")


if __name__ == "__main__":
    main()
