"""What is to be sold, in every form of an answer."""

from __future__ import annotations

import json

from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.shopping import shopping_csv
from rigopt.output.page.page import plan_page
from rigopt.output.terminal.grow import grow_text
from rigopt.output.terminal.text import plan_text
from tests.growth.test_selling import PLAIN_SOLD
from tests.growth.world import grown, stage
from tests.growth.world import shop as growing
from tests.money.shop import rig, shop

NEEDS = Needs(mic=8, owned={"pre": 3, "opt": 1}, resale={"pre": 12_500})
RIG = rig(shop(), mic=8, owned=NEEDS.owned, resale=NEEDS.resale)
ANSWER = Answered(RIG, RIG.total, True)
FREE = Needs(mic=8, owned={"desk": 1, "pre": 1}, resale={"pre": 12_500})
GAIN = rig(shop(), mic=8, owned=FREE.owned, resale=FREE.resale)


def lines(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines()]


def test_the_text_has_a_table_of_its_own() -> None:
    told = plan_text(ANSWER, shop(), NEEDS)
    found = lines(told)
    at = found.index("TO SELL")
    assert found[at + 1].startswith("Qty Item Unit price Total GBP")
    assert "3 pre: expander 125.00 375.00" in found[at:]
    assert "Sold 375.00" in found[at:]
    assert "Total to pay -75.00" in found[at:]
    assert "To pay 300.00" in found[:at]
    assert any(line.startswith("Total: -75.00 GBP") for line in found)
    assert "owned: 3 pre (sold at 125.00 if not used) and 1 opt" in " ".join(found)
    assert "Owned and not needed: 1 of opt" in told
    assert "of pre" not in told.partition("TO SELL")[0].partition("TO BUY")[2]


def test_where_nothing_is_bought() -> None:
    found = lines(plan_text(Answered(GAIN, GAIN.total, True), shop(), FREE))
    assert "Nothing: everything in this rig is owned." in found
    assert "Total to pay -125.00" in found


def test_the_json() -> None:
    document = json.loads(plan_json(ANSWER, shop(), NEEDS))
    assert (document["total"], document["bound"]) == ("-75.00", "-75.00")
    assert document["to_sell"] == [
        {
            "item": "pre",
            "kind": "device",
            "quantity": 3,
            "unit_price": "125.00",
            "total": "375.00",
        }
    ]
    assert [(one["item"], one["unused"]) for one in document["owned"]] == [
        ("pre", 0),
        ("opt", 1),
    ]


def test_a_shopping_list_has_what_is_bought_alone() -> None:
    rows = shopping_csv(RIG, shop()).splitlines()
    assert [row.split(",")[0] for row in rows] == ["item", "desk", "total"]
    assert "300.00" in rows[-1]


def test_the_page_takes_sales_off() -> None:
    told = plan_page(ANSWER, shop(), NEEDS)
    bill = told.partition("<h2>To buy")[2].partition("</table>")[0]
    assert "<small>to sell</small>" in bill
    assert "-375.00" in bill
    assert "-75.00" in bill.partition("<tfoot>")[2]
    gain = plan_page(Answered(GAIN, GAIN.total, True), shop(), FREE)
    assert "-125.00" in gain.partition("<tfoot>")[2].partition("</tfoot>")[0]


def test_a_stage_says_what_it_sells() -> None:
    stages = (stage(8, **PLAIN_SOLD), stage(16, **PLAIN_SOLD))
    told = grow_text(grown(growing(), *stages), growing(), Needs(stages=stages))
    first, _, second = told.partition("STAGE 2")
    assert "TO SELL THEN" not in first
    assert "Total to pay 356.00" in lines(second)
