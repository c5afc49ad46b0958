"""A shop of generic boxes in which every step of a curve has a reason; prices invented."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

from rigopt.catalogue.types import Catalogue, Device
from tests.world import CABLES, DESK, HUB, PRE

TWO = Device("desk-2", "2 preamps", "host", 8000, mic_line=2, rates_hz=DESK.rates_hz, phones=1)


def shop(currency: str = "GBP", **prices: int) -> Catalogue:
    """The boxes of the trade; `prices` by id with _ for -, in minor units."""
    devices = {device.id: device for device in (TWO, DESK, HUB, PRE)}
    for name, price in prices.items():
        item = name.replace("_", "-")
        devices[item] = replace(devices[item], price=price)
    return Catalogue("shop", "Shop", currency, devices, {c.id: c for c in CABLES})


def write(folder: Path, currency: str = "GBP", **prices: int) -> Path:
    """The shop as a catalogue folder."""
    catalogue = shop(currency, **prices)
    folder.mkdir(parents=True)
    (folder / "catalog.toml").write_text(f'title = "Shop"\ncurrency = "{currency}"\n')
    columns = (
        "id",
        "label",
        "role",
        "mic_line",
        "phantom_bank",
        "line_out",
        "phones",
        "optical_in",
        "optical_out",
        "coax_in",
        "coax_out",
        "rack_units",
    )
    with (folder / "devices.csv").open("w", newline="") as file:
        table = csv.writer(file)
        table.writerow([*columns, "price", "clock_in", "rates_khz"])
        for device in catalogue.devices.values():
            table.writerow(
                [getattr(device, column) for column in columns]
                + [f"{(device.price or 0) / 100:.2f}", ";".join(map(str, device.clock_in))]
                + [";".join(f"{rate / 1000:g}" for rate in device.rates_hz)]
            )
    with (folder / "cables.csv").open("w", newline="") as file:
        table = csv.writer(file)
        table.writerow(["id", "label", "kind", "length_m", "price", "pack"])
        for cable in catalogue.cables.values():
            price = f"{(cable.price or 0) / 100:.2f}"
            metres = cable.length_mm / 1000
            table.writerow([cable.id, cable.label, cable.kind, metres, price, cable.pack])
    return folder
