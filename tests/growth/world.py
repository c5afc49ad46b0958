"""One tiny catalogue for questions of growth; all data are invented.

A plain interface of eight inputs is cheaper than one with a light-pipe, but only the latter
takes an expander: who looks ahead buys it at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from rigopt.answers.growth import Grown, Growth
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.rig.audit.finding import Finding
from rigopt.rig.audit.growth import audit_growth
from tests.money import shop as money
from tests.money.shop import OPT

PLAIN = Device("plain", "plain interface", "host", 20_000, mic_line=8)
DESK = Device(
    "desk",
    "interface",
    "host",
    30_000,
    mic_line=8,
    phantom_bank=4,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    rates_hz=(48_000, 96_000),
    optical_2x=1,
)
PRE = Device(
    "pre",
    "expander",
    "expander",
    20_000,
    mic_line=8,
    phantom_bank=8,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    rates_hz=(48_000, 96_000),
    optical_2x=1,
)
PAIR = Cable("pair", "two optical cables", "optical", 1000, 900, 2)

NO_END = Deadline(None)


def shop(
    *offers: Offer,
    sellers: tuple[Seller, ...] = (Seller("north", "GBP"), Seller("south", "GBP")),
    extras: tuple[Extra, ...] = (),
    devices: tuple[Device, ...] = (PLAIN, DESK, PRE),
    **changes: Any,
) -> Catalogue:
    """The catalogue with these offers."""
    items = {"devices": {d.id: d for d in devices}, "cables": {c.id: c for c in (OPT, PAIR)}}
    return money.shop(*offers, sellers=sellers, extras=extras, **{**items, **changes})


def stage(
    mic: int, factor: str = "1", budget: int | None = None, title: str = "", **needs: Any
) -> Stage:
    """A stage of so many microphones."""
    wanted = Needs(mic=mic, budget=budget, **needs)
    return Stage(title or f"{mic} mics", wanted, Decimal(factor), budget)


def faults(growth: Growth, catalogue: Catalogue, stages: Sequence[Stage]) -> list[Finding]:
    """What the audit finds."""
    steps, bound, proven = growth.steps, growth.bound, growth.proven
    return list(audit_growth(steps, catalogue, stages, bound, proven))


def grown(catalogue: Catalogue, *stages: Stage) -> Grown:
    """The growth through these stages; proven, and audited before it is handed on."""
    found = grow(catalogue, stages, NO_END)
    assert isinstance(found, Grown), found
    assert found.together.proven
    for way in (found.together, found.one_by_one):
        if way is not None:
            assert faults(way, catalogue, stages) == []
    return found


def refused(catalogue: Catalogue, *stages: Stage) -> bool:
    """Whether there is proven to be no way through these stages."""
    found = grow(catalogue, stages, NO_END)
    return isinstance(found, Result) and found.status == "infeasible"


def bought(growth: Growth) -> list[list[tuple[str, int]]]:
    """Item and packs of each purchase, stage by stage."""
    return [
        [(line.item, line.quantity) for line in step.rig.purchases] for step in growth.steps
    ]


def outlays(growth: Growth) -> list[int]:
    """What is paid at each stage."""
    return [step.outlay for step in growth.steps]


def standing(growth: Growth) -> list[Sequence[str]]:
    """The devices of each stage's rig."""
    return [sorted(unit.device.id for unit in step.rig.units) for step in growth.steps]
