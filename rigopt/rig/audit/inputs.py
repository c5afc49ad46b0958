"""The list of inputs: every number, channel and 48 V state as the audit finds them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from rigopt.catalogue.types import Device
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Input, Unit

TAKES = {
    "mic_line_inst": ("mic", "line", "instrument"),
    "mic_line": ("mic", "line"),
    "mic": ("mic",),
    "line_inst": ("line", "instrument"),
    "line": ("line",),
    "inst": ("instrument",),
}
"""What channels accept, in the order in which a unit numbers them if it says no other."""


def channels(device: Device) -> list[tuple[str, ...]]:
    """What each channel of `device` accepts, channel 1 first."""
    order = [*device.channel_order, *(c for c in TAKES if c not in device.channel_order)]
    return [TAKES[column] for column in order for _ in range(getattr(device, column))]


def accepts(device: Device, channel: int) -> tuple[str, ...]:
    """What `channel` of `device` accepts; nothing beyond its last channel."""
    listed = channels(device)
    return listed[channel - 1] if channel <= len(listed) else ()


def banks(device: Device) -> list[list[int]]:
    """The channels of each 48 V bank, by walking along its microphone inputs."""
    microphones = [n for n, takes in enumerate(channels(device), start=1) if "mic" in takes]
    sizes = device.phantom_bank
    found: list[list[int]] = []
    while microphones and (sizes if isinstance(sizes, int) else len(found) < len(sizes)):
        size = sizes if isinstance(sizes, int) else sizes[len(found)]
        found.append(microphones[:size])
        del microphones[:size]
    return found


def powered(unit: Unit, channel: int) -> bool:
    """Whether `channel` gets 48 V: whether it is in a bank that is on."""
    return any(
        channel in bank
        for number, bank in enumerate(banks(unit.device), start=1)
        if number in unit.phantom_banks_on
    )


class Arriving(NamedTuple):
    """What stands behind a number of the computer."""

    unit: str
    channel: int
    accepts: tuple[str, ...]
    phantom: bool


def arriving(wiring: Wiring) -> dict[int, Arriving]:
    """Every number with something behind it, in ascending order."""
    takes = {unit.name: channels(unit.device) for unit in wiring.units}
    on = {
        unit.name: {
            channel
            for number, bank in enumerate(banks(unit.device), start=1)
            if number in unit.phantom_banks_on
            for channel in bank
        }
        for unit in wiring.units
    }
    return {
        number: Arriving(name, channel, takes[name][channel - 1], channel in on[name])
        for number, (name, channel) in listen(wiring).inputs.items()
    }


def check_inputs(wiring: Wiring, inputs: Sequence[Input]) -> Iterator[Finding]:
    """Rules input-order, input-missing, input-extra, input-channel, input-accepts,
    input-phantom.
    """
    yield from _check_order(inputs)
    found = arriving(wiring)
    stated = {item.computer_input: item for item in inputs}
    for number, behind in found.items():
        if number not in stated:
            yield finding(
                "input-missing",
                "input {number}, channel {channel} of {unit}, is not listed",
                "list it",
                number=number,
                unit=behind.unit,
                channel=behind.channel,
            )
    for item in inputs:
        if item.computer_input not in found:
            yield finding(
                "input-extra",
                "input {number} is listed, and no channel stands behind it",
                "leave it out",
                number=item.computer_input,
            )
        else:
            yield from _check_input(item, found[item.computer_input])


def _check_order(inputs: Sequence[Input]) -> Iterator[Finding]:
    for one, other in pairwise(inputs):
        if one.computer_input >= other.computer_input:
            yield finding(
                "input-order",
                "input {number} is listed after input {before}",
                "list every input once, in ascending order",
                number=other.computer_input,
                before=one.computer_input,
            )


def _check_input(item: Input, behind: Arriving) -> Iterator[Finding]:
    if (item.unit, item.channel) != (behind.unit, behind.channel):
        yield finding(
            "input-channel",
            "input {number} is listed as channel {said} of {said_unit};"
            " it is channel {channel} of {unit}",
            "list it as channel {channel} of {unit}",
            number=item.computer_input,
            said=item.channel,
            said_unit=item.unit,
            channel=behind.channel,
            unit=behind.unit,
        )
        return
    if item.accepts != behind.accepts:
        yield finding(
            "input-accepts",
            "input {number} is listed as accepting {said}; it is {right}",
            "list {right}",
            number=item.computer_input,
            said=", ".join(item.accepts),
            right=", ".join(behind.accepts),
        )
    if item.phantom != behind.phantom:
        yield finding(
            "input-phantom",
            "48 V on input {number} is listed as {said}; it is {right}",
            "list it as {right}",
            number=item.computer_input,
            said="on" if item.phantom else "off",
            right="on" if behind.phantom else "off",
        )
