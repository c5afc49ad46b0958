"""What follows from a rig: spare inputs, height, power, recording size, delay.

Nothing here is a rule. Every figure is exact unless its docstring says how it is rounded.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Final, NamedTuple

from rigopt.catalogue.types import Source
from rigopt.rig.banks import powered
from rigopt.rig.types import Rig

RACK_UNIT_MM: Final = Decimal("44.45")
"""Height of one rack unit (EIA-310, IEC 60297-3-100; restated)."""

PHANTOM_MA: Final = 10
"""Most that one 48 V input may have to give (IEC 61938, restated)."""

PHANTOM_V: Final = 48
"""Nominal voltage of that supply (IEC 61938, restated)."""

SAMPLE_BYTES: Final = 3
"""24 bit, the usual depth of a recording (common practice, no source)."""

BUFFERS: Final = (32, 64, 128, 256)
"""Buffer lengths in samples that recording programs offer (common practice, no source)."""

SOURCES: Final[tuple[Source, ...]] = ("mic", "line", "instrument")


class KindFigures(NamedTuple):
    """Inputs of one kind. `spare` counts unused inputs that accept the kind.

    An unused input that accepts two kinds is spare for both, so spares do not add up.
    """

    kind: Source
    used: int
    spare: int


class Delay(NamedTuple):
    """Time one buffer of `samples` takes, rounded half up to 0.01 ms."""

    samples: int
    ms: Decimal


class Figures(NamedTuple):
    """Every derived figure of one rig."""

    inputs: int
    """Inputs that reach the computer and have a channel behind them."""
    used: int
    spare: int
    kinds: tuple[KindFigures, ...]
    price_per_mic: int | None
    """Total over the inputs that reach the computer and accept a microphone, used or not,
    rounded half up to the minor unit; None without such an input."""
    line_fed: int
    """Line outputs of hosts, and of expanders as far as a link from their host feeds them."""
    phones: int
    """Headphone outputs of hosts."""
    units: int
    rack_units: int
    rack_mm: Decimal
    watts: Decimal
    mains: int
    phantom_channels: int
    """Channels that can take a microphone, in banks that are on."""
    phantom_ma: int
    """48 V current if each of them draws the most it may."""
    phantom_watts: Decimal
    recording_gb_hour_used: Decimal
    """Decimal gigabytes an hour at 24 bit, of the inputs in use."""
    recording_gb_hour_all: Decimal
    """The same of every input that reaches."""
    delays: tuple[Delay, ...]
    clock_hops: int
    links: int


def figures(rig: Rig) -> Figures:
    """The figures of `rig`."""
    used = sum(item.use is not None for item in rig.inputs)
    rack_units = sum(unit.device.rack_units for unit in rig.units)
    phantom = sum(len(powered(unit)) for unit in rig.units)
    return Figures(
        inputs=len(rig.inputs),
        used=used,
        spare=len(rig.inputs) - used,
        kinds=tuple(_kind(rig, kind) for kind in SOURCES),
        price_per_mic=_price_per_mic(rig),
        line_fed=_line_fed(rig),
        phones=sum(unit.device.phones for unit in rig.units if unit.role == "host"),
        units=len(rig.units),
        rack_units=rack_units,
        rack_mm=rack_units * RACK_UNIT_MM,
        watts=sum((unit.device.watts for unit in rig.units), Decimal(0)),
        mains=sum(unit.device.mains for unit in rig.units),
        phantom_channels=phantom,
        phantom_ma=phantom * PHANTOM_MA,
        phantom_watts=Decimal(phantom * PHANTOM_MA * PHANTOM_V) / 1000,
        recording_gb_hour_used=recording_gb_hour(used, rig.rate_hz),
        recording_gb_hour_all=recording_gb_hour(len(rig.inputs), rig.rate_hz),
        delays=tuple(Delay(samples, delay_ms(samples, rig.rate_hz)) for samples in BUFFERS),
        clock_hops=rig.clock_hops,
        links=len(rig.links),
    )


def recording_gb_hour(inputs: int, rate_hz: int) -> Decimal:
    """Decimal gigabytes that `inputs` channels at 24 bit fill in an hour, exact."""
    return Decimal(inputs * rate_hz * SAMPLE_BYTES * 3600) / 10**9


def delay_ms(samples: int, rate_hz: int) -> Decimal:
    """Milliseconds of `samples` at `rate_hz`, rounded half up to 0.01."""
    return (Decimal(samples * 1000) / rate_hz).quantize(Decimal("0.01"), ROUND_HALF_UP)


def _kind(rig: Rig, kind: Source) -> KindFigures:
    used = sum(item.use == kind for item in rig.inputs)
    spare = sum(item.use is None and kind in item.accepts for item in rig.inputs)
    return KindFigures(kind, used, spare)


def _price_per_mic(rig: Rig) -> int | None:
    able = sum("mic" in item.accepts for item in rig.inputs)
    if able == 0:
        return None
    return (2 * rig.total + able) // (2 * able)


def _line_fed(rig: Rig) -> int:
    """A link that does not go to a host has channels only if it feeds line outputs; of one
    that is duplex, what comes back does.
    """
    hosts = [unit for unit in rig.units if unit.role == "host"]
    names = {unit.name for unit in hosts}
    fed = sum(link.channels for link in rig.links if link.to_unit not in names)
    fed += sum(link.back for link in rig.links)
    return fed + sum(unit.device.line_out for unit in hosts)
