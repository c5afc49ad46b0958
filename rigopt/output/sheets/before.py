"""Steps with the power off, up to the moment it is switched on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.catalogue.types import WordEnd
from rigopt.output.facts.cables import Bundle, is_line, pieces
from rigopt.output.facts.clocks import chains, trees
from rigopt.output.facts.optical import longer_than
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import load, numbered, receiver, sender
from rigopt.output.words.phrases import labelled, listed, metres, plain, runs
from rigopt.output.words.wiring import clockless, ins, outs
from rigopt.rig.banks import bank_channels
from rigopt.rig.figures import RACK_UNIT_MM
from rigopt.rig.types import Link, Rig, Unit

_PORT: Final = {
    "usb": "Connect {name} to the computer by USB.",
    "thunderbolt": "Connect {name} to the computer by Thunderbolt.",
    "network": "Connect {name} to the computer's network port.",
    "pcie": "Fit {name} into the computer with its mains plug pulled out, as the manuals say.",
}


def down(rig: Rig) -> Step:
    """Nothing is live or loud when the work begins."""
    lines = [
        "Switch off the monitors first, then every unit.",
        "Turn down monitors, headphones and the gain of every preamp.",
    ]
    if any(bank_channels(unit.device) for unit in rig.units):
        lines.append("See that every 48 V switch is off.")
    return Step("Power off, levels down", tuple(lines), (cautions.MANUALS,))


def place(rig: Rig) -> Step:
    """Every box in its place, with its name on it."""
    lines = [_box(unit) for unit in rig.units]
    height = sum(unit.device.rack_units for unit in rig.units)
    if height:
        lines.append(
            f"In a rack they take {height} U, {plain(height * RACK_UNIT_MM)} mm of height."
        )
    lines.append("Leave room for air, as the manuals say.")
    if len(rig.units) == 1:
        return Step("Place the unit", tuple(lines))
    return Step("Place the units and label them", tuple(lines), (cautions.LIFTING,))


def computer(rig: Rig) -> Step:
    """Every host and its port."""
    hosts = [unit for unit in rig.units if unit.role == "host"]
    lines = [_PORT[host.device.computer].format(name=host.name) for host in hosts]
    return Step("Connect the computer", tuple(lines))


def cables(rig: Rig) -> Iterator[Step]:
    """Every digital cable from socket to socket; nothing without one."""
    if not numbered(rig):
        return
    lines = [_cable(number, link, rig) for number, link in numbered(rig)]
    if numbered(rig, "optical"):
        lines.append(
            "Optical plugs: take the caps off, push until they click, bend them gently."
        )
    lines += _terminated(rig)
    yield Step("Plug in the digital cables", tuple(lines))


def lines(rig: Rig) -> Iterator[Step]:
    """Every piece of analogue cable; banks that stay off where an XLR plug goes in."""
    found = [cable for cable in pieces(rig.links) if is_line(cable.first)]
    if not found:
        return
    shut = list(_shut(rig))
    said = [*shut, *map(_piece, found)]
    yield Step("Plug in the analogue cables", tuple(said), (cautions.OUTPUTS,) if shut else ())


def _shut(rig: Rig) -> Iterator[str]:
    """Banks of 48 V that an XLR plug from a direct out goes into."""
    for unit in rig.units:
        if unit.device.line_plug == "xlr":
            into = {x.to_socket for x in rig.links if is_line(x) and x.to_unit == unit.name}
            for number, channels in enumerate(bank_channels(unit.device), 1):
                if into.intersection(channels):
                    yield (
                        f"{unit.name}: see that 48 V bank {number} (channels {runs(channels)}) "
                        "is off before an XLR plug goes in, and leave it off."
                    )


def _piece(cable: Bundle) -> str:
    piece = cable.first.cable
    label = f" ({piece.label or piece.id})" if piece else ""
    start, end = listed(outs(cable.links)), listed(ins(cable.links, "line in"))
    return f"Cable {cable.numbers[0]}{label}: from {start} to {end}."


def power(rig: Rig) -> Step:
    """The master first, then along the clock; monitors last (common practice, no source)."""
    order = _from_master(rig)
    fed = [name for name in order if _bus_powered(rig.unit(name))]
    own = [name for name in order if name not in fed and _switched(rig.unit(name))]
    clocked = sum(unit.clock is not None for unit in rig.units)
    said = [_mastered(rig, name) for name in own] if clocked > 1 else own
    powers = f", which powers {listed(fed)}" if fed else ""
    last = f"then the computer{powers}" if own else f"the computer{powers}"
    text = f"Switch on, in this order: {listed(said)}; {last}." if own else f"Switch on {last}."
    mains = "Plug in the mains. Leave the monitors off." if own else "Leave the monitors off."
    danger = (cautions.EARTH, cautions.strips(rig)) if own else ()
    return Step("Switch on", (mains, text), danger)


def _bus_powered(unit: Unit) -> bool:
    """Whether the computer feeds it: a host without a mains plug of its own."""
    return unit.role == "host" and unit.device.mains == 0


def _switched(unit: Unit) -> bool:
    """Whether it has a mains switch; a DI box, say, may live on 48 V or nothing at all."""
    return unit.device.mains > 0 or not clockless(unit)


def _box(unit: Unit) -> str:
    text = f"{unit.name}: {labelled(unit.device.id, unit.device.label)}"
    height = unit.device.rack_units
    return f"{text}, {height} U" if height else text


def _cable(number: int, link: Link, rig: Rig) -> str:
    label = f" ({link.cable.label or link.cable.id})" if link.cable else ""
    ends = f"from {sender(link)} to {receiver(link)}"
    text = f"Cable {number}{label}: {ends}, {load(link, rig.units)}."
    if link.tee:
        text += f" It ends at a T-piece on {receiver(link)}."
    sure = longer_than(link)
    if sure is not None:
        text += f" It is longer than {metres(sure)}: test it before you rely on it."
    return text


def _terminated(rig: Rig) -> Iterator[str]:
    """75 ohm at the last input of a chain and nowhere else (operating guides, restated)."""
    found = chains(rig.links)
    for mode, what in _END.items():
        last = [c[-1] for c in found if rig.unit(c[-1].to_unit).device.word_end == mode]
        if last:
            yield f"Word clock ends at {listed([receiver(link) for link in last])}: {what}."
    on_the_way = [
        receiver(link)
        for chain in found
        for link in chain[:-1]
        if rig.unit(link.to_unit).device.word_end == "switch"
    ]
    if on_the_way:
        yield f"Off is the 75-ohm end of {listed(on_the_way)}: the clock goes on from there."


_END: Final[dict[WordEnd, str]] = {
    "switch": "switch the 75-ohm end on there",
    "fixed": "the 75-ohm end is built in",
    "none": "plug the 75-ohm terminator into the free side of the T-piece there",
}
"""What terminates the last word input of a chain."""


def _mastered(rig: Rig, name: str) -> str:
    """'host-1 (the clock master)' for a master."""
    groups = trees(rig.units)
    if name not in groups:
        return name
    return f"{name} ({'the' if len(groups) == 1 else 'a'} clock master)"


def _from_master(rig: Rig) -> list[str]:
    """The names of the units, each after the one that it takes its clock from."""
    clocks = {unit.name: unit.clock for unit in rig.units}
    order = [name for name, clock in clocks.items() if clock and clock.source == "internal"]
    for name in order:
        order += [other for other, clock in clocks.items() if clock and clock.from_unit == name]
    return order + [name for name, clock in clocks.items() if clock is None]
