import csv
import io
from dataclasses import replace

import pytest

from rigopt.catalogue.types import Catalogue
from rigopt.output.data.csv import harmless
from rigopt.output.data.shopping import shopping_csv
from rigopt.rig.types import Rig
from tests.output.rigs import CATALOGUE, DESK, LEAD, RACK, lone, ordered, sixteen


def rows(rig: Rig, catalogue: Catalogue = CATALOGUE) -> list[list[str]]:
    return list(csv.reader(io.StringIO(shopping_csv(rig, catalogue), newline="")))


def test_every_purchase_and_the_total() -> None:
    assert rows(sixteen()) == [
        [
            "item",
            "label",
            "kind",
            "seller",
            "quantity",
            "unit_price",
            "line_total",
            "currency",
            "note",
        ],
        ["desk-8", "Desk interface, 8 in", "device", "", "1", "200.00", "200.00", "GBP", ""],
        ["opt-1m", "Optical lead, 1 m", "cable", "", "1", "6.00", "6.00", "GBP", ""],
        ["total", "", "", "", "", "", "206.00", "GBP", ""],
    ]


def test_orders_stand_together_with_their_sums() -> None:
    rig, catalogue = ordered()
    assert rows(rig, replace(catalogue, invented=True))[1:] == [
        ["rack-8", RACK.label, "device", "", "1", "300.00", "300.00", "GBP", ""],
        ["opt-1m", LEAD.label, "cable", "corner", "2", "3.00", "6.00", "GBP", "pack of 3"],
        ["goods", "", "", "corner", "", "", "6.00", "GBP", ""],
        ["delivery", "", "", "corner", "", "", "4.99", "GBP", ""],
        ["tax", "", "", "corner", "", "", "2.20", "GBP", ""],
        ["order total", "", "", "corner", "", "", "13.19", "GBP", ""],
        [
            "desk-8",
            DESK.label,
            "device",
            "far",
            "1",
            "234.00",
            "234.00",
            "EUR",
            "used, price of 2025-01-02",
        ],
        ["goods", "", "", "far", "", "", "234.00", "EUR", ""],
        ["delivery", "", "", "far", "", "", "0.00", "EUR", ""],
        ["tax", "", "", "far", "", "", "0.00", "EUR", ""],
        ["order total", "", "", "far", "", "", "200.00", "GBP", ""],
        [
            "total",
            "",
            "",
            "",
            "",
            "",
            "513.19",
            "GBP",
            "The demo catalogue's prices are invented.",
        ],
    ]


def test_nothing_to_buy_leaves_the_total() -> None:
    assert rows(lone())[1:] == [["total", "", "", "", "", "", "0.00", "GBP", ""]]


def test_lines_end_as_rfc_4180_has_it() -> None:
    text = shopping_csv(sixteen(), CATALOGUE)
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == 4


@pytest.mark.parametrize(
    "cell",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        " =1",
        "\u200b=1",
        "＝1",
        "\n@x",
        "\ufeff=1",
    ],
)
def test_a_formula_is_made_plain_text(cell: str) -> None:
    """Characters as in common advice against CSV injection (practice)."""
    assert harmless(cell)[0] == "'"
    assert harmless(cell)[1] in "=+-@＝"


@pytest.mark.parametrize("cell", ["desk-8", "a=b", "12.00", "", "漢字"])
def test_an_ordinary_cell_is_left_alone(cell: str) -> None:
    assert harmless(cell) == cell


def test_hostile_text_in_every_text_cell() -> None:
    bad = "=cmd|' /C calc'!A0,\"x\"\r\n\x1b[31m"
    line = replace(sixteen().purchases[0], item=bad, label=bad, seller=bad, note=bad)
    found = rows(replace(sixteen(), purchases=(line,)))
    assert len(found) == 3
    for cell in (found[1][0], found[1][1], found[1][3], found[1][-1]):
        assert cell == "'=cmd|' /C calc'!A0,\"x\" ␛[31m"
