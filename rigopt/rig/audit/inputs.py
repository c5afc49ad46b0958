"""The list of inputs: every number, channel and 48 V state as the audit finds them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from rigopt.catalogue.types import Device
from rigopt.rig.audit.channels import Channel, listen
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Input, Unit

ORDER = (
    ("mic_line_inst", "mic line instrument"),
    ("mic_line", "mic line"),
    ("mic", "mic"),
    ("line_inst", "line instrument"),
    ("line", "line"),
    ("inst", "instrument"),
)
"""What channels accept, in the order in which a unit numbers them."""


def accepts(device: Device, channel: int) -> tuple[str, ...]:
    """What `channel` of `device` accepts; nothing beyond its last channel."""
    for column, words in ORDER:
        count: int = getattr(device, column)
        if channel <= count:
            return tuple(words.split())
        channel -= count
    return ()


def powered(unit: Unit, channel: int) -> bool:
    """Whether `channel` gets 48 V, by walking through the banks of the unit."""
    size = unit.device.phantom_bank
    microphones = [
        number
        for number in range(1, unit.device.analogue + 1)
        if "mic" in accepts(unit.device, number)
    ]
    bank = 0
    while size and microphones:
        bank += 1
        if channel in microphones[:size]:
            return bank in unit.phantom_banks_on
        del microphones[:size]
    return False


def check_inputs(wiring: Wiring, inputs: Sequence[Input]) -> Iterator[Finding]:
    """Rules input-order, input-missing, input-extra, input-channel, input-accepts,
    input-phantom.
    """
    yield from _check_order(inputs)
    found = listen(wiring).inputs
    stated = {item.computer_input: item for item in inputs}
    for number, (name, channel) in found.items():
        if number not in stated:
            yield finding(
                "input-missing", "input {number}, channel {channel} of {unit}, is not listed",
                "list it", number=number, unit=name, channel=channel,
            )  # fmt: skip
    for item in inputs:
        if item.computer_input not in found:
            yield finding(
                "input-extra", "input {number} is listed, and no channel stands behind it",
                "leave it out", number=item.computer_input,
            )  # fmt: skip
        else:
            yield from _check_input(wiring, item, found[item.computer_input])


def _check_order(inputs: Sequence[Input]) -> Iterator[Finding]:
    for one, other in pairwise(inputs):
        if one.computer_input >= other.computer_input:
            yield finding(
                "input-order", "input {number} is listed after input {before}",
                "list every input once, in ascending order",
                number=other.computer_input, before=one.computer_input,
            )  # fmt: skip


def _check_input(wiring: Wiring, item: Input, behind: Channel) -> Iterator[Finding]:
    name, channel = behind
    if (item.unit, item.channel) != behind:
        yield finding(
            "input-channel",
            "input {number} is listed as channel {said} of {said_unit};"
            " it is channel {channel} of {unit}",
            "list it as channel {channel} of {unit}", number=item.computer_input,
            said=item.channel, said_unit=item.unit, channel=channel, unit=name,
        )  # fmt: skip
        return
    right = accepts(wiring.unit(name).device, channel)
    if item.accepts != right:
        yield finding(
            "input-accepts", "input {number} is listed as accepting {said}; it is {right}",
            "list {right}", number=item.computer_input, said=", ".join(item.accepts),
            right=", ".join(right),
        )  # fmt: skip
    on = powered(wiring.unit(name), channel)
    if item.phantom != on:
        yield finding(
            "input-phantom", "48 V on input {number} is listed as {said}; it is {right}",
            "list it as {right}", number=item.computer_input,
            said="on" if item.phantom else "off", right="on" if on else "off",
        )  # fmt: skip
