"""Channels and audio, found by dealing channels out one at a time.

Every expander's channels are dealt onto its cables; what lands on a place that the computer
sees is an input. Nothing is taken over from how a rig was put together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from rigopt.rig.audit.banks import microphones
from rigopt.rig.audit.feeding import audio_links, returned
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.numbers import Place, converted, places, width
from rigopt.rig.audit.sockets import is_live
from rigopt.rig.audit.wiring import Wiring, format_name, link_name
from rigopt.rig.types import Link

Channel = tuple[str, int]
"""Unit, analogue channel."""


class Sound(NamedTuple):
    """What is heard where, as the audit finds it."""

    inputs: dict[int, Channel]
    """Channel behind each number that the computer sees and something stands behind."""
    heard: tuple[int, ...]
    """Audio channels in use on each link towards its end, in the order of the links."""
    back: tuple[int, ...]
    """The same of what comes back, towards its start, over one of a duplex format."""


@lru_cache(maxsize=4)
def listen(wiring: Wiring) -> Sound:
    """Deal every channel onto its cable and see which arrive."""
    numbers = {place: number for number, place in enumerate(places(wiring), start=1) if place}
    inputs = {
        number: (host, channel)
        for (host, block, _, channel), number in numbers.items()
        if block == "analogue"
    }
    heard, back = [0] * len(wiring.links), [0] * len(wiring.links)
    for index, place, sent in _dealt(wiring):
        if number := numbers.get(place):
            heard[index] += 1
            inputs.setdefault(number, sent)
    for index, name, count in returned(wiring):
        (heard if wiring.links[index].to_unit == name else back)[index] += count
    inputs |= _by_lines(wiring, inputs)
    return Sound(dict(sorted(inputs.items())), tuple(heard), tuple(back))


def of_themselves(wiring: Wiring) -> frozenset[Channel]:
    """Channels that arrive without a direct out."""
    return frozenset(listen(replace(wiring, every=wiring.links)).inputs.values())


def _by_lines(wiring: Wiring, inputs: dict[int, Channel]) -> dict[int, Channel]:
    """What comes by direct outs, on the numbers of the inputs that these occupy."""
    numbers = {channel: number for number, channel in inputs.items()}
    found: dict[int, Channel] = {}
    for link in wiring.lines:
        able = microphones(wiring.unit(link.from_unit).device)
        number = numbers.get((link.to_unit, link.to_socket))
        if number and 1 <= link.from_socket <= len(able):
            found[number] = (link.from_unit, able[link.from_socket - 1])
    return found


def _dealt(wiring: Wiring) -> Iterator[tuple[int, Place, Channel]]:
    """Each channel of each expander: the link it goes down, and where it comes out."""
    for name, indices in audio_links(wiring).items():
        lines: list[tuple[int, Place]] = []
        for index in sorted(indices, key=lambda i: wiring.links[i].from_socket):
            link = wiring.links[index]
            lines += [
                (index, (link.to_unit, link.kind, link.to_socket, line + 1))
                for line in range(width(link.format, wiring.rate_hz))
            ]
        channels = range(1, converted(wiring.unit(name).device, wiring.rate_hz) + 1)
        for (index, place), channel in zip(lines, channels, strict=False):
            yield index, place, (name, channel)


def check_channels(wiring: Wiring) -> Iterator[Finding]:
    """Rules two-hosts, clock-audio, duplex-start, channels, carries-audio, carries-nothing."""
    yield from _check_one_host(wiring)
    sound = listen(wiring)
    for link, heard, back in zip(wiring.links, sound.heard, sound.back, strict=True):
        if is_live(wiring, link):
            yield from _check_link(wiring, link, heard, back)
        roles = (wiring.unit(link.from_unit).role, wiring.unit(link.to_unit).role)
        if link.format.duplex and "audio" in link.carries and roles == ("host", "expander"):
            yield finding("duplex-start", link=link_name(link))


def _check_one_host(wiring: Wiring) -> Iterator[Finding]:
    """Rule two-hosts: an expander sends to one host, in one format."""
    for name, indices in audio_links(wiring).items():
        links = [wiring.links[i] for i in indices]
        ways = {(link.to_unit, format_name(link.format)) for link in links}
        if len(ways) > 1:
            yield finding(
                "two-hosts",
                unit=name,
                ways=" and ".join(f"to {to} by {kind}" for to, kind in sorted(ways)),
            )


def _check_link(wiring: Wiring, link: Link, heard: int, back: int) -> Iterator[Finding]:
    name = link_name(link)
    has_audio = "audio" in link.carries
    clocks = [n for n in (link.from_unit, link.to_unit) if wiring.unit(n).role == "clock"]
    if clocks and (has_audio or link.channels or link.back):
        yield finding("clock-audio", link=name, unit=clocks[0])
        return
    if link.channels != heard:
        yield finding("channels", link=name, said=link.channels, count=heard)
    if link.back != back:
        yield finding("channels", "back", link=name, said=link.back, count=back)
    if has_audio != (heard + back > 0):
        yield finding(
            "carries-audio",
            link=name,
            count=heard + back,
            said="audio" if has_audio else "no audio",
            cure="leave out" if has_audio else "put",
        )
    if not link.carries:
        yield finding("carries-nothing", link=name)
