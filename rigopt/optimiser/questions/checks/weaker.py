"""The facts of a row, each made weaker step by step, and nothing else changed.

A ladder is one cell: what it says now, and values that promise less and less. What hangs on
the cell within the row, such as banks on the number of microphone inputs, follows it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, Final, get_args

from rigopt.catalogue.types import (
    ACCEPTS,
    CHANNEL_COLUMNS,
    PLUGS,
    Device,
    InOut,
    SocketRef,
    WordEnd,
)
from rigopt.facts import RATE_MULTIPLIER, SOCKET_KINDS
from rigopt.needs.types import Needs

COUNTS: Final = (
    *CHANNEL_COLUMNS,
    "line_out",
    "direct_out",
    "phones",
    *(f"{kind}_{way}" for kind in SOCKET_KINDS for way in ("in", "out")),
)
"""Columns of which each counts something, of which there may be less."""

MOST_FED: Final = 16
"""More line outputs than this feed no headphone amplifier."""

Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Ladder:
    """One cell of a row: `steps` are values of fields, each weaker than the one before, with
    what the cell then says."""

    device: Device
    column: str
    now: str
    steps: tuple[tuple[str, Values], ...]

    def at(self, step: int) -> Device:
        """The row with the cell at a step."""
        return _sound(replace(self.device, **self.steps[step][1]))

    def says(self, step: int) -> str:
        """What the cell says at a step; before the first it is as it is now."""
        return self.now if step < 0 else self.steps[step][0]


def ladders(device: Device, needs: Needs, used: Iterable[frozenset[SocketRef]]) -> list[Ladder]:
    """Every fact of a row that there is; `used`: the sockets in use on each unit of it."""
    found = [*_counts(device), *_banks(device), *_others(device, needs)]
    if device.digital:
        found += [*_at_class(device, RATE_MULTIPLIER[needs.rate_hz]), *_clock(device)]
        found += _shared(device, used)
    return found


def _numbers(device: Device, column: str, now: int, values: Iterable[int]) -> Ladder:
    steps = tuple((str(value), {column: value}) for value in values)
    return Ladder(device, column, str(now), steps)


def _one(device: Device, column: str, now: str, tried: str, **fields: Any) -> Ladder:
    return Ladder(device, column, now, ((tried, fields),))


def _counts(device: Device) -> Iterator[Ladder]:
    for column in COUNTS:
        if now := getattr(device, column):
            yield _numbers(device, column, now, range(now - 1, -1, -1))


def _banks(device: Device) -> Iterator[Ladder]:
    """Banks twice as large until one switch does for all; then no 48 V at all."""
    able, sizes = device.mic_capable, device.phantom_bank
    if not able or not sizes:
        return
    first = sizes if isinstance(sizes, int) else max(sizes)
    larger = []
    while first < able:
        first = min(2 * first, able)
        larger.append(first)
    now = str(sizes) if isinstance(sizes, int) else ";".join(map(str, sizes))
    steps = [(str(size), {"phantom_bank": size}) for size in (*larger, 0)]
    yield Ladder(device, "phantom_bank", now, tuple(steps))


def _at_class(device: Device, multiplier: int) -> Iterator[Ladder]:
    """What works at the class of the rate."""
    column = f"optical_{multiplier}x"
    there = InOut(device.optical_in, device.optical_out)
    for field in (column, "optical_stereo"):
        limit = getattr(device, field)
        now = InOut(*(limit, limit)) if isinstance(limit, int) else limit
        now = InOut(min(now.inputs, there.inputs), min(now.outputs, there.outputs))
        if field == "optical_stereo":
            if any(now):
                yield _numbers(device, field, max(now), range(max(now) - 1, -1, -1))
            continue
        ins = [InOut(n, now.outputs) for n in range(now.inputs - 1, -1, -1)]
        yield from _ways(device, field, now, ins)
        outs = [InOut(now.inputs, n) for n in range(now.outputs - 1, -1, -1)]
        yield from _ways(device, field, now, outs)
    if multiplier > 1:
        for field, most in (
            (f"coax_{multiplier}x", max(device.coax_in, device.coax_out)),
            (f"analogue_{multiplier}x", device.analogue),
        ):
            live = min(most, getattr(device, field))
            if live:
                yield _numbers(device, field, live, range(live - 1, -1, -1))
    if device.may_host:
        field = f"max_in_{multiplier}x"
        limit = getattr(device, field)
        most = device.analogue + 2 * device.coax_in + 8 * device.optical_in
        most += device.trunk_in * (device.trunk.channels[0] if device.trunk else 0)
        most = most if limit is None else min(limit, most)
        said = "all" if limit is None else str(limit)
        steps = tuple((str(n), {field: n}) for n in range(most - 1, -1, -1))
        yield Ladder(device, field, said, steps)


def _ways(device: Device, field: str, now: InOut, steps: list[InOut]) -> Iterator[Ladder]:
    if steps:
        said = tuple((f"{a}/{b}", {field: InOut(a, b)}) for a, b in steps)
        yield Ladder(device, field, f"{now.inputs}/{now.outputs}", said)


def _clock(device: Device) -> Iterator[Ladder]:
    """Each clock input, converter and the own clock by itself."""
    for field in ("clock_in", "rate_converter"):
        now = getattr(device, field)
        for entry in now:
            left = tuple(other for other in now if other != entry)
            yield _one(device, field, _entry(entry), "none", **{field: left})
    if device.internal_clock:
        yield _one(device, "internal_clock", "yes", "no", internal_clock=False)
    if device.word_in:
        for end in get_args(WordEnd):
            if device.word_end == "switch" != end:
                yield _one(device, "word_end", device.word_end, end, word_end=end)


def _entry(entry: str | SocketRef) -> str:
    return f"{entry.kind} {entry.number}" if isinstance(entry, SocketRef) else entry


def _shared(device: Device, used: Iterable[frozenset[SocketRef]]) -> Iterator[Ladder]:
    """Two sockets in use of which only one might work at a time."""
    pairs = {pair for sockets in used for pair in combinations(sorted(sockets), 2)}
    for one, other in sorted(pairs):
        if (one.way == other.way) != (one.kind == other.kind == "word"):
            names = "/".join(f"{ref.kind} {ref.way} {ref.number}" for ref in (one, other))
            group = (*device.either, (one, other))
            yield _one(device, "either", "none", names, either=group)


def _others(device: Device, needs: Needs) -> Iterator[Ladder]:
    """Rate, role, connection, plugs, height and mains plugs."""
    if needs.rate_hz in device.rates_hz and device.digital:
        rates = tuple(rate for rate in device.rates_hz if rate != needs.rate_hz)
        khz = f"{needs.rate_hz / 1000:g}"
        yield _one(device, "rates_khz", khz, "not that", rates_hz=rates)
    if device.role == "either":
        for role in ("host", "expander"):
            yield _one(device, "role", device.role, role, role=role)
    if device.may_host and (other := _other_port(needs)):
        yield _one(device, "computer", device.computer, other, computer=other)
    takes_line = any("line" in ACCEPTS[kind] for kind in device.channel_kinds)
    for field, there in (("direct_plug", device.direct_out), ("line_plug", takes_line)):
        for plug in PLUGS:
            if there and plug != getattr(device, field):
                yield _one(device, field, getattr(device, field), plug, **{field: plug})
    if device.role == "headphones":
        yield _numbers(
            device, "line_in", device.line_in, range(device.line_in + 1, MOST_FED + 1)
        )
    if device.role == "di" and not device.di_phantom:
        yield _one(device, "di_phantom", "no", "yes", di_phantom=True)
    for field in ("rack_units", "mains"):
        now = getattr(device, field)
        yield _numbers(device, field, now, [now + 1])


def _other_port(needs: Needs) -> str | None:
    """A connection that is not allowed, if any is not."""
    # Which of them makes no difference.
    every = ("usb", "thunderbolt", "pcie", "network")
    return next((port for port in every if port not in needs.ports), None)


def _sound(device: Device) -> Device:
    """The row without what its other cells leave no room for."""
    able, left = device.mic_capable, []
    room = able
    for size in device.phantom_bank if isinstance(device.phantom_bank, tuple) else ():
        left.append(min(size, room))
        room -= left[-1]
    banks = tuple(size for size in left if size) if left else device.phantom_bank
    there = {
        (kind, way): getattr(device, f"{kind}_{way}")
        for kind in SOCKET_KINDS
        for way in ("in", "out")
    }

    def fits(ref: object) -> bool:
        return not isinstance(ref, SocketRef) or ref.number <= there[ref.kind, ref.way]

    groups = (tuple(ref for ref in group if fits(ref)) for group in device.either)
    return replace(
        device,
        phantom_bank=banks if able else 0,
        direct_out=min(device.direct_out, able),
        clock_in=tuple(entry for entry in device.clock_in if fits(entry)),
        either=tuple(group for group in groups if len(group) > 1),
    )
