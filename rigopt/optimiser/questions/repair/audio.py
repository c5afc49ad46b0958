"""Rule: an expander sends its channels to one host, in one format, over links by rank.

Variables: starts, goes, sends, kept_audio. A rank is used if it goes anywhere.
Constraints: a used rank has one output and one end; ranks are used from the first, in
the order of their outputs; all of an expander's ends are at the host and of the kind
that it sends to. A cable that stays has the rank of its output, and its end; one at most
stays on a rank.
Cost: none here.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.facts import AUDIO_KINDS, Kind, link_channels
from rigopt.optimiser.questions.repair.variables import Rewire, Sender
from rigopt.optimiser.solver.linear import Var, total
from rigopt.rig.types import Unit


def add(rewire: Rewire) -> None:
    """Add the rule and its variables."""
    for unit in rewire.case.expanders:
        for kind in AUDIO_KINDS:
            _ranks(rewire, unit, kind)
        _one_host(rewire, unit)
    for index, link in enumerate(rewire.case.links):
        if link.kind in AUDIO_KINDS and rewire.case.whole(link):
            _keep(rewire, index)
    _once(rewire)


def _ranks(rewire: Rewire, unit: Unit, kind: Kind) -> None:
    case = rewire.case
    outs = case.live(unit, kind, "out")
    needed = -(-unit.device.analogue // link_channels(kind, case.rate_hz))
    before: Sender | None = None
    for rank in range(1, min(outs, needed) + 1):
        sender = (unit.name, kind, rank)
        goes = {
            (host.name, socket): rewire.flag("goes", sender, host.name, socket)
            for host in case.hosts
            for socket in range(1, case.live(host, kind, "in") + 1)
            if case.brings(unit, kind, rank, host.name, socket)
        }
        if not goes:
            return
        starts = {out: rewire.flag("starts", sender, out) for out in range(rank, outs + 1)}
        rewire.goes[sender], rewire.starts[sender] = goes, starts
        used = [(var, 1) for var in goes.values()]
        rewire.model.add(total([(var, 1) for var in starts.values()]) == total(used))
        rewire.model.add(total(used) <= 1)
        if before is not None:
            _follows(rewire, before, sender)
        before = sender


def _follows(rewire: Rewire, before: Sender, sender: Sender) -> None:
    """A later rank sits on a later output."""
    first, then = rewire.starts[before], rewire.starts[sender]
    for out in then:
        up_to = [(var, 1) for socket, var in then.items() if socket <= out]
        lower = [(var, 1) for socket, var in first.items() if socket < out]
        rewire.model.add(total(up_to) <= total(lower))


def _one_host(rewire: Rewire, unit: Unit) -> None:
    ways = [(host.name, kind) for host in rewire.case.hosts for kind in AUDIO_KINDS]
    for host, kind in ways:
        rewire.sends[unit.name, host, kind] = rewire.flag("sends", unit.name, host, kind)
    sends = {way: rewire.sends[unit.name, *way] for way in ways}
    rewire.model.add_at_most_one(sends.values())
    for (name, kind, _), ends in rewire.goes.items():
        if name == unit.name:
            for (host, _), var in ends.items():
                rewire.model.add_implication(var, sends[host, kind])
    for (host, kind), var in sends.items():
        first = rewire.goes.get((unit.name, kind, 1), {})
        used = [(v, 1) for (name, _), v in first.items() if name == host]
        rewire.model.add(total(used) >= var)


def _keep(rewire: Rewire, index: int) -> None:
    link = rewire.case.links[index]
    for sender, ends in rewire.goes.items():
        end = ends.get((link.to_unit, link.to_socket))
        start = rewire.starts[sender].get(link.from_socket)
        if sender[:2] == (link.from_unit, link.kind) and end is not None and start is not None:
            stays = rewire.flag("stays", index, sender)
            rewire.model.add_implication(stays, end)
            rewire.model.add_implication(stays, start)
            rewire.kept_audio.setdefault(index, {})[sender[2]] = stays


def _once(rewire: Rewire) -> None:
    """Of two cables between the same sockets, one can stay."""
    staying: dict[Sender, list[Var]] = defaultdict(list)
    for index, ranks in rewire.kept_audio.items():
        link = rewire.case.links[index]
        for rank, var in ranks.items():
            staying[link.from_unit, link.kind, rank].append(var)
    for several in staying.values():
        rewire.model.add_at_most_one(several)
