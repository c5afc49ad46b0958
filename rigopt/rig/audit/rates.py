"""Rates: every unit of the rig lists the rate. 44.1 and 48 kHz are different rates."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import RATE_MULTIPLIER
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.names import plays
from rigopt.rig.audit.wiring import Wiring, khz


def check_known(wiring: Wiring) -> Iterator[Finding]:
    """Rule rate-unknown: the rate belongs to a class (AES5-2018 cl. 5.1-5.3, restated)."""
    if wiring.rate_hz not in RATE_MULTIPLIER:
        yield finding(
            "rate-unknown",
            rate=khz(wiring.rate_hz),
            known=", ".join(khz(rate) for rate in RATE_MULTIPLIER),
        )


def check_rates(wiring: Wiring) -> Iterator[Finding]:
    """Rule rate: of units that are not analogue alone, as those without a clock may be."""
    for unit in wiring.units:
        if unit.role in ("preamp", "di", "headphones"):
            continue
        idle = not wiring.needs_clock(unit) and "preamp" in plays(unit.device)
        if not idle and wiring.rate_hz not in unit.device.rates_hz:
            yield finding(
                "rate",
                unit=unit.name,
                rate=khz(wiring.rate_hz),
                device=unit.device.id,
                listed=", ".join(khz(rate) for rate in unit.device.rates_hz) or "no rate",
            )
