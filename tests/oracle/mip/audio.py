"""Audio: towards the computer and from it.

send[v,u,f] = 1 if v sends to host u in format f. plug[v,n,u,b,f,s] = 1 if the n-th audio
cable of v ends in socket s of host u, which is build b; only where some of the socket's
numbers reach the computer. feed[u,v,f]: cables of format f from host u that feed outputs of
v; feeds[u,v,f] = 1 if there are any; its[u,v] = 1 if u is the host that feeds v.
listens[v,b] = 1 if the headphone amplifier b in v is fed by line outputs.
"""

from __future__ import annotations

from collections import defaultdict

from tests.oracle.mip.builds import Build
from tests.oracle.mip.linear import Linear, Terms, ones, total
from tests.oracle.mip.units import Units

MOST_FEEDS = 16
"""More cables than any unit takes for its outputs."""


class Audio:
    """Sendings and feedings."""

    def __init__(self, lin: Linear, units: Units) -> None:
        self.lin, self.units = lin, units
        self.width = {
            name: form.carries(units.m)
            for name, form in units.formats.items()
            if form.carries(units.m)
        }
        self.send: dict[tuple[int, int, str], int] = {}
        self.plug: dict[tuple[int, int, int, str, str, int], int] = {}
        self.by_link: dict[tuple[int, int, str], list[int]] = defaultdict(list)
        self.by_socket: dict[tuple[int, str, str, int], list[int]] = defaultdict(list)
        self.locked_at: dict[tuple[int, int, str], list[int]] = defaultdict(list)
        for v in units.others:
            for u in units.hosts:
                for form in self.width:
                    self.sending(v, u, form)
            its = [y for (w, _, _), y in self.send.items() if w == v]
            expander = ones(units.x[v, b.name] for b in units.expanding(v))
            lin.within(ones(its), expander)
        self.feed: dict[tuple[int, int, str], int] = {}
        self.feeds: dict[tuple[int, int, str], int] = {}
        self.outputs()

    # Towards the computer.

    def sending(self, v: int, u: int, form: str) -> None:
        """The audio cables of v to u of a format: the n-th only with the one before it."""
        lin, units = self.lin, self.units
        self.send[v, u, form] = lin.variable()
        senders = units.expanding(v)
        most = max((len(b.plugs(form, "out")) for b in senders), default=0)
        before = {self.send[v, u, form]: 1.0}
        for n in range(1, most + 1):
            nth = ones(self.sockets(v, n, u, form))
            # The n-th cable needs a channel of its own, and the (n-1)-th.
            long_enough = [b for b in senders if b.analogue > (n - 1) * self.width[form]]
            lin.within(nth, before)
            lin.within(nth, ones(units.x[v, b.name] for b in long_enough))
            before = nth
        # Who sends has a first cable.
        lin.within({self.send[v, u, form]: 1}, ones(self._nth(v, 1, u, form)))

    def _nth(self, v: int, n: int, u: int, form: str) -> list[int]:
        """The n-th cable of v to u of a format, wherever it ends."""
        return [
            plug
            for (w, k, h, _, f, _), plug in self.plug.items()
            if (w, k, h, f) == (v, n, u, form)
        ]

    def sockets(self, v: int, n: int, u: int, form: str) -> list[int]:
        """Where the n-th cable of v to u of a format can end."""
        found = []
        for b in self.units.builds(u):
            for jack in b.plugs(form, "in"):
                if b.reach(jack.kind, jack.number) > 0:
                    plug = self.lin.variable()
                    found.append(plug)
                    self.plug[v, n, u, b.name, form, jack.number] = plug
                    self.by_link[v, u, form].append(plug)
                    self.by_socket[u, b.name, jack.kind, jack.number].append(plug)
                    if jack.locks:
                        self.locked_at[v, u, form].append(plug)
        return found

    def sent(self, v: int, u: int, form: str) -> Terms:
        """Audio cables from v to host u in a format."""
        return ones(self.by_link[v, u, form]) if (v, u, form) in self.send else {}

    def arrivals(self, v: int, n: int) -> list[tuple[int, str, int]]:
        """Each way to plug the n-th cable of v in: variable, format, numbers that are seen."""
        kinds = {b.name: b for u in self.units.hosts for b in self.units.builds(u)}
        return [
            (plug, form, kinds[b].reach(self.units.formats[form].socket, s))
            for (w, k, _, b, form, s), plug in self.plug.items()
            if (w, k) == (v, n)
        ]

    def brought(self, v: int, build: Build, channel: int) -> Terms:
        """1 if a channel (from 1) of v, where it is this build, comes over a cable."""
        if channel > build.analogue:
            return {}
        plugs = []
        for n in {k for w, k, *_ in self.plug if w == v}:
            for plug, form, seen in self.arrivals(v, n):
                place = channel - (n - 1) * self.width[form]
                if 1 <= place <= min(self.width[form], seen):
                    plugs.append(plug)
        return ones(plugs)

    def reaches(self, u: int, b: Build, c: int) -> Terms:
        """1 if channel c of place u, where it is build b, arrives without a direct out."""
        if c > b.analogue:
            return {}
        if u in self.units.hosts:
            return {self.units.x[u, b.name]: 1.0} if c <= b.reach("analogue") else {}
        return self.brought(u, b, c)

    # From the computer.

    def outputs(self) -> None:
        """Line outputs of hosts, and of expanders as far as their host feeds them.

        Headphone amplifiers take some of them.
        """
        lin, units = self.lin, self.units
        counted = [units.of(u, lambda b: b.device.line_out) for u in units.hosts]
        for v in units.others:
            fed = lin.variable(most=1000, whole=False)
            expanders = units.expanding(v)
            most = {units.x[v, b.name]: float(b.device.line_out) for b in expanders}
            lin.within({fed: 1}, most)
            lin.within({fed: 1}, self.feeding(v))
            counted.append({fed: 1})
        phones = [units.of(u, lambda b: b.device.phones) for u in units.hosts]
        for v in units.others:
            for b in units.builds(v):
                if b.device.role == "headphones":
                    listens = lin.variable()
                    lin.within({listens: 1}, {units.x[v, b.name]: 1})
                    counted.append({listens: -b.device.line_in})
                    phones.append({listens: b.device.phones})
        lin.row(total(*counted), least=units.needs.out_line)
        lin.row(total(*phones), least=units.needs.out_phones)

    def feeding(self, v: int) -> Terms:
        """Channels on the cables that feed v, from one host, the one that it sends to."""
        lin, hosts = self.lin, self.units.hosts
        its = {u: lin.variable() for u in hosts}
        lin.row(ones(its.values()), most=1)
        channels: Terms = {}
        for u in hosts:
            for form, width in self.width.items():
                cables = self.feed[u, v, form] = lin.variable(most=MOST_FEEDS)
                some = self.feeds[u, v, form] = lin.variable()
                channels[cables] = float(width)
                lin.within({cables: 1}, {some: MOST_FEEDS})
                lin.within({some: 1}, {its[u]: 1})
            away = [y for (w, h, _), y in self.send.items() if w == v and h != u]
            lin.row(total({its[u]: 1}, ones(away)), most=1)
        return channels
