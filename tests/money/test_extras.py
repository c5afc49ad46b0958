"""Things bought by the count, and gear that is there already."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rigopt.answers.choice import Need
from rigopt.answers.outcome import Impossible
from rigopt.catalogue.types import Extra, Offer, Per, Seller
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.counts import ItemCounts, item_counts
from tests.money.shop import DESK, PRE, bought, found, rig, shop


@pytest.mark.parametrize(
    ("per", "each", "pack", "packs"),
    [
        ("mic", 1, 1, 12),
        ("mic", 2, 1, 24),
        ("mic", 1, 5, 3),
        ("source", 1, 1, 16),
        ("unit", 1, 1, 2),
        ("rack_unit", 3, 1, 6),
        ("rack_unit", 3, 4, 2),
        ("mains", 1, 1, 2),
        ("rig", 1, 1, 1),
        ("rig", 7, 2, 4),
    ],
)
def test_as_many_as_there_are_things_to_count(
    per: Per, each: int, pack: int, packs: int
) -> None:
    """Twelve microphones and four lines, on two units of 1 U with a plug each."""
    thing = Extra("thing", "Thing", per, 100, pack, each)
    answer = rig(shop(extras=(thing,)), mic=12, line=4)
    assert bought(answer)[-1] == ("thing", None, packs)
    assert answer.total == 50_600 + 100 * packs


def test_a_rig_that_saves_a_shelf_gets_the_credit() -> None:
    """The flat expander costs 10.00 more; of equal money there is less to buy with it."""
    flat = replace(PRE, id="zflat", price=21_000, rack_units=0)
    for price, device in ((999, "pre"), (1_000, "zflat"), (1_001, "zflat")):
        catalogue = shop(extras=(Extra("shelf", "Shelf", "rack_unit", price),))
        catalogue = replace(catalogue, devices={**catalogue.devices, "zflat": flat})
        assert device in {unit.device.id for unit in rig(catalogue).units}


@pytest.mark.parametrize(("packs", "device"), [(2, "pre"), (1, "zwall")])
def test_a_rig_that_saves_a_strip_gets_the_credit(packs: int, device: str) -> None:
    """Sockets come in strips: of two, one is enough for two plugs; of one, two are needed."""
    wall = replace(PRE, id="zwall", price=20_500, mains=0)
    strip = Extra("strip", "Socket strip", "mains", 600, packs)
    catalogue = shop(extras=(strip,))
    catalogue = replace(catalogue, devices={**catalogue.devices, "zwall": wall})
    assert device in {unit.device.id for unit in rig(catalogue).units}


def test_some_are_owned() -> None:
    lead = Extra("lead", "Lead", "mic", 500, 4)
    answer = rig(shop(extras=(lead,)), owned={"lead": 5})
    assert bought(answer)[-1] == ("lead", None, 3)
    assert ("lead", None, 4) in bought(rig(shop(extras=(lead,))))
    assert "lead" not in {
        p.item for p in rig(shop(extras=(lead,)), owned={"lead": 16}).purchases
    }


def test_what_nobody_sells_costs_nothing_and_is_told() -> None:
    lead = Extra("lead", "", "mic")
    catalogue = shop(extras=(lead,))
    answer = rig(catalogue, owned={"lead": 5})
    assert answer.total == 50_600
    assert item_counts(answer, catalogue, Needs(mic=16, owned={"lead": 5}))[-1].missing == 11


def test_what_is_sold_used_only_is_not_sold_new() -> None:
    lead = Extra("lead", "Lead", "mic")
    catalogue = shop(Offer("lead", "north", 100, condition="used"), extras=(lead,))
    assert rig(catalogue).total == 50_600 + 1_600
    assert rig(catalogue, new_only=True).total == 50_600


def test_too_few_in_stock_is_no_rig() -> None:
    lead = Extra("lead", "Lead", "mic")
    catalogue = shop(Offer("lead", "north", 100, pack=5, stock=3), extras=(lead,))
    assert rig(catalogue, mic=15).total > 0
    assert rig(catalogue, owned={"lead": 1}).total > 0
    assert isinstance(found(catalogue), Impossible)
    told = explained(catalogue, Needs(mic=16), Deadline(None))
    assert told.conflict == (Need("mic", 16),)
    assert [setting.now for change in told.changes for setting in change.settings] == [15]


def test_an_extra_counts_towards_free_delivery() -> None:
    seller = Seller("north", "GBP", 900, 31_600)
    lead = Extra("lead", "Lead", "mic", 10)
    offers = (Offer("desk", "north", 30_000), Offer("lead", "north", 100))
    answer = rig(shop(*offers, sellers=(seller,), extras=(lead,)))
    assert answer.orders[0].delivery == 0
    assert answer.total == 31_600 + 20_600


def test_the_budget_counts_extras() -> None:
    catalogue = shop(extras=(Extra("lead", "Lead", "mic", 100),))
    assert rig(catalogue, budget=52_200).total == 52_200
    assert isinstance(found(catalogue, budget=52_199), Impossible)


# --- owned -----------------------------------------------------------------------


def test_owned_gear_is_used_first_and_the_rest_is_bought() -> None:
    answer = rig(shop(), mic=24, owned={"pre": 1, "opt": 2, "coax": 3})
    assert bought(answer) == [("desk", None, 1), ("pre", None, 1), ("opt", None, 1)]


def test_owned_only_buys_nothing_even_from_named_sellers() -> None:
    lead = Extra("lead", "Lead", "mic", 100)
    catalogue = shop(Offer("desk", "north", 1), extras=(lead,))
    owned = {"desk": 1, "pre": 2, "opt": 1}
    answer = rig(catalogue, owned=owned, owned_only=True)
    assert (answer.total, answer.purchases, answer.orders) == (0, (), ())
    assert all(unit.owned for unit in answer.units)
    assert isinstance(found(catalogue, mic=24, owned=owned, owned_only=True), Impossible)
    missing = item_counts(answer, catalogue, Needs(mic=16, owned=owned))[-1]
    assert (missing.item, missing.missing) == ("lead", 16)


def test_owned_only_works_where_nothing_has_a_price() -> None:
    catalogue = shop()
    blank = replace(
        catalogue,
        devices={"desk": replace(DESK, price=None), "pre": replace(PRE, price=None)},
        cables={key: replace(c, price=None) for key, c in catalogue.cables.items()},
    )
    owned = {"desk": 1, "pre": 1, "opt": 1}
    for needs in ({"owned_only": True}, {}):
        assert rig(blank, owned=owned, **needs).total == 0


def test_the_counts_of_every_item() -> None:
    owned = {"pre": 3, "opt": 1, "coax": 2}
    catalogue = shop(Offer("opt", "north", 100, pack=3))
    answer = rig(catalogue, mic=24, owned=owned)
    assert item_counts(answer, catalogue, Needs(mic=24, owned=owned)) == (
        ItemCounts("desk", "interface", "device", 1, 0, 1),
        ItemCounts("pre", "expander", "device", 2, 3, 0),
        ItemCounts("coax", "coax cable", "cable", 0, 2, 0),
        ItemCounts("opt", "optical cable", "cable", 3, 1, 3),
    )
    desk, pre, coax, opt = item_counts(answer, catalogue, Needs(mic=24, owned=owned))
    assert (pre.from_owned, pre.unused) == (2, 1)
    assert (coax.from_owned, coax.unused, coax.left_over) == (0, 2, 0)
    assert (opt.from_owned, opt.left_over, opt.missing) == (1, 1, 0)
    assert desk.left_over == 0


def test_a_blank_catalogue_is_refused_only_if_nothing_is_owned(tmp_path: Path) -> None:
    """With or without --owned-only: without, what is missing is simply not for sale."""
    (tmp_path / "catalog.toml").write_text('currency = "GBP"\n')
    (tmp_path / "devices.csv").write_text("id,role,mic_line\nbox,host,2\nbax,host,4\n")
    (tmp_path / "cables.csv").write_text("id,kind,length_m\nopt,optical,1\n")
    ask = ["plan", "--catalog", str(tmp_path), "--mic", "2"]
    assert run([*ask, "--owned", "box=1", "--owned-only"]) == 0
    assert run([*ask, "--owned", "box=1"]) == 0
    assert run([*ask[:-1], "3", "--owned", "box=1"]) == 3
    assert run([*ask, "--owned-only"]) == 2
    most = ["stretch", "--catalog", str(tmp_path), "--budget", "0", "--owned-only"]
    assert run([*most, "--owned", "box=1"]) == 0
    assert run(most) == 2
    assert run([*ask, "--owned", "opt=1"]) == 2
