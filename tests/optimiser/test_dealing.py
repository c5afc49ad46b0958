"""From counts to names: who gets which place, piece and box; tried against all there is."""

from __future__ import annotations

import itertools
import random
from collections import Counter
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Device
from rigopt.needs.types import PHANTOM, Group, SourceLine
from rigopt.optimiser.decode.deal import deal
from rigopt.optimiser.decode.di import boxes, chosen, fewest, in_box, members, plugged
from rigopt.optimiser.decode.pieces import _lead
from rigopt.optimiser.decode.places import Member, places, seats_of
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.links import derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.world import COAX, DESK, HUB, OPT, PRE, WORD, rig


def dealt(able: list[set[int]], places: int) -> list[int]:
    return deal(range(len(able)), range(places), lambda want, n: n in able[want])


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_each_gets_the_first_place_that_leaves_the_rest_enough(first: int) -> None:
    """Of all ways to give each a place of its own the first, by places in turn."""
    ways = set()
    for seed in range(first, first + 50):
        draw = random.Random(seed)
        wants, places = draw.randint(0, 4), draw.randint(0, 5)
        able = [{n for n in range(places) if draw.random() < 0.5} for _ in range(wants)]
        every = [
            list(one)
            for one in itertools.permutations(range(places), wants)
            if all(n in able[want] for want, n in enumerate(one))
        ]
        ways.add(bool(every))
        if every:
            assert dealt(able, places) == min(every), seed
        else:
            with pytest.raises(LookupError):
                dealt(able, places)
    assert ways == {True, False}


# --- instruments in DI boxes -----------------------------------------------------------------

ACTIVE = Device("active", "", "di", 2000, inst=2, di_phantom=True)
DRY = replace(ACTIVE, id="dry", inst=1, di_phantom=False)
INSTRUMENT = Group("instrument")


def units(*devices: Device) -> list[Unit]:
    return [Unit(f"di-{n}", one, "di", None) for n, one in enumerate(devices, start=1)]


def test_how_many_instruments_boxes_take() -> None:
    desk = Unit("host-1", replace(DESK, inst=7), "host", None)
    assert boxes([desk, *units(ACTIVE, DRY, DRY, ACTIVE)]) == {True: 4, False: 2}
    assert boxes([desk]) == {}


def test_what_instruments_in_boxes_ask_for() -> None:
    assert (in_box(True), in_box(False)) == (PHANTOM, Group("mic"))
    groups = {INSTRUMENT: 3, PHANTOM: 1}
    assert members(groups, {True: 2, False: 0}) == {
        Member(INSTRUMENT): 1,
        Member(PHANTOM): 1,
        Member(PHANTOM, boxed=True): 2,
    }
    assert members(groups, {True: 1, False: 2}) == {
        Member(PHANTOM): 1,
        Member(PHANTOM, boxed=True): 1,
        Member(Group("mic"), boxed=True): 2,
    }


@pytest.mark.parametrize(
    ("own", "instruments", "room", "found"),
    [
        (0, 2, {True: 1, False: 2}, {True: 0, False: 2}),  # rather those without 48 V
        (0, 3, {True: 1, False: 2}, {True: 1, False: 2}),
        (1, 3, {True: 1, False: 2}, {True: 0, False: 2}),
        (1, 1, {True: 1, False: 2}, {True: 0, False: 0}),
        (3, 3, {True: 3}, {True: 0, False: 0}),
        (1, 2, {True: 3}, {True: 1, False: 0}),
    ],
)
def test_no_more_instruments_are_in_boxes_than_must(
    own: int, instruments: int, room: dict[bool, int], found: dict[bool, int]
) -> None:
    device = Device("desk", "", "host", mic=4, inst=own, phantom_bank=1)
    unit = Unit("host-1", device, "host", ClockSetting("internal"))
    links = derive_links([unit], [], 48000)
    seats = seats_of([unit], derive_inputs([unit], links, 48000))
    groups = {INSTRUMENT: instruments}
    assert fewest(seats, groups, room, (), Deadline(None)) == found
    assert fewest(seats, groups, room, (), Deadline(0.0)) == Counter(room)
    # A bank that stays off has no place for one that wants 48 V.
    if found[True]:
        shut = {("host-1", bank) for bank in (1, 2, 3, 4)}
        assert fewest(seats, groups, {True: room[True]}, shut, Deadline(None)) == {
            True: room[True]
        }


def test_a_bank_that_stays_off_has_no_place_for_one_that_wants_48_v() -> None:
    """Two banks of two."""
    unit = Unit("host-1", Device("desk", "", "host", mic=4, phantom_bank=2), "host", None)
    seats = seats_of([unit], derive_inputs([unit], (), 48000))
    for wanted, shut, room in ((3, 0, True), (3, 1, False), (2, 1, True)):
        banks = {("host-1", bank) for bank in range(1, shut + 1)}
        model = places(seats, {(Member(PHANTOM),): wanted}, banks).model
        assert run(model, Deadline(None)).found is room


@pytest.mark.parametrize("powered", [True, False])
def test_no_more_are_in_boxes_than_there_is_room_for(powered: bool) -> None:
    """Of two instruments there is no seat for one."""
    unit = Unit("host-1", Device("desk", "", "host", mic=4, phantom_bank=1), "host", None)
    seats = seats_of([unit], derive_inputs([unit], (), 48000))
    room = {powered: 1}
    assert fewest(seats, {INSTRUMENT: 2}, room, (), Deadline(None)) == Counter(room)
    assert fewest(seats, {}, room, (), Deadline(None)).total() == 0


def test_which_of_a_list_are_in_boxes() -> None:
    """The last ones, and rather those that are not half of a pair; 48 V first."""
    names = ["one", "two", "left", "right"]
    sources = [SourceLine("vocal"), *(SourceLine(name, "instrument") for name in names)]
    sources[3:] = [replace(one, pair="guitar") for one in sources[3:]]
    assert chosen(sources, {}) == {}
    assert chosen(sources, {True: 1}) == {2: PHANTOM}
    assert chosen(sources, {True: 1, False: 1}) == {2: PHANTOM, 1: Group("mic")}
    assert list(chosen(sources, {False: 3})) == [2, 1, 4]


def test_through_which_box_an_instrument_comes() -> None:
    desk = Unit("host-1", replace(DESK, inst=2), "host", None)
    found = plugged(
        [desk, *units(ACTIVE, DRY, ACTIVE)],
        {
            9: Member(PHANTOM, boxed=True),
            5: Member(Group("mic"), boxed=True),
            4: Member(PHANTOM, boxed=True),
            7: Member(PHANTOM, boxed=True),
        },
    )
    assert found == {4: "di-1", 5: "di-2", 7: "di-1", 9: "di-3"}


# --- cables ----------------------------------------------------------------------------------


def cables(found: Rig) -> Counter[tuple[str, str]]:
    """Pieces by what they join, told by roles."""
    roles = {unit.name: unit.role for unit in found.units}
    return Counter(
        (roles[link.from_unit] + "-" + roles[link.to_unit], link.cable.id)
        for link in found.links
        if link.cable
    )


def test_the_shortest_piece_that_is_long_enough_and_no_other() -> None:
    """Long runs choose first; pieces that are owned are there as well."""
    hub = replace(HUB, optical_out=0, word_in=1, word_out=1, clock_in=("word",))
    box = replace(PRE, optical_in=0, word_in=1, word_out=1, clock_in=("word",), line_out=0)
    pieces = (
        replace(WORD, id="short", length_mm=500, price=100),
        replace(WORD, id="long", length_mm=1000, price=300),
        replace(WORD, id="longer", length_mm=2000, price=200),
        OPT,
    )
    wish: dict[str, Any] = {"mic": 16, "master": "host", "cables": pieces}
    found = cables(rig(hub, box, **wish))
    assert found["host-expander", "longer"] == 1
    assert found["expander-expander", "short"] == 1
    owned = cables(rig(hub, box, owned={"long": 1}, **wish))
    assert owned["host-expander", "long"] == 1
    two = cables(rig(hub, box, owned={"long": 1, "longer": 1}, **wish))
    assert two["host-expander", "long"] == 1


def test_each_piece_of_an_analogue_cable_is_used_once() -> None:
    """The next one is longer, of other plugs, or none."""
    short, long = (
        Cable(name, "", "analogue", length, 500, ends=("jack", "xlr"))
        for name, length in (("short", 1000), ("long", 3000))
    )
    pool = [short, replace(short, ends=("jack", "jack")), replace(short, ways=2), long]
    lead: Any = SimpleNamespace(ends=("jack", "xlr"), ways=1)
    assert [_lead(pool, lead, 1000) for _ in range(2)] == [short, long]
    assert [(piece.ends, piece.ways) for piece in pool] == [
        (("jack", "jack"), 1),
        (("jack", "xlr"), 2),
    ]


@pytest.mark.parametrize("own", ["own", "another"])
def test_what_could_be_sold_is_not_used_instead_of_what_cannot(own: str) -> None:
    near = replace(OPT, id="near", price=700)
    sold = Cable(own, "", "optical", 1000, 900)
    wish: dict[str, Any] = {"mic": 16, "cables": (near, sold, COAX), "owned": {own: 1}}
    assert cables(rig(DESK, PRE, resale={own: 800}, **wish)) == {("expander-host", "near"): 1}
    assert cables(rig(DESK, PRE, resale={own: 600}, **wish)) == {("expander-host", own): 1}
