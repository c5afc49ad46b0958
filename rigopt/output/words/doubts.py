"""What in a row of the catalogue is most likely blank or mistyped by mistake.

Nothing here is an error: each row can be meant as it stands. Few doubts and sure ones, for
nobody reads a list that cries wolf.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from statistics import median
from typing import Final, NamedTuple

from rigopt.catalogue.types import MANY, Cable, Catalogue, Device, InOut, Item, SocketRef
from rigopt.facts import RATE_MULTIPLIER, SOCKET_KINDS, Format, usb_channels
from rigopt.money import to_text
from rigopt.output.words.phrases import count, khz, listed, metres
from rigopt.rig.numbering import visible_inputs
from rigopt.rig.sockets import sockets

FAR_OFF: Final = 10
"""A price so many times that of its like, or less than one part of it, is doubted."""

FEWEST_ALIKE: Final = 2
"""Prices of others without which there is no telling what is usual."""


class Doubt(NamedTuple):
    """The column to look at again, and why."""

    column: str
    says: str


Doubts = Iterator[Doubt]


def doubts(item: Item, catalogue: Catalogue) -> list[Doubt]:
    """Everything that is doubtful about a device or cable; extras have a price alone."""
    found = list(_price(item, catalogue))
    if isinstance(item, Device):
        found += [doubt for look in DEVICE_DOUBTS for doubt in look(item, catalogue)]
    elif isinstance(item, Cable):
        found += _length(item, catalogue)
    return found


def _price(item: Item, catalogue: Catalogue) -> Doubts:
    if item.price is None:
        return
    if item.price == 0:
        yield Doubt("price", "0 makes it free; blank is for what you cannot buy")
        return
    others = [other for other in _alike(item, catalogue) if other.id != item.id]
    prices = [price for other in others if (price := _piece(other))]
    here = _piece(item)
    if here is None or len(prices) < FEWEST_ALIKE:
        return
    usual = median(prices)
    if here >= FAR_OFF * usual or here * FAR_OFF <= usual:
        side = "more" if here > usual else "less"
        middle = to_text(round(usual), catalogue.currency)
        says = f"{FAR_OFF} times {side} than its like, about {middle}; is a mark misplaced?"
        yield Doubt("price", says)


def _piece(item: Item) -> Fraction | None:
    """The price of one piece in minor units; None where there is none."""
    pack = 1 if isinstance(item, Device) else item.pack
    return None if not item.price else Fraction(item.price, pack)


def _alike(item: Item, catalogue: Catalogue) -> Iterable[Item]:
    """Those of the same part in a rig and of half to twice the size."""
    if isinstance(item, Device):
        return [
            other
            for other in catalogue.devices.values()
            if other.role == item.role and _near(other.analogue, item.analogue)
        ]
    if isinstance(item, Cable):
        return [
            other
            for other in catalogue.cables.values()
            if other.kind == item.kind
            and _near(other.length_mm, item.length_mm)
            and _near(other.ways, item.ways)
        ]
    return []


def _near(one: int, other: int) -> bool:
    return max(one, other) <= 2 * min(one, other)


def _length(cable: Cable, catalogue: Catalogue) -> Doubts:
    """A cable that is too long for all that could use it."""
    rows = [row for row in catalogue.formats.values() if row.cable == cable.kind]
    limits = [row.max_mm for row in rows if row.max_mm is not None]
    if rows and not any(row.reaches(cable.length_mm) for row in rows):
        says = f"no link is longer than {metres(max(limits))}, so this cable is never used"
        yield Doubt("length_m", says)


def _no_way_out(device: Device, _: Catalogue) -> Doubts:
    """An expander or preamp whose inputs reach no computer."""
    ways = device.optical_out or device.coax_out or device.trunk_out or device.direct_out
    both = device.trunk is not None and device.trunk.duplex and device.trunk_in
    if device.role == "expander" and device.analogue and not (ways or both):
        yield Doubt(
            "optical_out", "an expander without a digital output: its inputs reach no computer"
        )
    if device.role == "preamp" and device.analogue and not ways:
        yield Doubt("direct_out", "a preamp without a direct out: its inputs reach no computer")


def _nothing_in_it(device: Device, _: Catalogue) -> Doubts:
    if device.role == "clock":
        if not (device.word_out or device.coax_out):
            yield Doubt("word_out", "for clock alone, and without an output for it")
    elif device.role == "headphones":
        if not device.phones:
            yield Doubt("phones", "a headphone amplifier without a headphone output")
    elif not device.analogue and not any(getattr(device, f"{k}_in") for k in SOCKET_KINDS):
        if device.role == "di":
            yield Doubt("inst", "a DI box that takes no instrument")
        else:
            yield Doubt("mic_line", "no inputs at all, neither analogue nor digital")


def _locks_to_nothing(device: Device, _: Catalogue) -> Doubts:
    kinds = [kind for kind in SOCKET_KINDS if _takes_clock(device, kind)]
    named = {e.kind if isinstance(e, SocketRef) else e for e in device.clock_in}
    if not named and kinds:
        means = f"it has {listed(kinds)} inputs and can lock to none of them"
        yield Doubt("clock_in", f"{means}; most units can")
    elif "word" in kinds and "word" not in named:
        yield Doubt("clock_in", "it has a word clock input and does not name 'word'")
    if not device.internal_clock and not named:
        yield Doubt("internal_clock", "no clock of its own, and none that it could follow")


def _takes_clock(device: Device, kind: str) -> bool:
    """Whether it has inputs that a clock arrives on, and nothing else makes up for it."""
    if not getattr(device, f"{kind}_in") or kind in device.rate_converter:
        return False
    return kind != "trunk" or (device.trunk is not None and device.trunk.clock)


def _no_phantom(device: Device, _: Catalogue) -> Doubts:
    if device.mic_capable and not device.phantom_bank:
        says = f"{count(device.mic_capable, 'preamp')} and no 48 V; nearly all have it"
        yield Doubt("phantom_bank", says)


BY_CLASS: Final = (
    # Column, the multiplier of its class, the rates of that class.
    ("optical_2x", 2, "88.2 or 96"),
    ("optical_4x", 4, "176.4 or 192"),
    ("coax_2x", 2, "88.2 or 96"),
    ("coax_4x", 4, "176.4 or 192"),
    ("analogue_2x", 2, "88.2 or 96"),
    ("analogue_4x", 4, "176.4 or 192"),
    ("max_in_2x", 2, "88.2 or 96"),
    ("max_in_4x", 4, "176.4 or 192"),
)


def _no_such_rate(device: Device, _: Catalogue) -> Doubts:
    """What a column says of a class whose rates the unit does not have."""
    classes = {RATE_MULTIPLIER[rate] for rate in device.rates_hz}
    for column, multiplier, names in BY_CLASS:
        if multiplier not in classes and _filled(getattr(device, column)):
            yield Doubt("rates_khz", f"{column} is filled in, but there is no {names} here")


def _filled(value: int | InOut | None) -> bool:
    numbers = value if isinstance(value, InOut) else (value or 0,)
    return any(0 < number < MANY for number in numbers)


def _more_than_usb(device: Device, _: Catalogue) -> Doubts:
    """A host with more inputs at a rate than one stream of high-speed USB has room for."""
    if not device.may_host or device.computer != "usb":
        return
    for rate in sorted(device.rates_hz):
        seen, room = visible_inputs(device, rate).total, usb_channels(rate)
        if seen > room:
            limit = f"max_in_{RATE_MULTIPLIER[rate]}x"
            says = (
                f"{seen} inputs at {khz(rate)} kHz, and USB 2.0 carries {room} of 24 bits; "
                f"faster buses exist, but is it USB, or is {limit} less?"
            )
            yield Doubt("computer", says)
            return


def _no_cable(device: Device, catalogue: Catalogue) -> Doubts:
    """A kind of socket for which the catalogue has no cable at all."""
    kinds = {cable.kind for cable in catalogue.cables.values()}
    spoken = {
        row for rate in device.rates_hz for s in sockets(device, rate) for row in s.formats
    }
    for row in sorted(spoken):
        if row.cable not in kinds:
            column = _column(device, row)
            yield Doubt(column, f"cables.csv has no cable of the kind '{row.cable}' for it")


def _no_lead(device: Device, catalogue: Catalogue) -> Doubts:
    """Direct outs into which no analogue cable of the catalogue fits."""
    plugs = {cable.ends[0] for cable in catalogue.cables.values() if cable.ends}
    if device.has_direct_outs and device.direct_plug not in plugs:
        says = f"cables.csv has no analogue cable with {device.direct_plug} at the direct outs"
        yield Doubt("direct_plug", says)


def _column(device: Device, row: Format) -> str:
    return "trunk" if row == device.trunk else f"{row.socket}_in"


DEVICE_DOUBTS: Final[tuple[Callable[[Device, Catalogue], Doubts], ...]] = (
    _no_way_out,
    _nothing_in_it,
    _locks_to_nothing,
    _no_phantom,
    _no_such_rate,
    _more_than_usb,
    _no_cable,
    _no_lead,
)
