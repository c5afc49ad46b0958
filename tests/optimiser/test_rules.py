"""Each rule three ways: trivially fine, a violation refused, the edge accepted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Device
from tests.world import (
    BOTH,
    CABLES,
    DESK,
    HUB,
    PRE,
    cables_of,
    impossible,
    numbers,
    rig,
)

LINES = Device(
    "ad-8",
    "8 line inputs to light-pipe",
    "expander",
    9000,
    line=8,
    optical_out=1,
    optical_in=1,
    clock_in=("optical",),
)
COAX_PRE = Device(
    "pre-2", "2 preamps to coax", "expander", 5000, mic_line=2, phantom_bank=1, coax_out=1
)
WORD_PRE = replace(
    PRE, id="pre-w", optical_in=0, word_in=1, word_out=1, clock_in=("word",), line_out=0
)
WORD_HUB = replace(HUB, id="hub-w", word_in=1, word_out=1, clock_in=("optical", "word"))
STAR = Device(
    "star-4",
    "word clock to four",
    "clock",
    12000,
    word_in=1,
    word_out=4,
    clock_in=("word",),
    rates_hz=BOTH,
)


def test_line_channels_take_no_microphone() -> None:
    assert not impossible(DESK, LINES, mic=8, line=8)
    assert impossible(DESK, LINES, mic=9, line=0)
    assert not impossible(DESK, LINES, mic=5, line=11)


def test_instruments_need_a_channel_for_them() -> None:
    mixed = replace(DESK, mic_line_inst=2, mic_line=6)
    assert impossible(DESK, instrument=1)
    assert not impossible(mixed, instrument=2, mic=6)
    assert impossible(mixed, instrument=3)
    assert impossible(mixed, instrument=2, mic=7)


def test_a_channel_without_48_volts() -> None:
    dry = replace(DESK, phantom_bank=0)
    assert impossible(dry, mic=1, phantom=1)
    assert not impossible(dry, mic=8, no_phantom=8)
    assert not impossible(DESK, mic=8, no_phantom=8)
    assert impossible(DESK, mic=9, no_phantom=9)


def test_banks_of_four() -> None:
    assert not impossible(DESK, mic=8, phantom=4, no_phantom=4)
    assert impossible(DESK, mic=8, phantom=5, no_phantom=1)
    assert impossible(DESK, mic=2, phantom=1, no_phantom=1) is False
    found = rig(DESK, mic=6, phantom=2, no_phantom=4)
    assert len(found.units[0].phantom_banks_on) == 1


def test_a_short_last_bank() -> None:
    six = replace(DESK, mic_line=6)
    assert not impossible(six, mic=6, phantom=4, no_phantom=2)
    assert not impossible(six, mic=6, phantom=2, no_phantom=4)
    assert impossible(six, mic=6, phantom=3, no_phantom=3)


def test_what_the_computer_cannot_see() -> None:
    cut = replace(DESK, max_in_1x=14)
    assert numbers(rig(cut, PRE, mic=12), "expander-1") == [11, 12, 13, 14]
    assert impossible(cut, PRE, mic=13)
    blind = replace(DESK, max_in_1x=6)
    assert not impossible(blind, mic=6)
    assert impossible(blind, PRE, mic=7)


def test_a_cut_socket_among_several() -> None:
    cut = replace(HUB, max_in_1x=12)
    found = rig(cut, PRE, mic=12)
    assert len(found.inputs) == 12
    assert impossible(cut, PRE, mic=13)


def test_a_pair_of_which_one_arrives() -> None:
    cut = replace(DESK, max_in_1x=9)
    found = rig(cut, COAX_PRE, mic=9)
    assert numbers(found, "expander-1") == [9]


def test_coax_brings_two() -> None:
    assert numbers(rig(DESK, COAX_PRE, mic=10), "expander-1") == [9, 10]
    assert impossible(DESK, COAX_PRE, mic=11)


def test_sockets_run_out() -> None:
    assert impossible(DESK, PRE, mic=17)
    assert not impossible(HUB, PRE, mic=32)
    assert impossible(HUB, PRE, mic=33)


def test_several_hosts_follow_one_another() -> None:
    assert impossible(DESK, PRE, mic=20, cables=CABLES)
    found = rig(DESK, PRE, mic=20, max_hosts=2)
    assert [u.name for u in found.units if u.role == "host"] == ["host-1", "host-2"]
    assert min(numbers(found, "host-2")) == 19  # 8 + 2 + 8 on the first


def test_a_host_that_runs_alone_as_an_expander() -> None:
    both = replace(DESK, id="both", role="either", price=21000)
    found = rig(DESK, both, mic=16)
    assert [u.role for u in found.units] == ["host", "expander"]
    assert found.total == 42000 + 600


def test_outputs_count_on_hosts_and_where_fed() -> None:
    assert not impossible(DESK, mic=8, out_line=4, out_phones=2)
    assert impossible(DESK, mic=8, out_phones=3)
    found = rig(DESK, PRE, mic=8, out_line=12)
    returns = [link for link in found.links if link.to_unit == "expander-1"]
    assert [(link.channels, "audio" in link.carries) for link in returns] == [(8, True)]
    assert impossible(DESK, PRE, mic=8, out_line=13)


def test_outputs_are_halved_with_the_channels() -> None:
    assert not impossible(DESK, PRE, mic=8, out_line=8, rate_hz=96000)
    assert impossible(DESK, PRE, mic=8, out_line=9, rate_hz=96000)


def test_a_host_is_kept_for_outputs_that_feed_though_nothing_locks_to_them() -> None:
    clock: dict[str, Any] = {"word_in": 1, "word_out": 1, "clock_in": ("word",)}
    dear = replace(DESK, id="feeds", **clock)
    cheap = replace(dear, id="feeds-not", price=10000, optical_out=0)
    assert rig(cheap, dear, replace(PRE, **clock), mic=8, out_line=12).units[0].device == dear


def test_word_clock_from_a_distributor() -> None:
    # Several operating guides agree: a star from a distributor, each receiver on its own
    # output. Without it only one unit can hand the clock on.
    found = rig(WORD_HUB, WORD_PRE, STAR, mic=32, master="clock")
    assert found.master.role == "clock"
    assert cables_of(found, "word") == 4
    assert found.clock_hops == 2  # the host follows an expander over light-pipe


def test_word_clock_daisy_chain_and_hops() -> None:
    deaf_hub = replace(WORD_HUB, clock_in=(), word_in=0)
    assert impossible(deaf_hub, WORD_PRE, mic=32, max_hops=3)
    assert rig(deaf_hub, WORD_PRE, mic=32, max_hops=4).clock_hops == 4
    assert rig(deaf_hub, WORD_PRE, STAR, mic=32, max_hops=2).clock_hops == 2


def test_master_wishes() -> None:
    for wish, role in (("host", "host"), ("expander", "expander"), ("hub-4", "host")):
        assert rig(HUB, PRE, mic=16, master=wish).master.role == role
    assert impossible(HUB, PRE, mic=16, master="clock")
    assert impossible(HUB, replace(PRE, internal_clock=False), mic=16, master="expander")


def test_a_clock_unit_carries_no_audio() -> None:
    assert impossible(replace(WORD_HUB, optical_in=0), STAR, mic=1)


def test_cables_long_enough_and_not_too_long() -> None:
    short, long = (
        Cable("o-05", "", "optical", 500, 100),
        Cable("o-10", "", "optical", 10000, 900),
    )
    assert impossible(DESK, PRE, mic=16, cables=(short,))
    assert rig(DESK, PRE, mic=16, cables=(short, long)).total == 50900
    over = replace(long, id="o-11", length_mm=10001)  # 10 m limit: common practice, no source
    assert impossible(DESK, PRE, mic=16, cables=(over,))
    assert not impossible(DESK, PRE, mic=16, cables=(short,), host_to_rack_mm=500)


def test_two_run_lengths_share_the_longer_pieces() -> None:
    short, long = Cable("w-05", "", "word", 500, 100), Cable("w-10", "", "word", 1000, 150)
    optical = Cable("o-10", "", "optical", 1000, 500)
    found = rig(
        replace(WORD_HUB, clock_in=("word",)),
        WORD_PRE,
        STAR,
        mic=16,
        master="clock",
        cables=(short, long, optical),
    )
    pieces = {p.item: p.quantity for p in found.purchases}
    assert (pieces["w-05"], pieces["w-10"]) == (2, 1)


def test_packs_are_bought_whole() -> None:
    three = Cable("o-3", "three pieces", "optical", 1000, 1500, 3)
    found = rig(HUB, PRE, mic=24, cables=(*CABLES, three))  # five links
    assert {p.item: p.quantity for p in found.purchases if p.kind == "cable"} in (
        {"o-3": 1, "opt-1m": 2},
    )
    assert rig(HUB, PRE, mic=24, cables=(three,)).total == 25000 + 60000 + 3000


def test_owned_things_cost_nothing() -> None:
    found = rig(DESK, PRE, mic=16, owned={"desk-8": 1, "opt-1m": 1})
    assert found.total == 20000
    assert [u.owned for u in found.units] == [True, False]
    unsold = replace(PRE, price=None)
    assert impossible(HUB, unsold, mic=16, owned={"pre-8": 1})
    assert not impossible(HUB, unsold, mic=16, owned={"pre-8": 2})


def test_avoid_and_require() -> None:
    dear = replace(PRE, id="dear", price=90000)
    assert rig(DESK, PRE, dear, mic=16, avoid=("pre-8",)).total == 120600
    # What is required and does nothing needs no cable.
    assert rig(DESK, PRE, dear, mic=8, require=("dear",)).total == 30000 + 90000
    assert impossible(DESK, PRE, mic=16, avoid=("pre-8",))
    assert not impossible(DESK, PRE, mic=16, avoid=("pre-8",), owned={"pre-8": 1})


def test_the_four_limits() -> None:
    for limit, enough in (("budget", 50600), ("rack_units", 2), ("mains", 2), ("units", 2)):
        assert not impossible(DESK, PRE, mic=16, **{limit: enough})
        assert impossible(DESK, PRE, mic=16, **{limit: enough - 1})


def test_computer_ports() -> None:
    fast = replace(DESK, id="fast", computer="thunderbolt", price=100)
    assert rig(DESK, fast, mic=8).total == 100
    assert rig(DESK, fast, mic=8, ports=("usb",)).total == 30000
    assert impossible(fast, mic=8, ports=("usb",))


def test_ties_go_to_the_first_id() -> None:
    twin = replace(PRE, id="a-twin")
    found = rig(HUB, PRE, twin, mic=16)
    assert [u.device.id for u in found.units] == ["hub-4", "a-twin", "a-twin"]


def test_fewer_units_for_the_same_money() -> None:
    big = replace(PRE, id="z-16", mic_line=16, optical_out=2, optical_2x=2, price=40600)
    found = rig(HUB, PRE, big, mic=16, cables=(replace(CABLES[1], price=0),))
    assert len(found.units) == 3  # 40000 is less than 40600
    same = replace(big, price=40000)
    found = rig(HUB, PRE, same, mic=16, cables=(replace(CABLES[1], price=0),))
    assert len(found.units) == 2
