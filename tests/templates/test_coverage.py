"""What the templates hold together: every kind of box that a buyer meets."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Blank, Cable, Device, Plug, SocketRef
from rigopt.facts import LIGHT_PIPE, RATE_MULTIPLIER, SocketKind
from rigopt.rig.numbering import visible_inputs
from rigopt.rig.sockets import sockets

CATALOGUES = {
    "demo": read_folder(shipped.demo_catalogue()),
    **{name: read_folder(shipped.template(name)) for name in shipped.template_names()},
}
TEMPLATES = [CATALOGUES[name] for name in shipped.template_names()]
TYPES = {key: device for some in TEMPLATES for key, device in some.devices.items()}
CABLES = {key: cable for some in TEMPLATES for key, cable in some.cables.items()}


def is_host(device: Device) -> bool:
    return device.role == "host"


def is_expander(device: Device) -> bool:
    return device.role == "expander"


def is_preamp(device: Device) -> bool:
    return device.role == "preamp"


def preamp_expander(device: Device) -> bool:
    return is_expander(device) and device.mic_capable == 8


def live(device: Device, kind: SocketKind, way: str, rate_hz: int) -> int:
    """Sockets that work at the rate."""
    refs = [socket.ref for socket in sockets(device, rate_hz)]
    return sum((ref.kind, ref.way) == (kind, way) for ref in refs)


def light_pipe(device: Device, rate_hz: int) -> int:
    """Channels that come in over all its light-pipes."""
    return sum(
        row.carries(RATE_MULTIPLIER[rate_hz])
        for socket in sockets(device, rate_hz)
        if socket.ref.way == "in"
        for row in socket.formats
        if row.id == LIGHT_PIPE
    )


def sends_at_96(device: Device) -> int:
    return live(device, "optical", "out", 96000) if 96000 in device.rates_hz else 0


WANTED: dict[str, Callable[[Device], bool]] = {
    "2 preamps": lambda d: is_host(d) and d.mic_capable == 2,
    "4 preamps": lambda d: is_host(d) and d.mic_capable == 4,
    "8 preamps": lambda d: is_host(d) and d.mic_capable == 8,
    "16 preamps": lambda d: is_host(d) and d.mic_capable == 16,
    "optical input only": lambda d: is_host(d) and d.optical_in > 0 == d.optical_out,
    "no preamps, four light-pipe pairs": lambda d: (
        is_host(d) and d.mic_capable == 0 and d.optical_in == d.optical_out == 4
    ),
    "rack mixer as host": lambda d: is_host(d) and "rack mixer" in d.label,
    "Thunderbolt": lambda d: is_host(d) and d.computer == "thunderbolt",
    "card": lambda d: is_host(d) and d.computer == "pcie",
    "network": lambda d: is_host(d) and d.computer == "network",
    "powered by the computer": lambda d: is_host(d) and d.mains == 0,
    "the computer sees less than there is": lambda d: d.max_in(48000) is not None,
    "second socket off at 2x": lambda d: (
        live(d, "optical", "in", 48000) == 2 and live(d, "optical", "in", 96000) == 1
    ),
    "expander at 1x only": lambda d: preamp_expander(d) and max(d.rates_hz) == 48000,
    "expander with one optical socket at 2x": lambda d: (
        preamp_expander(d) and sends_at_96(d) == 1
    ),
    "expander with two optical sockets at 2x": lambda d: (
        preamp_expander(d) and sends_at_96(d) == 2
    ),
    "expander with word clock in": lambda d: preamp_expander(d) and d.word_in > 0 == d.word_out,
    "expander with word clock in and out": lambda d: (
        is_expander(d) and d.word_in > 0 and d.word_out > 0
    ),
    "expander without clock input": lambda d: preamp_expander(d) and d.clock_in == (),
    "line-only A/D": lambda d: is_expander(d) and d.line == d.analogue == 8 and d.line_out == 0,
    "line-only A/D and D/A": lambda d: (
        is_expander(d) and d.line == d.analogue == 8 == d.line_out
    ),
    "two-channel preamp with coax output": lambda d: (
        is_expander(d) and d.mic_capable == d.analogue == 2 and d.coax_out == 1
    ),
    "instrument inputs": lambda d: is_expander(d) and d.line_inst == 8,
    "stand-alone interface": lambda d: d.role == "either",
    "word clock generator": lambda d: d.role == "clock" and d.internal_clock,
    "word clock distributor": lambda d: d.role == "clock" and not d.internal_clock,
    "one switch for all 48 V": lambda d: d.phantom_bank == 8,
    "a 48 V switch for each four": lambda d: d.phantom_bank == 4,
    "a 48 V switch for each two": lambda d: d.phantom_bank == 2,
    "a 48 V switch for each one": lambda d: d.phantom_bank == 1,
    # Boxes as the channel maps of open drivers have them: Linux `hdsp.c`, `hdspm.c`,
    # sound/firewire, and alsa-ucm-conf (text).
    "light-pipe listed first": lambda d: d.input_order[0] == "optical",
    "loopback between": lambda d: Blank(2, 2, 2) in d.input_order[1:-1],
    "two sockets, 8 channels at 1x and at 2x": lambda d: (
        light_pipe(d, 48000) == light_pipe(d, 96000) == 8 and d.optical_in == 2
    ),
    "one receiver for coax and optical": lambda d: (
        (SocketRef("coax", "in", 1), SocketRef("optical", "in", 1)) in d.either
    ),
    "rate converters": lambda d: is_host(d) and d.rate_converter == ("optical",),
    "stage box on a trunk": lambda d: (
        is_expander(d) and d.trunk is not None and d.trunk.duplex and d.mic_capable == 16
    ),
    "host of a trunk": lambda d: is_host(d) and d.trunk_in > 0,
    "preamp of 1 channel": lambda d: is_preamp(d) and d.direct_out == 1,
    "preamp of 2 channels": lambda d: is_preamp(d) and d.direct_out == 2,
    "preamp of 4 channels": lambda d: is_preamp(d) and d.direct_out == 4,
    "preamp of 8 channels": lambda d: is_preamp(d) and d.direct_out == 8,
    "preamp with XLR outputs": lambda d: is_preamp(d) and d.direct_plug == "xlr",
    "preamp with outputs on D-sub": lambda d: is_preamp(d) and d.direct_plug == "dsub",
    "expander with direct outs": lambda d: is_expander(d) and d.direct_out == d.mic_capable > 0,
    "host with line on D-sub": lambda d: is_host(d) and d.line_plug == "dsub",
    "host with line on XLR": lambda d: is_host(d) and d.line_plug == "xlr",
    "converter with D-sub": lambda d: is_expander(d) and d.line_plug == "dsub" and d.line == 8,
    "passive DI box": lambda d: d.role == "di" and not d.di_phantom and d.mains == 0,
    "active DI box": lambda d: d.role == "di" and d.di_phantom,
    "headphone amplifier": lambda d: d.role == "headphones" and d.phones >= 4,
    "a fixed word-clock end": lambda d: d.word_in > 0 and d.word_end == "fixed",
}


def test_there_are_three_templates_and_36_types() -> None:
    assert len(TEMPLATES) >= 3
    assert len(TYPES) >= 36


@pytest.mark.parametrize("kind", WANTED)
def test_some_template_holds(kind: str) -> None:
    assert any(WANTED[kind](device) for device in TYPES.values())


@pytest.mark.parametrize("kind", ["tee", "terminator", "network", "coax64"])
def test_cables_and_pieces_of(kind: str) -> None:
    assert any(cable.kind == kind for cable in CABLES.values())


@pytest.mark.parametrize(
    ("trunk", "channels", "duplex"),
    [
        # AES10-2008 (restated); 16 at 4x: channel table of an open PCIe driver.
        ("aes10", (64, 32, 16), False),
        # The protocol owner's table (restated): both ways on one cable.
        ("aes50", (48, 24, 12), True),
    ],
)
def test_trunks(trunk: str, channels: tuple[int, int, int], duplex: bool) -> None:
    for some in (CATALOGUES["demo"], CATALOGUES["full-rack"]):
        row = some.formats[trunk]
        assert (row.channels, row.duplex) == (channels, duplex)
        assert "restated" in row.source


@pytest.mark.parametrize("kind", ["optical", "coax", "word"])
def test_cables_of_each_kind_come_in_several_lengths(kind: str) -> None:
    assert len({c.length_mm for c in CABLES.values() if c.kind == kind}) >= 4


@pytest.mark.parametrize(
    ("ends", "ways"),
    [
        (("jack", "jack"), 1),
        (("xlr", "jack"), 1),
        (("xlr", "xlr"), 1),
        (("jack", "xlr"), 1),
        (("jack", "jack"), 8),
        # AES59 (restated): 8 channels on one D-sub connector.
        (("dsub", "jack"), 8),
        (("dsub", "dsub"), 8),
        (("jack", "dsub"), 8),
    ],
)
def test_analogue_cables(ends: tuple[Plug, Plug], ways: int) -> None:
    assert any(cable.ends == ends and cable.ways == ways for cable in CABLES.values())


@pytest.mark.parametrize("pack", [1, 2, 3, 4])
def test_cables_come_in_packs_of(pack: int) -> None:
    assert any(cable.pack == pack for cable in CABLES.values())


@pytest.mark.parametrize("name", shipped.template_names())
def test_prices_of_a_template_are_blank(name: str) -> None:
    items: list[Device | Cable] = [*CATALOGUES[name].devices.values()]
    items += CATALOGUES[name].cables.values()
    assert [item.id for item in items if item.price is not None] == []


def test_prices_of_the_demo_are_there_and_said_to_be_invented() -> None:
    demo = CATALOGUES["demo"]
    items: list[Device | Cable] = [*demo.devices.values(), *demo.cables.values()]
    assert [item.id for item in items if not item.price] == []
    assert len(demo.devices) >= 36
    assert "price in this catalogue is invented" in demo.note


@pytest.mark.parametrize("name", shipped.template_names())
def test_a_type_is_the_same_wherever_it_stands(name: str) -> None:
    demo = CATALOGUES["demo"].devices
    for key, device in CATALOGUES[name].devices.items():
        assert replace(TYPES[key], price=None) == device
        assert key not in demo or replace(demo[key], price=None) == device


def plausible(device: Device) -> dict[str, bool]:
    """Common practice of the trade, no source, unless said."""
    there = {socket.ref.kind for socket in sockets(device, 48000) if socket.ref.way == "in"}
    audio_out = any(
        socket.ref.way == "out" or socket.duplex
        for socket in sockets(device, 48000)
        if socket.formats[0].carries(1)
    )
    banks = [n for bank in device.bank_channels for n in bank]
    return {
        "a host shows something": not device.may_host or shown(device, 48000) > 0,
        "an expander sends": not is_expander(device) or audio_out,
        "a clock has no audio": device.role != "clock" or device.analogue == 0,
        "every mic channel has 48 V": len(banks) == device.mic_capable,
        "banks divide the channels": len({len(bank) for bank in device.bank_channels}) < 2,
        "it locks to a socket that it has": all(
            (k.kind if isinstance(k, SocketRef) else k) in there for k in device.clock_in
        ),
        "it has a clock of some kind": device.internal_clock or device.clock_in != (),
        "every box runs at 44.1 and 48 kHz": {44100, 48000} <= set(device.rates_hz),
        "1x means no optical socket at 2x": 96000 in device.rates_hz or device.optical_2x == 0,
        "4x needs the rate": 192000 in device.rates_hz or device.optical_4x == 0,
        # 5 V and 3 A are the most of a USB-C port without power delivery; a card takes
        # up to 25 W from its slot (both from memory).
        "without a plug it takes little": device.mains == 1 or device.watts <= 15,
        "a preamp sends every channel": not is_preamp(device)
        or (device.direct_out == device.mic_capable == device.analogue),
        "a DI box is for instruments alone": device.role != "di"
        or (device.inst == device.analogue > 0),
        "only a host or DI box needs no plug": (
            device.mains == 1 or is_host(device) or device.role == "di"
        ),
        "it takes some power": (
            0 < device.watts <= 100 or (device.role == "di" and device.mains == 0)
        ),
        "phones are on hosts and amplifiers": (
            device.phones == 0 or device.may_host or device.role == "headphones"
        ),
        "a rack mixer is tall": "mixer" not in device.label or device.rack_units >= 3,
        "the label tells the preamps": (
            not device.mic_capable or f"{device.mic_capable}-" in device.label
        ),
    }


def shown(device: Device, rate_hz: int) -> int:
    """Inputs that the computer sees, with everything plugged in."""
    return visible_inputs(device, rate_hz).total


@pytest.mark.parametrize("key", TYPES)
def test_a_row_is_plausible(key: str) -> None:
    assert [claim for claim, holds in plausible(TYPES[key]).items() if not holds] == []


@pytest.mark.parametrize(
    ("key", "rate_hz", "inputs"),
    [
        # Linux kernel hdspm.c, channel maps: four sockets and 4 fixed inputs.
        ("card-4", 48000, 36),
        ("card-4", 96000, 20),
        ("card-4", 192000, 12),
        # Linux kernel hdsp.c, channel maps: three sockets and 2 fixed inputs.
        ("card-3", 48000, 26),
        ("card-3", 96000, 14),
        # 1-8 analogue, 9-10 stereo, 11-18 light-pipe: common practice, no source.
        ("desk-8", 48000, 18),
        # One packet of USB 2.0 holds 10 channels of 32 bit at 192 kHz: USB 2.0 sec.
        # 5.6.3; lib_xua opt_channels.rst.
        ("hub-4", 192000, 10),
    ],
)
def test_a_host_shows_as_many_inputs_as_real_ones(key: str, rate_hz: int, inputs: int) -> None:
    assert shown(TYPES[key], rate_hz) == inputs


@pytest.mark.parametrize(
    ("key", "channels"),
    [
        # Linux kernel, firewire dice stream-format tables: channels at 1x, 2x, 4x.
        ("desk-8", (8, 4, 0)),
        ("old-8-x2", (16, 4, 0)),
        # Control services of FireWire units, light-pipe constant (text): two sockets, 8/8/4 in
        # all; this box has no 4x rate.
        ("desk-8-split", (8, 8, 0)),
    ],
)
def test_light_pipe_is_switched_off_as_on_real_ones(
    key: str, channels: tuple[int, int, int]
) -> None:
    found = [light_pipe(TYPES[key], rate) for rate in (48000, 96000, 192000)]
    assert tuple(found) == channels


@pytest.mark.parametrize(
    ("key", "rate_hz", "ranges"),
    [
        # Linux kernel hdsp.c (text): light-pipe 1-8, coax 9-10, analogue from 11; at 2x 1-4,
        # 5-6, from 7.
        ("desk-8-first", 48000, {"optical": (1, 8), "coax": (9, 10), "own": (11, 18)}),
        ("desk-8-first", 96000, {"optical": (1, 4), "coax": (5, 6), "own": (7, 14)}),
        # alsa-ucm-conf (text): analogue 1-8, loopback 9-10, coax 11-12, optical 13-20.
        ("desk-8-loop", 48000, {"own": (1, 8), "coax": (11, 12), "optical": (13, 20)}),
    ],
)
def test_the_numbers_of_a_host_are_those_of_a_real_one(
    key: str, rate_hz: int, ranges: dict[str, tuple[int, int]]
) -> None:
    seen = visible_inputs(TYPES[key], rate_hz)
    found = {"own": (seen.own[0], seen.own[-1])}
    found |= {ref.kind: (row[0], row[-1]) for ref, row in seen.sockets.items()}
    assert found == ranges


def test_full_speed_usb_has_room_for_what_the_computer_sees() -> None:
    # 1023 bytes a millisecond for one isochronous endpoint (Linux drivers/usb/core/config.c)
    # and room for one sample more (xua packet_sizes.h, text): 6 at 48 kHz, 3 at 96, of 24 bits.
    old = TYPES["old-usb-4"]
    for rate_hz in (48000, 96000):
        seen = old.max_in(rate_hz)
        assert seen is not None
        assert seen * 3 * (rate_hz // 1000 + 1) <= 1023
