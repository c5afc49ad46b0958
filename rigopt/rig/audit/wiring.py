"""What most rules look at: units, links and the rate, with the questions they share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from rigopt.rig.types import Link, Unit


@dataclass(frozen=True)
class Wiring:
    """A wired rig without needs or purchases. Names are unique once `names` has passed."""

    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    rate_hz: int

    def unit(self, name: str) -> Unit:
        """The unit of that name.

        Raises:
            KeyError: When there is none.
        """
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> dict[str, Unit]:
        return {unit.name: unit for unit in self.units}

    def of_role(self, role: str) -> Iterator[Unit]:
        """The units that play `role` here, in order."""
        return (unit for unit in self.units if unit.role == role)


def link_name(link: Link) -> str:
    """A link in words, for findings."""
    return (
        f"{link.kind} {link.from_unit} out {link.from_socket}"
        f" -> {link.to_unit} in {link.to_socket}"
    )


def khz(rate_hz: int) -> str:
    """A rate in the unit people use: 44100 is '44.1 kHz'."""
    return f"{rate_hz / 1000:g} kHz"
