"""The list of inputs: every number, channel and 48 V state as the audit finds them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from rigopt.rig.audit.banks import channels, microphones
from rigopt.rig.audit.channels import Channel, listen
from rigopt.rig.audit.feeding import audio_links
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Input


def check_inputs(wiring: Wiring, inputs: Sequence[Input]) -> Iterator[Finding]:
    """Rules input-order, input-missing, input-extra, input-channel, input-accepts,
    input-phantom, input-path.
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
            yield from _check_path(wiring, item)


def _check_path(wiring: Wiring, item: Input) -> Iterator[Finding]:
    """Rule input-path: the units that lie between the source and the computer."""
    path = [item.unit]
    able = microphones(wiring.unit(item.unit).device)
    for link in wiring.lines:
        carried = able[link.from_socket - 1 :][:1] if link.from_socket > 0 else []
        if link.from_unit == item.unit and carried == [item.channel]:
            path.append(link.to_unit)
    if wiring.unit(path[-1]).role != "host":
        path.append(next(iter(_hosts(wiring, path[-1])), ""))
    said = list(item.path)
    if any([unit.name] == said[:1] for unit in wiring.of_role("di")):
        del said[0]
    if said != path:
        yield finding("input-path", number=item.computer_input, path=" > ".join(path))


def _hosts(wiring: Wiring, name: str) -> Iterator[str]:
    """Hosts that the audio of a unit goes to."""
    for index in audio_links(wiring).get(name, ()):
        yield wiring.links[index].to_unit


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
