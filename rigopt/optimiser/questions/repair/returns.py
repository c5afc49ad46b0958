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
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.types import Unit


def create(rewire: Rewire) -> None:
    """Create the cables, for other rules to count."""
    case = rewire.case
    for unit in case.expanders:
        for host in case.hosts:
            rewire.home[unit.name, host.name] = rewire.flag("home", unit.name, host.name)
    for giver, taker, kind in case.pairs():
        if rewire.is_back(giver.name, taker.name, kind):
            most = min(case.live(giver, kind, "out"), case.live(taker, kind, "in"))
            way = (giver.name, taker.name, kind)
            rewire.new_back[way] = rewire.count(most, "back", way)
    for index, link in enumerate(case.links):
        if case.whole(link) and rewire.is_back(link.from_unit, link.to_unit, link.kind):
            rewire.kept_back[index] = rewire.flag("stays", index)


def add(rewire: Rewire) -> None:
    """Add the rule."""
    for unit in rewire.case.expanders:
        _home(rewire, unit)
        fed: Terms = []
        for host in rewire.case.hosts:
            fed += _feed(rewire, unit, host.name)
        rewire.fed[unit.name] = rewire.count(unit.device.line_out, "fed", unit.name)
        rewire.model.add(rewire.fed[unit.name] <= total(fed))


def _cables(rewire: Rewire, host: str, unit: str, kind: Kind) -> Terms:
    found: Terms = [
        (var, 1)
        for index, var in rewire.kept_back.items()
        for link in [rewire.case.links[index]]
        if (link.from_unit, link.to_unit, link.kind) == (host, unit, kind)
    ]
    new = rewire.new_back.get((host, unit, kind))
    return found if new is None else [*found, (new, 1)]


def _home(rewire: Rewire, unit: Unit) -> None:
    """Which host it is: the one with its audio, else the first with a cable to it."""
    model, name = rewire.model, unit.name
    homes = {host.name: rewire.home[name, host.name] for host in rewire.case.hosts}
    model.add_at_most_one(homes.values())
    sending: Terms = [(v, 1) for (who, _, _), v in rewire.sends.items() if who == name]
    earlier: list[Var] = []
    for host, home in homes.items():
        to_it = [
            (v, 1) for (who, to, _), v in rewire.sends.items() if (who, to) == (name, host)
        ]
        model.add(total(to_it) <= home)
        cables = [t for kind in AUDIO_KINDS for t in _cables(rewire, host, name, kind)]
        there = rewire.flag("cable", host, name)
        model.add(total(cables) >= there)
        for var, _ in cables:
            model.add(var == 0).only_enforce_if(~there)
        model.add(home <= total([*to_it, (there, 1)]))
        model.add(total([(var, 1) for var in homes.values()]) >= there)
        for other in earlier:
            model.add(home + other <= 1 + total(sending))
        earlier.append(there)


def _feed(rewire: Rewire, unit: Unit, host: str) -> Terms:
    """The line outputs that `host` feeds on `unit`."""
    model, name, outs = rewire.model, unit.name, unit.device.line_out
    cables = {kind: _cables(rewire, host, name, kind) for kind in AUDIO_KINDS}
    locked: dict[Kind, Terms] = {
        kind: [
            (var, 1)
            for lock, var in rewire.locks[name].items()
            if (lock.giver, lock.kind) == (host, kind)
        ]
        for kind in AUDIO_KINDS
    }
    both = [*cables["optical"], *cables["coax"]]
    home = rewire.home[name, host]
    clocks = total([*locked["optical"], *locked["coax"]])
    if not outs:
        model.add(total(both) <= clocks)
        return []
    model.add(total(both) <= clocks).only_enforce_if(~home)
    _no_more_than_needed(rewire, unit, home, cables, locked["coax"])
    fed = rewire.count(outs, "fed", name, host)
    brought = [
        (var, link_channels(kind, rewire.case.rate_hz))
        for kind in AUDIO_KINDS
        for var, _ in cables[kind]
    ]
    model.add(fed <= total(brought))
    model.add(fed <= outs * home)
    return [(fed, 1)]


def _no_more_than_needed(
    rewire: Rewire, unit: Unit, home: Var, cables: dict[Kind, Terms], locked: Terms
) -> None:
    """At home: as many cables of each kind as feed something, or one to lock to."""
    model, outs, rate_hz = rewire.model, unit.device.line_out, rewire.case.rate_hz
    wide, narrow = (link_channels(kind, rate_hz) for kind in AUDIO_KINDS)
    most = -(-outs // wide)
    optical, coax = total(cables["optical"]), total(cables["coax"])
    model.add(optical <= most).only_enforce_if(home)
    if not cables["coax"]:
        return
    exactly = [rewire.flag("light-pipes", unit.name, n) for n in range(most + 1)]
    model.add_exactly_one(exactly)
    for number, chosen in enumerate(exactly):
        left = -(-max(0, outs - number * wide) // narrow)
        model.add(optical == number).only_enforce_if(home, chosen)
        rest = total(locked) if left == 0 else left
        model.add(coax <= rest).only_enforce_if(home, chosen)
