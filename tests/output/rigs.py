"""Rigs, catalogues and needs built by hand, so that output is tested without a solver."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Cable, Catalogue, Device, Seller
from rigopt.needs.types import Needs
from rigopt.rig.types import ClockSetting, Input, Order, Purchase, Rig, Unit
from tests.wires import link

DESK = Device(
    "desk-8",
    "Desk interface, 8 in",
    "host",
    20000,
    mic_line_inst=2,
    mic_line=6,
    phantom_bank=4,
    line_out=4,
    phones=1,
    optical_in=1,
    optical_out=1,
    coax_in=1,
    clock_in=("optical", "coax"),
    watts=Decimal("12.5"),
)
RACK = Device(
    "rack-8",
    "Rack expander, 8 microphones",
    "expander",
    30000,
    mic_line=8,
    phantom_bank=8,
    optical_out=1,
    rack_units=1,
    watts=Decimal(20),
)
LEAD = Cable("opt-1m", "Optical lead, 1 m", "optical", 1000, 600)
LONG = Cable("opt-8m", "Optical lead, 8 m", "optical", 8000, 1500)
CATALOGUE = Catalogue(
    "small",
    "Small catalogue",
    "GBP",
    {"desk-8": DESK, "rack-8": RACK},
    {"opt-1m": LEAD, "opt-8m": LONG},
)
NEEDS = Needs(title="Four-piece band", mic=10, phantom=2, no_phantom=1, out_line=2)

INTERNAL = ClockSetting("internal")


def sixteen() -> Rig:
    """A desk interface locked to a rack expander, over one optical cable."""
    units = (
        Unit("host-1", DESK, "host", ClockSetting("optical", 1, "expander-1"), False, (1,)),
        Unit("expander-1", RACK, "expander", INTERNAL, True),
    )
    cable = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio", "clock"), LEAD)
    bought = (
        Purchase("desk-8", DESK.label, "device", 1, 20000),
        Purchase("opt-1m", LEAD.label, "cable", 1, 600),
    )
    return Rig(48000, units, (cable,), _inputs(), bought, 1, 20600)


def _inputs() -> tuple[Input, ...]:
    own = [
        Input(
            number,
            "host-1",
            number,
            ("mic", "line", "instrument") if number < 3 else ("mic", "line"),
            number <= 4,
            "mic" if number <= 2 else None,
        )
        for number in range(1, 9)
    ]
    far = [Input(10 + n, "expander-1", n, ("mic", "line"), False, "mic") for n in range(1, 9)]
    return (*own, *far)


def answered(rig: Rig | None = None) -> Answered:
    rig = rig or sixteen()
    return Answered(rig, rig.total, True)


def lone() -> Rig:
    """One owned interface and nothing else."""
    unit = Unit("host-1", replace(DESK, phantom_bank=0), "host", INTERNAL, True)
    inputs = tuple(replace(item, phantom=False) for item in _inputs()[:8])
    return Rig(96000, (unit,), (), inputs, (), 0, 0)


def ordered() -> tuple[Rig, Catalogue]:
    """The sixteen inputs from two named sellers and at a plain price, with its catalogue."""
    day = datetime.date(2025, 1, 2)
    bought = (
        Purchase("desk-8", DESK.label, "device", 1, 23400, 1, "far", "used", day),
        Purchase("opt-1m", LEAD.label, "cable", 2, 300, 3, "corner"),
        Purchase("rack-8", RACK.label, "device", 1, 30000),
    )
    orders = (
        Order("corner", "GBP", 600, 499, 220, 1319),
        Order("far", "EUR", 23400, 0, 0, 20000),
    )
    sellers = {
        "corner": Seller("corner", "GBP", 499, 5000, Decimal(20)),
        "far": Seller("far", "EUR", 1000, 20000),
    }
    rig = replace(sixteen(), purchases=bought, orders=orders, total=51319)
    units = (rig.units[0], replace(rig.units[1], owned=False))
    return replace(rig, units=units), replace(CATALOGUE, sellers=sellers)
