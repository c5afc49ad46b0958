"""The figures of a rig computed a second time, in another way, and compared.

Fractions instead of decimals; channels walked one at a time instead of counted by
formula; outputs and inputs as the audit hears them instead of as the rig states them.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from rigopt.needs.types import Needs
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.clock import hops
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.inputs import accepts, powered
from rigopt.rig.audit.outputs import line_fed
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.figures import Figures
from rigopt.rig.types import Rig

Value = int | Fraction | None


def check_figures(rig: Rig, needs: Needs, stated: Figures) -> tuple[Finding, ...]:
    """Rule figure: each figure of a rig that has passed the audit is what it comes to."""
    right, said = dict(_recomputed(rig, needs)), dict(_flat(stated))
    return tuple(
        _wrong(name, said.get(name), right.get(name))
        for name in dict.fromkeys([*right, *said])
        if name not in right or name not in said or right[name] != said[name]
    )


def _wrong(name: str, said: Value, right: Value) -> Finding:
    return finding(
        "figure", "the figure '{name}' is {said}; it comes to {right}", "state {right}",
        name=name, said=_text(said), right=_text(right),
    )  # fmt: skip


def _text(value: Value) -> str:
    return str(value) if value is None or value.denominator == 1 else str(float(value))


def _flat(stated: Figures) -> Iterator[tuple[str, Value]]:
    """The figures as stated, by name, tables taken apart."""
    for name in Figures._fields:
        value = getattr(stated, name)
        if not isinstance(value, tuple):
            yield name, None if value is None else Fraction(value)
    for kind in stated.kinds:
        yield f"{kind.kind} used", kind.used
        yield f"{kind.kind} spare", kind.spare
    for delay in stated.delays:
        yield f"delay {delay.samples}", Fraction(delay.ms)
    for cable in stated.cables:
        yield f"cable {cable.cable} used", cable.used
        yield f"cable {cable.cable} from owned", cable.from_owned
        yield f"cable {cable.cable} bought", cable.bought
        yield f"cable {cable.cable} spare", cable.spare


def _recomputed(rig: Rig, needs: Needs) -> Iterator[tuple[str, Value]]:
    wiring = Wiring(rig.units, rig.links, rig.rate_hz)
    yield from _inputs(rig, wiring)
    yield from _box(rig, wiring)
    yield from _phantom(rig)
    yield from _cables(rig, needs)
    for samples in (32, 64, 128, 256):
        hundredths = Fraction(samples, rig.rate_hz) * 1000 * 100
        yield f"delay {samples}", Fraction(_half_up(hundredths), 100)


def _half_up(value: Fraction) -> int:
    return math.floor(value + Fraction(1, 2))


def _inputs(rig: Rig, wiring: Wiring) -> Iterator[tuple[str, Value]]:
    """Inputs, what is spare of them, price and recording size."""
    uses = {item.computer_input: item.use for item in rig.inputs}
    heard = {
        number: (uses.get(number), accepts(wiring.unit(name).device, channel))
        for number, (name, channel) in listen(wiring).inputs.items()
    }
    free = [kinds for use, kinds in heard.values() if use is None]
    used = len(heard) - len(free)
    yield "inputs", len(heard)
    yield "used", used
    yield "spare", len(free)
    for kind in ("mic", "line", "instrument"):
        yield f"{kind} used", [use for use, _ in heard.values()].count(kind)
        yield f"{kind} spare", len([kinds for kinds in free if kind in kinds])
    able = len([kinds for _, kinds in heard.values() if "mic" in kinds])
    yield "price_per_mic", _half_up(Fraction(rig.total, able)) if able else None
    gigabytes = Fraction(24, 8) * rig.rate_hz * 60 * 60 / 1_000_000_000
    yield "recording_gb_hour_used", gigabytes * used
    yield "recording_gb_hour_all", gigabytes * len(heard)


def _box(rig: Rig, wiring: Wiring) -> Iterator[tuple[str, Value]]:
    """What the units add up to, unit by unit."""
    totals: Counter[str] = Counter()
    watts = Fraction(0)
    for unit in rig.units:
        totals["units"] += 1
        totals["rack_units"] += unit.device.rack_units
        totals["mains"] += unit.device.mains
        totals["phones"] += unit.device.phones if unit.role == "host" else 0
        watts += Fraction(unit.device.watts)
    for name in ("units", "rack_units", "mains", "phones"):
        yield name, totals[name]
    yield "watts", watts
    # 1.75 inches of 25.4 mm (EIA-310, restated).
    yield "rack_mm", Fraction(175, 100) * Fraction(254, 10) * totals["rack_units"]
    yield "line_fed", line_fed(wiring)
    yield "clock_hops", hops(rig.units)
    yield "links", len(rig.links)


def _phantom(rig: Rig) -> Iterator[tuple[str, Value]]:
    """10 mA at 48 V for each powered channel (IEC 61938, restated): 8 of them 3.84 W."""
    on = [
        (unit.name, channel)
        for unit in rig.units
        for channel in range(1, unit.device.analogue + 1)
        if powered(unit, channel)
    ]
    yield "phantom_channels", len(on)
    yield "phantom_ma", len(on) * 10
    yield "phantom_watts", Fraction(384, 100) * len(on) / 8


def _cables(rig: Rig, needs: Needs) -> Iterator[tuple[str, Value]]:
    """Lay every piece on the table, take the owned ones first, and see what is left."""
    used = [piece.id for link in rig.links for piece in link.pieces]
    bought = [
        line.item
        for line in rig.purchases
        if line.kind == "cable"
        for _ in range(line.quantity * line.pack)
    ]
    for cable in dict.fromkeys([*used, *bought]):
        need, pieces = used.count(cable), bought.count(cable)
        from_owned = len([*range(need)][: needs.owned.get(cable, 0)])
        yield f"cable {cable} used", need
        yield f"cable {cable} from owned", from_owned
        yield f"cable {cable} bought", pieces
        yield f"cable {cable} spare", pieces + from_owned - need
