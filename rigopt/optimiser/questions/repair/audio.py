"""Rule: an expander sends its channels to one host, in one format, over links by rank.

Variables: deals, sends, others.
Constraints: a cable brings the channels of one rank at most; a rank is used once, ranks from
the first, in the order of their outputs; all of an expander's deals are of the host and the
format that it sends to. Unless the host's socket has a converter, both are in one clock tree.
What a host that is cut sees of a socket hangs on how many before it hold another format.
Cost: none here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from rigopt.optimiser.questions.repair.routes import Route
from rigopt.optimiser.questions.repair.variables import Deal, Rank, RepairVars
from rigopt.optimiser.solver.linear import Terms, total


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    _others(repair)
    for route, plug in repair.plug.items():
        dealt = [*_deals(repair, route)]
        if dealt:
            repair.model.add(total((deal.var, 1) for deal in dealt) <= plug)
            repair.deals += dealt
            repair.dealt[route.start.unit] += dealt
    _ranks(repair)
    for unit in repair.case.expanders:
        _one_host(repair, unit.name)


def _others(repair: RepairVars) -> None:
    """Count, for each host that is cut, the sockets that hold another format."""
    case, model = repair.case, repair.model
    for host, numbers in case.numbers.items():
        holding: Terms = []
        for n, socket in enumerate(numbers.changing, start=1):
            first = case.sockets[host][socket].formats[0]
            holding += [
                (var, 1)
                for route, var in repair.plug.items()
                if route.end == (host, socket) and route.format != first
            ]
            there = [repair.flag("others", host, n, k) for k in range(n + 1)]
            model.add_exactly_one(there)
            model.add(total((var, k) for k, var in enumerate(there)) == total(holding))
            repair.others[host, n] = there


def _deals(repair: RepairVars, route: Route) -> Iterator[Deal]:
    case = repair.case
    unit, host = case.by_name[route.start.unit], case.by_name[route.end.unit]
    width = case.carries(route.format)
    if (unit.role, host.role) != ("expander", "host") or not width:
        return
    numbers = case.numbers[host.name]
    before = numbers.before(route.end.socket)
    outs = [s.ref for s in case.sockets[unit.name].values() if route.format in s.formats]
    lower = outs.index(route.start.socket)
    most = min(-(-case.sent(unit) // width), lower + 1)
    for others in range(before + 1):
        seen = numbers.seen(route.end.socket, route.format, others)
        for place in range(most):
            first = place * width + 1
            channels = range(first, min(first + min(width, seen), case.sent(unit) + 1))
            if channels:
                rank = Rank(unit.name, route.format.id, place + 1)
                var = repair.flag("deal", rank, route.ends, others)
                if before:
                    repair.model.add_implication(var, repair.others[host.name, before][others])
                if not case.socket(route.end).converts:
                    same = repair.same_clock(unit.name, host.name)
                    repair.model.add_implication(var, same)
                yield Deal(rank, route, channels, var)


def _ranks(repair: RepairVars) -> None:
    starts: dict[Rank, dict[int, Terms]] = defaultdict(lambda: defaultdict(list))
    for deal in repair.deals:
        starts[deal.rank][deal.route.start.socket.number].append((deal.var, 1))
    for rank, outs in starts.items():
        repair.model.add(total(term for terms in outs.values() for term in terms) <= 1)
        if rank.number > 1:
            before = starts.get(rank._replace(number=rank.number - 1), {})
            for out in outs:
                up_to = [t for socket, terms in outs.items() if socket <= out for t in terms]
                below = [t for socket, terms in before.items() if socket < out for t in terms]
                repair.model.add(total(up_to) <= total(below))


def _one_host(repair: RepairVars, unit: str) -> None:
    used: dict[tuple[str, str, str], Terms] = defaultdict(list)
    for deal in repair.dealt[unit]:
        if deal.way not in repair.sends:
            repair.sends[deal.way] = repair.flag("sends", *deal.way)
        repair.model.add_implication(deal.var, repair.sends[deal.way])
        used[deal.way].append((deal.var, 1))
    repair.model.add_at_most_one(repair.sends[way] for way in used)
    for way, deals in used.items():
        repair.model.add(total(deals) >= repair.sends[way])
