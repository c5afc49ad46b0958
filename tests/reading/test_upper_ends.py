"""Prices that are ranges, at their upper ends and as others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.ends import at_upper_ends, has_ranges, with_price
from rigopt.catalogue.rules import ends
from rigopt.errors import Fault
from rigopt.files.amounts import Span
from tests.reading.folders import SMALL

CABLE = replace(SMALL.cables["opt-1.5m"], least=400)
EXTRA = replace(SMALL.extras["lead"], least=300)
DEVICE = replace(SMALL.devices["pre-8"], least=1)
ONE_OF_EACH = (
    replace(SMALL, devices={**SMALL.devices, "pre-8": DEVICE}),
    replace(SMALL, cables={"opt-1.5m": CABLE}),
    replace(SMALL, extras={"lead": EXTRA}),
)


def test_a_range_of_any_kind_is_one_and_its_upper_end_is_the_price() -> None:
    assert not has_ranges(SMALL)
    assert at_upper_ends(SMALL) is SMALL
    for shop in ONE_OF_EACH:
        assert has_ranges(shop)
        assert at_upper_ends(shop) == SMALL
    assert has_ranges(replace(SMALL, extras={"lead": replace(EXTRA, least=0)}))


@pytest.mark.parametrize(
    ("price", "found"),
    [(Span(5, 7), (7, 5)), (Span(7, 7), (7, None)), (Span(0, 7), (7, 0))],
)
def test_another_price_for_one_thing_of_any_kind(
    price: Span, found: tuple[int, int | None]
) -> None:
    other = {"box": Fault("f", "p")}
    shop = replace(SMALL, unknown={**other, "lead": Fault("f", "q")})
    for kind, item in (("devices", "pre-8"), ("cables", "opt-1.5m"), ("extras", "lead")):
        changed = with_price(shop, item, price)
        shelf = getattr(shop, kind)
        new = replace(shelf[item], price=found[0], least=found[1])
        left = other if item == "lead" else shop.unknown
        more: dict[str, Any] = {kind: {**shelf, item: new}}
        assert changed == replace(shop, unknown=left, **more)


def test_a_price_that_nobody_knows() -> None:
    changed = with_price(ONE_OF_EACH[2], "lead", Span(0, None))
    assert changed.extras["lead"] == replace(EXTRA, price=None, least=None)
    told = Fault("small", "nobody knows what it costs", value="?")
    assert changed.unknown == {"lead": told}


def test_the_ends_of_a_price() -> None:
    assert [ends(one) for one in (None, Span(0, None), Span(5, 5), Span(5, 7), Span(0, 7))] == [
        *((None, None), (None, None), (5, None), (7, 5), (7, 0)),
    ]
