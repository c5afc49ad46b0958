"""Rule: a word output feeds up to `word_inputs` inputs in a chain of T-pieces.

Each unit in a chain is one hop from the output that feeds it, and locked to it. One whose
end is fixed can only be the last. Chains are told apart by what decides their cables: who
feeds them (a host slot, or the rack), who is the last, and whether units of the other role
stand between two of the same one, which takes two of the longer runs. The rest of a chain is
only counted. So the fewest cables that a chain allows run between a host and the rack.

Variables: chains[kind], how many there are; followers[kind, host or not], units in them
beside the last of each.
Constraints: for each role and end, the last ones are no more than those who listen, and all
of them where the end is fixed; the rest follow in some chain; followers <= (word_inputs - 1)
times chains; a detour has someone to go round by.
Cost: none here; links, T-pieces and terminators are counted elsewhere.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from ortools.sat.python import cp_model

from rigopt.catalogue.types import WordEnd
from rigopt.facts import TEE, WORD
from rigopt.optimiser.model.variables import RACK, Chain, RigVars
from rigopt.optimiser.problem.signatures import ClockState, Lock, Offer
from rigopt.optimiser.solver.linear import Terms, total

Listeners = dict[tuple[bool, WordEnd], Terms]
"""Units that listen to word clock, by whether they are hosts and by the end of their input."""


def add(  # noqa: PLR0917
    model: cp_model.CpModel,
    rig: RigVars,
    hop: int,
    tree: int,
    there: Mapping[int, Mapping[Offer, Terms]],
    given: dict[int, dict[str, Terms]],
) -> None:
    """Add the rule for one hop of a tree; what chains take of outputs goes to `given`."""
    listeners = _listeners(rig, hop, tree)
    last: dict[tuple[bool, WordEnd], Terms] = defaultdict(list)
    following: dict[bool, Terms] = defaultdict(list)
    long = rig.problem.needs.word_inputs > 1 and bool(rig.problem.cables_of(TEE))
    senders = [
        end for end, offers in there.items() if any(WORD in offer.formats for offer in offers)
    ]
    for chain in _kinds((hop, tree), senders, listeners, long):
        number = model.new_int_var(0, rig.problem.max_units, "word chains")
        rig.chains[chain] = number
        given[chain.sender][WORD].append((number, 1))
        last[chain.to_host, chain.end].append((number, 1))
        if long:
            _followers(model, rig, chain, {host for host, _ in listeners}, following)
    for (host, end), listening in listeners.items():
        if end == "fixed" or not long:
            model.add(total(last[host, end]) == total(listening))
        else:
            model.add(total(last[host, end]) <= total(listening))
    for host in sorted({host for host, _ in listeners}) if long else ():
        rest: Terms = []
        for end in ("switch", "none"):
            rest += listeners.get((host, end), [])
            rest += [(number, -1) for number, _ in last[host, end]]
        model.add(total(following[host]) == total(rest))


def _listeners(rig: RigVars, hop: int, tree: int) -> Listeners:
    found: Listeners = defaultdict(list)
    state = ClockState(Lock("alone", WORD), hop, tree)
    for signature, states in rig.clocked.items():
        if state in states:
            found[signature.host, signature.word_end].append((states[state], 1))
    return found


def _kinds(
    at: tuple[int, int], senders: list[int], listeners: Listeners, long: bool
) -> Iterator[Chain]:
    """Every kind of chain there can be."""
    roles = {host for host, _ in listeners}
    for sender in senders:
        for host, end in listeners:
            yield Chain(*at, sender, host, end)
            if long and (sender != RACK) == host and (not host) in roles:
                yield Chain(*at, sender, host, end, detour=True)


def _followers(
    model: cp_model.CpModel,
    rig: RigVars,
    chain: Chain,
    roles: set[bool],
    following: dict[bool, Terms],
) -> None:
    """The units of a chain beside its last."""
    most = rig.problem.needs.word_inputs - 1
    straight = (chain.sender != RACK) == chain.to_host and not chain.detour
    inside: Terms = []
    for host in sorted(roles):
        if straight and host != chain.to_host:
            continue
        number = model.new_int_var(0, rig.problem.max_units, "in word chains")
        rig.followers[chain, host] = number
        following[host].append((number, 1))
        inside.append((number, 1))
        if chain.detour and host != chain.to_host:
            model.add(number >= rig.chains[chain])
    model.add(total(inside) <= most * rig.chains[chain])
