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


def accepts(device: Device) -> list[tuple[str, ...]]:
    """What each channel accepts, channel 1 first."""
    return [
        tuple(words.split()) for column, words in ORDER for _ in range(getattr(device, column))
    ]


def powered(unit: Unit) -> set[int]:
    """The channels that get 48 V, by walking through the banks of the unit."""
    kinds, size = accepts(unit.device), unit.device.phantom_bank
    microphones = [number for number, kind in enumerate(kinds, start=1) if "mic" in kind]
    found: set[int] = set()
    bank = 0
    while size and microphones:
        bank += 1
        if bank in unit.phantom_banks_on:
            found.update(microphones[:size])
        del microphones[:size]
    return found


def channels(wiring: Wiring) -> dict[Channel, tuple[tuple[str, ...], bool]]:
    """What each channel of each unit accepts, and whether it gets 48 V."""
    return {
        (unit.name, number): (kinds, number in on)
        for unit, on in ((unit, powered(unit)) for unit in wiring.units)
        for number, kinds in enumerate(accepts(unit.device), start=1)
    }


def check_inputs(wiring: Wiring, inputs: Sequence[Input]) -> Iterator[Finding]:
    """Rules input-order, input-missing, input-extra, input-channel, input-accepts,
    input-phantom.
    """
    yield from _check_order(inputs)
    found, known = listen(wiring).inputs, channels(wiring)
    stated = {item.computer_input: item for item in inputs}
    for number, (name, channel) in found.items():
        if number not in stated:
            yield finding("input-missing", number=number, unit=name, channel=channel)
    for item in inputs:
        if item.computer_input not in found:
            yield finding("input-extra", number=item.computer_input)
        else:
            behind = found[item.computer_input]
            yield from _check_input(item, behind, *known[behind])


def _check_order(inputs: Sequence[Input]) -> Iterator[Finding]:
    for one, other in pairwise(inputs):
        if one.computer_input >= other.computer_input:
            yield finding("input-order", number=other.computer_input, before=one.computer_input)


def _check_input(
    item: Input, behind: Channel, right: tuple[str, ...], on: bool
) -> Iterator[Finding]:
    name, channel = behind
    if (item.unit, item.channel) != behind:
        yield finding(
            "input-channel",
            number=item.computer_input,
            said=item.channel,
            said_unit=item.unit,
            channel=channel,
            unit=name,
        )
        return
    if item.accepts != right:
        yield finding(
            "input-accepts",
            number=item.computer_input,
            said=", ".join(item.accepts),
            right=", ".join(right),
        )
    if item.phantom != on:
        yield finding(
            "input-phantom",
            number=item.computer_input,
            said="on" if item.phantom else "off",
            right="on" if on else "off",
        )
