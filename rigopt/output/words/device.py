"""A device's row read back as a sentence, so that a slip in a cell is heard.

`PARTS` is the sentence: a function for each thing that may be said, in order. A new column
of `devices.csv` gets a part, or a word in one of those that are there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from rigopt.catalogue.types import ACCEPTS, Blank, Block, Device, SocketRef
from rigopt.facts import COAX, LIGHT_PIPE, OPTICAL_STEREO, RATE_MULTIPLIER, Format
from rigopt.output.words.phrases import count, khz, listed, plain
from rigopt.rig.sockets import Way, sockets

INTERFACES: Final = {
    "usb": "USB interface",
    "thunderbolt": "Thunderbolt interface",
    "pcie": "card in the computer",
    "network": "network interface",
}
ROLES: Final = {
    "host": "{interface}",
    "expander": "expander",
    "either": "{interface} that also works as an expander",
    "clock": "for clock alone",
    "preamp": "analogue preamp",
    "di": "DI box",
    "headphones": "headphone amplifier",
}
TAKES: Final = {"mic": "microphone", "line": "line", "instrument": "instrument"}
INPUTS: Final = {
    # What an analogue column counts where it takes no microphone.
    "line_inst": "input for line or instrument",
    "line": "line input",
    "inst": "instrument input",
}
OVER: Final = {
    # How a format is named after 'over'; a trunk has its own label.
    LIGHT_PIPE: "light-pipe",
    OPTICAL_STEREO: "optical stereo",
    COAX: "coax",
}
CLOCKS: Final = {"word": "word clock", "trunk": "its trunk"}
WORD_ENDS: Final = {
    "switch": "a 75-ohm end that can be switched off",
    "fixed": "a 75-ohm end that is always on",
    "none": "no 75-ohm end of its own",
}


def sentence(device: Device) -> str:
    """Everything that the row says, in plain words, without id, label and price."""
    return "; ".join(said for part in PARTS for said in part(device))


Said = Iterator[str]


def _role(device: Device) -> Said:
    yield ROLES[device.role].format(interface=INTERFACES[device.computer])


def _preamps(device: Device) -> Said:
    """'8 preamps (2 also for line or instrument, 6 also for line)'."""
    if not device.mic_capable:
        return
    also = []
    for column, number in _kinds(device):
        takes = [TAKES[source] for source in ACCEPTS[column]]
        if takes[0] == TAKES["mic"]:
            share = "all" if number == device.mic_capable else str(number)
            more = f"also for {listed(takes[1:], 'or')}" if takes[1:] else "for that alone"
            also.append(f"{share} {more}")
    yield f"{count(device.mic_capable, 'preamp')} ({', '.join(also)})"


def _inputs(device: Device) -> Said:
    for column, number in _kinds(device):
        if "mic" not in ACCEPTS[column]:
            yield _inputs_of(column, number)
    if not device.analogue and device.role not in ("clock", "headphones"):
        yield "no analogue inputs"


def _inputs_of(column: str, number: int) -> str:
    one, _, rest = INPUTS[column].partition(" for ")
    return count(number, one) + (f" for {rest}" if rest else "")


def _kinds(device: Device) -> list[tuple[str, int]]:
    """The columns of analogue inputs that are not empty, with their numbers."""
    counts = [(column, int(getattr(device, column))) for column in ACCEPTS]
    return [(column, number) for column, number in counts if number]


def _channel_order(device: Device) -> Said:
    there = [column for column, _ in _kinds(device)]
    order = [column for column in device.channel_order if column in there]
    if order != there:
        names = [" or ".join(TAKES[source] for source in ACCEPTS[column]) for column in order]
        yield f"numbered {', then '.join(names)}"


def _phantom(device: Device) -> Said:
    able, sizes = device.mic_capable, device.phantom_bank
    if not able:
        return
    if not sizes:
        yield "no 48 V"
    elif isinstance(sizes, tuple):
        left = able - sum(sizes)
        rest = f", none on the last {left}" if left else ""
        yield f"48 V in banks of {listed([str(size) for size in sizes])}{rest}"
    elif sizes == 1:
        yield "a 48 V switch for each"
    else:
        yield "one 48 V switch for all" if sizes >= able else f"48 V in banks of {sizes}"


def _converted(device: Device) -> Said:
    for multiplier, live in ((2, device.analogue_2x), (4, device.analogue_4x)):
        rate = _rate(device, multiplier)
        if rate and live < device.analogue:
            yield f"{live or 'none'} of its analogue inputs at {khz(rate)} kHz"


def _outputs(device: Device) -> Said:
    if device.line_out:
        yield count(device.line_out, "line output")
    if device.phones:
        yield count(device.phones, "headphone output")


def _lines(device: Device) -> Said:
    """What goes on by analogue cable, and what such a cable finds at its far end."""
    if device.direct_out:
        yield f"{count(device.direct_out, 'direct output')} on {device.direct_plug}"
    if device.line_plug != "jack":
        yield f"line inputs on {device.line_plug}"
    if device.role == "headphones":
        yield f"fed by {count(device.line_in, 'line output')}"
    if device.role == "di":
        needs = "48 V" if device.di_phantom else "no 48 V"
        yield f"needs {needs} from the microphone input that it goes into"


def _links(device: Device) -> Said:
    """'sends 8 channels by light-pipe at 48 kHz, 4 at 96', for each format and way."""
    formats: dict[str, Format] = {}
    for rate in device.rates_hz:
        formats |= {row.id: row for s in sockets(device, rate) for row in s.formats}
    for row in formats.values():
        if any(row.channels):
            ways = [_link(device, row, way) for way in ("in", "out")]
            if ways[0] == ways[1]:
                yield f"receives and sends {ways[0]}"
                continue
            verbs = ("receives", "sends")
            yield from (
                f"{verb} {said}" for verb, said in zip(verbs, ways, strict=True) if said
            )
    for kind in ("optical", "coax", "trunk"):
        for way in ("in", "out"):
            yield from _dead(device, SocketRef(kind, way, 0))


def _link(device: Device, row: Format, way: Way) -> str:
    """'8 channels by light-pipe at 48 kHz, 4 at 96'; blank without such a socket."""
    rates = [rate for multiplier in (1, 2, 4) if (rate := _rate(device, multiplier))]
    wires = {rate: _speaking(device, row, way, rate) for rate in rates}
    most = max(wires.values())
    if not most:
        return ""
    by = f"by {OVER.get(row.id, row.label)}"
    if most > 1:
        each = "" if set(wires.values()) <= {0, most} else "up to "
        by += f" over {each}{most} sockets"
    if device.role == "clock":
        return f"clock {by} at {listed([khz(rate) for rate in rates if wires[rate]])} kHz"
    first, *rest = (_channels(device, row, way, wires[rate], rate) for rate in rates)
    more = [
        f", {number or 'none'} at {khz(rate)}"
        for number, rate in zip(rest, rates[1:], strict=True)
    ]
    said = count(first, "channel") if first else "no channels"
    return f"{said} {by} at {khz(rates[0])} kHz{''.join(more)}"


def _speaking(device: Device, row: Format, way: Way, rate_hz: int) -> int:
    """Sockets of a way that speak a format at a rate; a duplex one is of both ways."""
    live = sockets(device, rate_hz)
    return sum(row in s.formats and (s.ref.way == way or s.duplex) for s in live)


def _channels(device: Device, row: Format, way: Way, number: int, rate_hz: int) -> int:
    """What so many sockets carry; an expander sends no more than it has inputs."""
    carried = number * row.carries(RATE_MULTIPLIER[rate_hz])
    if way == "out" and device.role == "expander" and device.analogue:
        limits = {1: device.analogue, 2: device.analogue_2x, 4: device.analogue_4x}
        carried = min(carried, device.analogue, limits[RATE_MULTIPLIER[rate_hz]])
    return carried


def _dead(device: Device, socket: SocketRef) -> Said:
    """Sockets that speak nothing at any rate of the unit are named all the same."""
    there = int(getattr(device, f"{socket.kind}_{socket.way}"))
    live = max(
        sum(s.ref[:2] == socket[:2] for s in sockets(device, rate)) for rate in device.rates_hz
    )
    if there > live:
        noun = f"{socket.kind} {socket.way}put"
        yield f"{count(there - live, noun)} without use at these rates"


def _word(device: Device) -> Said:
    if device.word_in:
        end = WORD_ENDS[device.word_end]
        yield f"{count(device.word_in, 'word clock input')} with {end}"
    if device.word_out:
        yield count(device.word_out, "word clock output")


def _clock(device: Device) -> Said:
    if not device.digital:
        return
    named = [
        f"{e.kind} input {e.number} alone" if isinstance(e, SocketRef) else CLOCKS.get(e, e)
        for e in device.clock_in
    ]
    if named:
        yield f"can lock to {listed(named, 'or')}"
    else:
        yield "cannot follow another clock"
    if not device.internal_clock:
        yield "has no clock of its own"


def _converters(device: Device) -> Said:
    if device.rate_converter:
        yield f"a rate converter on {listed(device.rate_converter)}"


def _either(device: Device) -> Said:
    for group in device.either:
        names = [f"{kind} {way} {number}" for kind, way, number in group]
        yield f"only one at a time of {listed(names)}"


def _rates(device: Device) -> Said:
    if device.digital:
        yield f"runs at {listed([khz(rate) for rate in device.rates_hz])} kHz"


def _visible(device: Device) -> Said:
    limits = [
        f"{limit} at {khz(rate)}"
        for multiplier in (1, 2, 4)
        if (rate := _rate(device, multiplier)) and (limit := device.max_in(rate)) is not None
    ]
    if limits and device.may_host:
        yield f"the computer sees at most {listed(limits)} kHz"


def _input_order(device: Device) -> Said:
    there = {"analogue": device.analogue, "coax": device.coax_in}
    there |= {"optical": device.optical_in, "trunk": device.trunk_in}
    order = [b for b in device.input_order if isinstance(b, Blank) or there[b]]
    if device.may_host and order != [b for b in there if there[b]]:
        yield f"numbered at the computer: {', '.join(map(_block, order))}"


def _block(block: Block) -> str:
    if not isinstance(block, Blank):
        return block
    numbers = block[:1] if len(set(block)) == 1 else block
    return f"{'/'.join(map(str, numbers))} blank"


def _body(device: Device) -> Said:
    yield f"{device.rack_units} U of rack" if device.rack_units else "not for a rack"
    if device.watts:
        yield f"{plain(device.watts)} W"
    yield count(device.mains, "mains plug") if device.mains else "no mains plug"


def _note(device: Device) -> Said:
    if device.note:
        yield f"note: {device.note}"


def _rate(device: Device, multiplier: int) -> int | None:
    """The rate that stands for a class: 48, 96 or 192 where offered, else the highest."""
    offered = [rate for rate in device.rates_hz if RATE_MULTIPLIER[rate] == multiplier]
    return max(offered, default=None)


PARTS: Final[tuple[Callable[[Device], Said], ...]] = (
    _role,
    _preamps,
    _inputs,
    _channel_order,
    _phantom,
    _converted,
    _outputs,
    _lines,
    _links,
    _word,
    _clock,
    _converters,
    _either,
    _rates,
    _visible,
    _input_order,
    _body,
    _note,
)
