"""What to plug and what to set on each unit, as the cells of tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rigopt.facts import Format
from rigopt.output.facts.cables import Bundle, is_line, pieces
from rigopt.output.facts.clocks import clock_goes_back, crossing, own_clocks, trees
from rigopt.output.words.phrases import listed, runs
from rigopt.rig.banks import powered
from rigopt.rig.types import Link, Rig, Unit

LINK_HEADERS: Final = ("No", "Format", "From", "To", "Carries", "Cable")
LINE_HEADERS: Final = ("No", "From", "To", "Cable")


def link_rows(rig: Rig) -> list[list[str]]:
    """Every digital cable under `LINK_HEADERS`, numbered; sockets count from 1."""
    return [
        [
            str(cable.numbers[0]),
            cable.first.format.label,
            starts(cable.first),
            ends(cable.first),
            load(cable.first, rig.units),
            " + ".join(piece.id for piece in cable.first.pieces) or "–",
        ]
        for cable in pieces(rig.links)
        if not is_line(cable.first)
    ]


def line_rows(rig: Rig) -> list[list[str]]:
    """Every piece of analogue cable under `LINE_HEADERS`; numbers go on from the others."""
    return [
        [
            str(cable.numbers[0]),
            listed(outs(cable.links)),
            listed(ins(cable.links)),
            cable.first.cable.id if cable.first.cable else "–",
        ]
        for cable in pieces(rig.links)
        if is_line(cable.first)
    ]


def outs(links: Iterable[Link], socket: str = "direct out") -> list[str]:
    """Where analogue links begin: 'preamp-1 direct out 1–8', an entry for each unit."""
    return _by_unit([(link.from_unit, link.from_socket) for link in links], socket)


def ins(links: Iterable[Link], socket: str = "in") -> list[str]:
    """Where they end: 'host-1 in 1–8'."""
    return _by_unit([(link.to_unit, link.to_socket) for link in links], socket)


def _by_unit(found: Sequence[tuple[str, int]], socket: str) -> list[str]:
    names = dict.fromkeys(name for name, _ in found)
    return [f"{name} {socket} {runs(n for at, n in found if at == name)}" for name in names]


def starts(link: Link) -> str:
    """Where a cable begins: 'expander-1 out 1', 'stage-1 socket 1', or 'expander-1 tee'."""
    if link.after is not None:
        return f"{link.after} tee"
    way = "direct out" if is_line(link) else _way(link.format, "out")
    return f"{link.from_unit} {way} {link.from_socket}"


def ends(link: Link) -> str:
    """Where a cable ends: 'host-1 in 1', or 'host-1 socket 1' of one that is both ways."""
    return f"{link.to_unit} {_way(link.format, 'in')} {link.to_socket}"


def start_socket(link: Link) -> str:
    """Where it begins, with the kind of socket: 'optical out 1', 'word tee', 'direct out 2'."""
    if is_line(link):
        return f"direct out {link.from_socket}"
    if link.after is not None:
        return f"{link.kind} tee"
    return f"{link.kind} {_way(link.format, 'out')} {link.from_socket}"


def end_socket(link: Link) -> str:
    """Where a digital cable ends, with the kind of socket: 'optical in 1', 'trunk socket 1'."""
    return f"{link.kind} {_way(link.format, 'in')} {link.to_socket}"


def start_sockets(bundle: Bundle) -> str:
    """The sockets where links between two units begin: 'direct out 1–8'."""
    if is_line(bundle.first):
        return f"direct out {runs(link.from_socket for link in bundle.links)}"
    return start_socket(bundle.first)


def end_sockets(bundle: Bundle) -> str:
    """The sockets where they end: 'line in 1–8'."""
    if is_line(bundle.first):
        return f"line in {runs(link.to_socket for link in bundle.links)}"
    return end_socket(bundle.first)


def _way(row: Format, way: str) -> str:
    return "socket" if row.duplex else way


def piece(link: Link, unnamed: str) -> str:
    """The cable's label, and what sits on it; `unnamed` where nobody named the cable."""
    if link.cable is None:
        return unnamed
    return " + ".join(piece.label or piece.id for piece in link.pieces)


def clock_setting(unit: Unit) -> str:
    """What to choose in the unit's clock menu."""
    clock = unit.clock
    if clock is None:
        return "needs no clock"
    if clock.source == "internal":
        return "internal (clock master)"
    way = "socket" if both_ways(unit, clock.source) else "in"
    sender = f", from {clock.from_unit}" if clock.from_unit else ""
    return f"locked to {clock.source} {way} {clock.socket}{sender}"


def clock_notes(rig: Rig) -> list[str]:
    """Which units need no clock; which go by which master, where there is more than one."""
    without = [unit.name for unit in rig.units if clockless(unit)]
    said = [f"No clock is needed for {listed(without)}."] if without else []
    groups = trees(rig.units)
    if len(groups) < 2:
        return said
    led = f"{len(groups)} clocks: {'; '.join(map(_led, groups.items()))}."
    return [*said, led, *_joined(rig)]


def clockless(unit: Unit) -> bool:
    """Whether it is analogue in this rig, so that nobody looks for its clock menu."""
    return unit.clock is None and unit.role in ("preamp", "di", "headphones")


def _led(group: tuple[str, Sequence[str]]) -> str:
    master, others = group
    return f"{master} leads {listed(others)}" if others else f"{master} by itself"


def _joined(rig: Rig) -> list[str]:
    """What takes audio from one clock to another."""
    said = []
    if own_clocks(rig):
        hosts = [unit.name for unit in rig.units if unit.role == "host"]
        said.append(f"The computer must resample between {listed(hosts)}.")
    converting = [f"{link.to_unit} {end_socket(link)}" for link in crossing(rig)]
    if converting:
        said.append(f"Rate converters join them at {listed(converting)}.")
    return said


def both_ways(unit: Unit, kind: str) -> bool:
    """Whether the sockets of a kind are both ways."""
    return kind == "trunk" and unit.device.trunk is not None and unit.device.trunk.duplex


def banks(unit: Unit) -> str:
    """'ch 1–3' where each channel has its 48 V switch, or 'bank 1 (ch 1–4)'."""
    on = unit.phantom_banks_on
    if not on:
        return "none" if unit.device.bank_channels else "–"
    channels = f"ch {runs(powered(unit))}"
    if switch_each(unit):
        return channels
    return f"{'bank' if len(on) == 1 else 'banks'} {runs(on)} ({channels})"


def switch_each(unit: Unit) -> bool:
    """Whether each microphone channel has a 48 V switch of its own."""
    return all(len(bank) == 1 for bank in unit.device.bank_channels)


def load(link: Link, units: Sequence[Unit]) -> str:
    """'8 ch + clock', 'clock'; '16 ch, 8 ch back + clock back' where a link goes both ways."""
    clock_back = clock_goes_back(link, units)
    there = [f"{link.channels} ch"] if link.channels else []
    there += [f"{link.back} ch back"] if link.back else []
    clock = ["clock back" if clock_back else "clock"] if "clock" in link.carries else []
    return " + ".join([*([", ".join(there)] if there else []), *clock])
