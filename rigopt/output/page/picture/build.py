"""From a rig to its picture: which rows each unit has, and what stands in them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import zip_longest

from rigopt.output.facts.cables import Bundle, bundles, is_line
from rigopt.output.facts.clocks import goes_back
from rigopt.output.facts.inputs import lines
from rigopt.output.page.picture import cables, sources
from rigopt.output.page.picture.homes import ends_of, homes, hosts
from rigopt.output.page.picture.lanes import with_lanes
from rigopt.output.page.picture.legend import legend, remarks
from rigopt.output.page.picture.marks import NO_MARKS, Marks
from rigopt.output.page.picture.order import Order, best_order, lanes
from rigopt.output.page.picture.sources import shown
from rigopt.output.page.picture.types import (
    Group,
    Picture,
    Port,
    Row,
    Section,
    Stack,
    Tap,
    Wire,
)
from rigopt.output.words.wiring import end_sockets, start_sockets
from rigopt.rig.numbering import host_spans
from rigopt.rig.types import Rig, ref


def build(rig: Rig, marks: Marks = NO_MARKS) -> Picture:
    """The picture of `rig` with `marks` on it."""
    return _Builder(rig, marks).picture()


class _Builder:
    """A rig and what is worked out of it for all rows."""

    def __init__(self, rig: Rig, marks: Marks) -> None:
        self.rig, self.marks = rig, marks
        self.boxes = {unit.name: cables.box(unit, marks) for unit in rig.units}
        self.spans = host_spans(rig.units, rig.links, rig.rate_hz)
        self.home = homes(rig)
        self.loose = {name: box for name, box in self.boxes.items() if name not in self.home}
        self.outs = sources.outs(rig, self.loose)
        self.beside: dict[str, list[Bundle]] = defaultdict(list)
        strays = []
        for bundle in bundles(rig.links):
            one, other = ends_of(bundle.first)
            if self.home.get(one, one) == other != one:
                self.beside[one].append(bundle)
            elif self.home.get(other, other) == one != other:
                self.beside[other].append(bundle)
            else:
                strays.append(bundle)
        self.order = best_order(self._sections(), strays)
        self.lanes = lanes(self.order, strays)

    def picture(self) -> Picture:
        """The whole of it."""
        sections = with_lanes(map(self._section, self.order), self.lanes.lanes)
        idle = tuple(self.boxes[name] for name in self._idle())
        return Picture(sections, idle, legend(sections), remarks(self.rig, self.lanes.stems))

    def _sections(self) -> Order:
        """The units of each host, clock units first of those beside it; then those of none."""
        roles = {unit.name: unit.role for unit in self.rig.units}
        found = []
        for host in [*(unit.name for unit in hosts(self.rig)), None]:
            names = [name for name, home in self.home.items() if home == host]
            names.sort(key=lambda name: roles[name] != "clock")
            found.append(tuple([host, *names] if host else names))
        return tuple(names for names in found if names)

    def _idle(self) -> list[str]:
        """The units without a cable that no source goes through and no output feeds."""
        used = {name for item in self.rig.inputs for name in item.path}
        fed = {out.box.name for found in self.outs.values() for out in found if out.box}
        drawn = {name for names in self.order for name in names} | used | fed
        return [unit.name for unit in self.rig.units if unit.name not in drawn]

    def _section(self, names: Sequence[str]) -> Section:
        if names[0] in self.home:
            return Section(None, "", "", tuple(map(self._stack, names)))
        host, *others = names
        own = Stack(None, tuple(self._own_rows(host)))
        stacks = [own] * bool(own.rows) + list(map(self._stack, others))
        inputs = [i.computer_input for i in self.rig.inputs if self._host_of(i.path) == host]
        return Section(
            self.boxes[host],
            self.rig.unit(host).device.computer,
            shown(inputs),
            tuple(stacks),
            tuple(self.outs.get(host, ())),
        )

    def _host_of(self, path: Sequence[str]) -> str:
        return path[-1] if path else ""

    def _stack(self, name: str) -> Stack:
        """A unit beside its host: its head, and what it has at the left, from the top."""
        lefts = [None, *self._taps(name), *self._groups(name), *self.outs.get(name, ())]
        rows = [
            Row(left, *(self._beside(name, bundle) if bundle else (None, None)))
            for left, bundle in zip_longest(lefts, self.beside[name])
        ]
        return Stack(self.boxes[name], tuple(rows))

    def _own_rows(self, host: str) -> Iterable[Row]:
        """What comes to the host itself from the left."""
        for tap in self._taps(host):
            yield Row(tap, port=Port(tap.socket, tap.inputs))
        for group in self._groups(host):
            yield Row(group, port=Port(f"ch {group.channels}", group.inputs))

    def _groups(self, name: str) -> list[Group]:
        return sources.groups(self.rig, self.rig.unit(name), self.loose)

    def _beside(self, name: str, bundle: Bundle) -> tuple[Wire, Port]:
        """A cable between a unit and its host, and where it sits there."""
        ends_there = bundle.first.to_unit != name
        socket = end_sockets(bundle) if ends_there else start_sockets(bundle)
        port = Port(socket, self._inputs(bundle) if ends_there else "")
        return cables.wire(bundle, self.rig, self.marks, name), port

    def _taps(self, name: str) -> list[Tap]:
        """The lanes that reach a unit, from the top."""
        return [self._tap(i, j) for i, j in self.lanes.ends[name]]

    def _tap(self, number: int, end: int) -> Tap:
        stem = self.lanes.stems[number]
        bundle = stem.ends[end].bundle
        first = stem.bundles[0].first
        if bundle is None:
            back = any(goes_back(b.first, self.rig.units) for b in stem.bundles)
            return Tap(number, cables.load(first), back, cables.sending(stem.bundles))
        wire = cables.wire(bundle, self.rig, self.marks, None)
        inputs = self._inputs(bundle)
        return Tap(number, wire.load, wire.right, end_sockets(bundle), inputs, wire)

    def _inputs(self, bundle: Bundle) -> str:
        """The computer's inputs that a cable becomes where it ends."""
        link = bundle.first
        if is_line(link):
            known = lines(self.rig.units, bundle.links)
            found = [
                item.computer_input
                for item in self.rig.inputs
                if (item.unit, item.channel) in known
            ]
            return shown(found)
        span = self.spans.get(link.to_unit)
        if span is None or not link.channels:
            return ""
        numbers = set(span.socket(ref(link.format, "in", link.to_socket)))
        return shown(numbers & {item.computer_input for item in self.rig.inputs})
