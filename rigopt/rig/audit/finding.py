"""One fault of a rig as data: which rule, in which case, and the facts.

What is said of it, and the smallest change that mends it, are put into words elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from rigopt.facts import Format

Units = Literal["name-twice", "unit-unknown", "role", "no-host", "bank-missing"]
Rates = Literal["rate-unknown", "rate", "rate-asked"]
Sockets = Literal["socket-missing", "socket-dead", "socket-taken"]
Speech = Literal["socket-format", "socket-either", "duplex-start"]
Audio = Literal["two-hosts", "clock-audio", "channels", "carries-audio", "carries-nothing"]
Clocks = Literal["clock-none", "clock-master", "clock-internal", "clock-tree", "clock-hosts"]
Locks = Literal["clock-kind", "clock-link", "clock-format", "clock-lowest", "carries-clock"]
Hops = Literal["clock-loop", "clock-hops", "clock-far", "clock-wish", "clock-idle"]
Chains = Literal["chain-start", "chain-end", "chain-lock", "chain-long", "open-end"]
Parts = Literal["piece-extra", "piece-unnamed", "format-differs"]
Cables = Literal["cable-kind", "cable-long", "cable-short", "cable-unnamed", "optical-long"]
Inputs = Literal["input-order", "input-missing", "input-extra", "input-channel"]
Channels = Literal["input-accepts", "input-phantom", "use", "use-count", "use-phantom"]
Sources = Literal["source-unknown", "source-places", "source-use", "source-phantom", "pair"]
Demands = Literal["demand", "line-outputs", "phones", "require", "avoid", "figure"]
Limits = Literal["port", "hosts", "rack-units", "mains", "units", "sellers", "owned-only"]
Shelves = Literal["device-differs", "cable-differs", "purchase-unknown", "purchase-twice"]
Prices = Literal["quantity", "not-for-sale", "price", "stock", "not-new"]
Pieces = Literal["bought", "owned", "packs-few", "packs-many", "extras-few", "extras-many"]
Money = Literal["exchange", "order", "sold", "total", "budget"]

Lines = Literal["line-out", "line-in", "line-self", "line-twice", "line-idle"]
Taken = Literal["line-needless", "line-bank", "line-channels", "preamp-linked", "input-path"]
Looms = Literal["piece-units", "piece-differs", "piece-plugs", "piece-ways", "piece-places"]
Boxes = Literal["connector-taken", "di-missing", "di-phantom", "spare"]

OfClock = Clocks | Locks | Hops | Chains | Parts
OfLines = Lines | Taken | Looms | Boxes
OfWiring = OfLines | Units | Rates | Sockets | Speech | Audio | OfClock | Cables | Limits
Rule = OfWiring | Inputs | Channels | Sources | Demands | Shelves | Prices | Pieces | Money
"""Short names of all rules that a finding can speak of."""


class Remedy(NamedTuple):
    """One step that gives `unit` its clock.

    `internal`: its own; `lock`: a cable of format `row` that is there, from `sender`, in
    its input `socket`; `plug`: a new one, from output `output` of `sender`, where it is set
    to that input already; `plug and lock`: where it is not.
    """

    how: Literal["internal", "lock", "plug", "plug and lock"]
    unit: str
    row: Format | None = None
    socket: int = 0
    sender: str = ""
    output: int = 0


Fact = str | int | tuple[Remedy, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """A broken rule. `case` tells apart ways of breaking it that are told differently."""

    rule: Rule
    case: str
    facts: tuple[tuple[str, Fact], ...]

    def fact(self, name: str) -> Fact:
        """The fact of that name.

        Raises:
            KeyError: When there is none.
        """
        return dict(self.facts)[name]


def finding(rule: Rule, case: str = "", /, **facts: Fact) -> Finding:
    """A finding with `facts` in the order given."""
    return Finding(rule, case, tuple(facts.items()))
