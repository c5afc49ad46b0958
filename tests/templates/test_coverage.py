"""What the templates hold together: every kind of box that a buyer meets."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Cable, Device
from rigopt.facts import AUDIO_KINDS, KINDS, Kind, link_channels

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


def preamp_expander(device: Device) -> bool:
    return is_expander(device) and device.mic_capable == 8


def sends_at_96(device: Device) -> int:
    return device.live_out("optical", 96000) if 96000 in device.rates_hz else 0


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
        d.live_in("optical", 48000) == 2 and d.live_in("optical", 96000) == 1
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
}


def test_there_are_three_templates_and_36_types() -> None:
    assert len(TEMPLATES) >= 3
    assert len(TYPES) >= 36


@pytest.mark.parametrize("kind", WANTED)
def test_some_template_holds(kind: str) -> None:
    assert any(WANTED[kind](device) for device in TYPES.values())


@pytest.mark.parametrize("kind", KINDS)
def test_cables_of_each_kind_come_in_several_lengths(kind: Kind) -> None:
    assert len({c.length_mm for c in CABLES.values() if c.kind == kind}) >= 4


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
    sockets = {k: device.live_in(k, 48000) for k in KINDS}
    audio_out = sum(device.live_out(k, 48000) for k in AUDIO_KINDS)
    return {
        "a host shows something": not device.may_host or shown(device, 48000) > 0,
        "an expander sends": not is_expander(device) or audio_out > 0,
        "a clock has no audio": device.role != "clock" or device.analogue == 0,
        "only a mic channel has 48 V": (device.phantom_bank > 0) == (device.mic_capable > 0),
        "banks divide the channels": (
            device.phantom_bank == 0 or device.mic_capable % device.phantom_bank == 0
        ),
        "it locks to a socket that it has": all(sockets[k] > 0 for k in device.clock_in),
        "it has a clock of some kind": device.internal_clock or device.clock_in != (),
        "every box runs at 44.1 and 48 kHz": {44100, 48000} <= set(device.rates_hz),
        "1x means no optical socket at 2x": 96000 in device.rates_hz or device.optical_2x == 0,
        "4x needs the rate": 192000 in device.rates_hz or device.optical_4x == 0,
        # 5 V and 3 A are the most of a USB-C port without power delivery; a card takes
        # up to 25 W from its slot (both from memory).
        "without a plug it takes little": device.mains == 1 or device.watts <= 15,
        "only a host needs no plug": device.mains == 1 or is_host(device),
        "it takes some power": 0 < device.watts <= 100,
        "phones are on hosts": device.phones == 0 or device.may_host,
        "a rack mixer is tall": "mixer" not in device.label or device.rack_units >= 3,
        "the label tells the preamps": (
            not device.mic_capable or f"{device.mic_capable}-" in device.label
        ),
    }


def shown(device: Device, rate_hz: int) -> int:
    """Inputs that the computer sees, with everything plugged in."""
    sockets = sum(device.live_in(k, rate_hz) * link_channels(k, rate_hz) for k in AUDIO_KINDS)
    limit = device.max_in(rate_hz)
    total = device.analogue + sockets
    return total if limit is None else min(total, limit)


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
    ("key", "light_pipe"),
    [
        # Linux kernel, firewire dice stream-format tables: channels at 1x, 2x, 4x.
        ("desk-8", (8, 4, 0)),
        ("old-8-x2", (16, 4, 0)),
    ],
)
def test_light_pipe_is_switched_off_as_on_real_ones(
    key: str, light_pipe: tuple[int, int, int]
) -> None:
    found = [
        TYPES[key].live_in("optical", rate) * link_channels("optical", rate)
        for rate in (48000, 96000, 192000)
    ]
    assert tuple(found) == light_pipe


def test_full_speed_usb_has_room_for_what_the_computer_sees() -> None:
    # 1023 bytes a millisecond for one isochronous endpoint (USB 2.0 sec. 5.6.3, from
    # memory), 3 bytes a sample.
    old = TYPES["old-usb-4"]
    for rate_hz in (48000, 96000):
        seen = old.max_in(rate_hz)
        assert seen is not None
        assert seen * 3 * rate_hz / 1000 <= 1023
