"""What has been answered about a box so far, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from rigopt.catalogue.types import ACCEPTS, COMPUTERS, DIGITAL_ROLES, PLUGS, Role
from rigopt.facts import RATE_MULTIPLIER, Format
from rigopt.files import values

PARTS: Final[dict[str, Role]] = {
    "audio": "expander",
    "preamp": "preamp",
    "clock": "clock",
    "di": "di",
    "headphones": "headphones",
}
"""The role of a box that no computer sees, by what it is said to be."""


@dataclass(frozen=True, slots=True)
class Answers:
    """Cells by the key of their question; blank where the default of the column is meant."""

    currency: str
    trunks: Mapping[str, Format]
    given: dict[str, str] = field(default_factory=dict)

    def cell(self, key: str) -> str:
        """An answer, blank where there is none."""
        return self.given.get(key, "")

    def number(self, key: str) -> int:
        """An answer that is a number, 0 where there is none."""
        return int(self.cell(key) or 0)

    @property
    def role(self) -> Role:
        """What the column `role` says."""
        if self.cell("connection") in COMPUTERS:
            return "either" if self.cell("alone") == "yes" else "host"
        return PARTS.get(self.cell("part"), "expander")

    @property
    def digital(self) -> bool:
        """Whether it runs at a rate and has digital sockets."""
        return self.role in DIGITAL_ROLES

    @property
    def left_mics(self) -> int:
        """Microphone inputs of which it is not said what else they take."""
        return self.number("mics") - self.number("mic_line_inst") - self.number("mic_line")

    @property
    def left_others(self) -> int:
        """Other analogue inputs of which it is not said what they take."""
        return self.number("others") - self.number("line_inst") - self.number("line")

    @property
    def kinds(self) -> list[str]:
        """The columns of analogue inputs that are not empty."""
        counts = {
            "mic_line_inst": self.number("mic_line_inst"),
            "mic_line": self.number("mic_line"),
            "mic": self.left_mics,
            "line_inst": self.number("line_inst"),
            "line": self.number("line"),
            "inst": self.left_others + self.number("instruments"),
        }
        return [name for name, number in counts.items() if number]

    @property
    def takes_line(self) -> bool:
        """Whether some analogue input takes line."""
        return any("line" in ACCEPTS[kind] for kind in self.kinds)

    @property
    def classes(self) -> set[int]:
        """The classes 1, 2 and 4 of which it has a rate."""
        rates = values.rates(self.cell("rates_khz") or "44.1;48")
        return {RATE_MULTIPLIER[rate] for rate in rates}

    @property
    def duplex(self) -> bool:
        """Whether its trunk goes both ways over one cable."""
        return self.cell("trunk") in self.trunks and self.trunks[self.cell("trunk")].duplex

    @property
    def converts(self) -> list[str]:
        """Kinds of digital input that carry audio."""
        return [kind for kind in ("optical", "coax", "trunk") if self.number(f"{kind}_in")]

    @property
    def locks(self) -> list[str]:
        """Kinds of input that a clock may come in on."""
        trunk = self.trunks.get(self.cell("trunk"))
        kinds = [kind for kind in self.converts if kind != "trunk" or (trunk and trunk.clock)]
        return kinds + (["word"] if self.number("word_in") else [])

    @property
    def both(self) -> str:
        """An example of sockets that may share something; blank where none does."""
        if len(self.converts) > 1:
            return "/".join(f"{kind} in 1" for kind in self.converts[:2])
        shared = self.number("word_in") and self.number("word_out")
        return "word in 1/word out 1" if shared else ""

    @property
    def blocks(self) -> list[str]:
        """The blocks of input numbers that it has."""
        there = {"analogue": self.kinds, "coax": self.number("coax_in")}
        there |= {"optical": self.number("optical_in"), "trunk": self.number("trunk_in")}
        return [name for name, number in there.items() if number]

    def facts(self) -> dict[str, str]:
        """What the texts of questions may name."""
        return {
            "currency": self.currency,
            "computers": ", ".join(COMPUTERS),
            "plugs": f"{', '.join(PLUGS[:-1])} or {PLUGS[-1]}",
            "mics": str(self.number("mics")),
            # All of a preamp's: it can do nothing without them.
            "direct": str(self.number("mics")) if self.role == "preamp" else "0",
            # Most DI boxes live on 48 V, a battery or nothing.
            "mains": "0" if self.role == "di" else "1",
            "left_mics": str(self.left_mics),
            "left_others": str(self.left_others),
            "kinds": ", ".join(
                f"{letter} {' or '.join(ACCEPTS[kind])}"
                for letter, kind in zip("abcdef", self.kinds, strict=False)
            ),
            "letters": ", ".join("abcdef"[: len(self.kinds)]),
            "optical": str(max(self.number("optical_in"), self.number("optical_out"))),
            "coax": str(max(self.number("coax_in"), self.number("coax_out"))),
            "trunks": ", ".join(
                f"{row.id} ({row.label})" if row.label != row.id else row.id
                for row in self.trunks.values()
            ),
            "locks": ", ".join(self.locks),
            "converts": ", ".join(self.converts),
            "both": self.both,
            "blocks": ";".join(self.blocks),
        }
