"""What a page says for one thing in an answer, and not without it."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from decimal import Decimal

from rigopt.answers.choice import Change, Price, Setting, Why
from rigopt.answers.growth import Grown, Growth, Most
from rigopt.answers.more import Better, More
from rigopt.answers.outcome import Alternatives, Choice, Impossible
from rigopt.answers.rates import AtRate, ByRate, Dead
from rigopt.answers.repair import Moved, Repaired
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.answers.verdict import examine
from rigopt.needs.types import Needs
from rigopt.output.page.audit_page import audit_page
from rigopt.output.page.compare_page import compare_page
from rigopt.output.page.curve_page import curve_page
from rigopt.output.page.grow_page import growth_page
from rigopt.output.page.labels_page import labels_page
from rigopt.output.page.marking import removal_marks, repair_marks
from rigopt.output.page.page import plan_page
from rigopt.output.page.picture.marks import Mark
from rigopt.output.page.rates_page import rates_page
from rigopt.output.page.stretch_page import stretch_page
from rigopt.output.words.phrases import INVENTED
from rigopt.rig.types import Link
from rigopt.rig.wired import StatedInput, WiredRig
from tests.output.rigs import CATALOGUE, DESK, LONG, RACK, answered, lone, ordered, sixteen
from tests.output.test_repair_steps import LINE
from tests.output.test_step_words import SECOND, STAGES, step

SAID = re.sub(r"'", "&#39;", INVENTED)
DEMO = replace(CATALOGUE, invented=True)
RIG = sixteen()
WIRED = WiredRig(48_000, RIG.units, RIG.links, title="Rehearsal room")


def test_a_plan_with_a_day_and_what_more_buys() -> None:
    plain = plan_page(answered(), CATALOGUE, Needs())
    assert "Date" not in plain
    assert "more buys" not in plain
    assert SAID not in plain
    assert "compare every number in it with the manual" in plain
    better = Better("inputs", Setting("mic", 24), Needs(mic=24), answered())
    more = More(Decimal(10), 22660, (better,))
    told = plan_page(
        answered(),
        DEMO,
        Needs(),
        datetime.date(2025, 1, 2),
        ["Look."],
        choice=Choice(answered(), more=more),
    )
    assert "2025-01-02" in told
    assert "What up to 10 % more buys, up to 226.60 GBP" in told
    assert SAID in told
    assert "Look." in told
    assert "<title>The cheapest rig</title>" in told
    assert "What each costs more, GBP" in told
    assert '<td class="free">--mic 24</td>' in told
    nothing = Choice(answered(), more=replace(more, found=()))
    none = plan_page(answered(), CATALOGUE, Needs(), choice=nothing)
    assert "What each costs more" not in none
    assert "<p>No more inputs, no higher rate" in none
    assert "<title>Mine</title>" in plan_page(answered(), CATALOGUE, Needs(), title="Mine")
    owned = plan_page(answered(lone()), CATALOGUE, Needs())
    assert "compare every number" not in owned
    assert "Nothing: everything in this rig is owned." in owned


def test_what_was_asked_beside_a_plan_comes_after_it() -> None:
    """94.00 more for one interface more; a price of 450.00 above which there is another rig."""
    host, far = RIG.units
    larger = replace(RIG, units=(host, replace(host, name="host-2"), far), total=30000)
    choice = Choice(
        answered(),
        Alternatives((answered(larger),), "no more"),
        Why((Price("desk-8", 1, 20000, 45000),), (Change((Setting("mic", 15),), None),)),
        more=More(Decimal(10), 22660, ()),
    )
    told = plan_page(answered(), CATALOGUE, Needs(), choice=choice)
    headings = re.findall("<h2>(.*)</h2>", told)
    assert headings[-4:] == [
        "Figures",
        "Alternatives",
        "Why this rig",
        "What up to 10 % more buys, up to 226.60 GBP",
    ]
    rows = [re.findall("<t[dh][^>]*>([^<]*)", row) for row in re.findall("<tr>.*</tr>", told)]
    assert rows[-6:] == [
        ["No", "Total GBP", "More by", "Instead of", "There is", "Units", "Cables"],
        ["1", "300.00", "94.00", "nothing", "1 desk-8", "3", "1"],
        ["In the rig", "Units", "Price GBP", "Switch price"],
        [f"desk-8: {DESK.label}", "1", "200.00", "450.00"],
        ["If it were", "Total GBP", "Difference"],
        ["15 microphones", "no rig", ""],
    ]
    assert '<td class="amount">94.00</td><td class="free">nothing</td>' in told
    assert '<th scope="col" class="amount">More by</th><th scope="col">Instead of</th>' in told
    assert f"<li>desk-8: {DESK.label}</li>" in told
    assert "<p>No other mix of devices would do.</p>" in told
    plain = plan_page(answered(), CATALOGUE, Needs(), choice=Choice(answered()))
    assert plain == plan_page(answered(), CATALOGUE, Needs())


def test_a_gain_has_a_bar_as_long_as_what_it_costs() -> None:
    """94.00 and 47.00: one is the longest, the other half as long."""
    dear, half = (replace(RIG, total=total) for total in (30000, 25300))
    gains = tuple(
        Better("inputs", Setting("mic", 24), Needs(mic=24), answered(rig))
        for rig in (dear, half)
    )
    choice = Choice(answered(), more=More(Decimal(50), 30900, gains))
    told = plan_page(answered(), CATALOGUE, Needs(), choice=choice)
    assert re.findall('<rect x="([^"]*)" y="1" width="([^"]*)"', told) == [
        ("0%", "100%"),
        ("0%", "50%"),
    ]


def test_prices_that_are_ranges_have_a_chart() -> None:
    told = "What prices that are ranges may come to, GBP"
    line = replace(RIG.purchases[0], least=15000)
    ranged = replace(RIG, purchases=(line, *RIG.purchases[1:]))
    shown = plan_page(answered(ranged), CATALOGUE, Needs())
    assert told in shown
    assert '<span class="worth">150.00–200.00</span>' in shown
    assert '<span class="worth">156.00–206.00</span>' in shown
    assert told not in plan_page(answered(), CATALOGUE, Needs())


def test_columns_whose_prices_are_invented() -> None:
    column = Column(Scenario("Band", CATALOGUE, Needs(mic=8)), answered())
    assert SAID not in compare_page([column], {})
    demo = replace(column, scenario=Scenario("Band", DEMO, Needs(mic=8)))
    assert SAID in compare_page([column, demo], {})


def test_a_picture_for_each_currency_that_stands_alone() -> None:
    pounds = Column(Scenario("A", CATALOGUE, Needs()), answered())
    euros = Column(Scenario("B", replace(CATALOGUE, currency="EUR"), Needs()), answered())
    none = Column(Scenario("C", CATALOGUE, Needs()), Impossible())
    apart = compare_page([pounds, euros, none], {})
    assert ("Total, GBP" in apart, "Total, EUR" in apart) == (True, True)
    assert '<span class="worth">impossible</span>' in apart
    together = compare_page([pounds, euros], {"EUR": Decimal(2)})
    assert ("Total, GBP" in together, "Total, EUR" in together) == (True, False)
    assert '<span class="worth">103.00 GBP</span>' in together
    assert "Total, " not in compare_page([none], {})
    far = Column(euros.scenario, Impossible())
    assert '<span class="worth">impossible</span>' in compare_page([pounds, far], {})


def test_what_each_microphone_asks_is_on_the_page_of_a_wired_rig() -> None:
    verdict = replace(examine(WIRED, None), inputs=RIG.inputs)
    assert "needs 48 V" in audit_page(verdict, CATALOGUE, Needs(mic=10, phantom=2))
    assert "needs 48 V" not in audit_page(verdict, CATALOGUE, None)


def test_what_each_microphone_asks_is_told_of_the_rig_after_a_repair_too() -> None:
    rig = replace(WIRED, stated=(StatedInput(1, None, None, use="mic"),))
    repair = Repaired(rig, (), (), (), (), (), money=0, for_outputs=0, proven=True)
    needs = Needs(mic=1, phantom=1)
    told = audit_page(examine(rig, needs), CATALOGUE, needs, repair)
    assert told.count("mic (needs 48 V)") == 2
    assert "needs 48 V" not in audit_page(examine(rig, None), CATALOGUE, None, repair)


def test_that_prices_are_invented_is_said_where_a_repair_buys() -> None:
    verdict = examine(WIRED, None)
    bought = Repaired(WIRED, (), (), (), (), (), money=5, for_outputs=0, proven=True)
    free = replace(bought, money=0)
    nothing = "Plug and set nothing: only what the file says has to change."
    assert nothing in audit_page(verdict, CATALOGUE, None, free)
    faster = replace(free, rig=replace(WIRED, rate_hz=96_000))
    assert nothing not in audit_page(verdict, CATALOGUE, None, faster)
    cases = ((DEMO, bought, True), (DEMO, free, False), (DEMO, None, False))
    for shop, repair, said in (*cases, (CATALOGUE, bought, False)):
        assert (SAID in audit_page(verdict, shop, None, repair)) is said


def test_the_stages_of_a_growth_are_numbered_and_marked_from_the_second_on() -> None:
    first = step("One", 8, 100, replace(lone(), rate_hz=48_000))
    growth = Growth((first, SECOND), 0, True)
    needs = Needs(stages=STAGES[:2], budget=5)
    told = growth_page(Grown(growth, None), CATALOGUE, needs)
    assert "<title>Growth in 2 stages</title>" in told
    assert [f"Stage {n}: {name}" in told for n, name in ((1, "One"), (2, "Concert"))] == [
        True
    ] * 2
    assert "Stage 3" not in told
    assert SAID not in told
    body = told[told.index("Stage 2: Concert") :]
    assert "New" in body
    most = growth_page(Most(growth, (True, True), "reached"), DEMO, needs)
    assert "8 microphones, then 16 microphones" in most
    assert SAID in most


def test_a_stretch_is_the_plan_of_its_best() -> None:
    found = Stretch(30000, Point(10, answered()), None, True)
    told = stretch_page(found, answered(), CATALOGUE, Needs())
    assert "<title>What 300.00 GBP stretch to</title>" in told
    assert "48 kHz, 10 microphones; a budget of 300.00 GBP" in told
    none = stretch_page(replace(found, best=None), answered(), CATALOGUE, Needs())
    assert "48 kHz, no source; a budget of 300.00 GBP" in none


def test_a_curve_without_a_rig_has_no_picture() -> None:
    curve = Curve((4,), (Point(4, Impossible()),))
    assert "<svg" not in curve_page(curve, CATALOGUE, Needs())
    some = curve_page(Curve((16,), (Point(16, answered()),)), DEMO, Needs())
    assert "<svg" in some
    assert SAID in some
    row = "".join(re.findall('<tr><th scope="row">16</th>.*</tr>', some))
    assert re.findall("<td[^>]*>([^<]*)", row) == [
        "206.00",
        "",
        "12.88",
        "16",
        "1 desk-8 + 1 rack-8",
    ]


def test_rates_at_which_less_arrives() -> None:
    whole = AtRate(48_000, examine(WIRED, None), (), (), (), True)
    short = replace(
        whole, rate_hz=96_000, dead=(Dead("host-1", "optical", "input", 1, 1, 1),), works=False
    )
    told = rates_page(ByRate(WIRED, (whole, short)))
    assert "Rehearsal room" in told
    assert "At 96 kHz" in told
    assert "At 48 kHz" not in told
    assert told.count("Optical input 1 of host-1 dies, 1 cable on it.") >= 2
    empty = replace(short, verdict=examine(WiredRig(96_000, (), ()), None), dead=())
    bare = rates_page(ByRate(replace(WIRED, title=""), (replace(empty, missing=("x",)),)))
    assert "<svg" not in bare
    assert "Rehearsal room" not in bare
    assert 'class="picture"' not in bare
    assert ("<dt>Rig</dt>" in told, "<dt>Rig</dt>" in bare) == (True, False)


def test_24_labels_are_on_a_sheet() -> None:
    """Two for each cable, and one for each unit."""
    units = tuple(replace(RIG.units[1], name=f"expander-{n}") for n in range(1, 25))
    full = labels_page(replace(RIG, units=units, links=()))
    more = labels_page(replace(RIG, units=(*units, RIG.units[0]), links=()))
    sheets = [text.count('class="sheet"') for text in (full, more)]
    assert sheets == [1, 2]


def test_what_each_order_adds_is_on_the_page() -> None:
    rig, shop = ordered()
    told = plan_page(answered(rig), shop, replace(Needs(), exchange={"EUR": Decimal("1.17")}))
    assert "corner: delivery and tax" in told
    assert "far: 234.00 EUR with delivery and tax" in told
    assert (DESK.label in told, RACK.label in told) == (True, True)


def test_what_a_repair_brings_is_new_and_what_it_touches_is_changed() -> None:
    """A loom of two ways comes; of another that stays, one way more is plugged in."""

    def ways(piece: int, *sockets: int) -> tuple[Link, ...]:
        return tuple(replace(LINE, from_socket=n, to_socket=n, piece=piece) for n in sockets)

    light = RIG.links[0]
    loom, stays, more = ways(1, 1, 2), ways(2, 3), ways(2, 4)
    before = WiredRig(48_000, RIG.units, (light, *stays))
    after = WiredRig(48_000, RIG.units, (replace(light, cable=LONG), *loom, *stays, *more))
    added = (after.links[0], *loom, *more)
    repair = Repaired(after, (), added, (light,), (), (), money=0, for_outputs=0, proven=True)
    assert repair_marks(before, repair).cables == {
        1: [Mark("changed")],
        2: [Mark("new")],
        3: [Mark("changed")],
    }
    assert removal_marks(before, repair) == {1: [Mark("removed")]}
    back = replace(repair, rig=before, added=(light,), removed=added)
    assert removal_marks(after, back) == {n: [Mark("removed")] for n in (1, 2, 3)}
    moved = replace(light, to_socket=2)
    shift = replace(
        repair,
        rig=WiredRig(48_000, RIG.units, (moved, *stays)),
        moved=(Moved(light, moved),),
        added=(),
        removed=(),
    )
    assert repair_marks(before, shift).cables == {1: [Mark("changed")]}
    assert removal_marks(before, shift) == {1: [Mark("removed")]}
