"""What an answer is called, what it costs and how sure that is, in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.choice import Alternative, Difference
from rigopt.answers.outcome import Regret
from rigopt.catalogue.types import Seller
from rigopt.needs.types import Needs, SourceLine
from rigopt.output.words.answer import (
    asked,
    chosen,
    filled_up,
    heading,
    heard,
    price,
    proof,
    size,
    titled,
)
from rigopt.rig.figures import figures
from tests.output.rigs import CATALOGUE, DESK, answered, lone, sixteen

END = answered()
RANGED = replace(CATALOGUE, devices={"desk-8": replace(DESK, least=1)})


def other(money: int, number: int = 1, less: Any = (), more: Any = (("rack-8", 2),)) -> Any:
    return replace(END, alternative=Alternative(number, Difference(money, less, more)))


@pytest.mark.parametrize(
    ("end", "title"),
    [
        (END, "The cheapest rig"),
        (replace(END, regret=Regret(0, 0)), "The cheapest rig"),
        (replace(END, regret=Regret(1, 0)), "The rig with the least regret"),
        (other(1, 3), "Alternative 3"),
    ],
)
def test_what_an_answer_is_called(end: Any, title: str) -> None:
    assert heading(end) == title
    assert titled(Needs(title=" "), title) == title
    assert titled(Needs(title="Band"), title) == "Band"


@pytest.mark.parametrize(
    ("end", "said"),
    [
        (END, ""),
        (other(0), "alternative 1, as dear as the cheapest rig: with 2 rack-8."),
        (
            other(500, 2, (("desk-8", 1), ("x", 3))),
            "alternative 2, 5.00 GBP more than the cheapest rig: with 2 rack-8, "
            "without 1 desk-8 and 3 x.",
        ),
        (
            other(1, 1, (("desk-8", 1),), ()),
            "alternative 1, 0.01 GBP more than the cheapest rig: without 1 desk-8.",
        ),
    ],
)
def test_how_an_alternative_differs(end: Any, said: str) -> None:
    assert chosen(end, CATALOGUE) == said


def test_where_prices_are_ranges_an_alternative_may_cost_less_at_upper_ends() -> None:
    assert chosen(other(-5000), RANGED) == (
        "alternative 1, 50.00 GBP less than the rig with the least regret: with 2 rack-8."
    )
    left = "A mix of devices that only adds to a cheaper one is left out."
    assert proof(other(-5000, 2), RANGED) == (
        "complete; only the rig with the least regret and 1 other alternative may cost less at "
        f"these prices. {left}"
    )


@pytest.mark.parametrize(
    ("number", "before"),
    [
        (1, "the cheapest rig comes"),
        (2, "the cheapest rig and 1 other alternative come"),
        (3, "the cheapest rig and 2 other alternatives come"),
    ],
)
def test_what_comes_before_an_alternative(number: int, before: str) -> None:
    assert proof(other(1, number), CATALOGUE).startswith(f"complete; only {before} before it. ")


def test_how_sure_it_is() -> None:
    unsure = replace(END, proven=False)
    assert proof(END, CATALOGUE) == "complete; no rig of this catalogue costs less."
    assert proof(replace(END, second="agrees"), CATALOGUE).endswith(
        "costs less. A solver of another kind agrees."
    )
    assert proof(unsure, CATALOGUE).startswith("none yet; no rig of this catalogue costs less,")
    assert proof(replace(unsure, bound=20500), CATALOGUE) == (
        "none yet; this is the best found in the time. No rig of this catalogue costs less "
        "than 205.00 GBP, so at most 1.00 GBP could still be saved."
    )
    assert heard("x", None) == "x"
    assert proof(replace(END, regret=Regret(0, 0)), CATALOGUE) == (
        "complete; whatever the true prices in their ranges, no rig of this catalogue costs "
        "less."
    )


@pytest.mark.parametrize(
    ("seller", "said"),
    [
        (Seller("near", "GBP", 499, 5000), True),
        (Seller("near", "GBP", 0, 5000), False),
        (Seller("near", "GBP", 499), False),
    ],
)
def test_orders_that_may_be_filled_up(seller: Seller, said: bool) -> None:
    """Where nothing is bought there is no order."""
    shop = replace(CATALOGUE, sellers={"near": seller})
    assert bool(filled_up(shop)) is said
    assert ("filled up" in proof(END, shop)) is said
    assert "filled up" not in proof(answered(lone()), shop)


def test_what_it_costs() -> None:
    """16 inputs at 206.00 are 12.875 each; a range may cost less."""
    known = figures(sixteen())
    assert price(END, CATALOGUE, known) == (
        "206.00 GBP; 12.88 GBP for each of 16 microphone inputs"
    )
    line = replace(END.rig.purchases[0], least=15000)
    ranged = replace(END.rig, purchases=(line, *END.rig.purchases[1:]))
    assert price(replace(END, rig=ranged), CATALOGUE, known) == (
        "156.00–206.00 GBP; up to 12.88 GBP for each of 16 microphone inputs"
    )
    sold = replace(END, rig=replace(END.rig, total=-100))
    assert price(sold, CATALOGUE, figures(sold.rig)) == "-1.00 GBP"
    cheap = replace(END, rig=replace(END.rig, total=16))
    assert price(cheap, CATALOGUE, figures(cheap.rig)) == (
        "0.16 GBP; 0.01 GBP for each of 16 microphone inputs"
    )
    free = replace(END, rig=replace(END.rig, total=0))
    assert price(free, CATALOGUE, figures(free.rig)) == "0.00 GBP"


def test_how_large_it_is() -> None:
    assert size(figures(sixteen())) == (
        "2 units, 1 digital cable, 1 U of rack, 2 mains plugs, 32.5 W"
    )
    bare = replace(DESK, mains=0, watts=Decimal(0))
    rig = replace(lone(), units=(replace(lone().units[0], device=bare),))
    assert size(figures(rig)) == "1 unit, 0 digital cables"
    assert size(figures(rig)._replace(leads=2)) == "1 unit, 0 digital cables, 2 analogue cables"


@pytest.mark.parametrize(
    ("needs", "said"),
    [
        (Needs(), "no source"),
        (Needs(mic=8, line=1, instrument=2), "8 microphones, 1 line source, 2 instruments"),
        (
            Needs(mic=9, phantom=2, no_phantom=1),
            "9 microphones (2 with 48 V, 1 kept off 48 V)",
        ),
        (Needs(out_line=1, out_phones=2), "1 line output, 2 headphone outputs"),
        (
            Needs(mic=1, owned={"a": 2, "b": 1}, resale={"b": 150}),
            "1 microphone; owned: 2 a and 1 b (sold at 1.50 if not used)",
        ),
        (
            Needs(mic=1, exchange={"EUR": Decimal("1.2"), "USD": Decimal(2)}),
            "1 microphone; 1 GBP buys 1.2 EUR and 1 GBP buys 2 USD",
        ),
    ],
)
def test_what_is_asked(needs: Needs, said: str) -> None:
    assert asked(needs, "GBP") == f"48 kHz, {said}"


def test_pairs_and_counts_from_so_many_up() -> None:
    pairs = [SourceLine(name, "mic", pair=pair) for name, pair in (("L", "p"), ("R", "p"))]
    plain = SourceLine("x", "mic")
    assert "1 pair" in asked(Needs(mic=3, sources=(*pairs, plain)), "GBP")
    assert "pair" not in asked(Needs(mic=1, sources=(plain,)), "GBP")
    assert asked(Needs(mic=8), "GBP", 2) == "48 kHz, 2 to 8 microphones"
    assert asked(Needs(mic=8), "GBP", 8) == "48 kHz, 8 microphones"
