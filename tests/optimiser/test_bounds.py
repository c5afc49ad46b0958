"""How large a rig can be, and what of a catalogue can be part of it: numbers by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Group, Needs
from rigopt.optimiser.model.model import weights
from rigopt.optimiser.problem.bargains import (
    always_cheaper,
    beats,
    cost,
    known_dearer,
    unbeaten,
    upper,
)
from rigopt.optimiser.problem.chosen import chosen
from rigopt.optimiser.problem.demands import serves, serves_any, subsets
from rigopt.optimiser.problem.links import Links
from rigopt.optimiser.problem.matching import matched
from rigopt.optimiser.problem.pricing import Pricing
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.problem.supplies import OrderTerms, Supply
from tests.world import BOTH, CABLES, DESK, PRE, catalogue

PHONES = Device("ears", "", "headphones", 5000, phones=4, line_in=2)
DI = Device("di", "", "di", 2000, inst=2, mains=0)
PREAMP = Device("preamp", "", "preamp", 9000, mic=4, direct_out=4, rack_units=2, mains=2)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
TEE = Cable("tee", "", "tee", 0, 300)


def stated(*devices: Device, **needs: Any) -> Problem:
    cables = needs.pop("cables", CABLES)
    extras = {extra.id: extra for extra in needs.pop("extras", ())}
    shop = replace(catalogue(*devices, cables=cables), extras=extras)
    return state(shop, Needs(**{"mic": 4, **needs}))


def sizes(problem: Problem) -> tuple[int, int, int]:
    return problem.max_units, problem.max_links, problem.max_joined


@pytest.mark.parametrize(
    ("needs", "found"),
    [
        # The desk has two sockets for audio in, and two out. Each of the three units that may
        # be of use has three more on the way to it that hand on the clock.
        ({}, ((1 + 2) * 4, 2 + 12, 2)),
        ({"max_hops": 1}, ((1 + 2) * 2, 2 + 6, 2)),
        ({"max_hosts": 2}, ((2 + 4) * 4, 4 + 24, 4)),
        ({"out_line": 1}, ((1 + 2 + 2) * 4, 2 + 2 + 20, 4)),
        ({"out_line": 1, "max_hosts": 2}, ((2 + 4 + 4) * 4, 4 + 4 + 40, 8)),
        ({"require": ("pre-8",)}, ((1 + 2 + 1) * 4, 2 + 16, 2)),
        ({"units": 5}, (5, 2 + 5, 2)),
        ({"units": 50}, (12, 14, 2)),
    ],
)
def test_units_and_links(needs: dict[str, Any], found: tuple[int, int, int]) -> None:
    assert sizes(stated(DESK, PRE, **needs)) == found


def test_sockets_that_carry_audio() -> None:
    """At 4x the coax of the desk carries one pair, its light-pipe nothing."""
    word = replace(DESK, word_in=2, word_out=2, rates_hz=(*BOTH, 192000), coax_4x=1)
    assert sizes(stated(word, PRE)) == (12, 14, 2)
    assert sizes(stated(word, PRE, rate_hz=192000, out_line=1)) == ((1 + 1 + 1) * 4, 2 + 12, 2)
    larger = replace(DESK, id="larger", optical_in=3)
    assert sizes(stated(DESK, larger, PRE)) == ((1 + 4) * 4, 4 + 20, 4)
    sends = replace(DESK, id="sends", optical_out=3)
    assert sizes(stated(DESK, sends, PRE, out_line=1)) == ((1 + 2 + 4) * 4, 2 + 4 + 28, 6)


@pytest.mark.parametrize(
    ("devices", "needs", "more"),
    [
        ([DI], {"instrument": 3}, 3),
        ([DI], {"instrument": 99}, 18),  # no more than the desk shows: 8, 8 and 2
        ([PHONES], {"out_phones": 3}, 3),
        ([PREAMP], {"mic": 3, "spare": 2, "instrument": 1}, 6),
        ([PREAMP], {"mic": 99}, 18),
        ([PREAMP, DI], {"mic": 3, "instrument": 2}, 5 + 2),
        ([PREAMP, DI, PHONES], {"mic": 3, "instrument": 2, "out_phones": 4}, 5 + 2 + 4),
        ([DI], {"mic": 3}, 0),
        ([PHONES], {"mic": 3}, 0),
        ([replace(PREAMP, direct_out=0)], {"mic": 3}, 0),
    ],
)
def test_units_without_links(
    devices: Sequence[Device], needs: dict[str, Any], more: int
) -> None:
    found = stated(DESK, PRE, *devices, cables=(*CABLES, LEAD), **needs)
    fed = 2 if PHONES in devices and "out_phones" in needs else 0  # by links back
    clocked = (1 + 2 + fed) * 4
    assert sizes(found) == (clocked + more, 2 + fed + clocked, 2 + fed)


@pytest.mark.parametrize(
    ("per", "needs", "most"),
    [
        ("mic", {"mic": 4}, 2 * 4),
        ("mic", {"mic": 4, "instrument": 3}, 2 * (4 + 3)),
        ("source", {"mic": 4, "line": 2, "instrument": 1}, 2 * 7),
        ("rig", {}, 2),
        ("unit", {}, 2 * 12),
        ("rack_unit", {}, 2 * 12 * 2),
        ("rack_unit", {"rack_units": 3}, 2 * 3),
        ("rack_unit", {"rack_units": 300}, 2 * 24),
        ("rack_unit", {"mains": 3}, 2 * 24),
        ("mains", {}, 2 * 12),
        ("mains", {"mains": 3}, 2 * 3),
    ],
)
def test_pieces_of_what_is_bought_by_the_count(
    per: Any, needs: dict[str, Any], most: int
) -> None:
    extra = Extra("extra", "", per, 500, each=2)
    found = stated(DESK, replace(PRE, rack_units=2), extras=(extra,), **needs)
    assert found.max_extra == {"extra": most}


def test_leads_and_tees() -> None:
    leads = (*CABLES, LEAD)
    assert stated(DESK, PREAMP, cables=leads, mic=3, spare=1, instrument=2).max_leads == 6
    assert stated(DESK, PREAMP, cables=leads, mic=99).max_leads == 18
    assert stated(DESK, PREAMP, cables=leads, mic=0, line=3).max_leads == 0
    assert stated(DESK, PRE, cables=leads).max_leads == 0
    assert stated(DESK, PREAMP).max_leads == 0
    assert stated(DESK, PRE).max_tees == 0
    assert stated(DESK, PRE, cables=(*CABLES, TEE)).max_tees == 2 * 12
    found = stated(DESK, PREAMP, cables=(*leads, TEE))
    most = {c.kind: found.max_pieces(c) for c in found.cables}
    links, units = found.max_links, found.max_units
    assert most == {
        "analogue": 4,
        "tee": units,
        **dict.fromkeys(("coax", "optical", "word"), links),
    }
    assert found.plugs == {("jack", "jack")}
    assert found.most_lines == 18
    assert stated(DESK, PREAMP, cables=leads, max_hosts=2).most_lines == 36
    assert stated(DESK, PRE, cables=leads).plugs == frozenset()


def kept(*devices: Device, **needs: Any) -> tuple[set[str], set[str]]:
    """The types that can host, and those that can stand beside."""
    found = stated(*devices, **needs)
    return {d.id for d in found.hosts}, {d.id for d in found.satellites}


def test_types_that_can_be_in_a_rig() -> None:
    either = replace(DESK, id="either", role="either")
    assert kept(DESK, PRE, either) == ({"desk-8", "either"}, {"pre-8", "either"})
    # The computer has no such port: it may still stand beside.
    assert kept(DESK, PRE, either, ports=("pcie",)) == (set(), {"pre-8", "either"})
    slow = replace(PRE, id="slow", rates_hz=(44100,))
    old = replace(DESK, id="old", rates_hz=(44100,))
    assert kept(DESK, PRE, slow, old) == ({"desk-8"}, {"pre-8"})
    assert kept(DESK, PRE, slow, old, require=("slow",)) == ({"desk-8"}, {"pre-8"})
    direct = replace(slow, direct_out=4)
    assert kept(DESK, direct) == ({"desk-8"}, set())
    assert kept(DESK, direct, require=("slow",)) == ({"desk-8"}, {"slow"})
    assert kept(DESK, direct, cables=(*CABLES, LEAD)) == ({"desk-8"}, {"slow"})
    assert kept(DESK, direct, cables=(*CABLES, LEAD), mic=0, line=1) == ({"desk-8"}, set())
    assert kept(DESK, DI, PHONES) == ({"desk-8"}, set())
    assert kept(DESK, DI, PHONES, instrument=1) == ({"desk-8"}, {"di"})
    assert kept(DESK, DI, PHONES, out_phones=1) == ({"desk-8"}, {"ears"})
    assert kept(DESK, DI, PHONES, require=("di",)) == ({"desk-8"}, {"di"})
    # Who is not for sale, and who is there already.
    unsold = replace(PRE, id="unsold", price=None)
    assert kept(DESK, unsold) == ({"desk-8"}, set())
    assert kept(DESK, unsold, owned={"unsold": 1}) == ({"desk-8"}, {"unsold"})
    assert kept(DESK, PRE, avoid=("pre-8",)) == ({"desk-8"}, set())
    assert kept(DESK, PRE, owned_only=True, owned={"pre-8": 1}) == (set(), {"pre-8"})


def test_items_that_were_there_before() -> None:
    shop = catalogue(
        DESK, replace(PRE, price=None), cables=(replace(LEAD, price=None), *CABLES)
    )
    found = state(shop, Needs(mic=4), before=("pre-8", "lead"), resold=("desk-8",))
    assert [d.id for d in found.satellites] == ["pre-8"]
    assert "lead" in {c.id for c in found.cables}
    assert found.sellable == {"desk-8": 0}
    assert "lead" not in {c.id for c in state(shop, Needs(mic=4)).cables}


def test_cables_that_suit_some_run() -> None:
    lengths = {"short": 499, "near": 500, "far": 1000, "most": 10000, "long": 10001}
    cables = tuple(Cable(name, "", "optical", mm, 100) for name, mm in lengths.items())
    runs = {"host_to_rack_mm": 1000, "within_rack_mm": 500}
    found = stated(DESK, PRE, cables=(*cables, TEE), **runs)
    assert {c.id for c in found.cables} == {"near", "far", "most", "tee"}
    turned = {"host_to_rack_mm": 500, "within_rack_mm": 1000}
    assert stated(DESK, PRE, cables=(*cables, TEE), **turned).cables == found.cables
    owned = stated(
        DESK, PRE, cables=(replace(cables[1], price=None),), owned={"near": 1}, **runs
    )
    assert [c.id for c in owned.cables] == ["near"]
    assert [c.id for c in found.cables_of("tee")] == ["tee"]


def test_what_could_be_sold() -> None:
    stand = Extra("stand", "", "mic", None)
    found = stated(
        DESK,
        PRE,
        extras=(stand, replace(stand, id="clip"), replace(stand, id="sold", price=100)),
        owned={"pre-8": 2, "stand": 3, "clip": 1, "sold": 1},
        resale={"pre-8": 900, "stand": 10, "desk-8": 5000, "sold": 1},
    )
    assert found.sellable == {"pre-8": 2, "stand": 3, "sold": 1}
    assert found.sale == 2 * 900 + 3 * 10 + 1
    assert [extra.id for extra in found.extras] == ["sold"]
    assert [extra.id for extra in found.idle_extras] == ["stand"]
    assert set(found.max_extra) == {"stand", "sold"}
    assert found.owned("pre-8") == 2
    assert found.owned("desk-8") == 0


def shop_of(*offers: Offer, **terms: Any) -> Catalogue:
    seller = Seller("shop", **{"currency": "EUR", **terms})
    plain = catalogue(DESK, replace(PRE, price=None))
    return replace(plain, offers=offers, sellers={"shop": seller})


TWO_EUROS = Needs(mic=4, exchange={"EUR": Decimal(2)})


def test_prices_and_stocks() -> None:
    offers = [
        Offer("pre-8", "shop", 3001, stock=3),
        Offer("pre-8", "shop", 3201, pack=2, stock=2),
    ]
    found = state(shop_of(*offers), TWO_EUROS)
    assert found.price("pre-8") == 800  # 1600.5 for two
    assert found.price("desk-8") == 30000
    assert found.price("nothing") == 0
    assert found.obtainable("pre-8") == 3 + 2 * 2
    assert not found.unlimited("pre-8")
    assert found.unlimited("desk-8")
    owned = state(shop_of(*offers), replace(TWO_EUROS, owned={"pre-8": 5}))
    assert owned.obtainable("pre-8") == 12
    assert not found.capped
    assert state(shop_of(), replace(TWO_EUROS, sellers=0)).capped
    assert [way.stock for way in found.ways("pre-8")] == [3, 2]


def test_packs_and_money_of_a_rig() -> None:
    """12 units, 14 links; and to get rid of 5.00, nothing, or four at 1.00."""
    plain = stated(DESK, PRE)
    assert plain.max_packs == 12 + 14
    assert plain.dearest == 30000
    assert plain.max_money == 30000 * 26
    stand = Extra("stand", "", "rig", 100, each=2)
    assert stated(DESK, PRE, extras=(stand,)).max_packs == 26 + 2
    assert stated(DESK, PREAMP, cables=(*CABLES, LEAD, TEE)).max_packs == 16 + 14 + 2 * 16 + 4
    terms = {"currency": "GBP", "delivery": 500, "free_over": 30000}
    few = state(
        shop_of(Offer("pre-8", "shop", 100), Offer("desk-8", "shop", 40000), **terms), TWO_EUROS
    )
    assert few.max_packs == 26 + 4
    assert few.dearest == 30000 + 1
    # Below the limit with a fee for each, and a penny for what is rounded.
    some = state(shop_of(Offer("pre-8", "shop", 29999, stock=1), **terms), TWO_EUROS)
    assert some.dearest == 30499 + 1
    sold = stated(DESK, PRE, owned={"pre-8": 2}, resale={"pre-8": 900})
    assert sold.max_money == 30000 * 26 + 1800
    middle = replace(plain, pricing=Pricing("middle"))
    assert middle.max_money == 2 * 30000 * 26
    assert replace(plain, pricing=Pricing("against")).max_money == 30000 * 26


def test_what_comes_first_weighs_more_than_all_that_comes_after() -> None:
    """12 units, 14 links, 3 hops, 18 channels that arrive, 26 packs; and orders."""
    plain = stated(DESK, PRE)
    hop = 27 * (18 + 1)
    unit = hop * (3 + 1) * (14 + 1)
    assert weights(plain) == (unit * (12 + 1), unit, hop * 4, hop, 27, 1)
    assert weights(replace(plain, dropped=1)) == (
        19 * 4 * 15 * 13,
        19 * 4 * 15,
        19 * 4,
        19,
        1,
        0,
    )
    assert weights(replace(plain, dropped=2)) == (4 * 15 * 13, 4 * 15, 4, 1, 0, 0)
    sold = state(shop_of(Offer("pre-8", "shop", 100)), TWO_EUROS)
    assert weights(sold)[-2:] == (2 * 27, 2)


def test_what_is_fed() -> None:
    assert not stated(DESK, PRE, PHONES).feeds
    assert stated(DESK, PRE, out_line=1).feeds
    assert stated(DESK, PRE, PHONES, out_phones=1).feeds
    assert not stated(DESK, PRE, out_phones=1).feeds


def test_hosts_in_one_place_or_apart() -> None:
    found = stated(DESK, PRE, max_hosts=3)
    assert (list(found.slots), found.per_slot) == ([0], 3)
    apart = found.apart()
    assert (list(apart.slots), apart.per_slot) == ([0, 1, 2], 1)
    one = found.only({"desk-8"}, {"opt-1m"})
    assert ([d.id for d in one.devices], [c.id for c in one.cables]) == (["desk-8"], ["opt-1m"])
    owned = stated(DESK, PRE, owned={"coax-1m": 1}).only({"pre-8"}, ())
    assert ([d.id for d in owned.devices], [c.id for c in owned.cables]) == (
        ["pre-8"],
        ["coax-1m"],
    )


def test_the_problem_of_one_mix() -> None:
    """Three units: two sockets of the desk, and a clock for each."""
    stand, clip = Extra("stand", "", "unit", 100), Extra("clip", "", "mic", 100)
    large = replace(DESK, id="large", mic_line=80, optical_in=9)
    boxes = (DESK, large, PRE, PREAMP)
    shop = stated(*boxes, cables=(*CABLES, LEAD, TEE), extras=(stand, clip), mic=20)
    small = chosen(shop, {"desk-8": 1, "pre-8": 2}, ["opt-1m", "stand"])
    assert (small.max_units, small.max_links, small.max_joined) == (3, 2 + 3, 2)
    assert (small.max_arriving, small.max_leads, small.max_tees) == (18, 0, 0)
    assert [c.id for c in small.cables] == ["opt-1m"]
    assert set(small.supplies) == {"desk-8", "pre-8", "opt-1m", "stand", "clip"}
    assert small.max_extra == {"stand": 3, "clip": 20}
    assert small.most == {"desk-8": 1, "pre-8": 2}
    wired = chosen(shop, {"desk-8": 1, "preamp": 1}, ["lead", "tee"])
    assert (wired.max_units, wired.max_leads, wired.max_tees) == (2, 18, 4)
    assert chosen(shop, {"desk-8": 1, "preamp": 1}, ["tee"]).max_leads == 0
    assert chosen(shop, {"desk-8": 1, "large": 1}, []).max_arriving == 80 + 9 * 8 + 2
    # A host that only fills an order brings nothing.
    assert chosen(shop, {"desk-8": 1}, ["large"]).max_arriving == 8 + 8 + 2


# --- ways to buy -----------------------------------------------------------------------------

FEE = OrderTerms(Fraction(1), 500)
FREE = OrderTerms(Fraction(1), 500, 30000)
HALF = OrderTerms(Fraction(1, 2), 500)
TERMS = {
    **{"fee": FEE, "free": FREE, "half": HALF},
    **{"third": OrderTerms(Fraction(1, 3)), "double": OrderTerms(Fraction(2))},
}


def at(price: int, seller: str | None = None, **more: Any) -> Supply:
    return Supply("x", price, seller=seller, **more)


@pytest.mark.parametrize(
    ("cheap", "dear", "capped", "does"),
    [
        (at(99), at(100), False, True),
        (at(100), at(100), False, False),
        (at(99), at(100, least=99), False, False),
        (at(98), at(100, least=99), False, True),
        (at(99, stock=1), at(100), False, False),
        (at(99), at(100), True, True),
        (at(99), at(100, "fee"), True, True),
        # One more order, with its fee.
        (at(100, "fee"), at(600), False, False),
        (at(100, "fee"), at(601), False, True),
        (at(100, "fee"), at(601), True, False),
        (at(30000, "free"), at(30001), False, True),
        (at(29999, "free"), at(30499), False, False),
        (at(29999, "free"), at(30500), False, True),
        # One pack fewer there, where delivery may cost again.
        (at(100), at(601, "free"), False, True),
        (at(100), at(600, "free"), False, False),
        (at(100), at(101, "fee"), False, True),
        # At one seller.
        (at(99, "fee"), at(100, "fee"), False, True),
        (at(99, "fee"), at(100, "fee"), True, True),
        (at(100, "free"), at(601, "free"), False, True),
        (at(100, "free"), at(600, "free"), False, False),
        (at(100, "half"), at(102, "half"), False, True),
        (at(100, "half"), at(101, "half"), False, False),
        # Each of the other counts two.
        (at(100), at(51, "double"), False, True),
        (at(100), at(50, "double"), False, False),
        (at(50, "double"), at(101), False, True),
        (at(50, "double"), at(100), False, False),
        # Both round: two minor units.
        (at(0), at(3, "third"), False, True),
        (at(0), at(2, "third"), False, False),
        (at(100, "half"), at(903, "third"), False, False),
        (at(100, "half"), at(905, "third"), False, False),
        (at(100, "half"), at(906, "third"), False, True),
    ],
)
def test_one_way_to_buy_that_always_costs_less(
    cheap: Supply, dear: Supply, capped: bool, does: bool
) -> None:
    assert beats(cheap, dear, TERMS, capped) is does
    assert (unbeaten((cheap, dear), TERMS, capped) == (cheap,)) is does
    large = replace(dear, pack=2)
    assert unbeaten((cheap, large), TERMS, capped) == (cheap, large)


def test_what_a_pack_costs_at_most_and_saves_at_least() -> None:
    assert [upper(at(100, name), TERMS) for name in (None, "fee", "half")] == [100, 600, 300]
    assert [upper(at(p, "free"), TERMS) for p in (29999, 30000)] == [30499, 30000]
    assert cost((), TERMS) == 0
    assert cost((at(100),), TERMS) == 100
    assert cost((at(100, pack=4),), TERMS) == 25
    assert cost((at(100, pack=2),), TERMS) == 50
    assert cost((at(100), at(50)), TERMS) == 50
    assert cost((at(100, "fee"),), TERMS) == 600
    assert cost((at(100, "fee"), at(550)), TERMS) == 550
    assert cost((at(100, "fee"), at(700)), TERMS) == 600


def test_a_type_that_is_bought_for_less_however_it_is_bought() -> None:
    cheap, dear = (at(100), at(120, "fee")), (at(130), at(140, "free", pack=1))
    assert always_cheaper(cheap, dear[:1], TERMS, False)
    assert not always_cheaper(cheap, dear, TERMS, False)  # delivery may cost again
    assert not always_cheaper(cheap, (replace(dear[0], pack=2),), TERMS, False)
    assert not always_cheaper((replace(cheap[0], pack=2),), dear[:1], TERMS, False)
    assert always_cheaper((at(100), at(1)), (at(50), at(100)), TERMS, False)
    assert not always_cheaper((at(100), at(60)), (at(50), at(200)), TERMS, False)


def test_what_is_known_of_plain_prices() -> None:
    assert known_dearer((at(5),), (at(5),))  # their order says so
    assert known_dearer((at(5),), (at(9, least=5),))
    assert not known_dearer((at(5),), (at(9, least=4),))
    assert known_dearer((at(5),), (at(9, least=6),), by=1)
    assert not known_dearer((at(5),), (at(9, least=5),), by=1)
    assert not known_dearer((at(5, least=1),), (at(4),))
    assert known_dearer((at(9), at(5)), (at(7),))


def test_each_finds_a_place_of_its_own() -> None:
    assert matched([])
    assert matched([[0], [1]])
    assert not matched([[0], [0]])
    assert matched([[0, 1], [0]])
    assert matched([[0, 1], [1, 2], [0]])
    assert matched([[0, 1], [0, 1], [1, 2]])
    assert not matched([[0, 1], [0, 1], [0, 1]])
    assert not matched([[0]], taken={0})
    assert matched([[0, 1]], taken={0})
    assert not matched([[0, 1], [0, 1]], taken={0})


def test_how_many_packs_could_fill_an_order() -> None:
    """For less than the fee, where the fee can fall away."""
    assert [FREE.surplus(price) for price in (0, 100, 124, 125, 499, 500)] == [0, 4, 4, 3, 1, 0]
    assert FEE.surplus(100) == 0


def test_terms_of_a_seller() -> None:
    def terms(**more: Any) -> OrderTerms:
        return state(shop_of(Offer("pre-8", "shop", 100), **more), TWO_EUROS).order_terms[
            "shop"
        ]

    assert terms(delivery=500) == OrderTerms(Fraction(1, 2), 500, None)
    assert terms(delivery=500, free_over=900) == OrderTerms(Fraction(1, 2), 500, 900)
    assert terms(delivery=500, free_over=0) == OrderTerms(Fraction(1, 2), 0, None)
    assert terms(free_over=900) == OrderTerms(Fraction(1, 2), 0, None)
    assert terms().exact is False
    assert terms(currency="GBP").exact is True


def test_offers_that_count() -> None:
    def ways(*offers: Offer, **needs: Any) -> list[tuple[int, int | None]]:
        shop = shop_of(*(replace(offer, item="pre-8") for offer in offers), currency="GBP")
        found = state(shop, Needs(mic=4, **needs)).ways("pre-8")
        return [(way.price, way.stock) for way in found]

    used, new = (
        Offer("", "shop", 90, condition="used", stock=1),
        Offer("", "shop", 100, stock=2),
    )
    assert ways(used, new) == [(90, 1), (100, 2)]
    assert ways(used, new, new_only=True) == [(100, 2)]
    assert ways(used, replace(new, condition="NEW"), new_only=True) == [(100, 2)]
    assert ways(replace(used, price=100), new) == [(100, 2), (100, 1)]
    assert ways(replace(new, stock=0)) == []
    assert ways(new, replace(new, stock=3)) == [(100, 5)]
    assert ways(new, replace(new, stock=None)) == [(100, None)]


def test_sets_of_sources_and_who_serves_them() -> None:
    every = [(("a",), 1), (("b",), 2), (("c",), 4), (("a", "b"), 3), (("a", "c"), 5)]
    every += [(("b", "c"), 6), (("a", "b", "c"), 7)]
    assert list(subsets({"a": 1, "b": 2, "c": 4})) == every
    mic, on, off = Group("mic"), Group("mic", "on"), Group("mic", "off")
    assert [serves("mic", True, one) for one in (mic, on, off)] == [True, True, False]
    assert [serves("mic", False, one) for one in (mic, on, off)] == [True, False, True]
    assert not serves("line", False, mic)
    assert serves("mic_line", True, Group("line"))
    assert serves_any("mic", True, (off, on)) == 1
    assert serves_any("mic", True, (off, Group("line"))) == 0


def test_numbers_of_links() -> None:
    links = Links([("b", 2), ("a", 1), ("c", 0)])
    assert (links["a"], links["c"], links["d"], len(links), list(links)) == (
        1,
        0,
        0,
        2,
        ["a", "b"],
    )
    assert links == Links([("a", 1), ("b", 2)])
    assert links != Links([("a", 1)])
    assert links != {"a": 1, "b": 2}
    assert "a" in links
    assert "c" not in links
    assert links.plus("a", -1) == Links([("b", 2)])
    assert links.plus("c", 3) == Links([("a", 1), ("b", 2), ("c", 3)])
    assert links.with_(Links([("a", 1), ("c", 1)])) == Links([("a", 2), ("b", 2), ("c", 1)])
    assert hash(links) == hash(Links([("a", 1), ("b", 2)]))


def test_an_expander_may_stand_by_its_direct_outs_alone() -> None:
    """A host, what its two sockets bring, and up to three clocks on the way to each: 12. Each
    of 16 microphones may come by a direct out of a unit more."""
    host, lead = (
        replace(DESK, line=8),
        Cable("lead", "", "analogue", 1000, 1, ends=("jack",) * 2),
    )

    def most(box: Device) -> int:
        return state(catalogue(host, box, cables=(*CABLES, lead)), Needs(mic=16)).max_units

    assert most(PRE) == 12
    assert most(replace(PRE, direct_out=8)) == 12 + 16
