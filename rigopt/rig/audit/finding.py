"""One fault of a rig: which rule, the facts, a sentence, and the smallest change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Rule = Literal[
    "name-twice", "unit-unknown", "role", "no-host", "bank-missing",
    "rate-unknown", "rate", "rate-asked",
    "socket-missing", "socket-dead", "socket-format", "socket-taken", "socket-either",
    "two-hosts", "clock-audio", "duplex-start", "channels", "carries-audio", "carries-nothing",
    "clock-master", "clock-internal", "clock-kind", "clock-link", "clock-loop",
    "clock-none", "clock-idle", "clock-format", "clock-tree", "clock-hosts", "clock-lowest",
    "carries-clock", "clock-hops", "clock-far", "clock-wish",
    "chain-start", "chain-end", "chain-lock", "chain-long", "open-end",
    "piece-extra", "piece-unnamed",
    "input-order", "input-missing", "input-extra", "input-channel", "input-accepts",
    "input-phantom",
    "demand", "use", "use-count", "use-phantom",
    "source-unknown", "source-places", "source-use", "source-phantom", "pair",
    "line-outputs", "phones",
    "cable-kind", "cable-long", "cable-short", "cable-unnamed", "optical-long",
    "port", "hosts", "rack-units", "mains", "units", "require", "avoid", "budget",
    "device-differs", "cable-differs", "format-differs",
    "purchase-unknown", "purchase-twice", "quantity", "not-for-sale", "price", "stock",
    "not-new", "bought", "owned", "packs-few", "packs-many", "extras-few", "extras-many",
    "exchange", "order", "sellers", "owned-only", "total",
    "figure",
]  # fmt: skip
"""Short names of all rules that a finding can speak of."""

Fact = str | int


@dataclass(frozen=True, slots=True)
class Finding:
    """A broken rule as data. `says` and `cure` are templates over the names in `facts`."""

    rule: Rule
    says: str
    cure: str
    facts: tuple[tuple[str, Fact], ...]

    def fact(self, name: str) -> Fact:
        """The fact of that name.

        Raises:
            KeyError: When there is none.
        """
        return dict(self.facts)[name]

    @property
    def change(self) -> str:
        """The smallest change that mends it, in words."""
        return self._fill(self.cure)

    def __str__(self) -> str:
        return self._fill(self.says)

    def _fill(self, template: str) -> str:
        return template.format(**{name: _visible(fact) for name, fact in self.facts})


def finding(rule: Rule, says: str, cure: str, /, **facts: Fact) -> Finding:
    """A finding whose sentence and change speak of `facts` in the order given."""
    return Finding(rule, says, cure, tuple(facts.items()))


def _visible(fact: Fact) -> str:
    """Text from a file never reaches a reader raw: what cannot be printed is spelt out."""
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in str(fact))
