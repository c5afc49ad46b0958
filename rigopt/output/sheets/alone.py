"""Units that are set up at the computer once, and run without it afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.output.facts.cables import is_line
from rigopt.output.sheets.listening import fed
from rigopt.output.sheets.sockets import choices, settings
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import stands_alone, whose
from rigopt.output.words.phrases import khz, plural, span
from rigopt.output.words.wiring import both_ways, end_socket, start_socket
from rigopt.rig.numbering import split
from rigopt.rig.types import Rig, Unit

_BY: Final = {"usb": "by USB", "thunderbolt": "by Thunderbolt", "network": "by network"}


def prepare(rig: Rig) -> Iterator[Step]:
    """Those that could be hosts and are none here (makers' notes, restated).

    What a later step would set at the computer has to be saved now: the computer sees only
    the hosts then.
    """
    found = [unit for unit in rig.units if stands_alone(unit)]
    if not found:
        return
    yield Step(
        "Save the settings of what runs without the computer",
        tuple(line for unit in found for line in _unit(rig, unit)),
    )


def _unit(rig: Rig, unit: Unit) -> Iterator[str]:
    by = _BY.get(unit.device.computer, "")
    port = f"{whose(unit)} alone to the computer {by}".rstrip()
    yield f"Connect {port}, switch it on, and open its control program."
    yield f"{unit.name}: internal clock, {khz(rig.rate_hz)} kHz."
    yield from (f"{unit.name}: {told}" for told in settings(rig, unit))
    yield from choices(rig, unit)
    yield from _routes(rig, unit)
    setting = unit.clock
    if setting is not None and setting.source != "internal":
        way = "socket" if both_ways(unit, setting.source) else "in"
        socket = f"{setting.source} {way} {setting.socket}"
        yield f"{unit.name}: last of all clock from {socket}, though nothing is in it yet."
    yield f"Save that in {unit.name} itself, switch it off and unplug it from the computer."


def _routes(rig: Rig, unit: Unit) -> Iterator[str]:
    """Which channels go to which socket, and which socket to which line outputs."""
    sends = [x for x in rig.links if x.from_unit == unit.name and x.channels and not is_line(x)]
    for link, channels in split(sends, unit.device, rig.rate_hz):
        which = f"{plural('channel', channels)} {span(channels.start, channels.stop - 1)}"
        yield f"{unit.name}: send {which} to {start_socket(link)}."
    for feed in fed(rig, unit):
        link, outs = feed.link, feed.outputs
        socket = start_socket(link) if link.from_unit == unit.name else end_socket(link)
        played = f"{plural('output', outs)} {span(outs.start, outs.stop - 1)}"
        yield f"{unit.name}: send what comes in on {socket} to line {played}."
