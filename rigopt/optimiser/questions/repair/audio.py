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
from rigopt.optimiser.questions.repair.variables import Rank, RepairVars
from rigopt.optimiser.solver.linear import Var, total
from rigopt.rig.types import Unit


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    for unit in repair.case.expanders:
        for kind in AUDIO_KINDS:
            _ranks(repair, unit, kind)
        _one_host(repair, unit)
    for index, link in enumerate(repair.case.links):
        if link.kind in AUDIO_KINDS and repair.case.whole(link):
            _keep(repair, index)
    _once(repair)


def _ranks(repair: RepairVars, unit: Unit, kind: Kind) -> None:
    case = repair.case
    outs = case.live(unit, kind, "out")
    needed = -(-unit.device.analogue // link_channels(kind, case.rate_hz))
    before: Rank | None = None
    for number in range(1, min(outs, needed) + 1):
        rank = Rank(unit.name, kind, number)
        goes = {
            (host.name, socket): repair.flag("goes", rank, host.name, socket)
            for host in case.hosts
            for socket in range(1, case.live(host, kind, "in") + 1)
            if case.brings(unit, kind, number, host.name, socket)
        }
        if not goes:
            return
        starts = {out: repair.flag("starts", rank, out) for out in range(number, outs + 1)}
        repair.goes[rank], repair.starts[rank] = goes, starts
        used = [(var, 1) for var in goes.values()]
        repair.model.add(total([(var, 1) for var in starts.values()]) == total(used))
        repair.model.add(total(used) <= 1)
        if before is not None:
            _follows(repair, before, rank)
        before = rank


def _follows(repair: RepairVars, before: Rank, rank: Rank) -> None:
    """A later rank sits on a later output."""
    first, then = repair.starts[before], repair.starts[rank]
    for out in then:
        up_to = [(var, 1) for socket, var in then.items() if socket <= out]
        below = [(var, 1) for socket, var in first.items() if socket < out]
        repair.model.add(total(up_to) <= total(below))


def _one_host(repair: RepairVars, unit: Unit) -> None:
    ways = [(host.name, kind) for host in repair.case.hosts for kind in AUDIO_KINDS]
    for host, kind in ways:
        repair.sends[unit.name, host, kind] = repair.flag("sends", unit.name, host, kind)
    sends = {way: repair.sends[unit.name, *way] for way in ways}
    repair.model.add_at_most_one(sends.values())
    for rank, ends in repair.goes.items():
        if rank.unit == unit.name:
            for (host, _), var in ends.items():
                repair.model.add_implication(var, sends[host, rank.kind])
    for (host, kind), var in sends.items():
        first = repair.goes.get(Rank(unit.name, kind, 1), {})
        used = [(v, 1) for (name, _), v in first.items() if name == host]
        repair.model.add(total(used) >= var)


def _keep(repair: RepairVars, index: int) -> None:
    link = repair.case.links[index]
    for rank, ends in repair.goes.items():
        end = ends.get((link.to_unit, link.to_socket))
        start = repair.starts[rank].get(link.from_socket)
        leaves_here = (rank.unit, rank.kind) == (link.from_unit, link.kind)
        if leaves_here and end is not None and start is not None:
            stays = repair.flag("stays", index, rank)
            repair.model.add_implication(stays, end)
            repair.model.add_implication(stays, start)
            repair.kept_audio.setdefault(index, {})[rank.number] = stays


def _once(repair: RepairVars) -> None:
    """Of two cables between the same sockets, one can stay."""
    staying: dict[Rank, list[Var]] = defaultdict(list)
    for index, ranks in repair.kept_audio.items():
        link = repair.case.links[index]
        for number, var in ranks.items():
            staying[Rank(link.from_unit, link.kind, number)].append(var)
    for several in staying.values():
        repair.model.add_at_most_one(several)
