"""What is wrong with the analogue half of a finished rig, by the plain words of the rules."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from rigopt.catalogue.types import ACCEPTS
from rigopt.needs.types import Needs
from rigopt.rig.types import Link, Rig, Unit
from tests.analogue.boxes import accepting, bank, connector
from tests.analogue.pieces import ANALOGUE_LIMIT


def faults(rig: Rig, needs: Needs) -> list[str]:
    """Every broken rule."""
    lines = [link for link in rig.links if link.kind == "analogue"]
    found = [f"{link}: {what}" for link in lines for what in _line(rig, link, needs)]
    if found:
        return found
    found += _pieces(rig, lines)
    found += _rows(rig, lines)
    found += _uses(rig, needs)
    found += _units(rig)
    return found


def _out(unit: Unit, link: Link) -> int:
    """The channel, from 0, of the direct out that a line leaves by."""
    return accepting(unit.device, "mic")[link.from_socket - 1]


def _line(rig: Rig, link: Link, needs: Needs) -> Iterator[str]:
    sender, taker, cable = rig.unit(link.from_unit), rig.unit(link.to_unit), link.cable
    assert cable is not None
    into = link.to_socket - 1
    if sender.role == "host" or sender.device.role not in ("expander", "either", "preamp"):
        yield "direct outs of this unit are of no use"
    if sender.name == taker.name or not 1 <= link.from_socket <= sender.device.direct_out:
        yield "no such direct out"
    if into not in accepting(taker.device, "line"):
        yield "no input for line"
    if cable.ends != (sender.device.direct_plug, taker.device.line_plug):
        yield "plugs do not fit"
    host = "host" in (sender.role, taker.role)
    run = needs.host_to_rack_mm if host else needs.within_rack_mm
    if not run <= cable.length_mm <= ANALOGUE_LIMIT:
        yield "too short or too long"
    if taker.device.line_plug == "xlr" and into in accepting(taker.device, "mic"):
        of = bank(taker.device, into)
        if of is not None and of + 1 in taker.phantom_banks_on:
            yield "a direct out by XLR into a bank that is on"


def _pieces(rig: Rig, lines: list[Link]) -> Iterator[str]:
    together = defaultdict(list)
    for link in lines:
        together[link.piece].append(link)
    sockets: dict[object, set[int | None]] = defaultdict(set)
    for piece, ways in together.items():
        cable = ways[0].cable
        assert cable is not None
        if len({(way.from_unit, way.cable) for way in ways}) > 1 or len(ways) > cable.ways:
            yield f"piece {piece} has too many ways, or is of several units or kinds"
        for way in ways:
            one, other = rig.unit(way.from_unit), rig.unit(way.to_unit)
            start = connector(one.device, _out(one, way), "mic")
            end = connector(other.device, way.to_socket - 1, "line")
            if one.device.direct_plug == "dsub":
                sockets[one.name, "out", start[0]].add(piece)
            if other.device.line_plug == "dsub":
                sockets[other.name, "in", end[0]].add(piece)
            if cable.ends == ("dsub", "dsub") and start[1] != end[1]:
                yield f"piece {piece} joins unequal places"
        ends = {"in", "out"}
        for side in sorted(ends):
            mine = [key for key, there in sockets.items() if piece in there and side in key]  # type: ignore[operator]
            if len(mine) > 1:
                yield f"piece {piece} has one D-sub plug for {mine}"
    yield from (f"two pieces in {at}" for at, pieces in sockets.items() if len(pieces) > 1)


def _rows(rig: Rig, lines: list[Link]) -> Iterator[str]:
    """A channel has one row or none: none if it is occupied, that of the input it occupies
    if it comes by its direct out."""
    rows = {(row.unit, row.channel): row for row in rig.inputs}
    brought = {(k.from_unit, _out(rig.unit(k.from_unit), k) + 1): k for k in lines}
    taken = Counter((link.to_unit, link.to_socket) for link in lines)
    if len(rows) < len(rig.inputs) or len(brought) < len(lines) or len(taken) < len(lines):
        yield "something is used twice"
    numbers = Counter(row.computer_input for row in rig.inputs)
    yield from (f"number {number} twice" for number, n in numbers.items() if n > 1)
    yield from (f"{at} is occupied and has a row" for at in taken if at in rows)
    for at, link in brought.items():
        row = rows.get(at)
        if row is None:
            yield f"{at} has no row"
        elif link.from_unit not in row.path or link.to_unit not in row.path:
            yield f"{row}: path"
        elif rig.unit(link.to_unit).role == "host":
            order = rig.unit(link.to_unit).device
            if order.input_order[0] == "analogue" and row.computer_input != link.to_socket:
                yield f"{row} has not the number of the input that it occupies"
    sending = {k.from_unit for k in rig.links if k.kind != "analogue"}
    for at, row in rows.items():
        if rig.unit(row.unit).role != "host" and row.unit not in sending and at not in brought:
            yield f"{at} does not arrive"
        device = rig.unit(row.unit).device
        of = bank(device, row.channel - 1)
        if row.phantom != (of is not None and of + 1 in rig.unit(row.unit).phantom_banks_on):
            yield f"{at}: 48 V"
        if row.accepts != ACCEPTS[device.channel_kinds[row.channel - 1]]:
            yield f"{at}: what it accepts"


def _uses(rig: Rig, needs: Needs) -> Iterator[str]:
    """Sources on inputs that suit them; an instrument in a DI box is on a microphone input."""
    boxes = {unit.name: unit.device for unit in rig.units if unit.role == "di"}
    boxed = [row for row in rig.inputs if row.path and row.path[0] in boxes]
    used = Counter(row.use for row in rig.inputs)
    wanted = {"mic": needs.mic, "line": needs.line, "instrument": needs.instrument}
    yield from (f"{used[kind]} of {kind}" for kind, n in wanted.items() if used[kind] != n)  # type: ignore[index]
    per_box = Counter(row.path[0] for row in boxed)
    yield from (f"{box} is too full" for box, n in per_box.items() if n > boxes[box].inst)
    for row in boxed:
        if "mic" not in row.accepts or row.use != "instrument":
            yield f"{row}: a DI box"
        if boxes[row.path[0]].di_phantom and not row.phantom:
            yield f"{row}: a DI box without 48 V"
    for row in rig.inputs:
        if row.use and row.use not in row.accepts and row not in boxed:
            yield f"{row} does not take that"
    mics = Counter(row.phantom for row in rig.inputs if row.use == "mic")
    if mics[True] < needs.phantom or mics[False] < needs.no_phantom:
        yield f"48 V of microphones: {mics}"
    if sum(row.use is None and "mic" in row.accepts for row in rig.inputs) < needs.spare:
        yield "too few to spare"


def _units(rig: Rig) -> Iterator[str]:
    digital = {
        end for k in rig.links if k.kind != "analogue" for end in (k.from_unit, k.to_unit)
    }
    for unit in rig.units:
        clocked = unit.role == "host" or unit.name in digital
        if clocked != (unit.clock is not None):
            yield f"{unit.name}: clock {unit.clock}"
        analogue = any(k.from_unit == unit.name and k.kind == "analogue" for k in rig.links)
        if analogue and not clocked and unit.role != "preamp":
            yield f"{unit.name} is a preamp here, not {unit.role}"
