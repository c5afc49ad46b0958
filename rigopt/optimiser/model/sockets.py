"""Rule: a socket takes one cable, and only live sockets carry anything.

How many sockets a unit that is no host uses is part of its column, and what it has left
for handing on the clock is counted there. What is left to count are the sockets of hosts.

Variables: none of its own. Constraints, for each slot, kind of socket and way: whatever is
wanted of the sockets finds one that serves it (see `transport`): audio links one where as
many channels arrive as they bring, links for clock alone one that the host can lock to, links
out one that speaks their format. Where a host's numbers move with the formats of the links in
its sockets, each socket that was reckoned to hold such a link finds one that it serves: with
that there is a way to serve all that is wanted and fill all these at once (N. S. Mendelsohn,
A. L. Dulmage, 1958). All links of a unit go to
one host: where hosts are pooled, units with s links or more are at most as many as groups of
s sockets of one host, for s = 2, 3 ... and for each number of channels that is to arrive.
Cost: none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby

from ortools.sat.python import cp_model

from rigopt.facts import WORD
from rigopt.optimiser.model.transport import transport
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.ports import Port, Use
from rigopt.optimiser.solver.linear import Terms, Var, total

Wants = dict[Use, Terms]


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for slot in rig.slots:
        rig.beat()
        wants, there = _wants(rig, slot), _there(rig, slot)
        for ports in _groups(there):
            _served(model, rig, wants, ports)
        _none_without_sockets(model, wants, there)
        if rig.clocked:  # else links for the clock alone, which hold sockets too, are not there
            _held(model, rig, slot, wants)
        if rig.problem.per_slot > 1:
            _together(model, rig, slot)


def _there(rig: RigVars, slot: int) -> dict[Port, Terms]:
    """The sockets of the host in a slot."""
    found: dict[Port, Terms] = defaultdict(list)
    for column, var in rig.slot(slot):
        for port, number in column.hosting.ports:
            found[port].append((var, number))
    return found


def _wants(rig: RigVars, slot: int) -> Wants:
    """What is wanted of them."""
    wants: Wants = defaultdict(list)
    for column, number in rig.joined(slot):
        for use, links in column.uses:
            wants[use].append((number, links))
    for (at, name, arriving), locked in rig.locked.items():
        if at == slot:
            wants[Use("in", name, arriving)] += [(var, -1) for var, _ in locked]
            wants[Use("in", name, arriving, locks=True)] += locked
    for _, states in rig.at(slot):
        for state, number in states.items():
            if state.lock.by == "alone" and state.lock.format is not None:
                wants[Use("in", state.lock.format, locks=True)].append((number, 1))
    for route, number in rig.routes.items():
        if route.sender == slot:
            wants[Use("out", route.format)].append((number, 1))
    for chain, number in rig.chains.items():
        if chain.sender == slot:
            wants[Use("out", WORD)].append((number, 1))
    return wants


def _groups(there: dict[Port, Terms]) -> Iterator[dict[Port, Terms]]:
    """The sockets in groups that have no link in common: by kind, and by way if they can."""
    for kind in dict.fromkeys(port.kind for port in there):
        of_kind = {port: terms for port, terms in there.items() if port.kind == kind}
        if any(port.side == "both" for port in of_kind):
            yield of_kind
            continue
        for side in ("in", "out"):
            yield {port: terms for port, terms in of_kind.items() if port.side == side}


def _served(
    model: cp_model.CpModel, rig: RigVars, wants: Wants, ports: dict[Port, Terms]
) -> None:
    kinds, sides = {port.kind for port in ports}, {port.side for port in ports}
    asked = {
        use: terms
        for use, terms in wants.items()
        if rig.problem.formats[use.format].socket in kinds
        and ("both" in sides or use.side in sides)
    }
    transport(model, asked, ports, Port.serves)


def _none_without_sockets(
    model: cp_model.CpModel, wants: Wants, there: dict[Port, Terms]
) -> None:
    """What no host here has a socket for is not to be."""
    for use, terms in wants.items():
        if not any(port.serves(use) for port in there):
            model.add(total(terms) <= 0)


def _held(model: cp_model.CpModel, rig: RigVars, slot: int, wants: Wants) -> None:
    """Sockets that hold another format than their first, where that moves the numbers."""
    held: dict[Port, Terms] = defaultdict(list)
    for column, var in rig.slot(slot):
        for port, number in column.hosting.held:
            held[port].append((var, number))
    transport(model, held, wants, lambda use, port: port.serves(use))


def _together(model: cp_model.CpModel, rig: RigVars, slot: int) -> None:
    """All links of a unit go to one host: units with s of them that want as much of a socket
    take a host's s sockets that serve this."""
    joined: dict[tuple[tuple[Use, int], ...], list[Var]] = defaultdict(list)
    for column, count in rig.joined(slot):
        joined[column.uses].append(count)
    hosts = rig.slot(slot)
    uses = {use for own in joined for use, _ in own}
    for _, alike in groupby(sorted(uses), key=lambda use: (use.side, use.format)):
        said: set[tuple[int, tuple[int, ...]]] = set()
        for want in alike:
            rig.beat()
            links = [(counts, _links(own, want)) for own, counts in joined.items()]
            sockets = [(var, column.hosting.serving(want)) for column, var in hosts]
            for size in range(2, max((number for _, number in links), default=0) + 1):
                groups = [(var, number // size) for var, number in sockets]
                there = size, tuple(number for _, number in groups)
                if there not in said:  # else it is said of more links already
                    said.add(there)
                    wide = [
                        (n, 1) for counts, number in links if number >= size for n in counts
                    ]
                    model.add(total(wide) <= total(groups))


def _links(uses: tuple[tuple[Use, int], ...], want: Use) -> int:
    """How many of some links want no less of a socket."""
    return sum(
        number
        for use, number in uses
        if (use.side, use.format) == (want.side, want.format) and use.arrives >= want.arrives
    )
