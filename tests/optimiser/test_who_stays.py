"""Which types are looked at: a dearer one with something more stays where that is of use in
what is asked for, and goes where it is not.

That it goes is no matter of money but of time, and is told here.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller, SocketRef
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.wirings import Wiring
from tests.world import CABLES, catalogue

HOST = Device(
    "host",
    "",
    "host",
    30000,
    mic_line=8,
    phantom_bank=4,
    line_out=4,
    phones=1,
    optical_in=2,
    optical_out=2,
    coax_in=1,
    clock_in=("optical",),
    rack_units=1,
)
BOX = Device(
    "box",
    "",
    "expander",
    20000,
    mic_line=8,
    phantom_bank=4,
    line_out=2,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    rack_units=1,
)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
XLR = replace(LEAD, id="xlr", ends=("xlr", "jack"))
PREAMP = Device("preamp", "", "preamp", 9000, mic=4, phantom_bank=4, direct_out=4)
LISTENS = replace(BOX, optical_in=0, word_in=1, clock_in=("word",))
WORD_BOX = replace(
    BOX, id="listens", price=50000, optical_in=0, line_out=0, word_in=1, clock_in=("word",)
)
SENDS_WORD = Device("sends", "", "clock", 5000, word_out=2)
SMALL = Device("small", "", "expander", 90000, mic=2, coax_out=1)
DI = Device("di", "", "di", 2000, inst=2, di_phantom=True)
DRY_DI = replace(DI, di_phantom=False)
LINE_HOST = replace(HOST, mic_line=0, line=8, phantom_bank=0)
EARS = Device("ears", "", "headphones", 5000, phones=4, line_in=2)
TWENTY = Needs(mic=20)
"""More than a host has, so that a box is of use."""


def left(
    shop: Catalogue, needs: Needs, ranks: int = 1, focus: tuple[str, ...] = ()
) -> set[str]:
    """The types that are looked at, a host only where it hosts."""
    found = columns(state(shop, needs), ranks, focus)
    return {c.device.id for c in found.hosts} | {c.device.id for c in found.satellites}


def stays(
    base: Device,
    more: dict[str, Any],
    needs: dict[str, Any],
    *others: Device,
    cables: tuple[Cable, ...] = CABLES,
) -> bool:
    """Whether a twin stays that is dearer by 1.00, and has `more`; the base does anyway."""
    twin = replace(base, id="twin", **{"price": (base.price or 0) + 100, **more})
    there = [d for d in (HOST, BOX) if d.role != base.role]
    shop = catalogue(base, twin, *there, *others, cables=cables)
    found = left(shop, replace(TWENTY, **needs))
    assert base.id in found
    return "twin" in found


@pytest.mark.parametrize(
    ("base", "more", "needs", "others", "does"),
    [
        # The same for more money.
        (BOX, {}, {}, (), False),
        (HOST, {}, {}, (), False),
        # Outputs.
        (BOX, {"line_out": 4}, {"out_line": 4}, (), True),
        (BOX, {"line_out": 4}, {}, (), False),
        (BOX, {"line_out": 4}, {"out_phones": 4}, (EARS,), True),
        (HOST, {"line_out": 6}, {"out_line": 4}, (), True),
        (HOST, {"line_out": 6}, {}, (), False),
        (HOST, {"phones": 2}, {"out_phones": 1}, (), True),
        (HOST, {"phones": 2}, {}, (), False),
        (HOST, {}, {"out_phones": 1}, (), False),
        (BOX, {"phones": 2}, {"out_phones": 1}, (), False),  # its phones hear no computer
        # What it can take its clock from, and give.
        (BOX, {"word_in": 1, "clock_in": ("optical", "word")}, {}, (SENDS_WORD,), True),
        (BOX, {"word_in": 1, "clock_in": ("optical", "word")}, {}, (), False),
        (BOX, {"word_in": 1}, {}, (SENDS_WORD,), False),
        (replace(HOST, word_end="fixed"), {"word_end": "switch"}, {}, (), False),
        (LISTENS, {"word_end": "fixed"}, {}, (SENDS_WORD,), False),
        (LISTENS, {"word_end": "none"}, {}, (SENDS_WORD,), False),
        (replace(LISTENS, word_end="fixed"), {"word_end": "fixed"}, {}, (SENDS_WORD,), False),
        (replace(LISTENS, word_end="fixed"), {"word_end": "none"}, {}, (SENDS_WORD,), True),
        (replace(LISTENS, word_end="fixed"), {"word_end": "switch"}, {}, (SENDS_WORD,), True),
        (replace(LISTENS, word_end="none"), {"word_end": "switch"}, {}, (SENDS_WORD,), True),
        (replace(BOX, word_end="none"), {"word_end": "switch"}, {}, (SENDS_WORD,), False),
        (BOX, {"word_out": 1}, {}, (WORD_BOX,), True),
        (BOX, {"word_out": 1}, {}, (), False),
        (HOST, {"word_out": 1}, {}, (WORD_BOX,), True),
        (BOX, {"optical_out": 2}, {}, (), True),
        (BOX, {"optical_out": 2, "optical_1x": 1}, {}, (), False),
        # Eight channels by one socket, or by four.
        (
            replace(BOX, optical_out=0, coax_out=4),
            {"optical_out": 1, "coax_out": 0},
            {},
            (),
            True,
        ),
        # Four outputs fed by one link, or by two.
        (
            replace(BOX, optical_in=0, coax_in=2, line_out=4, clock_in=()),
            {"optical_in": 1, "coax_in": 0},
            {"out_line": 8},
            (),
            True,
        ),
        # Sockets of a host, and what arrives by them.
        (HOST, {"optical_in": 3}, {}, (), True),
        (HOST, {"coax_in": 2}, {}, (SMALL,), True),
        (HOST, {"optical_stereo": 1}, {}, (), True),
        (replace(HOST, max_in_1x=20), {"max_in_1x": 21}, {}, (), True),
        (HOST, {"max_in_1x": 26}, {}, (), False),  # all there are: 8, two of 8 and one of 2
        # Converters.
        (HOST, {"rate_converter": ("optical",)}, {}, (), True),
        (BOX, {"rate_converter": ("optical",)}, {}, (), False),
        (BOX, {"rate_converter": ("optical",)}, {"out_line": 2}, (), True),
        # Channels.
        (BOX, {"mic_line": 7, "mic_line_inst": 1}, {}, (), False),
        (BOX, {"mic_line": 7, "mic_line_inst": 1}, {"instrument": 1}, (), True),
        (replace(BOX, mic_line=7), {"mic_line": 8}, {}, (), True),
        (BOX, {"mic_line": 9}, {}, (), False),
        (BOX, {"mic_line": 0, "line": 8}, {}, (), False),
        (replace(HOST, mic_line=0, mic=8), {"mic_line": 8, "mic": 0}, {}, (), False),
        (replace(HOST, mic_line=0, mic=8), {"mic_line": 8, "mic": 0}, {"line": 1}, (), True),
        (LINE_HOST, {"mic_line": 8, "line": 0}, {"mic": 0, "instrument": 1}, (DRY_DI,), True),
        # 48 V.
        (BOX, {"phantom_bank": 2}, {"phantom": 4}, (), False),
        (BOX, {"phantom_bank": 2}, {"no_phantom": 4}, (), False),
        (BOX, {"phantom_bank": 2}, {"phantom": 4, "no_phantom": 4}, (), True),
        (BOX, {"phantom_bank": 3}, {"phantom": 4, "no_phantom": 4}, (), True),
        (BOX, {"phantom_bank": 8}, {"phantom": 4, "no_phantom": 4}, (), False),
        (replace(BOX, phantom_bank=0), {"phantom_bank": 8}, {"phantom": 4}, (), True),
        (replace(BOX, phantom_bank=0), {"phantom_bank": 8}, {}, (), False),
        (replace(BOX, phantom_bank=0), {"phantom_bank": 8}, {"instrument": 1}, (DI,), True),
        (
            replace(BOX, phantom_bank=0),
            {"phantom_bank": 8},
            {"instrument": 1},
            (DRY_DI,),
            False,
        ),
        (replace(BOX, phantom_bank=(4,)), {"phantom_bank": 4}, {"phantom": 4}, (), True),
        # Room.
        (BOX, {"rack_units": 0}, {"rack_units": 9}, (), True),
        (BOX, {"rack_units": 0}, {}, (), False),
        (BOX, {"mains": 0}, {"mains": 9}, (), True),
        (BOX, {"mains": 0}, {}, (), False),
        (BOX, {"mains": 0}, {"rack_units": 9}, (), False),
        (BOX, {"rack_units": 0}, {"mains": 9}, (), False),
        # Named by the needs.
        (BOX, {}, {"owned": {"twin": 1}}, (), True),
        (BOX, {}, {"owned": {"box": 1}}, (), False),
        (BOX, {}, {"owned": {"box": 1}, "resale": {"box": 25000}}, (), True),
        (BOX, {}, {"require": ("twin",)}, (), True),
        # Only one of the two may be the master.
        (replace(BOX, internal_clock=False), {"internal_clock": True}, {}, (), True),
        (BOX, {"internal_clock": False}, {}, (), False),
        (
            replace(HOST, internal_clock=False),
            {"internal_clock": True},
            {"master": "expander"},
            (),
            False,
        ),
        (
            replace(BOX, internal_clock=False),
            {"internal_clock": True},
            {"master": "host"},
            (replace(HOST, id="conv", price=90000, rate_converter=("optical",)),),
            True,
        ),
        (BOX, {}, {"master": "twin"}, (), True),
        (HOST, {}, {"master": "twin"}, (), True),
        (BOX, {}, {"master": "box"}, (), False),
        # At one price more microphones that arrive decide, wanted or not.
        (BOX, {"price": 20000}, {}, (), False),
        (replace(BOX, mic_line=4, line=4), {"mic_line": 8, "line": 0}, {}, (), True),
        (
            replace(BOX, id="zbox", mic_line=4, line=4),
            {"mic_line": 8, "line": 0},
            {"mic": 0, "line": 12},
            (),
            False,
        ),
        (
            replace(BOX, mic_line=4, mic=0, line=4),
            {"mic_line": 8, "line": 0},
            {"mic": 0, "line": 12},
            (),
            False,
        ),
        (
            replace(BOX, mic_line=4, mic=0, line=4),
            {"mic_line": 8, "line": 0, "price": 20000},
            {"mic": 0, "line": 12},
            (),
            True,
        ),
    ],
)
def test_what_is_of_use_keeps_a_type(
    base: Device,
    more: dict[str, Any],
    needs: dict[str, Any],
    others: tuple[Device, ...],
    does: bool,
) -> None:
    assert stays(base, more, needs, *others) is does


def test_of_equal_types_the_first_id_stays() -> None:
    same = [replace(BOX, id=name) for name in "cab"]
    shop = catalogue(HOST, *same)
    assert left(shop, TWENTY) == {"host", "a"}
    assert left(shop, TWENTY, ranks=2) == {"host", "a", "b"}
    assert left(shop, TWENTY, ranks=3) == {"host", "a", "b", "c"}
    assert left(shop, TWENTY, ranks=0) == {"host", "a", "b", "c"}
    assert left(shop, TWENTY, focus=("c",)) == {"host", "a", "c"}
    # Whose price is in question takes the place of none.
    assert left(shop, TWENTY, focus=("a",)) == {"host", "a", "b"}


def test_who_takes_a_place_must_be_there_in_any_number() -> None:
    cheap, dear = replace(BOX, id="cheap", price=None), BOX
    shop = replace(
        catalogue(HOST, cheap, dear),
        offers=(Offer("cheap", "shop", 1000, stock=3),),
        sellers={"shop": Seller("shop", "GBP")},
    )
    assert left(shop, TWENTY) == {"host", "cheap", "box"}
    assert left(replace(shop, offers=(Offer("cheap", "shop", 1000),)), TWENTY) == {
        "host",
        "cheap",
    }


@pytest.mark.parametrize(("per", "column"), [("rack_unit", "rack_units"), ("mains", "mains")])
def test_room_that_is_paid_for(per: Any, column: str) -> None:
    less: dict[str, Any] = {column: 0}
    shop = catalogue(HOST, BOX, replace(BOX, id="thin", price=20100, **less))
    assert left(shop, TWENTY) == {"host", "box"}
    others: dict[str, Any] = {"rack_unit": "mains", "mains": "rack_unit"}
    for what, does in ((per, True), (others[per], False)):
        paid = replace(shop, extras={"room": Extra("room", "", what, 500)})
        assert ("thin" in left(paid, TWENTY)) is does
        owned = replace(shop, extras={"room": Extra("room", "", what, None)})
        needs = replace(TWENTY, owned={"room": 9}, resale={"room": 100})
        assert ("thin" in left(owned, needs)) is does


LINED = replace(HOST, line=8)


@pytest.mark.parametrize(
    ("base", "more", "does"),
    [
        (PREAMP, {}, False),
        (PREAMP, {"mic": 5, "direct_out": 5}, True),
        (replace(PREAMP, phantom_bank=(4,)), {"mic": 5, "direct_out": 5}, True),
        (replace(PREAMP, direct_out=3), {"direct_out": 4}, True),
        (replace(PREAMP, phantom_bank=(4,)), {"mic": 5}, False),  # the fifth has no direct out
        (PREAMP, {"direct_plug": "xlr"}, True),
        (PREAMP, {"direct_plug": "dsub"}, False),  # no cable suits it
        (PREAMP, {"phantom_bank": 2}, True),
        (replace(PREAMP, phantom_bank=0), {"phantom_bank": 4}, True),
        (replace(PREAMP, phantom_bank=2), {"phantom_bank": 4}, False),
        (PREAMP, {"mic": 3, "mic_line_inst": 1}, True),
        (replace(PREAMP, direct_out=1), {"mic": 3, "mic_line_inst": 1}, True),
        (replace(PREAMP, direct_out=1, mic=3, mic_line_inst=1), {}, False),
        (LINED, {}, False),
        (LINED, {"line": 9}, True),
        (LINED, {"phantom_bank": 2}, True),
        (replace(LINED, line_plug="xlr"), {"line_plug": "jack"}, True),
        (LINED, {"line_plug": "xlr"}, False),
    ],
)
def test_analogue_halves(base: Device, more: dict[str, Any], does: bool) -> None:
    others = (PREAMP, LINED)[base.role == "preamp"]
    needs = {"instrument": 1, "no_phantom": 1, "phantom": 1}
    assert stays(base, more, needs, others, cables=(*CABLES, LEAD, XLR)) is does


@pytest.mark.parametrize(
    ("base", "more", "does"),
    [
        (DI, {}, False),
        (DI, {"inst": 3}, True),
        (replace(DI, inst=3), {"inst": 2}, False),
        (DI, {"di_phantom": False}, True),
        (replace(DI, di_phantom=False), {"di_phantom": True}, True),
        (EARS, {}, False),
        (EARS, {"phones": 5}, True),
        (EARS, {"phones": 3}, False),
        (EARS, {"line_in": 1}, True),
        (EARS, {"line_in": 3}, False),
    ],
)
def test_boxes_without_links(base: Device, more: dict[str, Any], does: bool) -> None:
    others = (BOX, EARS if base.role == "di" else DI)
    needs = {"instrument": 2, "out_phones": 3}
    assert stays(base, more, needs, *others) is does


@pytest.mark.parametrize(
    ("least", "does"),
    [(None, False), (20001, False), (20000, False), (19999, True)],
)
def test_a_range_that_begins_below_the_other_price(least: int | None, does: bool) -> None:
    assert stays(BOX, {"least": least}, {}) is does
    assert stays(replace(BOX, least=15000), {"least": least}, {}) is does


FIRST, SECOND = SocketRef("optical", "in", 1), SocketRef("optical", "in", 2)


@pytest.mark.parametrize(
    ("either", "more", "does"),
    [
        ((), (), False),
        (((FIRST, SECOND),), (), True),
        ((), ((FIRST, SECOND),), False),
        (((FIRST, SECOND),), ((FIRST, SECOND),), False),
    ],
)
def test_sockets_that_work_together(either: Any, more: Any, does: bool) -> None:
    assert stays(replace(HOST, coax_in=0, either=either), {"either": more}, {"mic": 9}) is does


def test_an_input_whose_bank_must_be_off() -> None:
    """An XLR for microphones takes a direct out only without 48 V: small banks are of use."""
    mixed, leads = replace(HOST, line_plug="xlr"), (replace(LEAD, ends=("jack", "xlr")),)
    for phantom, does in ((4, True), (0, False)):
        needs = {"phantom": phantom}
        cables = (*CABLES, *leads)
        assert stays(mixed, {"phantom_bank": 2}, needs, PREAMP, cables=cables) is does


def test_a_box_with_links_takes_no_place_of_one_without() -> None:
    cheap = replace(BOX, direct_out=4, price=1000)
    shop = catalogue(LINED, cheap, DI, EARS, cables=(*CABLES, LEAD))
    needs = replace(TWENTY, instrument=1, out_phones=3)
    assert left(shop, needs) == {"host", "box", "di", "ears"}


def test_what_is_owned_and_not_for_sale_is_not_there_in_any_number() -> None:
    shop = catalogue(HOST, BOX, replace(BOX, id="old", price=None))
    assert left(shop, replace(TWENTY, owned={"old": 1})) == {"host", "box", "old"}
    assert left(shop, TWENTY) == {"host", "box"}


def test_only_who_can_lock_to_what_feeds_its_outputs() -> None:
    """Its one input is taken by what feeds it, so that nothing else can bring the clock."""
    deaf = replace(BOX, clock_in=())
    shop = catalogue(HOST, deaf, replace(BOX, id="hears", price=20100))
    found = columns(state(shop, replace(TWENTY, out_line=6)))
    fed = {c.device.id for c in found.satellites if c.wiring.links and c.wiring.returns}
    assert fed == {"box", "hears"}


MORE_LINES: dict[str, Any] = {"mic_line": 4, "line": 4}
MORE_MICS: dict[str, Any] = {"mic_line": 8, "line": 0}
LINES: dict[str, Any] = {"mic": 0, "line": 12}


@pytest.mark.parametrize(("least", "does"), [(20000, True), (20001, False), (20002, False)])
def test_microphones_that_nobody_asks_for_and_ranges(least: int, does: bool) -> None:
    """They have a say, unless the other costs more whatever it costs."""
    base = replace(BOX, mic_line=4, line=4)
    assert stays(base, {**MORE_MICS, "least": least}, LINES) is does
    assert stays(replace(base, least=1), {**MORE_MICS, "least": least}, LINES) is does


def of_sellers(
    cheap: int, dear: int, more: dict[str, Any], needs: dict[str, Any], **terms: Any
) -> set[str]:
    """What is left of a box and of one that has `more`, both sold by sellers of those terms."""
    names = terms.pop("names", ("shop", "shop"))
    boxes = [replace(BOX, **MORE_LINES, price=None)]
    boxes.append(replace(boxes[0], id="twin", **more))
    pairs = zip(boxes, names, (cheap, dear), strict=True)
    offers = tuple(Offer(box.id, name, price) for box, name, price in pairs if name)
    plain = [
        replace(box, price=None if name else price)
        for box, name, price in zip(boxes, names, (cheap, dear), strict=True)
    ]
    sellers = {name: Seller(name, "GBP", **terms) for name in names if name}
    shop = replace(catalogue(HOST, *plain), offers=offers, sellers=sellers)
    return left(shop, replace(TWENTY, **needs)) - {"host"}


def test_what_is_cheaper_at_sellers() -> None:
    """In any order it may be part of."""
    same: dict[str, Any] = {"more": {}, "needs": {}}
    fee: dict[str, Any] = {"delivery": 500}
    apart = ("shop", "store")
    assert of_sellers(20000, 20001, **same) == {"box"}
    assert of_sellers(20000, 20000, **same) == {"box", "twin"}
    assert of_sellers(20000, 20001, **same, **fee) == {"box"}
    # Another order may be one more, with a fee of its own.
    assert of_sellers(20000, 20001, **same, **fee, names=apart) == {"box", "twin"}
    assert of_sellers(20000, 20500, **same, **fee, names=apart) == {"box", "twin"}
    assert of_sellers(20000, 20501, **same, **fee, names=apart) == {"box"}
    # Without it the goods may not reach the limit for free delivery.
    free: dict[str, Any] = {"delivery": 500, "free_over": 30000}
    assert of_sellers(20000, 20500, **same, **free) == {"box", "twin"}
    assert of_sellers(20000, 20501, **same, **free) == {"box"}
    # A plain price is in no order.
    assert of_sellers(20000, 20001, **same, **fee, names=(None, "shop")) == {"box"}
    assert of_sellers(20000, 20400, **same, **fee, names=("shop", None)) == {"box", "twin"}
    assert of_sellers(20000, 20501, **same, **fee, names=("shop", None)) == {"box"}
    # With a limit on sellers, there may be no order for it.
    few: dict[str, Any] = {"more": {}, "needs": {"sellers": 1}}
    assert of_sellers(20000, 29000, **few, names=apart) == {"box", "twin"}
    assert of_sellers(20000, 20001, **few) == {"box"}


def test_microphones_that_nobody_asks_for_and_sellers() -> None:
    """What comes next has its say where a cheaper one may not be cheaper in all."""
    assert of_sellers(20000, 29000, MORE_MICS, LINES) == {"box", "twin"}
    assert of_sellers(20000, 29000, MORE_MICS, LINES, names=(None, None)) == {"box"}


def test_hosts_apart_are_no_less_looked_at() -> None:
    shop = catalogue(HOST, BOX, replace(BOX, id="twin", price=20100))
    problem = state(shop, Needs(mic=40, max_hosts=2)).apart()
    found = columns(problem)
    assert {c.device.id for c in found.satellites} == {"box"}
    assert {c.wiring.slot for c in found.satellites} == {0, 1, None}
    assert {c.slot for c in found.hosts} == {0, 1}


OUT, COAX_OUT = SocketRef("optical", "out", 1), SocketRef("coax", "out", 1)


def test_of_its_own_ways_a_type_keeps_the_better() -> None:
    """Nobody locks to coax, so the way with both optical outputs does all that the other does;
    and the first of two sockets for one link brings eight channels, the second two."""
    box = replace(BOX, optical_out=2, coax_out=1, either=((OUT, COAX_OUT),))
    host = replace(HOST, coax_in=0, max_in_1x=18, either=((FIRST, SECOND),))
    problem = state(catalogue(host, box), replace(TWENTY, mic=14))
    every, few = columns(problem, ranks=0), columns(problem)
    assert (len(every.hosts), len(few.hosts)) == (2, 1)
    assert {port.arrives for port, _ in few.hosts[0].hosting.ports if port.side == "in"} == {
        (("light-pipe", 8),)
    }

    def pipes(found: Columns) -> list[Wiring]:
        return [c.wiring for c in found.satellites if c.wiring.links and not c.wiring.cut_link]

    assert len(pipes(every)) > len(pipes(few)) == len(set(pipes(few)))
