"""Rule: cables from an expander's host feed its line outputs, and none is there for nothing.

Light-pipe before stereo. Its host is the one it sends to, or else the first with such a
cable to it. With L line outputs and n cables of a kind:
Variables: kept_back, new_back, home, fed.
Constraints: at most one home; from any other host at most the one cable that the expander
is locked to; from its home no more light-pipes than L takes, and no more stereo cables
than take the rest, or one that it is locked to; fed <= what the cables bring, and L.
Cost: none here. (A second light-pipe that feeds nothing and is locked to would be sound;
it is left out, for the first serves as well.)
"""

from __future__ import annotations

from rigopt.facts import AUDIO_KINDS, Kind, link_channels
from rigopt.optimiser.questions.repair.variables import RepairVars, Way
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.types import Unit


def create(repair: RepairVars) -> None:
    """Create the cables, for other rules to count."""
    case = repair.case
    for unit in case.expanders:
        for host in case.hosts:
            repair.home[unit.name, host.name] = repair.flag("home", unit.name, host.name)
    for sender, receiver, kind in case.pairs():
        way = (sender.name, receiver.name, kind)
        if repair.is_back(way):
            most = min(case.live(sender, kind, "out"), case.live(receiver, kind, "in"))
            repair.new_back[way] = repair.count(most, "back", way)
    for index, link in enumerate(case.links):
        if case.whole(link) and repair.is_back((link.from_unit, link.to_unit, link.kind)):
            repair.kept_back[index] = repair.flag("stays", index)


def add(repair: RepairVars) -> None:
    """Add the rule."""
    for unit in repair.case.expanders:
        _home(repair, unit)
        fed: Terms = []
        for host in repair.case.hosts:
            fed += _feed(repair, unit, host.name)
        repair.fed[unit.name] = repair.count(unit.device.line_out, "fed", unit.name)
        repair.model.add(repair.fed[unit.name] <= total(fed))


def _cables(repair: RepairVars, way: Way) -> Terms:
    found: Terms = [
        (var, 1)
        for index, var in repair.kept_back.items()
        for link in [repair.case.links[index]]
        if (link.from_unit, link.to_unit, link.kind) == way
    ]
    new = repair.new_back.get(way)
    return found if new is None else [*found, (new, 1)]


def _home(repair: RepairVars, unit: Unit) -> None:
    """Which host it is: the one with its audio, else the first with a cable to it."""
    model, name = repair.model, unit.name
    homes = {host.name: repair.home[name, host.name] for host in repair.case.hosts}
    model.add_at_most_one(homes.values())
    sending: Terms = [(v, 1) for (who, _, _), v in repair.sends.items() if who == name]
    earlier: list[Var] = []
    for host, home in homes.items():
        to_it = [
            (v, 1) for (who, to, _), v in repair.sends.items() if (who, to) == (name, host)
        ]
        model.add(total(to_it) <= home)
        cables = [t for kind in AUDIO_KINDS for t in _cables(repair, (host, name, kind))]
        there = repair.flag("cable", host, name)
        model.add(total(cables) >= there)
        for var, _ in cables:
            model.add(var == 0).only_enforce_if(~there)
        model.add(home <= total([*to_it, (there, 1)]))
        model.add(total([(var, 1) for var in homes.values()]) >= there)
        for other in earlier:
            model.add(home + other <= 1 + total(sending))
        earlier.append(there)


def _feed(repair: RepairVars, unit: Unit, host: str) -> Terms:
    """The line outputs that `host` feeds on `unit`."""
    model, name, outs = repair.model, unit.name, unit.device.line_out
    cables = {kind: _cables(repair, (host, name, kind)) for kind in AUDIO_KINDS}
    locked: dict[Kind, Terms] = {
        kind: [
            (var, 1)
            for lock, var in repair.locks[name].items()
            if (lock.sender, lock.kind) == (host, kind)
        ]
        for kind in AUDIO_KINDS
    }
    both = [*cables["optical"], *cables["coax"]]
    home = repair.home[name, host]
    clocks = total([*locked["optical"], *locked["coax"]])
    if not outs:
        model.add(total(both) <= clocks)
        return []
    model.add(total(both) <= clocks).only_enforce_if(~home)
    _no_more_than_needed(repair, unit, home, cables, locked["coax"])
    fed = repair.count(outs, "fed", name, host)
    brought = [
        (var, link_channels(kind, repair.case.rate_hz))
        for kind in AUDIO_KINDS
        for var, _ in cables[kind]
    ]
    model.add(fed <= total(brought))
    model.add(fed <= outs * home)
    return [(fed, 1)]


def _no_more_than_needed(
    repair: RepairVars, unit: Unit, home: Var, cables: dict[Kind, Terms], locked: Terms
) -> None:
    """At home: as many cables of each kind as feed something, or one to lock to."""
    model, outs, rate_hz = repair.model, unit.device.line_out, repair.case.rate_hz
    wide, narrow = (link_channels(kind, rate_hz) for kind in AUDIO_KINDS)
    most = -(-outs // wide)
    optical, coax = total(cables["optical"]), total(cables["coax"])
    model.add(optical <= most).only_enforce_if(home)
    if not cables["coax"]:
        return
    exactly = [repair.flag("light-pipes", unit.name, n) for n in range(most + 1)]
    model.add_exactly_one(exactly)
    for number, chosen in enumerate(exactly):
        left = -(-max(0, outs - number * wide) // narrow)
        model.add(optical == number).only_enforce_if(home, chosen)
        rest = total(locked) if left == 0 else left
        model.add(coax <= rest).only_enforce_if(home, chosen)
