"""What is asked of a rig, once it has been read and every default is settled.

Lengths are in millimetres, the rate in hertz, the budget in the minor unit of the
catalogue's currency.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final, NamedTuple

from rigopt.catalogue import types as catalogue
from rigopt.catalogue.types import COMPUTERS

Group = catalogue.Group
Phantom = catalogue.Phantom
SourceLine = catalogue.SourceLine

Value = int | str | tuple[str, ...] | None
"""The value of one need."""

PHANTOM: Final = Group("mic", "on")
NO_PHANTOM: Final = Group("mic", "off")
GROUPS: Final = (PHANTOM, NO_PHANTOM, Group("mic"), Group("line"), Group("instrument"))


class Question(NamedTuple):
    """A question in words. `staged`: 'then' says what comes at a later stage."""

    text: str
    staged: bool = False

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Needs:
    """A needs statement. `phantom` and `no_phantom` are parts of `mic`."""

    title: str = ""
    rate_hz: int = 48000
    mic: int = 0
    phantom: int = 0
    no_phantom: int = 0
    line: int = 0
    instrument: int = 0
    spare: int = 0
    """Inputs for a microphone that arrive and that nothing sits on."""
    out_line: int = 0
    out_phones: int = 0
    master: str = "any"
    """any, host, expander, clock, or a device id."""
    max_hops: int = 3
    own_clocks: bool = False
    """Hosts may run on clocks of their own, the computer resampling between them."""
    word_inputs: int = 4
    """Most word inputs that one word output feeds through T-pieces."""
    ports: tuple[str, ...] = COMPUTERS
    max_hosts: int = 1
    host_to_rack_mm: int = 1000
    within_rack_mm: int = 500
    budget: int | None = None
    rack_units: int | None = None
    mains: int | None = None
    units: int | None = None
    sellers: int | None = None
    """Most named sellers that may be ordered from."""
    owned: Mapping[str, int] = field(default_factory=dict)
    resale: Mapping[str, int] = field(default_factory=dict)
    """What a piece of something owned is sold for if it is not used, by id."""
    avoid: tuple[str, ...] = ()
    require: tuple[str, ...] = ()
    new_only: bool = False
    """Leave out offers of things that are not new."""
    owned_only: bool = False
    """Buy nothing at all."""
    exchange: Mapping[str, Decimal] = field(default_factory=dict)
    """How much of another currency one unit of the catalogue's currency buys, by code."""
    sources: tuple[SourceLine, ...] = ()
    stages: tuple[Stage, ...] = ()

    @property
    def sale(self) -> int:
        """What everything that can be sold comes to; no rig costs less than minus this."""
        return sum(price * self.owned.get(item, 0) for item, price in self.resale.items())

    @property
    def inputs(self) -> int:
        """All sources at once."""
        return self.mic + self.line + self.instrument

    @property
    def ask_for_something(self) -> bool:
        """Whether a rig has anything to do: sources, inputs to spare, outputs, or a device."""
        return bool(
            self.inputs or self.spare or self.out_line or self.out_phones or self.require
        )

    @property
    def wanted(self) -> dict[Group, int]:
        """The groups, with the spare inputs as if a microphone of any sort sat on each."""
        plain = Group("mic")
        found = self.groups
        if self.spare:
            found[plain] = found.get(plain, 0) + self.spare
        return {group: found[group] for group in GROUPS if group in found}

    @property
    def groups(self) -> dict[Group, int]:
        """How many sources are in each group that is not empty, in the order of `GROUPS`."""
        plain = self.mic - self.phantom - self.no_phantom
        counts = (self.phantom, self.no_phantom, plain, self.line, self.instrument)
        return {group: n for group, n in zip(GROUPS, counts, strict=True) if n}

    def run_mm(self, one_role: str, other_role: str) -> int:
        """Cable run between two units in the rig, by their roles there."""
        one_host, other_host = one_role == "host", other_role == "host"
        return self.host_to_rack_mm if one_host != other_host else self.within_rack_mm


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of growth: complete needs of its own, and what may be spent then."""

    title: str
    needs: Needs
    price_factor: Decimal = Decimal(1)
    budget: int | None = None
