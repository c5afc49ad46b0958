"""A channel that reaches the computer for each source, with the 48 V that it needs.

given[d]: shares of channels for demand d (whole in some optimum, since with the other
variables fixed it is a transport problem); on[u,k] = 1 if the k-th bank of u is on;
heard[v,n]: microphone-capable channels that arrive over the n-th cable of v; boxed[p]:
instruments in DI boxes that need 48 V (p) or not.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.catalogue.types import ACCEPTS
from tests.oracle.mip.audio import Audio
from tests.oracle.mip.builds import Build
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.lines import Lines
from tests.oracle.mip.units import Units


class Demands:
    """Sources and the channels for them."""

    def __init__(self, lin: Linear, units: Units, audio: Audio, lines: Lines) -> None:
        self.lin, self.units, self.audio, self.lines = lin, units, audio, lines
        needs = units.needs
        active, passive = self.boxed(True), self.boxed(False)
        self.in_boxes = total(active, passive)
        plain = needs.mic - needs.phantom - needs.no_phantom + needs.spare
        self.asked: dict[tuple[str, str], tuple[int, Terms]] = {
            ("mic", "on"): (needs.phantom, active),
            ("mic", "off"): (needs.no_phantom, {}),
            ("mic", "any"): (plain, passive),
            ("line", "any"): (needs.line, {}),
            ("instrument", "any"): (needs.instrument, times(-1, self.in_boxes)),
        }
        self.on: dict[tuple[int, int], int] = {}
        self.given: dict[tuple[str, str], list[int]] = defaultdict(list)
        for u in units.places:
            for b in units.builds(u):
                for c in sorted({*range(1, b.analogue + 1), *b.outs}):
                    self.channel(u, b, c)
        for demand, (count, more) in self.asked.items():
            given = total(ones(self.given[demand]), times(-1, more))
            lin.row(given, least=count, most=count)
        self.shut()

    def boxed(self, powered: bool) -> Terms:
        """Instruments in DI boxes of a sort, as many as the boxes take."""

        def room(b: Build) -> int:
            mine = b.device.role == "di" and b.device.di_phantom is powered
            return b.device.inst if mine else 0

        rooms = total(*(self.units.of(v, room) for v in self.units.others))
        if not rooms:
            return {}
        boxed = self.lin.variable(most=self.units.needs.instrument)
        self.lin.within({boxed: 1}, rooms)
        return {boxed: 1.0}

    def shut(self) -> None:
        """A direct out by XLR into an input for microphones, too, finds the bank off."""
        for (u, name, c), taken in self.lines.taken.items():
            b = next(b for b in self.units.builds(u) if b.name == name)
            on = self.on.get((u, b.banks[c - 1]))
            if b.device.line_plug == "xlr" and on is not None:
                self.lin.row({taken: 1, on: 1}, most=1)

    def channel(self, u: int, b: Build, c: int) -> None:
        """What channel c of build b at place u can be used for."""
        shares = []
        for (what, phantom), (count, more) in self.asked.items():
            if (count or more) and what in ACCEPTS[b.device.channel_kinds[c - 1]]:
                share = self.share(u, b.banks[c - 1], phantom)
                if share is not None:
                    shares.append(share)
                    self.given[what, phantom].append(share)
        if shares:
            self.lin.within(ones(shares), {self.units.x[u, b.name]: 1})
            self.lin.within(ones(shares), self.arrives(u, b, c))

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

    def arrives(self, u: int, b: Build, c: int) -> Terms:
        """1 if channel c of place u, where it is build b, arrives and is not occupied."""
        used, taken = self.lines.at(u, b, c)
        return total(self.audio.reaches(u, b, c), used, times(-1, taken))

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
        return total(*found, *self.moved())

    def moved(self) -> list[Terms]:
        """Microphone-capable channels that direct outs bring, less those they occupy."""
        taken = [
            column
            for (u, name, c), column in self.lines.taken.items()
            for b in self.units.builds(u)
            if b.name == name and c in b.taking("mic")
        ]
        return [ones(self.lines.used.values()), times(-1, ones(taken))]


def mics(b: Build, after: int, count: int) -> int:
    """Microphone-capable channels among `count` that come after the first `after`."""
    kinds = b.device.channel_kinds[: b.analogue][after : after + count]
    return sum("mic" in ACCEPTS[kind] for kind in kinds)
