"""With the power off: every cable from socket to socket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.catalogue.types import WordEnd
from rigopt.output.facts.cables import Bundle, is_line, pieces
from rigopt.output.facts.clocks import chains
from rigopt.output.facts.optical import longer_than
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import load, numbered, receiver, sender
from rigopt.output.words.phrases import listed, metres, plural, runs
from rigopt.output.words.wiring import ins, outs
from rigopt.rig.types import Link, Rig

_PORT: Final = {
    "usb": "Connect {name} to the computer by USB.",
    "thunderbolt": "Connect {name} to the computer by Thunderbolt.",
    "network": "Connect {name} to the computer's network port.",
    "pcie": "Fit {name} into the computer with its mains plug pulled out, as the manuals say.",
}


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
    """Banks of 48 V that an XLR plug from a direct out goes into.

    Some units bring 48 V back at power-up (Linux kernel sound/usb; a panel's manual, text).
    """
    for unit in rig.units:
        if unit.device.line_plug == "xlr":
            into = {x.to_socket for x in rig.links if is_line(x) and x.to_unit == unit.name}
            for number, channels in enumerate(unit.device.bank_channels, 1):
                if into.intersection(channels):
                    which = f"{plural('channel', channels)} {runs(channels)}"
                    yield (
                        f"{unit.name}: switch it on by itself before an XLR plug goes in. 48 V "
                        f"bank {number} ({which}) has to be off, and to come up off again."
                    )


def _piece(cable: Bundle) -> str:
    piece = cable.first.cable
    label = f" ({piece.label or piece.id})" if piece else ""
    start, end = listed(outs(cable.links)), listed(ins(cable.links, "line in"))
    return f"Cable {cable.numbers[0]}{label}: from {start} to {end}."


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
        where = listed(on_the_way)
        yield f"Switch the 75-ohm end off on {where}: the clock goes on from there."


_END: Final[dict[WordEnd, str]] = {
    "switch": "switch the 75-ohm end on there",
    "fixed": "the 75-ohm end is built in",
    "none": "plug the 75-ohm terminator into the free side of the T-piece there",
}
"""What terminates the last word input of a chain."""
