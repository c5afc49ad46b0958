"""How a host numbers its inputs for the computer, and what stands behind each number.

Per host, in the order of the units: its analogue channels, 2 numbers for each coaxial
input socket, 8/m for each light-pipe input socket that is live at the rate. A socket
with nothing in it keeps its numbers. Numbers above `max_in` of the rate class do not
exist, and the next host goes on after the last number of the one before.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, Protocol, TypeVar

from rigopt.catalogue.types import ACCEPTS, Device
from rigopt.facts import NUMBERED, Kind, link_channels
from rigopt.rig.banks import powered
from rigopt.rig.by_kind import ByKind
from rigopt.rig.types import Input, Link, Unit


class Wired(Protocol):
    """Anything that joins an output socket to an input socket."""

    @property
    def kind(self) -> Kind: ...  # noqa: D102
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

    `own`: its analogue channels. `sockets`: each input socket that is live, the first one
    first, with its numbers as far as they exist; `whole` counts those that have all of
    theirs. At most one socket has some of them and not others: `cut` says how many.
    """

    own: range
    sockets: Mapping[Kind, tuple[range, ...]]
    whole: ByKind
    cut: ByKind
    total: int
    """How many numbers it shows in all, whether anything is plugged in or not."""


def visible_inputs(device: Device, rate_hz: int) -> VisibleInputs:
    """The visible inputs of `device` as a host at `rate_hz`."""
    limit = device.max_in(rate_hz)
    last = sys.maxsize if limit is None else limit
    end = device.analogue
    sockets, whole, cut = {}, [], []
    for kind in NUMBERED:
        width = link_channels(kind, rate_hz)
        starts = range(end, end + width * device.live_in(kind, rate_hz), width)
        sockets[kind] = tuple(_up_to(last, start, start + width) for start in starts)
        seen = sum(map(len, sockets[kind]))
        whole.append((kind, seen // width))
        cut.append((kind, seen % width))
        end = starts.stop
    own = _up_to(last, 0, device.analogue)
    return VisibleInputs(own, sockets, ByKind(whole), ByKind(cut), min(end, last))


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

    def socket(self, kind: Kind, socket: int) -> range:
        """The numbers of one input socket that exist; empty for a dead or absent one."""
        sockets = self.visible.sockets.get(kind, ())
        return self._after(sockets[socket - 1]) if 1 <= socket <= len(sockets) else range(0)

    def _after(self, numbers: range) -> range:
        return range(self.before + numbers.start, self.before + numbers.stop)


def host_spans(units: Iterable[Unit], rate_hz: int) -> dict[str, Span]:
    """The span of every host by name, in the order of the units."""
    spans: dict[str, Span] = {}
    before = 0
    for unit in units:
        if unit.role == "host":
            visible = visible_inputs(unit.device, rate_hz)
            spans[unit.name] = Span(visible, before)
            before += visible.total
    return spans


def split(
    links: Iterable[WiredT], device: Device, rate_hz: int
) -> Iterator[tuple[WiredT, range]]:
    """Each audio link of one expander with the analogue channels it takes.

    In order of output socket, the j-th link takes channels (j-1) * cap + 1 to j * cap as
    far as the device has them; cap is what one link of the kind carries.
    """
    first = 1
    for link in sorted(links, key=lambda link: link.from_socket):
        stop = first + link_channels(link.kind, rate_hz)
        yield link, range(first, min(stop, device.analogue + 1))
        first = min(stop, device.analogue + 1)


def derive_inputs(
    units: Sequence[Unit], links: Sequence[Link], rate_hz: int
) -> tuple[Input, ...]:
    """Every input that reaches the computer with a channel behind it, `use` open.

    `links` carry what they carry already (see `derive_links`). Ascending by number.
    """
    spans = host_spans(units, rate_hz)
    found: dict[int, Input] = {}
    for unit in units:
        if unit.role == "host":
            numbers = spans[unit.name].analogue()
            _put(found, unit, numbers, range(1, len(numbers) + 1))
        for link, channels in split(_to_hosts(unit, links, spans), unit.device, rate_hz):
            _put(found, unit, spans[link.to_unit].socket(link.kind, link.to_socket), channels)
    return tuple(found[number] for number in sorted(found))


def _to_hosts(unit: Unit, links: Iterable[Link], spans: dict[str, Span]) -> list[Link]:
    """The audio links of an expander; nothing for any other role."""
    if unit.role != "expander":
        return []
    return [
        link
        for link in links
        if link.from_unit == unit.name and link.to_unit in spans and "audio" in link.carries
    ]


def _put(found: dict[int, Input], unit: Unit, numbers: range, channels: range) -> None:
    """Pair `numbers` with `channels` as far as both go; a number once taken stays."""
    kinds, on = unit.device.channel_kinds, powered(unit)
    for number, channel in zip(numbers, channels, strict=False):
        accepts = ACCEPTS[kinds[channel - 1]]
        found.setdefault(number, Input(number, unit.name, channel, accepts, channel in on))
