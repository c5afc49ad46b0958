"""Stages of a growing rig, and heads of answers, as a terminal shows them."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.choice import Alternative, Difference
from rigopt.answers.growth import Grown, Growth, Most, OutOfReach
from rigopt.answers.outcome import OutOfTime, Regret
from rigopt.answers.series import Curve, Point
from rigopt.needs.types import Needs
from rigopt.output.terminal.curve import curve_text
from rigopt.output.terminal.grow import grow_summary, grow_text
from rigopt.output.terminal.grow_most import most_summary, most_text
from rigopt.output.terminal.head import head, title
from rigopt.output.terminal.inputs import inputs_table
from rigopt.output.words.regret import UPPER_ENDS
from rigopt.rig.figures import figures
from tests.output.rigs import CATALOGUE, DESK, RACK, answered, lone, sixteen
from tests.output.test_step_words import SECOND, STAGES, step
from tests.sheets.analogue import led

DOOR = step("Stage door", 8, 100, lone())
STAGED = Needs(budget=5, stages=STAGES)
GROWN = Grown(Growth((DOOR, SECOND), 0, True), None, "stuck")
HEAD = """\
Growth in 2 stages
==================
Total:  207.00 GBP
Proof:  complete; no way through these stages with this catalogue costs less.
Ahead:  bought one after the other, the stages cannot all be reached.
"""


def test_the_stages_of_a_growth_one_after_the_other() -> None:
    told = grow_text(GROWN, CATALOGUE, STAGED)
    assert told.startswith(
        f"{HEAD}\n"
        "THE STAGES\n"
        "Stage       Rig then             Outlay GBP  So far  One by one  So far then\n"
        "----------  -------------------  ----------  ------  ----------  -----------\n"
        "Stage door  1 desk-8                   1.00    1.00           -            -\n"
        "Concert     1 desk-8 + 1 rack-8      206.00  207.00           -            -\n\n"
        "STAGE 1: Stage door\nAsked:  48 kHz, 8 microphones\n\n"
        "TO BUY THEN\nNothing: everything is there.\n\nUNITS\n"
    )
    assert "\n\nSTAGE 2: Concert\nAsked:  48 kHz, 16 microphones\n\nTO BUY THEN\nQty " in told
    assert "ANALOGUE CABLES" not in told
    assert grow_summary(GROWN, CATALOGUE, STAGED) == HEAD
    wired = Growth((replace(DOOR, rig=led()),), 0, True)
    assert "\n\nANALOGUE CABLES\nNo  From" in grow_text(Grown(wired, None), CATALOGUE, STAGED)


def test_no_way_through_the_stages() -> None:
    opening = "Growth in 3 stages\n==================\n\n"
    for found, said in (
        (OutOfTime(2.0), "No way through these stages was found within 2 s, and it is"),
        (
            OutOfReach(None),
            "There is no way through these stages, because:\n- The time was up before it was",
        ),
    ):
        assert grow_text(found, CATALOGUE, STAGED).startswith(opening + said)
        assert grow_summary(found, CATALOGUE, STAGED) == grow_text(found, CATALOGUE, STAGED)


def test_the_most_at_each_stage() -> None:
    found = Most(Growth((SECOND,), 0, True), (True,), "reached")
    told = most_text(found, CATALOGUE, STAGED)
    assert told.startswith(
        "Growth in 3 stages\n==================\n"
        "Budget: 0.05 GBP at each stage; what is left over is not kept.\n"
        "Most:   16 microphones\n\n"
        "THE STAGES\n"
        "Stage    Rig then             Mics  Outlay GBP  So far  Proven\n"
        "-------  -------------------  ----  ----------  ------  ------\n"
        "Concert  1 desk-8 + 1 rack-8    16      206.00  206.00  yes\n\n"
        "STAGE 1: Concert\n"
    )
    none = Most(Growth((), 0, True), (), "time")
    assert most_text(none, CATALOGUE, STAGED) == most_summary(none, CATALOGUE, STAGED)
    assert most_summary(none, CATALOGUE, STAGED).endswith(
        "\nMost:   no rig at all.\nEnds:   before the stage One: time was up.\n"
    )
    wide = step("Concert", 8, 5, lone())
    both = Most(Growth((wide, wide), 0, True), (True, False), "reached")
    assert most_text(both, CATALOGUE, STAGED).split("\n\n")[1].splitlines()[3:] == [
        "Concert  1 desk-8     8        0.05    0.05  yes",
        "Concert  1 desk-8     8        0.05    0.10  no",
    ]


def test_the_table_of_a_curve() -> None:
    half = answered(replace(sixteen(), total=10300))
    curve = Curve((4, 16), (Point(4, half), Point(16, answered())))
    told = curve_text(curve, CATALOGUE, Needs())
    assert told[told.index("COST\n") :].split("\n\n")[0].splitlines()[1:] == [
        "Mics  Total GBP     More  Per input  Inputs  Units",
        "----  ---------  -------  ---------  ------  -------------------",
        "   4     103.00                6.44      16  1 desk-8 + 1 rack-8",
        "  16     206.00  +103.00      12.88      16  1 desk-8 + 1 rack-8",
    ]
    penny = Curve((4,), (Point(4, answered(replace(sixteen(), total=1))),))
    assert f"4 |{'#' * 72} 0.01\n" in curve_text(penny, CATALOGUE, Needs())


def test_the_head_of_an_answer_says_what_ranges_count() -> None:
    """But where the least regret is asked for, they count as they are."""
    ranged = replace(CATALOGUE, devices={"desk-8": replace(DESK, least=5), "rack-8": RACK})
    end, note = answered(), f"Note:   {UPPER_ENDS}"
    known = figures(end.rig)
    assert note in head(end, ranged, Needs(), known).splitlines()
    assert note not in head(end, CATALOGUE, Needs(), known)
    assert note not in head(replace(end, regret=Regret(0, 0)), ranged, Needs(), known)
    other = replace(end, alternative=Alternative(1, Difference(5, (), (("rack-8", 1),))))
    assert "\nChoice: alternative 1, 0.05 GBP more than the cheapest rig: with 1 rack-8.\n" in (
        head(other, CATALOGUE, Needs(), known)
    )
    assert "Choice" not in head(end, CATALOGUE, Needs(), known)


def test_a_title_is_underlined_as_far_as_its_longest_line() -> None:
    assert title(f"{'a' * 78} {'b' * 5}").splitlines() == ["a" * 78, "b" * 5, "=" * 78]


def test_of_a_list_of_inputs_what_each_is_for_gives_way_first() -> None:
    """80 columns, less 8, 34, 4 and three gaps, leave 28."""
    name, words = "u" * 32, " ".join(["word"] * 9)
    rig = sixteen()
    named = tuple(replace(one, unit=name, source=words) for one in rig.inputs[:1])
    first, *rest = inputs_table(named, {}).splitlines()[2:]
    assert first == f"       1  {name} 1  on    mic: word word word word"
    assert [line.strip() for line in rest] == ["word word word word word"]
