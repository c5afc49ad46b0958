"""Channels, audio and the computer's numbers, found by dealing them out one at a time.

Every host is laid out as a list of places, one a number; every expander's channels are
dealt onto its cables; what lands on a place that the computer sees is an input. Nothing
is taken over from how a rig was put together.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from rigopt.catalogue.types import Device
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.sockets import is_live, live
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import Link

Place = tuple[str, str, int, int]
"""Host, 'analogue' or a kind of socket, socket (0 for analogue), channel there."""

Channel = tuple[str, int]
"""Unit, analogue channel."""


class Sound(NamedTuple):
    """What is heard where, as the audit finds it."""

    inputs: dict[int, Channel]
    """Channel behind each number that the computer sees and something stands behind."""
    heard: tuple[int, ...]
    """Audio channels in use on each link, in the order of the links."""


def listen(wiring: Wiring) -> Sound:
    """Deal every channel onto its cable and see which arrive."""
    seen = {place: number for number, place in enumerate(places(wiring), start=1)}
    standing: dict[Place, Channel] = {}
    for unit in wiring.of_role("host"):
        for channel in range(1, unit.device.analogue + 1):
            standing[unit.name, "analogue", 0, channel] = (unit.name, channel)
    heard = [0] * len(wiring.links)
    for index, place, sent in _dealt(wiring):
        heard[index] += place in seen
        standing.setdefault(place, sent)
    for index, count in _returned(wiring):
        heard[index] += count
    inputs = {n: standing[place] for place, n in seen.items() if place in standing}
    return Sound(inputs, tuple(heard))


def width(kind: str, rate_hz: int) -> int:
    """Audio channels of one link: light-pipe 8, 4, 2 (lib_xua feat_adat_tx.rst, text);
    stereo 2 (IEC 60958-1, text); word none.
    """
    if kind == "optical":
        return 8 if rate_hz <= 48000 else 4 if rate_hz <= 96000 else 2
    return 2 if kind == "coax" else 0


def most_seen(device: Device, rate_hz: int) -> int | None:
    """Inputs that the computer may see of one host at the rate; None for all."""
    if rate_hz <= 48000:
        return device.max_in_1x
    return device.max_in_2x if rate_hz <= 96000 else device.max_in_4x


def check_channels(wiring: Wiring) -> Iterator[Finding]:
    """Rules two-hosts, clock-audio, channels, carries-audio, carries-nothing."""
    yield from _check_one_host(wiring)
    heard = listen(wiring).heard
    for link, count in zip(wiring.links, heard, strict=True):
        if is_live(wiring, link):
            yield from _check_link(wiring, link, count)


def places(wiring: Wiring) -> list[Place]:
    """Every number the computer sees, as the place it stands for; number 1 first."""
    seen: list[Place] = []
    rate = wiring.rate_hz
    for unit in wiring.of_role("host"):
        device, name = unit.device, unit.name
        own = [(name, "analogue", 0, channel + 1) for channel in range(device.analogue)]
        for kind in ("coax", "optical"):
            sockets = live(device, kind, "input", rate)
            own += [
                (name, kind, socket + 1, channel + 1)
                for socket in range(sockets)
                for channel in range(width(kind, rate))
            ]
        seen += own[: most_seen(device, rate)]
    return seen


def audio_links(wiring: Wiring) -> dict[str, list[int]]:
    """Indices of the live links that carry audio to a host, by sending expander."""
    found: dict[str, list[int]] = defaultdict(list)
    for index, link in enumerate(wiring.links):
        roles = (wiring.unit(link.from_unit).role, wiring.unit(link.to_unit).role)
        if roles == ("expander", "host") and "audio" in link.carries and is_live(wiring, link):
            found[link.from_unit].append(index)
    return found


def _dealt(wiring: Wiring) -> Iterator[tuple[int, Place, Channel]]:
    """Each channel of each expander: the link it goes down, and where it comes out."""
    for name, indices in audio_links(wiring).items():
        ways: list[tuple[int, Place]] = []
        for index in sorted(indices, key=lambda i: wiring.links[i].from_socket):
            link = wiring.links[index]
            ways += [
                (index, (link.to_unit, link.kind, link.to_socket, line + 1))
                for line in range(width(link.kind, wiring.rate_hz))
            ]
        channels = range(1, wiring.unit(name).device.analogue + 1)
        for (index, place), channel in zip(ways, channels, strict=False):
            yield index, place, (name, channel)


def _returned(wiring: Wiring) -> Iterator[tuple[int, int]]:
    """Each live link from its host to an expander, and the line outputs it feeds."""
    sending = audio_links(wiring)
    order = [unit.name for unit in wiring.of_role("host")]
    for unit in wiring.of_role("expander"):
        back = [
            index
            for index, link in enumerate(wiring.links)
            if link.to_unit == unit.name
            and link.from_unit in order
            and link.kind != "word"
            and is_live(wiring, link)
        ]
        own = [wiring.links[i].to_unit for i in sending.get(unit.name, [])]
        own += [host for host in order if any(wiring.links[i].from_unit == host for i in back)]
        outputs = list(range(unit.device.line_out))
        back.sort(key=lambda i: (wiring.links[i].kind == "coax", wiring.links[i].to_socket))
        for index in back:
            if wiring.links[index].from_unit == own[0]:
                count = width(wiring.links[index].kind, wiring.rate_hz)
                yield index, len(outputs[:count])
                del outputs[:count]


def _check_one_host(wiring: Wiring) -> Iterator[Finding]:
    """Rule two-hosts: an expander sends to one host, in one format."""
    for name, indices in audio_links(wiring).items():
        ways = {(wiring.links[i].to_unit, wiring.links[i].kind) for i in indices}
        if len(ways) > 1:
            yield finding(
                "two-hosts",
                unit=name,
                ways=" and ".join(f"to {to} by {kind}" for to, kind in sorted(ways)),
            )


def _check_link(wiring: Wiring, link: Link, count: int) -> Iterator[Finding]:
    name = link_name(link)
    has_audio = "audio" in link.carries
    clocks = [n for n in (link.from_unit, link.to_unit) if wiring.unit(n).role == "clock"]
    if clocks and (has_audio or link.channels):
        yield finding("clock-audio", link=name, unit=clocks[0])
        return
    if link.channels != count:
        yield finding("channels", link=name, said=link.channels, count=count)
    if has_audio != (count > 0):
        yield finding(
            "carries-audio",
            link=name,
            count=count,
            said="audio" if has_audio else "no audio",
            cure="leave out" if has_audio else "put",
        )
    if not link.carries:
        yield finding("carries-nothing", link=name)
