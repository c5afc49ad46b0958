"""From counts to links between named units: who sends what to whom, and who clocks whom.

The column of a unit fixes which sockets it needs, and the rules made sure that there are
enough; only which of several that do is still open.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from rigopt.catalogue.types import Cable
from rigopt.facts import TEE, TERMINATOR, WORD, Format
from rigopt.optimiser.decode import chains
from rigopt.optimiser.decode.boxes import Box, End
from rigopt.optimiser.decode.deal import deal
from rigopt.optimiser.decode.lowest import Way, lock_to_lowest
from rigopt.optimiser.model.variables import Counted
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockState, Lock
from rigopt.rig.links import Wire

A_TEE: Final = Cable("", "", TEE, 0)
A_TERMINATOR: Final = Cable("", "", TERMINATOR, 0)
"""Stand for pieces until it is known which ones are there."""


class Joint(NamedTuple):
    """A cable between two units, by the ends that it has there."""

    sender: Box
    start: End
    receiver: Box
    end: End
    audio: bool = True
    listener: chains.Listener | None = None

    def ways(self) -> Iterator[Way]:
        """Who hears whom over it."""
        yield self.receiver, self.end, self.sender
        if self.start.row.duplex:
            yield self.sender, self.start, self.receiver

    def wire(self) -> Wire:
        """The same once its ends have their sockets."""
        heard = self.listener
        return Wire(
            self.start.row,
            self.sender.name,
            self.start.number,
            self.receiver.name,
            self.end.number,
            audio=self.audio,
            after=heard.after.name if heard and heard.after else None,
            tee=A_TEE if heard and heard.tee else None,
            terminator=A_TERMINATOR if heard and heard.terminator else None,
        )


def wires(problem: Problem, found: Sequence[Box], counted: Counted) -> list[Wire]:
    """Every cable: those with audio, those that feed outputs, those for clock alone."""
    hosts = {b.column.slot: b for b in found if isinstance(b.column, HostColumn)}
    joined = [
        (box, box.column, hosts[box.column.wiring.slot])
        for box in found
        if isinstance(box.column, SatelliteColumn) and box.column.wiring.slot is not None
    ]
    joints = [joint for box, column, host in joined for joint in _sent(box, column, host)]
    joints += [
        joint for box, column, host in joined for joint in _returned(problem, box, column, host)
    ]
    joints += _clock(problem, found, counted)
    for host in hosts.values():
        _lock_to_audio(host, joints)
    for box in found:
        box.deal()
    lock_to_lowest([way for joint in joints for way in joint.ways()])
    return [joint.wire() for joint in joints]


def _sent(box: Box, column: SatelliteColumn, host: Box) -> Iterator[Joint]:
    """Links to its host; it takes its clock from the first that it can, if it does so."""
    wiring, row = column.wiring, column.wiring.format
    if row is None:
        return
    shares = _shares(box, row)
    wished = box.wishes.get((host.name, row.id), ())
    for link in range(1, wiring.links + 1):
        arriving = wiring.cut if link == wiring.cut_link else column.at_rate.carries(row)
        start = box.sends(row)
        end = host.hears(row, arrives=arriving if link <= wiring.audio else 0)
        end.wish = dict(enumerate(wished, start=1)).get(link)
        if shares and box.clock is None and column.locks_sending(link):
            box.clock = (start, host)
        yield Joint(box, start, host, end)


def _returned(
    problem: Problem, box: Box, column: SatelliteColumn, host: Box
) -> Iterator[Joint]:
    """Links from its host that feed outputs; it shares the first of one format as clock."""
    for name, number in column.wiring.returns.items():
        row = problem.formats[name]
        for _ in range(number):
            first = _shares(box, row) and box.clock is None
            if row.duplex:
                there, here = box.sends(row), host.hears(row)
                joint = Joint(box, there, host, here, audio=False)
            else:
                here, there = host.sends(row), box.hears(row, locks=first)
                joint = Joint(host, here, box, there)
            if first:
                there.locks = True
                box.clock = (there, host)
            yield joint


def _shares(box: Box, row: Format) -> bool:
    return box.state is not None and box.state.lock == Lock("shared", row.id)


def _lock_to_audio(host: Box, joints: Sequence[Joint]) -> None:
    """A host that shares a link takes its clock from the first that leaves the rest enough.

    Rather from one that leaves more links where they were.
    """
    state = host.state
    if state is None or state.lock.by != "shared":
        return
    found: dict[Joint, int] = {}
    for joint in joints:
        sender = joint.sender.state
        if (
            joint.receiver is host
            and joint.start.row.id == state.lock.format
            and sender is not None
            and (sender.hop, sender.tree) == (state.hop - 1, state.tree)
            and sender.lock.by != "shared"
            and not joint.end.alone
        ):
            joint.end.locks = True
            if host.can_deal():
                found[joint] = sum(end.moved for end in host.ins)
            joint.end.locks = False
    if found:
        joint = min(found, key=found.__getitem__)
        joint.end.locks = True
        host.clock = (joint.end, joint.sender)


def _clock(problem: Problem, found: Sequence[Box], counted: Counted) -> Iterator[Joint]:
    """Links for clock alone, hop by hop; every unit that needs one gets the next."""
    places: dict[tuple[int, int, int], list[Receiving]] = defaultdict(list)
    for receiving in [*_routed(problem, found, counted), *_chained(problem, found, counted)]:
        places[receiving.hop, receiving.tree, receiving.end].append(receiving)
    for (hop, tree, end), group in sorted(places.items(), key=lambda item: item[0][0]):
        senders = [
            box
            for box in found
            if box.place == end
            and box.state is not None
            and (box.state.hop, box.state.tree) == (hop - 1, tree)
        ]
        spare = [(box, socket) for box in senders for socket in box.spare()]
        dealt = deal(group, spare, lambda want, place: want.row in place[1].formats)
        for receiving, (sender, _) in zip(group, dealt, strict=True):
            start = sender.sends(receiving.row)
            for listener in receiving.listeners:
                box = listener.box
                heard = box.hears(receiving.row, locks=True, alone=True)
                box.clock = (heard, sender)
                # Towards a host this cable is for clock; towards an expander it may feed
                # outputs.
                audio = box.role != "host" and not receiving.row.duplex
                if receiving.row.duplex and (sender.role, box.role) == ("host", "expander"):
                    yield Joint(box, heard, sender, start, audio)
                else:
                    yield Joint(sender, start, box, heard, audio, listener)


class Receiving(NamedTuple):
    """Units that take their clock from one output: one, or a chain of word inputs."""

    hop: int
    tree: int
    end: int
    row: Format
    listeners: Sequence[chains.Listener]


def _routed(problem: Problem, found: Sequence[Box], counted: Counted) -> Iterator[Receiving]:
    taken: set[str] = set()
    for route, number in counted.routes.items():
        state = ClockState(Lock("alone", route.format), route.hop, route.tree)
        waiting = [
            box
            for box in found
            if box.place == route.receiver and box.state == state and box.name not in taken
        ]
        for box in waiting[:number]:
            taken.add(box.name)
            row = problem.formats[route.format]
            yield Receiving(
                route.hop, route.tree, route.sender, row, (chains.Listener(box, None),)
            )


def _chained(problem: Problem, found: Sequence[Box], counted: Counted) -> Iterator[Receiving]:
    for kind, listeners in chains.chains(problem, found, counted):
        yield Receiving(kind.hop, kind.tree, kind.sender, problem.formats[WORD], listeners)
