"""How a host numbers its inputs for the computer, and what stands behind each number.

A host shows a row of numbers, block by block in its `input_order`: its analogue inputs as
far as they are converted at the rate, the channels of each live socket in order, and blanks.
An optical socket counts 8/m numbers, or 2 while a stereo link is in it or where it can be
nothing else; any other counts the channels of its format. A socket with nothing in it keeps
its numbers. Numbers above `max_in` of the rate class do not exist, and the next host goes on
after the last number of the one before. (Channel maps of Linux `hdsp.c`, `hdspm.c` and of
alsa-ucm-conf, text: boxes that put light-pipe first, coax after it, loopback in between.)
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import count
from typing import Final, NamedTuple, Protocol, TypeVar

from rigopt.catalogue.types import ACCEPTS, Blank, Device, SocketRef
from rigopt.facts import RATE_MULTIPLIER, Format
from rigopt.rig.banks import powered
from rigopt.rig.sockets import sockets
from rigopt.rig.types import Input, Link, Unit, ref

NOTHING: Final[Mapping[SocketRef, Format]] = {}


class Wired(Protocol):
    """Anything that joins a socket to another."""

    @property
    def format(self) -> Format: ...  # noqa: D102
    @property
    def from_unit(self) -> str: ...  # noqa: D102
    @property
    def from_socket(self) -> int: ...  # noqa: D102
    @property
    def to_unit(self) -> str: ...  # noqa: D102
    @property
    def to_socket(self) -> int: ...  # noqa: D102


WiredT = TypeVar("WiredT", bound=Wired)


class VisibleInputs(NamedTuple):
    """What a host shows the computer at a rate, numbered from 1.

    `own`: its analogue channels, as far as they are seen; `sockets`: the numbers of each
    live input socket that exist; `row`: how many numbers there would be without a limit,
    `total` how many there are, whether anything is plugged in or not.
    """

    own: range
    sockets: Mapping[SocketRef, range]
    row: int
    total: int


def converted(device: Device, multiplier: int) -> int:
    """Analogue inputs that are converted at a rate class; they are channels 1 to this."""
    limit = {1: device.analogue, 2: device.analogue_2x, 4: device.analogue_4x}[multiplier]
    return min(device.analogue, limit)


def visible_inputs(
    device: Device, rate_hz: int, spoken: Mapping[SocketRef, Format] = NOTHING
) -> VisibleInputs:
    """The visible inputs of `device` as a host at `rate_hz`.

    `spoken`: the formats of the links in its input sockets. A socket that none is in counts
    as for the first format that it can speak.
    """
    multiplier = RATE_MULTIPLIER[rate_hz]
    limit = device.max_in(rate_hz)
    last = sys.maxsize if limit is None else limit
    live = [socket for socket in sockets(device, rate_hz) if socket.ref.way == "in"]
    own, end = range(1, 1), 0
    found: dict[SocketRef, range] = {}
    for block in device.input_order:
        if isinstance(block, Blank):
            end += block[(1, 2, 4).index(multiplier)]
        elif block == "analogue":
            own = _up_to(last, end, end + converted(device, multiplier))
            end += converted(device, multiplier)
        for socket in live:
            if socket.ref.kind == block:
                inside = spoken.get(socket.ref)
                row = inside if inside in socket.formats else socket.formats[0]
                found[socket.ref] = _up_to(last, end, end + row.carries(multiplier))
                end += row.carries(multiplier)
    return VisibleInputs(own, found, end, min(end, last))


def _up_to(last: int, after: int, stop: int) -> range:
    """The numbers after one and up to another, none beyond the last."""
    return range(min(after, last) + 1, min(stop, last) + 1)


class Span(NamedTuple):
    """The computer's numbers of one host, which come after `before` of other hosts."""

    visible: VisibleInputs
    before: int

    def analogue(self) -> range:
        """The numbers of its own analogue channels that exist."""
        return self._after(self.visible.own)

    def socket(self, socket: SocketRef) -> range:
        """The numbers of one input socket that exist; empty for a dead or absent one."""
        return self._after(self.visible.sockets.get(socket, range(0)))

    def _after(self, numbers: range) -> range:
        return range(self.before + numbers.start, self.before + numbers.stop)


def host_spans(units: Iterable[Unit], links: Iterable[Wired], rate_hz: int) -> dict[str, Span]:
    """The span of every host by name, in the order of the units."""
    spoken: dict[str, dict[SocketRef, Format]] = {}
    for link in links:
        socket = ref(link.format, "in", link.to_socket)
        spoken.setdefault(link.to_unit, {})[socket] = link.format
    spans: dict[str, Span] = {}
    before = 0
    for unit in units:
        if unit.role == "host":
            visible = visible_inputs(unit.device, rate_hz, spoken.get(unit.name, NOTHING))
            spans[unit.name] = Span(visible, before)
            before += visible.total
    return spans


def split(
    links: Iterable[WiredT], device: Device, rate_hz: int
) -> Iterator[tuple[WiredT, range]]:
    """Each audio link of one expander with the analogue channels it takes.

    In order of output socket, the j-th link takes channels (j-1) * cap + 1 to j * cap as
    far as the device converts them; cap is what one link of the format carries.
    """
    multiplier = RATE_MULTIPLIER[rate_hz]
    end = converted(device, multiplier) + 1
    first = 1
    for link in sorted(links, key=lambda link: link.from_socket):
        stop = first + link.format.carries(multiplier)
        yield link, range(first, min(stop, end))
        first = min(stop, end)


def derive_inputs(
    units: Sequence[Unit], links: Sequence[Link], rate_hz: int
) -> tuple[Input, ...]:
    """Every input that reaches the computer with a channel behind it, `use` open.

    `links` carry what they carry already (see `derive_links`). Ascending by number.
    """
    spans = host_spans(units, links, rate_hz)
    found: dict[int, Input] = {}
    for unit in units:
        if unit.role == "host":
            numbers = spans[unit.name].analogue()
            _put(found, unit, numbers, count(1), (unit.name,))
        for link, channels in split(_to_hosts(unit, links, spans), unit.device, rate_hz):
            numbers = spans[link.to_unit].socket(link.end[1])
            _put(found, unit, numbers, channels, (unit.name, link.to_unit))
    _put_direct(found, {unit.name: unit for unit in units}, links)
    return tuple(found[number] for number in sorted(found))


def _put_direct(
    found: dict[int, Input], units: Mapping[str, Unit], links: Iterable[Link]
) -> None:
    """What comes by direct outs, in the place of the inputs that these occupy."""
    numbers = {(line.unit, line.channel): line for line in found.values()}
    for link in links:
        line = numbers.get((link.to_unit, link.to_socket))
        if link.kind != "analogue" or line is None or not link.channels:
            continue
        unit = units[link.from_unit]
        # A file may state a channel where there is no such direct out.
        for channel in unit.device.direct_channels[link.from_socket - 1 : link.from_socket]:
            path = (unit.name, *line.path)
            found[line.computer_input] = _input(line.computer_input, unit, channel, path)


def _to_hosts(unit: Unit, links: Iterable[Link], spans: dict[str, Span]) -> list[Link]:
    """The links of a unit that bring audio to a host."""
    return [
        link
        for link in links
        if link.from_unit == unit.name and link.to_unit in spans and link.channels
    ]


def _put(
    found: dict[int, Input],
    unit: Unit,
    numbers: range,
    channels: Iterable[int],
    path: tuple[str, ...],
) -> None:
    """Pair `numbers` with `channels` as far as both go; a number once taken stays."""
    for number, channel in zip(numbers, channels, strict=False):
        found.setdefault(number, _input(number, unit, channel, path))


def _input(number: int, unit: Unit, channel: int, path: tuple[str, ...]) -> Input:
    accepts = ACCEPTS[unit.device.channel_kinds[channel - 1]]
    return Input(number, unit.name, channel, accepts, channel in powered(unit), path=path)
