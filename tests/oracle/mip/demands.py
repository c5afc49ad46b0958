"""A channel that reaches the computer for each source, with the 48 V that it needs.

given[d]: shares of channels for demand d (whole in some optimum, since with the other
variables fixed it is a transport problem); on[u,k] = 1 if the k-th bank of u is on;
heard[v,n]: microphone-capable channels that arrive over the n-th cable of v.

`Demands.reaches` has the ways in which a channel reaches the computer.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.catalogue.types import ACCEPTS
from tests.oracle.mip.audio import Audio
from tests.oracle.mip.builds import Build
from tests.oracle.mip.linear import Linear, Terms, ones, total
from tests.oracle.mip.units import Units


class Demands:
    """Sources and the channels for them."""

    def __init__(self, lin: Linear, units: Units, audio: Audio) -> None:
        self.lin, self.units, self.audio = lin, units, audio
        needs = units.needs
        self.asked = {
            ("mic", "on"): needs.phantom,
            ("mic", "off"): needs.no_phantom,
            ("mic", "any"): needs.mic - needs.phantom - needs.no_phantom,
            ("line", "any"): needs.line,
            ("instrument", "any"): needs.instrument,
        }
        self.on: dict[tuple[int, int], int] = {}
        self.given: dict[tuple[str, str], list[int]] = defaultdict(list)
        for u in units.places:
            for b in units.builds(u) if u in units.hosts else units.expanding(u):
                for c in range(1, b.analogue + 1):
                    self.channel(u, b, c)
        for demand, count in self.asked.items():
            lin.row(ones(self.given[demand]), least=count, most=count)

    def channel(self, u: int, b: Build, c: int) -> None:
        """What channel c of build b at place u can be used for."""
        shares = []
        for (what, phantom), count in self.asked.items():
            if count and what in ACCEPTS[b.device.channel_kinds[c - 1]]:
                share = self.share(u, b.banks[c - 1], phantom)
                if share is not None:
                    shares.append(share)
                    self.given[what, phantom].append(share)
        if shares:
            self.lin.within(ones(shares), {self.units.x[u, b.name]: 1})
            self.lin.within(ones(shares), self.reaches(u, b, c))

    def share(self, u: int, bank: int, phantom: str) -> int | None:
        """The share of a channel for a demand, tied to the state of its bank."""
        if phantom == "on" and bank < 0:
            return None
        share = self.lin.variable(whole=False)
        if bank >= 0 and phantom != "any":
            if (u, bank) not in self.on:
                self.on[u, bank] = self.lin.variable()
            if phantom == "on":
                self.lin.within({share: 1}, {self.on[u, bank]: 1})
            else:
                self.lin.row({share: 1, self.on[u, bank]: 1}, most=1)
        return share

    def reaches(self, u: int, b: Build, c: int) -> Terms:
        """1 if channel c of place u, where it is build b, reaches the computer."""
        if u in self.units.hosts:
            return {self.units.x[u, b.name]: 1.0} if c <= b.reach("analogue") else {}
        return self.audio.brought(u, b, c)

    def microphones(self) -> Terms:
        """Microphone-capable channels that arrive, to be made the most of."""
        lin, units = self.lin, self.units
        found = [units.of(u, lambda b: mics(b, 0, b.reach("analogue"))) for u in units.hosts]
        for v in units.others:
            for n in sorted({k for w, k, *_ in self.audio.plug if w == v}):
                for b in units.expanding(v):
                    heard = lin.variable(most=len(b.banks), whole=False)
                    lin.within({heard: 1}, {units.x[v, b.name]: float(len(b.banks))})
                    brought = {
                        plug: float(
                            mics(b, (n - 1) * (w := self.audio.width[form]), min(w, seen))
                        )
                        for plug, form, seen in self.audio.arrivals(v, n)
                    }
                    lin.within({heard: 1}, brought)
                    found.append({heard: 1.0})
        return total(*found)


def mics(b: Build, after: int, count: int) -> int:
    """Microphone-capable channels among `count` that come after the first `after`."""
    kinds = b.device.channel_kinds[: b.analogue][after : after + count]
    return sum("mic" in ACCEPTS[kind] for kind in kinds)
