"""What a catalogue is, once it has been read and every default is settled.

Money is in the currency's minor unit (pence, cents), lengths in millimetres, rates in
hertz, power in watts. `None` as a price means 'known, but not for sale'; of a price that is
a range, `price` is the upper end and `least` the lower one.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Final, Literal, NamedTuple, get_args

from rigopt.errors import Fault
from rigopt.facts import FORMATS, RATE_MULTIPLIER, Format, SocketKind

Role = Literal["host", "expander", "either", "clock", "preamp", "di", "headphones"]
"""A `preamp` is analogue only; a `di` turns microphone inputs into instrument inputs;
`headphones` is an amplifier for several headphones."""

DIGITAL_ROLES: Final[tuple[Role, ...]] = ("host", "expander", "either", "clock")
"""Those that run at a rate, which the others need not know of."""

Computer = Literal["usb", "thunderbolt", "pcie", "network"]
COMPUTERS: Final[tuple[Computer, ...]] = get_args(Computer)
"""How a host connects to the computer."""

Source = Literal["mic", "line", "instrument"]
"""What a channel may have to accept."""

SOURCES: Final[tuple[Source, ...]] = get_args(Source)

Phantom = Literal["on", "off", "any"]
"""What a source asks of 48 V: it needs it, must not get it, or either will do."""

ACCEPTS: Final[dict[str, tuple[Source, ...]]] = {
    "mic_line_inst": ("mic", "line", "instrument"),
    "mic_line": ("mic", "line"),
    "mic": ("mic",),
    "line_inst": ("line", "instrument"),
    "line": ("line",),
    "inst": ("instrument",),
}
"""What each kind of analogue channel accepts, in the order in which a unit numbers them."""

CHANNEL_COLUMNS: Final = tuple(ACCEPTS)
"""The kinds of analogue channel in that order."""


MANY: Final = 1_000_000
"""Stands for 'all of them' where a number of sockets or inputs is limited."""


class InOut(NamedTuple):
    """A number of input sockets and a number of output sockets."""

    inputs: int
    outputs: int


class SocketRef(NamedTuple):
    """One socket of a device; a socket of a duplex trunk counts as an input."""

    kind: SocketKind
    way: Literal["in", "out"]
    number: int


class Blank(NamedTuple):
    """Numbers at the computer on which nothing of the rig arrives, at 1x, 2x and 4x."""

    at_1x: int
    at_2x: int
    at_4x: int


Block = Literal["analogue", "coax", "optical", "trunk"] | Blank
BLOCKS: Final[tuple[Block, ...]] = ("analogue", "coax", "optical", "trunk")
"""The blocks of a host's input numbers, in the order that a blank cell stands for."""

Plug = Literal["jack", "xlr", "dsub"]
PLUGS: Final[tuple[Plug, ...]] = get_args(Plug)
"""Plugs of analogue lines: one channel each, or a 25-way D-sub with 8 (AES59, restated)."""

DSUB_WAYS: Final = 8
"""Channels of one D-sub connector (AES59, restated)."""

WordEnd = Literal["switch", "fixed", "none"]
"""The 75-ohm end of a word input: it can be switched, is always there, or is missing."""


@dataclass(frozen=True)
class Device:
    """A generic device type, one row of `devices.csv`."""

    id: str
    label: str
    role: Role
    price: int | None = None
    mic_line_inst: int = 0
    mic_line: int = 0
    mic: int = 0
    line_inst: int = 0
    line: int = 0
    inst: int = 0
    phantom_bank: int | tuple[int, ...] = 0
    """Microphone inputs to a 48 V switch; or the sizes of the banks, one after another."""
    line_out: int = 0
    direct_out: int = 0
    """Line outputs that carry one microphone channel each: the k-th, the k-th of those."""
    direct_plug: Plug = "jack"
    line_plug: Plug = "jack"
    """Plug of the inputs that take line."""
    phones: int = 0
    line_in: int = 2
    """Line outputs that feed it, of a headphone amplifier."""
    di_phantom: bool = False
    """Of a DI box: the microphone input that it is plugged into must have 48 V."""
    optical_in: int = 0
    optical_out: int = 0
    optical_1x: int | InOut = MANY
    optical_2x: int | InOut = 0
    optical_4x: int | InOut = 0
    optical_stereo: int = 0
    coax_in: int = 0
    coax_out: int = 0
    coax_2x: int = MANY
    coax_4x: int = 0
    trunk: Format | None = None
    """What its trunk sockets speak; of a duplex one, `trunk_in` counts them: they are both."""
    trunk_in: int = 0
    trunk_out: int = 0
    word_in: int = 0
    word_out: int = 0
    clock_in: tuple[SocketKind | SocketRef, ...] = ()
    """Kinds of socket it can lock to, or single sockets."""
    rate_converter: tuple[SocketKind, ...] = ()
    either: tuple[tuple[SocketRef, ...], ...] = ()
    """Groups of sockets of which only one works at a time."""
    word_end: WordEnd = "switch"
    internal_clock: bool = True
    rates_hz: tuple[int, ...] = (44100, 48000)
    computer: str = "usb"
    max_in_1x: int | None = None
    max_in_2x: int | None = None
    max_in_4x: int | None = None
    input_order: tuple[Block, ...] = BLOCKS
    channel_order: tuple[str, ...] = CHANNEL_COLUMNS
    analogue_2x: int = MANY
    analogue_4x: int = MANY
    rack_units: int = 0
    watts: Decimal = Decimal(0)
    mains: int = 1
    note: str = ""
    least: int | None = None
    """Where `price` is the upper end of a range, the lower one."""
    filled: frozenset[str] = field(default=frozenset(), compare=False)
    """The columns that its row fills in; all others are at their defaults."""

    def __hash__(self) -> int:
        # Asked often, and it has many columns.
        return hash(self.id)

    @property
    def analogue(self) -> int:
        """Number of analogue input channels."""
        return self.mic_capable + self.line_inst + self.line + self.inst

    @property
    def mic_capable(self) -> int:
        """Number of channels that accept a microphone."""
        return self.mic_line_inst + self.mic_line + self.mic

    def taking(self, source: Source) -> tuple[int, ...]:
        """The channels that accept a source, ascending."""
        return self._taking.get(source, ())

    @cached_property
    def _taking(self) -> dict[Source, tuple[int, ...]]:
        found: dict[Source, list[int]] = {}
        for number, kind in enumerate(self.channel_kinds, 1):
            for source in ACCEPTS[kind]:
                found.setdefault(source, []).append(number)
        return {source: tuple(numbers) for source, numbers in found.items()}

    @cached_property
    def direct_channels(self) -> tuple[int, ...]:
        """The channels that its direct outs carry, direct out 1 first."""
        return self.taking("mic")[: self.direct_out]

    @cached_property
    def channel_kinds(self) -> tuple[str, ...]:
        """The kind (a column name) of each analogue channel, channel 1 first."""
        kinds: list[str] = []
        for column in self.channel_order:
            kinds += [column] * int(getattr(self, column))
        return tuple(kinds)

    @cached_property
    def bank_channels(self) -> tuple[tuple[int, ...], ...]:
        """The channels of each 48 V bank, bank 1 first.

        Banks take the inputs for microphones in the order of their channels: so many each,
        the last may be short, or as many as a list says. An input beyond the list has no
        48 V, nor has one that takes no microphone.
        """
        able = list(self.taking("mic"))
        sizes = self.phantom_bank
        if isinstance(sizes, int):
            sizes = (sizes,) * -(-len(able) // sizes) if sizes else ()
        found = []
        for size in sizes:
            found.append(tuple(able[:size]))
            del able[:size]
        return tuple(found)

    @property
    def may_host(self) -> bool:
        """Whether a computer can see it."""
        return self.role in ("host", "either")

    @property
    def digital(self) -> bool:
        """Whether it runs at a rate, which the others need not know of."""
        return self.role in DIGITAL_ROLES

    @property
    def may_expand(self) -> bool:
        """Whether it may have digital links without being a host."""
        return self.digital and self.role != "host"

    @property
    def has_direct_outs(self) -> bool:
        """Whether its direct outs may be used: a host's are not."""
        return self.direct_out > 0 and self.role in ("expander", "either", "preamp")

    def may_stand(self, rate_hz: int) -> bool:
        """Whether it may be in a rig at a rate: it offers it, or need not know of it."""
        return rate_hz in self.rates_hz or not self.digital or self.has_direct_outs

    def max_in(self, rate_hz: int) -> int | None:
        """Inputs that the computer can see at `rate_hz`; None for all."""
        limits = {1: self.max_in_1x, 2: self.max_in_2x, 4: self.max_in_4x}
        return limits[RATE_MULTIPLIER[rate_hz]]


@dataclass(frozen=True, slots=True)
class Cable:
    """A cable type, one row of `cables.csv`; `price` is for one pack.

    `kind`: what a format calls its cable, or `tee` or `terminator`, which have no length.
    """

    id: str
    label: str
    kind: str
    length_mm: int
    price: int | None = None
    pack: int = 1
    ends: tuple[Plug, Plug] | None = None
    """Of an analogue cable: the plug at the direct outs, and the one at the inputs."""
    ways: int = 1
    """Channels in one piece of an analogue cable."""
    least: int | None = None


Per = Literal["mic", "source", "unit", "rack_unit", "mains", "rig"]


@dataclass(frozen=True, slots=True)
class Extra:
    """A thing bought by the count, one row of `extras.csv`; `price` is for one pack."""

    id: str
    label: str
    per: Per
    price: int | None = None
    pack: int = 1
    each: int = 1
    least: int | None = None


Item = Device | Cable | Extra
ItemKind = Literal["device", "cable", "extra"]


@dataclass(frozen=True, slots=True)
class Offer:
    """One seller's price for an item; `price` in minor units of the seller's currency."""

    item: str
    seller: str
    price: int
    pack: int = 1
    stock: int | None = None
    condition: str = ""
    as_of: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Seller:
    """A seller; `delivery` and `free_over` in minor units of `currency`."""

    id: str
    currency: str
    delivery: int = 0
    free_over: int | None = None
    tax_percent: Decimal = Decimal(0)


class Group(NamedTuple):
    """Sources that are alike: of one kind, and asking the same of 48 V."""

    kind: Source
    phantom: Phantom = "any"


@dataclass(frozen=True, slots=True)
class SourceLine:
    """One line of the list of sources."""

    name: str
    kind: Source = "mic"
    phantom: Phantom = "any"
    pair: str | None = None
    note: str = ""

    @property
    def group(self) -> Group:
        """The sources that it is like."""
        return Group(self.kind, self.phantom)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """A whole catalogue folder. `name` is the folder's own name."""

    name: str
    title: str
    currency: str
    devices: Mapping[str, Device]
    cables: Mapping[str, Cable]
    extras: Mapping[str, Extra] = field(default_factory=dict)
    offers: tuple[Offer, ...] = ()
    sellers: Mapping[str, Seller] = field(default_factory=dict)
    formats: Mapping[str, Format] = field(default_factory=lambda: FORMATS)
    """The program's own, then the trunks of `formats.csv`."""
    sources: tuple[SourceLine, ...] = ()
    """The list of `sources.csv`, for a question that says nothing of its inputs."""
    note: str = ""
    invented: bool = False
    """True for the packaged demo, whose prices are invented."""
    unknown: Mapping[str, Fault] = field(default_factory=dict)
    """Where its files say that nobody knows the price of an item, by id."""

    @property
    def shelves(self) -> dict[ItemKind, Mapping[str, Item]]:
        """Everything that can be bought, by kind and id."""
        return {"device": self.devices, "cable": self.cables, "extra": self.extras}
