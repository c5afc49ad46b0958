"""How a host numbers its inputs for the computer, and what stands behind each number.

Per host, in the order of the units: its analogue channels, 2 numbers for each coaxial
input socket, 8/m for each light-pipe input socket that is live at the rate. A socket
with nothing in it keeps its numbers. Numbers above `max_in` of the rate class do not
exist, and the next host goes on after the last number of the one before. (Common
practice: 1-8 analogue, 9-10 stereo, 11-18 light-pipe, whichever unit is clock master.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, Protocol, TypeVar

from rigopt.catalogue.types import ACCEPTS, Device
from rigopt.facts import Kind, link_channels
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


class Span(NamedTuple):
    """The computer's numbers of one host: `before` + 1 to `before` + `reach`."""

    device: Device
    rate_hz: int
    before: int

    @property
    def reach(self) -> int:
        """How many numbers the host shows the computer."""
        everything = (
            self.device.analogue
            + self._width("coax") * self.device.coax_in
            + self._width("optical") * self.device.live_in("optical", self.rate_hz)
        )
        limit = self.device.max_in(self.rate_hz)
        return everything if limit is None else min(everything, limit)

    def analogue(self) -> range:
        """The numbers of its own analogue channels that exist."""
        return self._numbers(0, self.device.analogue)

    def socket(self, kind: Kind, socket: int) -> range:
        """The numbers of one input socket that exist; empty for a dead or absent one."""
        if not 1 <= socket <= self.device.live_in(kind, self.rate_hz):
            return range(0)
        start = self.device.analogue + self._width(kind) * (socket - 1)
        if kind == "optical":
            start += self._width("coax") * self.device.coax_in
        return self._numbers(start, self._width(kind))

    def _width(self, kind: Kind) -> int:
        return link_channels(kind, self.rate_hz)

    def _numbers(self, start: int, count: int) -> range:
        first, stop = min(start, self.reach), min(start + count, self.reach)
        return range(self.before + first + 1, self.before + stop + 1)


def host_spans(units: Iterable[Unit], rate_hz: int) -> dict[str, Span]:
    """The span of every host by name, in the order of the units."""
    spans: dict[str, Span] = {}
    before = 0
    for unit in units:
        if unit.role == "host":
            spans[unit.name] = Span(unit.device, rate_hz, before)
            before += spans[unit.name].reach
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


def phantom_on(unit: Unit, channel: int) -> bool:
    """Whether `channel` of `unit` gets 48 V: it can take a microphone, its bank is on."""
    size = unit.device.phantom_bank
    if size == 0 or channel > unit.device.mic_capable:
        return False
    return (channel - 1) // size + 1 in unit.phantom_banks_on


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
    kinds = unit.device.channel_kinds
    for number, channel in zip(numbers, channels, strict=False):
        accepts = ACCEPTS[kinds[channel - 1]]
        phantom = phantom_on(unit, channel)
        found.setdefault(number, Input(number, unit.name, channel, accepts, phantom))
