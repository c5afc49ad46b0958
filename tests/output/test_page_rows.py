"""Rows of tables of a page: what to buy and sell, settings, and figures, by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.output.page.rows import bill, figure_rows, setting_rows
from rigopt.output.page.templates import FOOT, css, tame
from rigopt.rig.figures import figures
from rigopt.rig.types import Purchase, Sale, Unit
from tests.output.rigs import CATALOGUE, DESK, RACK, lone, ordered, sixteen

RIG = sixteen()


def test_what_to_buy_of_nobody_named() -> None:
    found = bill(RIG, CATALOGUE)
    assert found.lines == (
        ("1", f"desk-8: {DESK.label}", "", "", "200.00", "200.00"),
        ("1", "opt-1m: Optical lead, 1 m", "", "", "6.00", "6.00"),
    )
    assert (found.sold, found.fees, found.sales, found.total) == (False, (), (), "206.00")


def test_what_to_buy_of_sellers_in_two_currencies() -> None:
    rig, shop = ordered()
    found = bill(rig, shop)
    assert found.lines == (
        ("1", f"rack-8: {RACK.label}", "", "", "300.00", "300.00"),
        ("2", "opt-1m: Optical lead, 1 m", "pack of 3", "corner", "3.00", "6.00"),
        (
            *("1", f"desk-8: {DESK.label}", "used, price of 2025-01-02", "far"),
            *("234.00 EUR", "234.00 EUR"),
        ),
    )
    assert found.sold
    assert found.fees == (
        ("corner: delivery and tax", "7.19"),
        ("far: 234.00 EUR with delivery and tax", "200.00"),
    )
    free = replace(rig.orders[0], delivery=0, tax=0, total=600)
    assert bill(replace(rig, orders=(free,)), shop).fees == ()


def test_what_to_sell_comes_off() -> None:
    rig = replace(RIG, to_sell=(Sale("old", "Old box", "device", 2, 5000),))
    assert bill(rig, CATALOGUE).sales == (("2", "old: Old box", "50.00", "-100.00"),)
    line = Purchase("a", "A", "device", 1, 5000, least=4000)
    assert bill(replace(rig, purchases=(line,), total=5000), CATALOGUE).total == "40.00–50.00"


def test_settings_are_those_of_units_that_have_any() -> None:
    bare = Unit("di-1", replace(DESK, phantom_bank=0), "di", None)
    preamp = Unit("preamp-1", replace(RACK, id="amp", label=""), "preamp", None)
    assert setting_rows(replace(RIG, units=(*RIG.units, bare, preamp))) == [
        (
            *("host-1", f"desk-8: {DESK.label}"),
            *("locked to optical in 1, from expander-1", "bank 1 (ch 1–4)"),
        ),
        ("expander-1", f"rack-8: {RACK.label}", "internal (clock master)", "none"),
        ("preamp-1", "amp", "–", "none"),
    ]


def test_the_figures_of_a_rig() -> None:
    """64 samples at 48 kHz are 1.33 ms; 4 inputs at 10 mA and 48 V are 1.92 W."""
    rows = figure_rows(figures(RIG), CATALOGUE)
    assert rows[:-1] == [
        ("Inputs", "16 reach the computer: 10 in use, 6 spare"),
        ("Price of a microphone input", "12.88 GBP"),
        ("Line outputs fed", "4"),
        ("Headphone outputs", "1"),
        ("Boxes and cables", "2 units, 1 digital cable"),
        ("Clock", "1 cable from the master to the farthest unit"),
        ("Rack", "1 U, 44.45 mm"),
        ("Power", "32.5 W, 2 mains plugs"),
        ("48 V", "4 channels switched on: at most 40 mA, 1.92 W"),
        ("Recording, 24 bit", "5.2 GB an hour for the inputs in use, 8.3 GB for all"),
        (
            "One buffer",
            "32 samples 0.67 ms, 64 samples 1.33 ms, 128 samples 2.67 ms, 256 samples 5.33 ms",
        ),
    ]
    assert rows[-1][0] == "Heard late"


def test_figures_that_say_nothing_are_left_out() -> None:
    names = dict(figure_rows(figures(lone()), CATALOGUE))
    assert names["Price of a microphone input"] == "0.00 GBP"
    assert not {"Rack", "48 V"} & set(names)
    known = figures(lone())
    for each in (None, -1):
        left = dict(figure_rows(known._replace(price_per_mic=each), CATALOGUE))
        assert "Price of a microphone input" not in left
    assert dict(figure_rows(known._replace(watts=Decimal("10.0")), CATALOGUE))["Power"] == (
        "10 W, 1 mains plug"
    )


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("e\u0301", "e\u0301"),
        ("x\u0323\u0301", "x\u0323\u0301"),
        ("x\u0323\u0301\u0302y\u0301", "x\u0323\u0301y\u0301"),
        ("a\x1bb", "a␛b"),
    ],
)
def test_no_letter_carries_more_than_two_accents(text: str, kept: str) -> None:
    """An accent of its own, since these have none with the letter x."""
    assert tame(text) == tame(kept)
    assert len(tame(text)) == len(tame(kept))


def test_a_text_of_a_style_sheet_ends_nowhere_else() -> None:
    assert css('a"}') == '"a\\000022\\00007d"'
    assert css("é") == '"\\0000e9"'
    assert css("a" * FOOT) == f'"{"a" * FOOT}"'
    assert css("a" * (FOOT + 1)) == f'"{"a" * (FOOT - 1)}\\002026"'
    assert css(f"{'a' * (FOOT - 2)} bcd") == f'"{"a" * (FOOT - 2)}\\002026"'
    assert FOOT == 60
