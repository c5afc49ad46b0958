"""Parts of what a terminal shows, of rigs and answers made by hand."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.answers.checks import Checks
from rigopt.answers.choice import Change, Need, Price, Setting, Why
from rigopt.answers.more import Better, More
from rigopt.answers.outcome import Alternatives, Choice, Impossible, OutOfTime
from rigopt.answers.prices import Ask, Prices
from rigopt.answers.repair import Cause, NoRepair, Repaired
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.answers.verdict import examine
from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.questions import Question
from rigopt.needs.types import Needs
from rigopt.output.terminal.added import asked_text, read_back
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.audit import HINT, audit_text, head
from rigopt.output.terminal.audit_repair import repair_text
from rigopt.output.terminal.audit_rig import clock_table, free_table, remarks, sections
from rigopt.output.terminal.changes import changes_table
from rigopt.output.terminal.choice import choice_text
from rigopt.output.terminal.columns import columns_text
from rigopt.output.terminal.compare import compare_text
from rigopt.output.terminal.curve import curve_text
from rigopt.output.terminal.layout import grid
from rigopt.output.terminal.prices import prices_summary, prices_text
from rigopt.output.terminal.stretch import stretch_text
from rigopt.output.terminal.text import plan_text, whole_text
from rigopt.output.terminal.wiring import farthest
from rigopt.output.words.more import more_told
from rigopt.output.words.regret import UPPER_ENDS
from rigopt.output.words.why import why_told
from rigopt.rig.audit.finding import Finding
from rigopt.rig.types import Purchase, Unit
from rigopt.rig.wired import WiredRig
from tests.output.rigs import CATALOGUE, DESK, NEEDS, RACK, answered, lone, sixteen
from tests.sheets.linked import apart, chained
from tests.sheets.rigs import clocked, two

RIG = sixteen()
WIRED = WiredRig(48_000, RIG.units, RIG.links)
INVENTED = replace(CATALOGUE, invented=True)


@pytest.mark.parametrize(
    ("question", "said"),
    [
        (Question("x", "How many", default=None), "\nHow many?\n> "),
        (Question("x", "How many", "It counts."), "\nHow many? [0]\n  It counts.\n> "),
        (Question("x", "How many", shown="none"), "\nHow many? [none]\n> "),
    ],
)
def test_a_question_at_a_prompt(question: Question, said: str) -> None:
    assert asked_text(question) == said


def test_a_row_is_read_back_with_what_is_not_known() -> None:
    plain = read_back(RACK, CATALOGUE, [])
    assert plain.startswith("rack-8, 300.00 GBP: Rack expander, 8 microphones\n")
    assert "NOT KNOWN" not in plain
    asked = read_back(RACK, CATALOGUE, [("How many", "It counts.")])
    assert asked == f"{plain}\nNOT KNOWN\n- How many? It counts."


def test_word_clock_through_t_pieces_ends_once() -> None:
    assert "T-pieces" not in advice(clocked())
    assert "75 ohm at expander-3, where a chain ends," in advice(chained())


def test_hosts_on_clocks_of_their_own_drift() -> None:
    assert "into one aggregate device, in the order shown, for the input" not in advice(two())
    told = " ".join(advice(apart()).split())
    assert "join the 2 hosts into one" in told
    assert told.endswith("Switch drift correction on for host-2.")


DAY = datetime.date(2025, 3, 4)


def test_prices_that_are_old_or_nothing() -> None:
    """60 days before the fourth of March is the third of January."""
    lines = (
        Purchase("a", "A", "cable", 1, 5, seller="near", as_of=datetime.date(2025, 1, 2)),
        Purchase("b", "B", "cable", 1, 5, seller="near", as_of=datetime.date(2025, 1, 3)),
        Purchase("c", "C", "cable", 1, 0),
    )
    rig = replace(lone(), purchases=lines)
    told = " ".join(advice(rig, DAY).split())
    assert (
        "On 2025-03-04 these prices are older than 60 days: A (a) at near (2025-01-02)." in told
    )
    assert "At a price of 0: C (c). If" in told
    assert "older than" not in advice(rig)


def test_what_each_unit_of_a_wired_rig_is_set_to() -> None:
    assert clock_table(examine(WIRED, None)).splitlines() == [
        "Unit        Clock",
        "----------  ---------------------------------------",
        "host-1      locked to optical in 1, from expander-1",
        "expander-1  internal (clock master)",
    ]
    bare = replace(WIRED, units=(*RIG.units, Unit("di-1", RACK, "di", None)))
    assert clock_table(examine(bare, None)).endswith("\nNo clock is needed for di-1.")
    assert farthest(1) == []
    assert farthest(2) == ["The farthest unit is 2 cables away from its master."]


def test_free_sockets_of_a_wired_rig() -> None:
    """At 192 kHz this light-pipe is dead, and coax has no numbers there either."""
    assert free_table(WIRED).splitlines() == [
        "Unit    Inputs  Outputs",
        "------  ------  ---------",
        "host-1  coax 1  optical 1",
    ]
    fast = replace(WIRED, rate_hz=192_000, links=())
    assert free_table(fast).splitlines()[2:] == [
        "host-1      1 optical dead, 1 coax dead  1 optical dead",
        "expander-1  –                            1 optical dead",
    ]
    none = replace(WIRED, units=(replace(RIG.units[1], device=replace(RACK, optical_out=0)),))
    assert free_table(replace(none, links=())) == "None."


@pytest.mark.parametrize(
    ("left", "said"),
    [
        (0, "- None of the 8 channels of expander-1 reaches the computer."),
        (1, "- 1 of the 8 channels of expander-1 reaches the computer."),
        (2, "- 2 of the 8 channels of expander-1 reach the computer."),
        (8, None),
    ],
)
def test_channels_that_do_not_arrive(left: int, said: str | None) -> None:
    verdict = replace(examine(WIRED, None), inputs=RIG.inputs[: 8 + left])
    assert remarks(verdict) == ([said] if said else [])


def test_of_warnings_those_of_spare_cables_are_remarks() -> None:
    facts = (("link", "x -> y"), ("length", "8 m"), ("sure", "5 m"), ("cable", "opt"))
    idle, long = Finding("carries-nothing", "", facts), Finding("optical-long", "", facts)
    verdict = replace(examine(WIRED, None), warnings=(long, idle))
    assert remarks(verdict) == [
        "- The cable x -> y carries neither audio nor clock. Take it off."
    ]


def test_a_source_of_a_wired_rig_through_a_box() -> None:
    first, *rest = examine(WIRED, None).inputs
    boxed = replace(first, use="instrument", source="Bass", path=("di-1", "host-1"))
    verdict = replace(examine(WIRED, None), inputs=(boxed, *rest))
    shown = sections(verdict)[1].splitlines()[3].split(maxsplit=4)
    assert shown == ["1", "host-1", "1", "on", "instrument: Bass, through di-1"]


def test_a_verdict_under_its_heading() -> None:
    """A title has 70 columns on a line; a rule that is broken twice is named once."""
    verdict = examine(WIRED, None)
    wide, wider = f"{'a' * 34} {'b' * 35}", f"{'a' * 35} {'b' * 35}"
    for title, lines in ((wide, [wide]), (wider, wider.split())):
        told = head(replace(verdict, rig=replace(WIRED, title=title)), Needs())
        assert told.splitlines()[2:] == [
            *(f"Rig:    {line}" for line in lines),
            "Rate:   48 kHz, 2 units, 1 digital cable",
            "Needs:  met",
        ]
    more = (("rate", "96 kHz"), ("device", "desk"), ("listed", "48 kHz"))
    slow = tuple(Finding("rate", "", (("unit", name), *more)) for name in ("a", "b"))
    unheard = Finding("rate-unknown", "", (("rate", "1 kHz"), ("known", "48 kHz")))
    told = audit_text(replace(verdict, findings=(*slow, unheard)), CATALOGUE, None)
    assert told.startswith("The rig does not work: 3 faults\n")
    assert "\n2. b does not run at 96 kHz; desk runs at 48 kHz. [rate]\n   Change: Run" in told
    rules = told[told.index("RULES BROKEN\n") :].split("\n\n")[0]
    assert rules.count("[rate]") == 1
    assert rules.count("[rate-unknown]") == 1
    assert told.endswith(f"\n\n{HINT}\n")


def test_a_repair_under_its_heading() -> None:
    found = Repaired(WIRED, (), (), (), (), (), 500, 200, False)
    nothing = "Plug and set nothing: only what the file says has to change."
    assert repair_text(WIRED, found, INVENTED).splitlines() == [
        "REPAIR: 5.00 GBP",
        nothing,
        "2.00 GBP of it keeps line outputs fed. Where nobody needs them, say so with",
        "--needs.",
        "The time was short: a cheaper repair may exist.",
        "The demo catalogue's prices are invented.",
    ]
    done = replace(found, rig=replace(WIRED, rate_hz=96_000), for_outputs=0, proven=True)
    assert repair_text(WIRED, done, CATALOGUE).splitlines() == [
        "REPAIR: 5.00 GBP",
        "Set:      every unit to 96 kHz",
    ]
    free = replace(done, money=0)
    assert "invented" not in repair_text(WIRED, free, INVENTED)
    none = NoRepair(causes=(Cause("size"),))
    assert repair_text(WIRED, none, CATALOGUE).splitlines() == [
        "NO REPAIR THAT KEEPS THE UNITS",
        "No such repair was found, because:",
        "- this rig is too large to be repaired by calculation",
    ]


def test_changes_that_would_do() -> None:
    """That fewer have a wish for 48 V goes without saying, but is to be typed."""
    changes = (
        Change((Setting("mic", 8), Setting("phantom", 2)), 20600),
        Change((Setting("phantom", 0),), None),
    )
    found = Impossible((Need("mic", 9),), changes=changes)
    assert changes_table(found, "GBP", Needs()).splitlines() == [
        "Change to                Type                 Total GBP",
        "-----------------------  -------------------  ---------",
        "8 microphones            --mic 8 --phantom 2     206.00",
        "0 microphones with 48 V  --phantom 0",
    ]
    pairs = (Change((Setting("pairs", 0), Setting("max_hosts", 2)), 1),)
    told = changes_table(Impossible(changes=pairs), "GBP", Needs())
    assert "[[source]] without pair, --hosts 2       0.01" in told


def test_a_comparison_of_five_columns_in_two_blocks() -> None:
    column = Column(Scenario("", INVENTED, Needs(mic=8)), answered())
    told = compare_text([column] * 5, {})
    heads = [line.split() for line in told.splitlines() if line.startswith("Column")]
    assert heads == [["Column", "1", "2", "3"], ["Column", "4", "5"]]
    assert told.startswith("5 columns side by side\n======================\n\nColumn ")
    assert "\nUNITS\n" in told
    assert told.endswith("\n- The demo catalogue's prices are invented.\n")
    one = compare_text([replace(column, outcome=OutOfTime(1.0))] * 4, {})
    assert one.count("Column  ") == 1


def test_a_curve_has_a_bar_for_each_count() -> None:
    """The dearest bar has 80 columns less 2, 6 and 3 for the rest: 69; half of it is 34.5."""
    half = answered(replace(sixteen(), total=10300))
    curve = Curve((4, 16), (Point(4, half), Point(16, answered())))
    told = curve_text(curve, CATALOGUE, Needs())
    chart = told[told.index("CHART\n") :].splitlines()[1:3]
    assert chart == [f" 4 |{'#' * 35} 103.00", f"16 |{'#' * 69} 206.00"]
    assert max(map(len, chart)) == 80
    assert told.startswith(
        "Price against microphones\n=========================\nAsked:  48 kHz"
    )
    bare = tuple(replace(u, device=replace(u.device, label="")) for u in sixteen().units)
    nothing = Curve((16,), (Point(16, answered(replace(sixteen(), units=bare))),))
    assert curve_text(nothing, CATALOGUE, Needs()).endswith("# 206.00\n")
    none = curve_text(Curve((4,), (Point(4, OutOfTime(1.0)),)), CATALOGUE, Needs())
    assert "COST" not in none
    assert "CHART" not in none


def test_a_stretch_shows_its_rig() -> None:
    best = Point(10, answered())
    found = Stretch(30000, best, None, True)
    told = stretch_text(found, CATALOGUE, Needs())
    assert told.startswith(
        "What 300.00 GBP stretch to\n==========================\nMost:   10 "
    )
    assert "Asked:  48 kHz, 10 microphones; a budget of 300.00 GBP\n" in told
    none = stretch_text(replace(found, best=None), INVENTED, Needs())
    assert none.splitlines()[-1] == "Note:   The demo catalogue's prices are invented."


def test_how_far_one_is_with_prices() -> None:
    found = Prices((Ask("desk-8", "every"),), None, 2)
    told = prices_summary(found, CATALOGUE, NEEDS)
    assert told.splitlines()[0] == "Four-piece band"
    assert "So far: 2 prices not known; no choice is safe yet.\n" in told
    assert f"\n\n- desk-8: {DESK.label}. It is in every rig" in told
    assert "--price desk-8=MONEY" in told
    near = prices_summary(replace(found, regret=500), CATALOGUE, Needs())
    assert near.splitlines()[0] == "1 price to look up next"
    assert "costs at most\n        5.00 GBP more than the best rig." in near


def test_what_was_asked_beside_an_answer_follows_it() -> None:
    limit = More(Decimal(10), 22660, ())
    asked = Choice(
        answered(), Alternatives((), "no more"), Why((), (), False), Checks((), True), limit
    )
    assert choice_text(asked, "GBP") == (
        "\nALTERNATIVES\nNo other mix of devices would do.\n"
        "\nWHY THIS RIG\nNot all of this could be found out.\n"
        "\nBEFORE YOU PAY\nWhatever else these rows say may be otherwise: what is bought does "
        "all the same.\n"
        "\nWHAT UP TO 10 % MORE BUYS, UP TO 226.60 GBP\nNo more inputs, no higher rate, and "
        "nothing else that is counted here.\n"
    )
    assert choice_text(Choice(answered()), "GBP") == ""
    assert choice_text(replace(asked, outcome=OutOfTime(1.0)), "GBP") == ""


def test_every_column_of_a_catalogue_is_told() -> None:
    told = columns_text()
    assert told.startswith("The columns of a catalogue\n==========================\n")
    assert told.endswith("\n")
    for name, columns in COLUMNS.items():
        part = told[told.index(f"\n{name}.csv\n") + 1 :].split("\n\n")[0]
        assert "must be filled in." in part
        begun = [line.split()[0] for line in part.splitlines()[2:] if line[2] != " "]
        assert [word for word in begun if word in {c.name for c in columns}] == [
            column.name for column in columns
        ]


def test_what_a_little_more_buys_in_a_table() -> None:
    """206.00 GBP with one interface more is 300.00."""
    host, far = sixteen().units
    larger = replace(sixteen(), units=(host, replace(host, name="host-2"), far), total=30000)
    gain = Better("inputs", Setting("mic", 24), Needs(mic=24), answered(larger))
    found = More(Decimal(50), 30900, (gain,))
    told = grid(more_told(found, sixteen(), "GBP")).splitlines()
    assert told == [
        "For                   Total GBP  More by  Instead of  There is  Ask with",
        "--------------------  ---------  -------  ----------  --------  --------",
        "16 microphone inputs     300.00    94.00  nothing     1 desk-8  --mic 24",
        "- desk-8: Desk interface, 8 in",
        "- rack-8: Rack expander, 8 microphones",
        "Each is the cheapest rig that has it. To see it whole, ask with what stands",
        "last.",
    ]
    short = "Not all of this could be found out in the time."
    assert grid(more_told(replace(found, complete=False), sixteen(), "GBP")).splitlines() == [
        *told,
        short,
    ]
    none = replace(found, found=())
    assert grid(more_told(none, sixteen(), "GBP")).startswith("No more inputs, no higher rate,")
    assert grid(more_told(replace(none, complete=False), sixteen(), "GBP")) == short


def test_when_prices_are_known_the_rig_follows() -> None:
    asked = Prices((Ask("desk-8", "every"), Ask("rack-8", "could")), None, 2)
    assert prices_text(asked, CATALOGUE, Needs()) == prices_summary(asked, CATALOGUE, Needs())
    assert prices_summary(asked, CATALOGUE, Needs()).endswith(
        "column, or add --price desk-8=MONEY for each, and ask\nagain.\n"
    )
    done = Prices((), 0, 1, answered(), ("desk-8", "rack-8"))
    told = prices_summary(done, CATALOGUE, Needs())
    assert " ".join(told.split()) == (
        "No more prices are needed: 1 unknown price never mattered. The price of desk-8 and "
        "rack-8 is not known and counts nothing here: every rig buys as much of it. It comes "
        "on top."
    )
    plan = plan_text(answered(), CATALOGUE, Needs())
    assert prices_text(done, CATALOGUE, Needs()) == f"{told}\n{plan}"
    assert told.endswith("top.\n")
    plain = prices_summary(replace(done, blank=()), CATALOGUE, Needs())
    assert plain == "No more prices are needed: 1 unknown price never mattered.\n"
    for show in (prices_text, prices_summary):
        assert show(OutOfTime(1.0), CATALOGUE, Needs()).startswith("No rig\n======\nAsked: ")


def test_an_answer_is_followed_by_what_was_asked_of_it() -> None:
    plain = plan_text(answered(), CATALOGUE, Needs())
    assert whole_text(Choice(answered()), CATALOGUE, Needs()) == plain
    assert "WIRING" not in plain
    assert "STEP BY STEP" not in plain
    more = Choice(answered(), Alternatives((), "time"))
    said = "\nALTERNATIVES\nThe time was up before more were found.\n"
    assert whole_text(more, CATALOGUE, Needs()) == plain + said
    ranged = replace(CATALOGUE, devices={"desk-8": replace(DESK, least=5), "rack-8": RACK})
    told = whole_text(more, ranged, Needs())
    assert told.endswith(f"\n\n{UPPER_ENDS}\n{said}")
    drawn = whole_text(Choice(answered()), CATALOGUE, Needs(), wiring=True, steps=True)
    assert (
        "\n\nWIRING\n1  expander-1* out 1 --- optical: 8 ch audio and clock --> host" in drawn
    )
    assert "\n\nSET-UP, STEP BY STEP\n1. " in drawn
    assert "\n\n2. " in drawn


def test_prices_at_which_a_rig_changes_in_tables() -> None:
    """The rig costs 206.00 GBP."""
    prices = (
        Price("desk-8", 1, 20000, 45000),
        Price("rack-8", 12, None, None, "owned"),
        Price("hub-4", 0, 25000, 8800),
        Price("old", 0, None, 10),
    )
    changes = (
        Change((Setting("mic", 15),), 50600),
        Change((Setting("max_hosts", 2),), 500),
        Change((Setting("rate_hz", 96000),), None),
    )
    told = why_told(Why(prices, changes), sixteen(), "GBP", {"desk-8": "Desk interface"})
    assert "\n\n".join(map(grid, told)).splitlines() == [
        "In the rig              Units     Price GBP      Switch price",
        "----------------------  -----  ------------  ----------------",
        "desk-8: Desk interface      1        200.00            450.00",
        "rack-8                     12  not for sale  any price: owned",
        "Above its switch price, the cheapest rig has fewer of a type.",
        "",
        "Not in the rig     Price GBP  Entry price",
        "--------------  ------------  -----------",
        "hub-4                 250.00        88.00",
        "old             not for sale         0.10",
        "Below its entry price, the cheapest rig has at least one of a type.",
        "",
        "If it were      Total GBP  Difference",
        "--------------  ---------  ----------",
        "15 microphones     506.00     +300.00",
        "up to 2 hosts        5.00     -201.00",
        "96 kHz             no rig",
    ]
