"""Rigs that every practitioner knows, and figures that stand in open sources."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue.types import Device
from tests.world import (
    ALL,
    BOTH,
    DESK,
    HUB,
    PRE,
    cables_of,
    impossible,
    numbers,
    rig,
)


@pytest.mark.parametrize(("master", "cables"), [("expander", 1), ("host", 2)])
def test_one_host_and_one_expander(master: str, cables: int) -> None:
    # Common practice, no source: 16 inputs; one optical cable with the expander as clock
    # master, two with the host; inputs 1-8, 9-10, 11-18 whichever it is.
    found = rig(DESK, PRE, mic=16, master=master)
    assert cables_of(found) == len(found.links) == cables
    assert found.master.role == master
    assert numbers(found, "host-1") == list(range(1, 9))
    assert numbers(found, "expander-1") == list(range(11, 19))
    assert found.total == 30000 + 20000 + cables * 600


def test_the_cheaper_master_is_found_unasked() -> None:
    # Common practice, no source.
    assert rig(DESK, PRE, mic=16).master.role == "expander"


@pytest.mark.parametrize(
    ("mic", "master", "expanders", "cables"),
    [(24, "any", 3, 5), (24, "host", 3, 6), (32, "any", 4, 7), (32, "host", 4, 8)],
)
def test_four_pairs_without_preamps(mic: int, master: str, expanders: int, cables: int) -> None:
    # Common practice, no source: three expanders make 24 inputs, four make 32.
    found = rig(HUB, PRE, mic=mic, master=master)
    assert [unit.role for unit in found.units] == ["host"] + ["expander"] * expanders
    assert cables_of(found) == cables


def test_two_inputs_and_one_output_leave_few_masters() -> None:
    # Follows from AES11 (one master, everyone else locked to a chain that ends in it): the
    # one optical output clocks one expander, so the other must be the master.
    narrow = replace(HUB, optical_in=2, optical_out=1, optical_2x=2)
    found = rig(narrow, PRE, mic=16)
    assert found.master.role == "expander"
    assert impossible(narrow, PRE, mic=16, master="host")
    assert not impossible(narrow, PRE, mic=8, master="host")


def test_two_expanders_without_clock_input() -> None:
    # AES11: two units on their internal clocks joined by audio is a fault.
    deaf = replace(PRE, optical_in=0, clock_in=())
    assert impossible(HUB, deaf, mic=16)
    found = rig(HUB, deaf, mic=8)
    assert found.master.device is deaf


def test_half_the_channels_at_96() -> None:
    # lib_xua feat_adat_tx.rst: channels x m = 8.
    found = rig(DESK, PRE, mic=12, rate_hz=96000)
    assert numbers(found, "expander-1") == [11, 12, 13, 14]
    assert impossible(DESK, PRE, mic=13, rate_hz=96000)


def test_two_sockets_bring_all_eight_at_96() -> None:
    # Common practice, no source: eight channels over two sockets at 2x.
    double = replace(PRE, optical_out=2, optical_in=1, optical_2x=2)
    found = rig(HUB, double, mic=8, rate_hz=96000)
    assert len(found.units) == 2
    assert [link.channels for link in found.links if "audio" in link.carries][:2] == [4, 4]


def test_a_unit_without_the_rate_is_not_in_the_rig() -> None:
    slow = replace(PRE, rates_hz=(44100, 48000), price=1)
    assert all(
        u.device.id != "slow"
        for u in rig(DESK, replace(slow, id="slow"), PRE, mic=12, rate_hz=96000).units
    )
    assert impossible(DESK, slow, mic=12, rate_hz=96000)
    assert impossible(DESK, PRE, mic=9, rate_hz=88200) is False
    assert impossible(replace(DESK, rates_hz=(44100,)), mic=1, rate_hz=48000)


FEEDER = replace(
    PRE, id="feed", optical_out=1, optical_in=1, optical_2x=1, optical_4x=1, rates_hz=ALL
)


def most_inputs(host: Device, rate_hz: int) -> int:
    """The numbers that the computer sees on a host with every socket in use."""
    fed = replace(FEEDER, mic_line=0, line=8, phantom_bank=0)
    full = replace(fed, id="full", line=host.analogue or 1)
    total = 0
    for wanted in range(1, 80):
        if impossible(host, fed, full, line=wanted, rate_hz=rate_hz):
            break
        total = wanted
    return total


@pytest.mark.parametrize(
    ("rate", "inputs"), [(48000, 36), (96000, 20), (192000, 12)], ids=["1x", "2x", "4x"]
)
def test_four_sockets_and_four_fixed_inputs(rate: int, inputs: int) -> None:
    # Linux kernel hdspm.c, channel maps: 36, 20, 12.
    host = Device(
        "h",
        "h",
        "host",
        1,
        line=4,
        optical_in=4,
        optical_out=4,
        optical_2x=4,
        optical_4x=4,
        clock_in=("optical",),
        rates_hz=ALL,
    )
    assert most_inputs(host, rate) == inputs


@pytest.mark.parametrize(("rate", "inputs"), [(48000, 26), (96000, 14)])
def test_three_sockets_and_two_fixed_inputs(rate: int, inputs: int) -> None:
    # Linux kernel hdsp.c, channel maps: 26, 14, no 4x.
    host = Device(
        "h",
        "h",
        "host",
        1,
        line=2,
        optical_in=3,
        optical_out=3,
        optical_2x=3,
        clock_in=("optical",),
        rates_hz=BOTH,
    )
    assert most_inputs(host, rate) == inputs
    assert impossible(host, FEEDER, line=1, rate_hz=192000)


@pytest.mark.parametrize(
    ("sockets", "at_2x", "expected"), [(1, 1, (8, 4, 0)), (2, 1, (16, 4, 0))]
)
def test_sockets_that_die(sockets: int, at_2x: int, expected: tuple[int, ...]) -> None:
    # Linux kernel, firewire dice stream-format tables: {8, 4, 0} and {16, 4, 0}.
    host = Device(
        "h",
        "h",
        "host",
        1,
        optical_in=sockets,
        optical_out=sockets,
        optical_2x=at_2x,
        clock_in=("optical",),
        rates_hz=ALL,
    )
    assert tuple(most_inputs(host, rate) for rate in (48000, 96000, 192000)) == expected


def test_one_switch_for_eight() -> None:
    # Common practice, no source: one 48 V switch often serves all eight channels.
    bank = replace(PRE, phantom_bank=8)
    hub = replace(HUB, optical_in=2, optical_out=2, optical_2x=2)
    needs = {"mic": 14, "phantom": 9, "no_phantom": 5}
    assert impossible(hub, bank, **needs)
    assert not impossible(hub, bank, replace(bank, id="own", phantom_bank=1), **needs)
