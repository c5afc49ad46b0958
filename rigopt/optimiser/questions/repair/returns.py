"""Rule: cables from an expander's host feed its line outputs, and none is there for nothing.

Its host is the one it sends to, or else the one that can feed most of its outputs, the first
of equal ones. They feed by format in the order of the table, then by input socket.
Variables: home, in time, could feed, feeds, tops, fed.
Constraints: at most one home; no other could feed more, unless the unit sends to home; feeds =
the cable is there, from home, in time; fed <= what such cables bring, and the outputs; tops <=
the cable feeds, and those before it bring less than the outputs there are. Unless a converter
stands behind the socket, the two ends of a cable that feeds are in one clock tree.
Cost: none here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import combinations

from rigopt.optimiser.questions.repair.routes import Place, Route
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, total
from rigopt.rig.links import rank
from rigopt.rig.types import Unit

Feed = tuple[Route, str, Place]
"""A cable, the host, and the socket of the expander."""


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    every: dict[str, list[Feed]] = defaultdict(list)
    for route in repair.plug:
        for feed in _feeds(repair, route):
            every[feed[2].unit].append(feed)
    for unit in repair.case.expanders:
        feeds = every[unit.name]
        repair.fed[unit.name] = repair.count(unit.device.line_out, "fed", unit.name)
        if unit.device.line_out:
            able = _able(repair, unit.name, feeds)
            _home(repair, unit.name)
            _in_time(repair, unit.name, feeds, able)
            _most(repair, unit, feeds, able)
            _fed(repair, unit, feeds)
        else:
            repair.model.add(repair.fed[unit.name] == 0)


def _feeds(repair: RepairVars, route: Route) -> Iterator[Feed]:
    """The ways in which a cable could feed a unit, if it could."""
    repair.beat()
    for sender, place in route.ways:
        host = repair.case.by_name[sender].role == "host"
        if host and repair.case.carries(route.format):
            yield route, sender, place


def _home(repair: RepairVars, unit: str) -> None:
    """Which host it is: the one with its audio, if it sends any."""
    homes = {host.name: repair.flag("home", unit, host.name) for host in repair.case.hosts}
    repair.model.add_at_most_one(homes.values())
    repair.home |= {(unit, host): home for host, home in homes.items()}
    for way in dict.fromkeys(deal.way for deal in repair.dealt[unit]):
        _, host, _ = way
        repair.model.add_implication(repair.sends[way], homes[host])


def _able(repair: RepairVars, unit: str, feeds: list[Feed]) -> dict[Route, Var]:
    """Which cables are there, and in time: home could feed by them."""
    able: dict[Route, Var] = {}
    for route, host, place in feeds:
        able[route] = repair.plug[route]
        if not repair.case.socket(place).converts:
            there = able[route] = repair.flag("in time", route.ends, route.format.id)
            both = [repair.plug[route], repair.same_clock(unit, host)]
            repair.model.add_min_equality(there, both)
    return able


def _most(repair: RepairVars, unit: Unit, feeds: list[Feed], able: Mapping[Route, Var]) -> None:
    """Unless the unit sends to its home, no earlier host could feed as much, no later more."""
    model, hosts = repair.model, repair.case.hosts
    could: dict[str, Var] = {}
    for host in hosts:
        brought = [
            (able[r], repair.case.carries(r.format)) for r, h, _ in feeds if h == host.name
        ]
        most = could[host.name] = repair.count(unit.device.line_out, "could feed", host.name)
        model.add_min_equality(most, [total(brought), unit.device.line_out])
    enough = -unit.device.line_out - 1
    free = [(repair.sends[deal.way], enough) for deal in repair.dealt[unit.name]]
    for one, other in combinations(could, 2):
        more = total([(could[other], 1), (could[one], -1), *free])
        less = total([(could[one], 1), (could[other], -1), *free])
        model.add(more <= 0).only_enforce_if(repair.home[unit.name, one])
        model.add(less < 0).only_enforce_if(repair.home[unit.name, other])


def _in_time(
    repair: RepairVars, unit: str, feeds: list[Feed], able: Mapping[Route, Var]
) -> None:
    """Which cables feed: those from home that are able to."""
    model = repair.model
    for route, host, _ in feeds:
        feeding = repair.feeds[route] = repair.flag("feeds", route.ends, route.format.id)
        where = [able[route], repair.home[unit, host]]
        model.add_bool_and(where).only_enforce_if(feeding)
        model.add_bool_or(feeding, *(~var for var in where))


def _fed(repair: RepairVars, unit: Unit, feeds: list[Feed]) -> None:
    """What is fed, and which cables feed something."""
    model, outs = repair.model, unit.device.line_out
    brought = {
        feed: (repair.feeds[feed[0]], repair.case.carries(feed[0].format)) for feed in feeds
    }
    model.add(total(brought.values()) >= repair.fed[unit.name])
    in_order = sorted(feeds, key=_order)
    for (place, name), here in _by_socket(in_order).items():
        top = repair.tops[place, name] = repair.flag("feeds something", place, name)
        model.add(total((brought[feed][0], 1) for feed in here) >= top)
        before = [brought[feed] for feed in in_order if _order(feed) < _order(here[0])]
        model.add(total(before) < outs).only_enforce_if(top)


def _order(feed: Feed) -> tuple[tuple[int, str], int]:
    return rank(feed[0].format), feed[2].socket.number


def _by_socket(feeds: list[Feed]) -> dict[tuple[Place, str], list[Feed]]:
    found: dict[tuple[Place, str], list[Feed]] = {}
    for feed in feeds:
        found.setdefault((feed[2], feed[0].format.id), []).append(feed)
    return found
