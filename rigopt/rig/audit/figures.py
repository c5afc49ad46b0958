"""Every figure that is shown computed a second time, in another way, and compared.

Fractions instead of decimals; channels walked one at a time instead of counted by
formula; outputs and inputs as the audit hears them instead of as the rig states them;
pieces laid on a table, the owned ones first, and taken off it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.audit.banks import channels
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.clock import hops
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.lines import pieces
from rigopt.rig.audit.outputs import line_fed, most_phones
from rigopt.rig.audit.pieces import Key, called_for, key_of
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.counts import ItemCounts
from rigopt.rig.figures import Figures
from rigopt.rig.types import Rig

Value = int | Fraction | None


def check_figures(rig: Rig, stated: Figures) -> Iterator[Finding]:
    """Rule figure: each figure of a rig that has passed the audit is what it comes to."""
    yield from _compared(dict(_recomputed(rig)), dict(_flat(stated)))


def check_counts(
    rig: Rig, catalogue: Catalogue, needs: Needs, stated: Sequence[ItemCounts]
) -> Iterator[Finding]:
    """Rule figure: of each item, as many pieces are in use, idle and left over as is said."""
    right = dict(_on_the_table(rig, catalogue, needs))
    yield from _compared(right, dict(_said_of_items(stated)))


def _compared(right: Mapping[str, Value], said: Mapping[str, Value]) -> Iterator[Finding]:
    for name in dict.fromkeys([*right, *said]):
        one, other = said.get(name), right.get(name)
        if one != other:
            yield finding("figure", name=name, said=_text(one), right=_text(other))


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


def _recomputed(rig: Rig) -> Iterator[tuple[str, Value]]:
    wiring = Wiring(rig.units, rig.links, rig.rate_hz)
    yield from _inputs(rig, wiring)
    yield from _box(rig, wiring)
    yield from _phantom(wiring)
    for samples in (32, 64, 128, 256):
        hundredths = Fraction(samples, rig.rate_hz) * 1000 * 100
        yield f"delay {samples}", Fraction(_half_up(hundredths), 100)


def _half_up(value: Fraction) -> int:
    return math.floor(value + Fraction(1, 2))


def _inputs(rig: Rig, wiring: Wiring) -> Iterator[tuple[str, Value]]:
    """Inputs, what is spare of them, price and recording size."""
    known = channels(wiring)
    uses = {item.computer_input: item.use for item in rig.inputs}
    heard = {
        number: (uses.get(number), known[channel][0])
        for number, channel in listen(wiring).inputs.items()
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
        watts += Fraction(unit.device.watts)
    for name in ("units", "rack_units", "mains"):
        yield name, totals[name]
    yield "watts", watts
    # 1.75 inches of 25.4 mm (EIA-310, restated).
    yield "rack_mm", Fraction(175, 100) * Fraction(254, 10) * totals["rack_units"]
    yield "line_fed", line_fed(wiring)
    yield "phones", most_phones(wiring, line_fed(wiring))
    yield "clock_hops", hops(rig.units)
    yield "links", len(wiring.links)
    yield "leads", len(pieces(wiring.lines))


def _phantom(wiring: Wiring) -> Iterator[tuple[str, Value]]:
    """10 mA at 48 V for each powered channel (IEC 61938, restated): 8 of them 3.84 W."""
    on = [kinds for kinds, is_on in channels(wiring).values() if is_on]
    yield "phantom_channels", len(on)
    yield "phantom_ma", len(on) * 10
    yield "phantom_watts", Fraction(384, 100) * len(on) / 8


def _said_of_items(stated: Sequence[ItemCounts]) -> Iterator[tuple[str, Value]]:
    for one in stated:
        yield f"{one.item} in use", one.used
        yield f"{one.item} in use and owned", one.from_owned
        yield f"{one.item} owned and idle", one.unused
        yield f"{one.item} bought", one.bought
        yield f"{one.item} left over", one.left_over
        yield f"{one.item} missing", one.missing


def _on_the_table(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[tuple[str, Value]]:
    """Lay every piece on the table, take the owned ones first, and see what is left."""
    used, packs = called_for(rig, catalogue, needs), Counter[Key]()
    for line in rig.purchases:
        packs[key_of(line)] += line.quantity * line.pack
    owned = Counter(
        {
            (kind, item): needs.owned[item]
            for kind, shelf in catalogue.shelves.items()
            for item in needs.owned
            if item in shelf
        }
    )
    sold = Counter({(line.kind, line.item): line.quantity for line in rig.to_sell})
    for key in {**used, **packs, **owned}:
        need, there, new = used[key], range(owned[key]), range(packs[key])
        if need or there or new:
            yield from _taken(key, need, there, new)
            yield f"{key[1]} owned and idle", len(there[need:]) - sold[key]


def _taken(key: Key, need: int, owned: range, bought: range) -> Iterator[tuple[str, Value]]:
    """`need` pieces taken off the table."""
    kind, item = key
    still = need - len(owned[:need])
    yield f"{item} in use", need
    yield f"{item} in use and owned", len(owned[:need])
    yield f"{item} bought", len(bought)
    yield f"{item} left over", len(bought[still:])
    yield f"{item} missing", still - len(bought[:still]) if kind == "extra" else 0
