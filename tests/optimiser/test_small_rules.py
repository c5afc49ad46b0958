"""Rules that decide little: each by a rig whose money is worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Needs, SourceLine
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.audit import audit
from tests.world import CABLES, DESK, HUB, PRE, asked, catalogue, impossible, rig

DI = Device("active", "", "di", 2000, inst=1, di_phantom=True)
DRY_DI = replace(DI, id="passive", price=3000, di_phantom=False)


def total(shop: Catalogue, **needs: Any) -> int | None:
    """The money of the cheapest rig, if there is one."""
    wanted = Needs(**needs)
    found = solve(shop, wanted)
    if isinstance(found, Impossible):
        return None
    assert isinstance(found, Answered)
    assert audit(found.rig, shop, wanted) == ()
    assert found.proven
    assert found.bound == found.rig.total
    return found.rig.total


# --- boxes, phones, pairs --------------------------------------------------------------------


def test_two_sorts_of_di_boxes_share_the_instruments() -> None:
    """Two of each, and as many instruments: one has 48 V in each of its two banks."""
    host = Device("host", "", "host", 10000, mic=2, phantom_bank=1)
    assert rig(host, DI, DRY_DI, instrument=2).total == 10000 + 2 * 2000
    one = catalogue(host, replace(DI, price=None), DRY_DI)
    assert total(one, instrument=2, owned={"active": 1}) == 10000 + 3000
    bank = replace(host, mic=1, mic_line=1, phantom_bank=(1,))
    assert rig(bank, DI, DRY_DI, instrument=2).total == 10000 + 2000 + 3000


@pytest.mark.parametrize(("instruments", "status"), [(1, "infeasible"), (2, "optimal")])
def test_no_more_are_in_boxes_than_there_are(instruments: int, status: str) -> None:
    host = Device("host", "", "host", 10000, mic_line=4, mic_line_inst=4, phantom_bank=1)
    problem = state(catalogue(host, DI, DRY_DI), Needs(mic=1, instrument=instruments))
    model = cp_model.CpModel()
    boxed = build(model, problem, columns(problem, 0)).boxed
    model.add(boxed[True] + boxed[False] == 2)
    assert run(model, Deadline(None)).status == status


def test_an_instrument_in_a_box_is_a_microphone_more() -> None:
    stand = Extra("stand", "", "mic", 500)
    shop = replace(catalogue(DESK, DI), extras={"stand": stand})
    assert total(shop, instrument=1, mic=2) == 30000 + 2000 + 3 * 500


def test_without_devices_there_is_no_rig_that_calls_for_anything() -> None:
    shelf = Extra("shelf", "", "rack_unit", 500)
    assert total(replace(catalogue(), extras={"shelf": shelf}), mic=8) is None


def test_lines_that_feed_phones_are_counted() -> None:
    ears = Device("ears", "", "headphones", 5000, phones=4, line_in=2)
    host = replace(DESK, phones=0)
    assert rig(host, ears, mic=1, out_phones=4).total == 35000
    assert rig(host, ears, mic=1, out_phones=8).total == 40000
    assert impossible(host, ears, mic=1, out_phones=9)
    assert impossible(replace(host, line_out=1), ears, mic=1, out_phones=1)
    assert impossible(host, ears, mic=1, out_phones=4, out_line=3)
    # Phones of an expander hear no computer.
    heard = rig(replace(HUB, line_out=2), replace(PRE, phones=2), ears, mic=8, out_phones=1)
    assert heard.total == 25000 + 20000 + 600 + 5000


def test_a_pair_of_lines_beside_a_microphone() -> None:
    """One input for a microphone, then two for lines."""
    host = Device("host", "", "host", 10000, mic=1, line=2)
    pair = tuple(SourceLine(side, "line", pair=other) for side, other in ("LR", "RL"))
    dearer = replace(host, id="dearer", price=11000, mic=0, line=4)
    shop, needs = catalogue(host, dearer), replace(asked(pair), mic=0, line=2)
    found = solve(shop, needs)
    assert isinstance(found, Answered)
    assert (found.rig.total, found.rig.split_pairs) == (10000, ())


# --- hosts and clocks ------------------------------------------------------------------------

BOTH = Device("both", "", "expander", 10000, mic_line=8, optical_out=2)
"""One output for its audio, one for the clock of others; nothing to lock to."""
FOLLOWS = replace(PRE, id="follows", price=5000, internal_clock=False, line_out=0)
DEAF = replace(DESK, id="deaf", price=31000, optical_out=0, coax_in=0, coax_out=0, clock_in=())
ALONE = replace(PRE, id="alone", price=5000, optical_in=0, clock_in=(), line_out=0)
"""On its own clock, whatever it is joined to."""


def test_the_clock_goes_from_box_to_box() -> None:
    hub = replace(HUB, optical_out=0)
    assert rig(hub, BOTH, FOLLOWS, mic=16).total == 25000 + 10000 + 5000 + 3 * 600


def test_a_link_for_the_clock_takes_an_output() -> None:
    """One box is fed, the other has its clock: two outputs."""
    wish: dict[str, Any] = {"mic": 16, "out_line": 8, "master": "host", "max_hops": 1}
    assert impossible(replace(HUB, optical_out=1), PRE, **wish)
    found = rig(replace(HUB, optical_out=2), PRE, **wish)
    assert found.total == 25000 + 2 * 20000 + 4 * 600
    # Nor is the link to the one that is fed for its clock, which is word clock.
    fed = replace(PRE, id="fed", word_in=1, clock_in=("word",))
    dry = replace(PRE, id="dry", line_out=0)
    worded = replace(HUB, optical_out=1, word_out=1)
    both = {**wish, "require": ("dry", "fed")}
    assert impossible(worded, fed, dry, **both)
    found = rig(replace(worded, optical_out=2), fed, dry, **both)
    assert found.total == 25000 + 2 * 20000 + 4 * 600 + 900


def test_a_link_for_the_clock_takes_an_input() -> None:
    """The host has one, and nothing but the clock box may be one hop away."""
    clock = Device("clock", "", "clock", 1000, optical_out=2)
    host = replace(DESK, coax_in=0, internal_clock=False)
    wish: dict[str, Any] = {"master": "clock", "max_hops": 1}
    assert rig(host, FOLLOWS, clock, mic=8, **wish).total == 30000 + 1000 + 600
    assert impossible(host, FOLLOWS, clock, mic=16, **wish)
    two = replace(host, optical_in=2, optical_2x=2)
    assert not impossible(two, FOLLOWS, clock, mic=16, **wish)


def test_hosts_are_named_in_the_order_of_ids() -> None:
    other = replace(DESK, id="a-desk", price=31000, mic_line=10)
    found = rig(DESK, other, mic=18, max_hosts=2)
    assert [unit.device.id for unit in found.units] == ["a-desk", "desk-8"]
    assert found.total == 61000 + 600


def test_one_host_with_a_clock_of_its_own() -> None:
    assert rig(DESK, mic=8, max_hosts=2, own_clocks=True).total == 30000


def test_a_host_without_a_clock_follows_another_though_it_need_not() -> None:
    led = replace(DESK, id="led", price=1000, internal_clock=False, optical_out=0, coax_out=0)
    found = rig(DESK, led, mic=16, max_hosts=2, own_clocks=True, require=("desk-8", "led"))
    assert found.total == 30000 + 1000 + 600


def test_boxes_of_hosts_with_clocks_of_their_own() -> None:
    wish: dict[str, Any] = {"mic": 32, "max_hosts": 2, "own_clocks": True}
    assert rig(DESK, PRE, **wish).total == 2 * (30000 + 20000 + 600)
    # A cable more for each box where the hosts are to lead.
    found = rig(DESK, PRE, master="host", **wish)
    assert found.total == 2 * (30000 + 20000 + 2 * 600)


@pytest.mark.parametrize("kinds", [(), ("optical",)])
def test_a_box_is_on_the_clock_of_its_host_and_of_no_other(kinds: Any) -> None:
    """One host has no output for it, nor an input for a clock; the other may have a converter,
    and one socket."""
    leads = replace(DESK, rate_converter=kinds, coax_in=0, optical_out=2)
    wish: dict[str, Any] = {"mic": 32, "max_hosts": 2, "own_clocks": True, "master": "host"}
    needs = {**wish, "require": ("deaf", "desk-8")}
    assert impossible(leads, DEAF, FOLLOWS, **needs)


def test_a_box_that_is_fed_is_on_the_clock_of_its_host() -> None:
    """One host feeds it, the other has word clock for it: that will do if both are on one."""
    outs = Device("outs", "", "expander", 5000, line_out=8, optical_in=1, word_in=1)
    outs = replace(outs, clock_in=("word",), internal_clock=False)
    tells = replace(HUB, id="tells", optical_in=0, optical_out=0, word_out=2, clock_in=())
    feeds = replace(HUB, id="feeds", word_in=1, clock_in=("word",))
    wish: dict[str, Any] = {"max_hosts": 2, "own_clocks": True, "out_line": 8}
    needs = {**wish, "require": ("feeds", "tells")}
    assert rig(tells, feeds, outs, **needs).total == 2 * 25000 + 5000 + 600 + 2 * 900
    assert impossible(tells, replace(feeds, clock_in=()), outs, **needs)


@pytest.mark.parametrize("stereo", [0, 1])
def test_only_behind_a_converter_a_box_is_on_its_own(stereo: int) -> None:
    """One host has converters: the box without a clock input goes there, and no second one."""
    mends = replace(
        DESK, id="mends", rate_converter=("optical",), coax_in=0, optical_stereo=stereo
    )
    plain = replace(DESK, coax_in=0)
    wish: dict[str, Any] = {"max_hosts": 2, "master": "host"}
    needs = {**wish, "require": ("mends", "desk-8")}
    found = rig(mends, plain, ALONE, mic=24, **needs)
    # Two hosts on one clock, and the audio of the box.
    assert found.total == 2 * 30000 + 5000 + 2 * 600
    assert impossible(mends, plain, ALONE, mic=32, **needs)


def test_a_box_behind_a_converter_is_on_no_host_s_clock() -> None:
    """It has a clock of its own, as hosts may have; the host is to lead, and hears nothing."""
    mends = replace(DEAF, id="mends", price=30000, rate_converter=("optical",))
    wish: dict[str, Any] = {"max_hosts": 2, "own_clocks": True, "master": "host"}
    assert rig(mends, ALONE, mic=16, **wish).total == 30000 + 5000 + 600


def test_who_is_fed_by_one_host_takes_no_output_of_another() -> None:
    fed = replace(PRE, internal_clock=False)
    hub, lone = replace(HUB, optical_in=2), replace(DEAF, optical_in=0, line_out=0, phones=0)
    wish: dict[str, Any] = {"max_hosts": 2, "own_clocks": True, "out_line": 16}
    found = rig(hub, lone, fed, mic=24, **wish)
    assert found.total == 25000 + 31000 + 2 * 20000 + 4 * 600


# --- orders ----------------------------------------------------------------------------------


def sold(*offers: Offer, boxes: tuple[Device, ...], **terms: Any) -> Catalogue:
    """A shop whose boxes have no price but at sellers of these terms."""
    named = {offer.seller for offer in offers}
    terms = {"currency": "GBP", **terms}
    return replace(
        catalogue(*(replace(box, price=None) for box in boxes)),
        offers=offers,
        sellers={name: Seller(name, **terms) for name in named},
    )


@pytest.mark.parametrize("names", [("one", "two"), ("two", "one")])
def test_of_sellers_alike_the_first_by_name_has_the_order(names: tuple[str, str]) -> None:
    """With a cable that is owned, of which none is bought."""
    offers = [Offer(item, name, 100) for item in ("desk-8", "pre-8") for name in names]
    shop = sold(*offers, boxes=(DESK, PRE))
    found = solve(shop, Needs(mic=16, owned={"opt-1m": 1}))
    assert isinstance(found, Answered)
    assert {line.seller for line in found.rig.purchases} == {"one"}


def test_a_stock_ends() -> None:
    shop = sold(
        Offer("hub-4", "shop", 100), Offer("pre-8", "shop", 50, stock=1), boxes=(HUB, PRE)
    )
    assert total(shop, mic=8) == 150 + 600
    assert total(shop, mic=16) is None
    assert total(shop, mic=16, out_line=8) is None  # one that is fed and one that is not


def test_one_seller_is_one_order() -> None:
    shop = sold(Offer("hub-4", "one", 100), Offer("pre-8", "two", 50), boxes=(HUB, PRE))
    assert total(shop, mic=8, sellers=2) == 150 + 600
    assert total(shop, mic=8, sellers=1) is None
    both = sold(Offer("hub-4", "one", 100), Offer("pre-8", "one", 50), boxes=(HUB, PRE))
    assert total(both, mic=8, sellers=1) == 150 + 600
    assert total(both, mic=8, sellers=0) is None


def test_a_type_in_two_roles_is_one_line_of_an_order() -> None:
    """One as the host, four more as expanders, three of which take the clock of the host."""
    either = replace(HUB, id="either", role="either", mic_line=8)
    shop = sold(Offer("either", "shop", 100), boxes=(either,), delivery=30)
    assert total(shop, mic=40) == 5 * 100 + 30 + 7 * 600


def test_half_a_penny_is_rounded_up_and_less_is_not() -> None:
    """At 1.17 euros 200.11 come to 171.034…, 200.38 to 171.2649…, and 200.07 to just 171.00."""
    for cents, pence in ((20011, 17103), (20038, 17126), (20007, 17100), (20039, 17127)):
        shop = sold(Offer("desk-8", "shop", cents), boxes=(DESK,), currency="EUR")
        assert total(shop, mic=8, exchange={"EUR": Decimal("1.17")}) == pence
    for price, pence in ((5, 3), (6, 3), (7, 4)):  # at 2: 2.5, 3, 3.5
        shop = sold(Offer("desk-8", "shop", price), boxes=(DESK,), currency="EUR")
        assert total(shop, mic=8, exchange={"EUR": Decimal(2)}) == pence


def test_what_no_rig_could_use_may_fill_an_order() -> None:
    """It can take a clock from nowhere; for 1.00 it saves 5.00 of delivery."""
    idle = replace(PRE, id="idle", clock_in=(), internal_clock=False)
    offers = (Offer("desk-8", "shop", 29950), Offer("idle", "shop", 100))
    shop = sold(*offers, boxes=(DESK, idle), delivery=500, free_over=30000)
    assert total(shop, mic=8) == 29950 + 100
    found = solve(shop, Needs(mic=8))
    assert isinstance(found, Answered)
    assert [unit.device.id for unit in found.rig.units] == ["desk-8"]
    dear = sold(
        offers[0], Offer("idle", "shop", 600), boxes=(DESK, idle), delivery=500, free_over=30000
    )
    assert total(dear, mic=8) == 29950 + 500


# --- D-sub connectors ------------------------------------------------------------------------

LOOM = Cable("loom", "", "analogue", 1000, 2500, ends=("dsub", "dsub"), ways=8)


def test_places_of_two_connectors_are_joined_in_order() -> None:
    """The host has four inputs on its connector, and so only the first four direct outs
    arrive. They share one switch; the other four have no 48 V."""
    host = Device("host", "", "host", 10000, line=4, line_plug="dsub")
    preamp = Device(
        "preamp",
        "",
        "preamp",
        8000,
        mic=8,
        phantom_bank=(4,),
        direct_out=8,
        direct_plug="dsub",
    )
    cables = (*CABLES, LOOM)
    assert rig(host, preamp, mic=4, phantom=4, cables=cables).total == 10000 + 8000 + 2500
    assert impossible(host, preamp, mic=4, phantom=3, no_phantom=1, cables=cables)
    wide = replace(host, line=5)
    found = rig(wide, preamp, mic=4, phantom=3, no_phantom=1, cables=cables)
    assert found.total == 10000 + 8000 + 2500
