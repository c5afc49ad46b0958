"""Rows with one cell edited, as by somebody who finds that it was misread."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Catalogue, Device, InOut, SocketRef
from rigopt.files import values

COUNTED = (  # noqa: SIM905
    "mic_line_inst mic_line mic line_inst line inst line_out direct_out phones optical_in "
    "optical_out coax_in coax_out trunk_in trunk_out word_in word_out line_in rack_units mains "
    "optical_stereo coax_2x coax_4x analogue_2x analogue_4x max_in_1x max_in_2x max_in_4x"
).split()


def edited(device: Device, column: str, now: str, tried: str) -> Device:
    """The row with the cell of `column` changed from `now` to `tried`."""
    new: dict[str, Any]
    if column in COUNTED or column == "phantom_bank":
        new = {column: int(tried)}
    elif column in ("optical_1x", "optical_2x", "optical_4x"):
        new = {column: InOut(*map(int, tried.split("/")))}
    elif column in ("clock_in", "rate_converter"):
        new = {column: tuple(e for e in getattr(device, column) if said(e) != now)}
    elif column == "either":
        new = {"either": (*device.either, tuple(map(socket, tried.split("/"))))}
    elif column == "rates_khz":
        gone = values.rate(now)
        new = {"rates_hz": tuple(rate for rate in device.rates_hz if rate != gone)}
    elif column in ("internal_clock", "di_phantom"):
        new = {column: tried == "yes"}
    else:
        new = {column: tried}
    return fitting(replace(device, **new))


def with_cell(device: Device, column: str, value: Any) -> Device:
    cell: dict[str, Any] = {column: value}
    return replace(device, **cell)


def said(entry: str | SocketRef) -> str:
    return f"{entry.kind} {entry.number}" if isinstance(entry, SocketRef) else entry


def socket(text: str) -> SocketRef:
    kind, way, number = text.split()
    return SocketRef(kind, way, int(number))  # type: ignore[arg-type]


def fitting(device: Device) -> Device:
    """Without direct outs and banks of inputs that are gone, which a reader would refuse."""
    able = device.mic_line_inst + device.mic_line + device.mic
    banks = device.phantom_bank
    while isinstance(banks, tuple) and sum(banks) > able:
        last = banks[-1] - (sum(banks) - able)
        banks = (*banks[:-1], last) if last > 0 else banks[:-1]
    return replace(
        device,
        direct_out=min(device.direct_out, able),
        phantom_bank=(banks or 0) if able else 0,
    )


def weaker(device: Device, multiplier: int) -> Iterator[tuple[str, Device]]:
    """Every row with one cell that promises less, and the name of its column."""
    yield from _numbers(device, multiplier)
    yield from _clocks(device)
    for size in (2, 4, 8, 16, 0):
        banks = device.phantom_bank
        if isinstance(banks, int) and banks and (size > banks or not size):
            yield "phantom_bank", replace(device, phantom_bank=min(size, device.mic_capable))
    for role in ("host", "expander"):
        if device.role == "either":
            yield "role", replace(device, role=role)


def _numbers(device: Device, multiplier: int) -> Iterator[tuple[str, Device]]:
    counts = [c for c in COUNTED[: COUNTED.index("line_in")] if getattr(device, c)]
    for column in counts:
        for number in range(getattr(device, column)):
            yield column, fitting(with_cell(device, column, number))
    for column in (f"optical_{multiplier}x",):
        for number in range(max(device.optical_in, device.optical_out)):
            yield column, with_cell(device, column, number)
    if device.may_host:
        for number in range(device.analogue + 2 * device.coax_in + 8 * device.optical_in):
            column = f"max_in_{multiplier}x"
            limit = getattr(device, column)
            if limit is None or number < limit:
                yield column, with_cell(device, column, number)


def _clocks(device: Device) -> Iterator[tuple[str, Device]]:
    for entry in device.clock_in:
        left = tuple(other for other in device.clock_in if other != entry)
        yield "clock_in", replace(device, clock_in=left)
    for kind in device.rate_converter:
        rest = tuple(other for other in device.rate_converter if other != kind)
        yield "rate_converter", replace(device, rate_converter=rest)
    if device.internal_clock:
        yield "internal_clock", replace(device, internal_clock=False)
    for end in ("fixed", "none"):
        if device.word_in and device.word_end == "switch":
            yield "word_end", replace(device, word_end=end)


def with_row(catalogue: Catalogue, device: Device) -> Catalogue:
    return replace(catalogue, devices={**catalogue.devices, device.id: device})
