"""What the columns of one row must be together, and the defaults they share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from rigopt.catalogue.rows import CableRow, DeviceRow, FormatRow
from rigopt.catalogue.types import (
    ACCEPTS,
    CHANNEL_COLUMNS,
    DSUB_WAYS,
    MANY,
    Device,
    InOut,
    SocketRef,
)
from rigopt.facts import (
    ANALOGUE,
    RATE_MULTIPLIER,
    RESERVED_WORDS,
    TEE,
    TERMINATOR,
    Format,
    SocketKind,
)
from rigopt.files.amounts import Span

Problem = tuple[str, object, str]
"""Column, value, what is wrong with it."""


def problems(row: DeviceRow, formats: Mapping[str, Format]) -> Iterator[Problem]:
    """Every contradiction between columns that are each allowed alone."""
    yield from _optical(row)
    yield from _fewer(row)
    yield from _trunk(row, formats)
    yield from _clock_in(row)
    yield from _either(row, formats)
    yield from _roles(row)
    yield from _direct_outs(row)
    yield from _banks(row)


def _sockets(row: DeviceRow | Device) -> int:
    """Optical sockets, the larger number of the two directions."""
    return max(row.optical_in, row.optical_out)


def _optical(row: DeviceRow) -> Iterator[Problem]:
    for column in ("optical_1x", "optical_2x", "optical_4x"):
        live: int | InOut | None = getattr(row, column)
        if isinstance(live, InOut):
            if live.inputs > row.optical_in or live.outputs > row.optical_out:
                there = f"{row.optical_in}/{row.optical_out}"
                yield column, "/".join(map(str, live)), f"is more than {there} optical sockets"
        elif live is not None and live > _sockets(row):
            yield column, live, f"is more than the {_sockets(row)} optical sockets each way"
    if row.optical_stereo > _sockets(row):
        problem = f"is more than the {_sockets(row)} optical sockets each way"
        yield "optical_stereo", row.optical_stereo, problem


def _fewer(row: DeviceRow) -> Iterator[Problem]:
    """Numbers of what works at a class, which are none of more than there is."""
    coax = max(row.coax_in, row.coax_out)
    inputs = sum(getattr(row, column) for column in CHANNEL_COLUMNS)
    for column, there, what in (
        ("coax_2x", coax, "coax sockets each way"),
        ("coax_4x", coax, "coax sockets each way"),
        ("analogue_2x", inputs, "analogue inputs"),
        ("analogue_4x", inputs, "analogue inputs"),
    ):
        value = getattr(row, column)
        if there < value != MANY:
            yield column, value, f"is more than the {there} {what}"


def _trunk(row: DeviceRow, formats: Mapping[str, Format]) -> Iterator[Problem]:
    if row.trunk and row.trunk not in formats:
        yield "trunk", row.trunk, "there is no such row in formats.csv"
    for column in ("trunk_in", "trunk_out"):
        if getattr(row, column) and not row.trunk:
            yield column, getattr(row, column), "needs the id of a format in the column trunk"
    if row.trunk_out and row.trunk in formats and formats[row.trunk].duplex:
        problem = "stays blank for a duplex format: trunk_in counts sockets that are both"
        yield "trunk_out", row.trunk_out, problem


def _count(row: DeviceRow, kind: SocketKind, way: str) -> int:
    return int(getattr(row, f"{kind}_{way}"))


def _clock_in(row: DeviceRow) -> Iterator[Problem]:
    for entry in row.clock_in:
        kind = entry.kind if isinstance(entry, SocketRef) else entry
        there = _count(row, kind, "in")
        if not there:
            yield "clock_in", kind, f"cannot lock to {kind}: {kind}_in is 0 or blank"
        elif isinstance(entry, SocketRef) and entry.number > there:
            name = f"{kind} {entry.number}"
            yield "clock_in", name, f"there is no such socket: {kind}_in is {there}"


def _either(row: DeviceRow, formats: Mapping[str, Format]) -> Iterator[Problem]:
    if len(row.either) > MOST_GROUPS:
        yield "either", len(row.either), f"names more than {MOST_GROUPS} groups"
    for ref in (ref for group in row.either for ref in _whole(group, row, formats)):
        there = _count(row, ref.kind, ref.way)
        if ref.number > there:
            name = f"{ref.kind} {ref.way} {ref.number}"
            problem = f"there is no such socket: {ref.kind}_{ref.way} is {there}"
            yield "either", name, problem


MOST_GROUPS = 12
"""Groups of sockets that share something; every choice among them is looked at."""


def _whole(
    group: tuple[SocketRef, ...], row: DeviceRow, formats: Mapping[str, Format]
) -> tuple[SocketRef, ...]:
    """A group with each socket of a duplex trunk as an input, which stands for both ways."""
    duplex = row.trunk in formats and formats[row.trunk].duplex
    return tuple(
        ref._replace(way="in") if duplex and ref.kind == "trunk" else ref for ref in group
    )


DIGITAL = ("optical", "coax", "trunk", "word")
_SOCKETS = tuple(f"{kind}_{way}" for kind in DIGITAL for way in ("in", "out"))
_OTHERS = tuple(column for column in CHANNEL_COLUMNS if column != "inst")

NOT_FOR: Mapping[str, tuple[tuple[str, ...], str]] = {
    "clock": (CHANNEL_COLUMNS, "a unit of role clock carries no audio"),
    "headphones": (CHANNEL_COLUMNS, "a unit of role headphones has no inputs of these kinds"),
    "di": (_OTHERS, "a unit of role di takes instruments alone: use the column inst"),
    "preamp": (_SOCKETS, "a unit of role preamp is analogue only; is it an expander?"),
}
"""Columns that a role leaves blank, and why."""


def _roles(row: DeviceRow) -> Iterator[Problem]:
    columns, problem = NOT_FOR.get(row.role, ((), ""))
    for column in columns:
        if getattr(row, column):
            yield column, getattr(row, column), problem


def _direct_outs(row: DeviceRow) -> Iterator[Problem]:
    able = sum(getattr(row, column) for column in ACCEPTS if "mic" in ACCEPTS[column])
    if row.direct_out > able:
        yield "direct_out", row.direct_out, f"is more than the {able} microphone inputs"


def _banks(row: DeviceRow) -> Iterator[Problem]:
    able = sum(getattr(row, column) for column in ACCEPTS if "mic" in ACCEPTS[column])
    sizes = row.phantom_bank
    if sizes and not able:
        value = sizes if isinstance(sizes, int) else ";".join(map(str, sizes))
        yield "phantom_bank", value, "there is no channel for a microphone here"
    elif isinstance(sizes, tuple) and sum(sizes) > able:
        value = ";".join(map(str, sizes))
        yield "phantom_bank", value, f"is more than the {able} microphone inputs"


def device(row: DeviceRow, formats: Mapping[str, Format]) -> Device:
    """The device type of a row without problems, every default settled."""
    fields = dict(row)
    rates = fields.pop("rates_khz")
    fields["rates_hz"] = rates
    fields["label"] = row.label or row.id
    fields["filled"] = frozenset(row.model_fields_set)
    fields["trunk"] = formats.get(row.trunk)
    fields["either"] = tuple(_whole(group, row, formats) for group in row.either)
    fields["price"], fields["least"] = ends(row.price)
    first = MANY if row.optical_1x is None else row.optical_1x
    fields["optical_1x"] = first
    if row.optical_2x is None:
        doubles = any(RATE_MULTIPLIER[rate] == 2 for rate in rates)
        fields["optical_2x"] = _second(row, first) if doubles else 0
    return Device(**fields)


def ends(price: Span | None) -> tuple[int | None, int | None]:
    """The upper end of a price, and the lower one where that is another."""
    if price is None or price.most is None:
        return None, None
    return price.most, None if price.least == price.most else price.least


def refilled(device: Device, column: str, value: object) -> Device:
    """`device` as it would be with `value` in a column that its row leaves blank."""
    new = replace(device, **{column: value})  # type: ignore[arg-type]
    doubles = any(RATE_MULTIPLIER[rate] == 2 for rate in new.rates_hz)
    if "optical_2x" in new.filled or not doubles:
        return new
    return replace(new, optical_2x=_second(new, new.optical_1x))


def _second(row: DeviceRow | Device, first: int | InOut) -> int | InOut:
    """Optical sockets that work at 2x where nothing is said: all, or none where none does."""
    if isinstance(first, int):
        return _sockets(row) if first else 0
    return InOut(row.optical_in if first.inputs else 0, row.optical_out if first.outputs else 0)


def trunk_problems(row: FormatRow, taken: Mapping[str, str]) -> Iterator[Problem]:
    """What is wrong with a row of `formats.csv`; `taken`: cables by the id of their format."""
    if row.id.casefold() in RESERVED_WORDS:
        yield "id", row.id, "is a word of the program; take another"
    if row.cable in RESERVED_WORDS:
        yield "cable", row.cable, "is a word of the program; take another"
    if row.cable in taken.values():
        yield "cable", row.cable, "is the cable of another format; each has a kind of its own"
    if not (row.channels_1x or row.channels_2x or row.channels_4x):
        yield "channels_1x", "", "carries no channels at any rate"


def trunk(row: FormatRow) -> Format:
    """The format of a row without problems, its id for a label if it has none."""
    return Format(
        id=row.id,
        socket="trunk",
        label=row.label or row.id,
        cable=row.cable,
        channels=(row.channels_1x, row.channels_2x, row.channels_4x),
        clock=row.clock,
        duplex=row.duplex,
        max_mm=row.max_m,
        source=row.note or "the catalogue",
    )


def cable_problems(row: CableRow) -> Iterator[Problem]:
    """What is wrong with a row of `cables.csv` whose kind is known."""
    if row.kind not in (TEE, TERMINATOR) and row.length_m is None:
        yield "length_m", None, "must not be blank"
    if row.kind != ANALOGUE:
        for column in ("ends", "ways"):
            if getattr(row, column) is not None:
                yield column, None, "is for analogue cables alone"
    elif row.ends is None:
        yield "ends", None, "must not be blank for an analogue cable, such as jack-jack"
    elif "dsub" in row.ends and row.ways not in (None, DSUB_WAYS):
        yield "ways", row.ways, f"a D-sub connector has {DSUB_WAYS} channels"


def ways(row: CableRow) -> int:
    """Channels in one piece."""
    return DSUB_WAYS if row.ends and "dsub" in row.ends else row.ways or 1
