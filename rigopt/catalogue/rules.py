"""What the columns of one device row must be together, and the defaults they share."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.catalogue.rows import DeviceRow
from rigopt.catalogue.types import CHANNEL_COLUMNS, Device
from rigopt.facts import RATE_MULTIPLIER

Problem = tuple[str, object, str]
"""Column, value, what is wrong with it."""


def problems(row: DeviceRow) -> Iterator[Problem]:
    """Every contradiction between columns that are each allowed alone."""
    yield from _optical(row)
    yield from _clock_in(row)
    yield from _clock_role(row)
    if row.phantom_bank and not row.mic_line_inst + row.mic_line + row.mic:
        yield "phantom_bank", row.phantom_bank, "there is no channel for a microphone here"


def _sockets(row: DeviceRow) -> int:
    """Optical sockets, the larger number of the two directions."""
    return max(row.optical_in, row.optical_out)


def _optical(row: DeviceRow) -> Iterator[Problem]:
    for column, live in (("optical_2x", row.optical_2x), ("optical_4x", row.optical_4x)):
        if live is not None and live > _sockets(row):
            yield column, live, f"is more than the {_sockets(row)} optical sockets each way"


def _clock_in(row: DeviceRow) -> Iterator[Problem]:
    inputs = {"optical": row.optical_in, "coax": row.coax_in, "word": row.word_in}
    for kind in row.clock_in:
        if not inputs[kind]:
            yield "clock_in", kind, f"cannot lock to {kind}: {kind}_in is 0 or blank"


def _clock_role(row: DeviceRow) -> Iterator[Problem]:
    for column in CHANNEL_COLUMNS if row.role == "clock" else ():
        channels = getattr(row, column)
        if channels:
            yield column, channels, "a unit of role clock carries no audio"


def device(row: DeviceRow) -> Device:
    """The device type of a row without problems, every default settled."""
    fields = dict(row)
    rates = fields.pop("rates_khz")
    fields["rates_hz"] = rates
    fields["label"] = row.label or row.id
    if row.optical_2x is None:
        doubles = any(RATE_MULTIPLIER[rate] == 2 for rate in rates)
        fields["optical_2x"] = _sockets(row) if doubles else 0
    return Device(**fields)
