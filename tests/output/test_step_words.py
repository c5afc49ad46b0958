"""Steps of a repair and rows of growth in words: each made by hand, the sentence beside it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.choice import Setting
from rigopt.answers.growth import Grown, Growth, Most
from rigopt.answers.more import Better, More
from rigopt.catalogue.types import Cable
from rigopt.needs.types import Needs, Stage
from rigopt.output.facts import repair as steps
from rigopt.output.facts.growth import saved
from rigopt.output.words import growth, more
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.step import Step
from rigopt.rig.types import Order, Rig
from tests.output.rigs import CATALOGUE, LONG, answered, lone, sixteen
from tests.output.test_repair_steps import END, FAR, HOST, LIGHT, LINE, TEE, WORD
from tests.rig.link_worlds import BOTH
from tests.wires import link

LOOM = Cable("loom", "", "analogue", 2000, ways=8)
BARE = replace(LIGHT, cable=None)
WAYS = tuple(
    replace(LINE, from_socket=n, to_unit=name, to_socket=n + 4, cable=LOOM, piece=7)
    for n, name in ((1, "host-1"), (2, "host-1"), (3, "host-2"))
)
DUPLEX = link(BOTH, "expander-1", 1, "host-1", 2, 8, ("audio", "clock"), None, back=1)
FITTED = replace(WORD, tee=TEE, terminator=replace(END, label=""))


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (
            steps.TakeOff(LIGHT),
            "Take off: optical expander-1 out 1 -> host-1 in 1: Optical lead, 1 m",
        ),
        (steps.TakeOff(BARE), "Take off: optical expander-1 out 1 -> host-1 in 1"),
        (
            steps.Move(LIGHT, replace(BARE, to_socket=2)),
            "Move: optical expander-1 out 1 -> host-1 in 1: Optical lead, 1 m; to optical "
            "expander-1 out 1 -> host-1 in 2, for 8 channels and clock",
        ),
        (
            steps.Replace(BARE, replace(LIGHT, cable=LONG)),
            "Replace: optical expander-1 out 1 -> host-1 in 1, by Optical lead, 8 m",
        ),
        (
            steps.Add(DUPLEX),
            "Add: trunk expander-1 socket 1 -> host-1 socket 2, for 8 channels, 1 channel back "
            "and clock: the same",
        ),
        (
            steps.Add(replace(LIGHT, channels=1, carries=("audio",))),
            "Add: optical expander-1 out 1 -> host-1 in 1, for 1 channel: Optical lead, 1 m",
        ),
        (
            steps.Strip(FITTED, True, True),
            "Take off: a T-piece and a terminator at host-1 in 1",
        ),
        (steps.Strip(FITTED, True, False), "Take off: a T-piece at host-1 in 1"),
        (steps.Strip(FITTED, False, True), "Take off: a terminator at host-1 in 1"),
        (
            steps.Fit(FITTED, True, True),
            "Put: a T-piece and a terminator at host-1 in 1: T + e",
        ),
        (steps.Fit(FITTED, True, False), "Put: a T-piece at host-1 in 1: T"),
        (steps.Fit(FITTED, False, True), "Put: a terminator at host-1 in 1: e"),
        (steps.Fit(WORD, True, True), "Put: a T-piece and a terminator at host-1 in 1"),
        (
            steps.SetFormat(LIGHT),
            "Set: expander-1 out 1 and host-1 in 1 to light-pipe",
        ),
        (
            steps.Lay(WAYS),
            "Add: analogue expander-1 direct out 1–3 -> host-1 in 5–6 and host-2 in 7: loom",
        ),
        (
            steps.Lift(WAYS[:2]),
            "Take off: analogue expander-1 direct out 1–2 -> host-1 in 5–6: loom",
        ),
        (
            steps.Lift(tuple(replace(one, cable=None) for one in WAYS[1:])),
            "Take off: analogue expander-1 direct out 2–3 -> host-1 in 6 and host-2 in 7",
        ),
        (
            steps.PlugWay(WAYS[0]),
            "Plug: analogue expander-1 direct out 1 -> host-1 in 5, for 1 channel: a free way "
            "of loom",
        ),
        (
            steps.PlugWay(replace(WAYS[0], cable=None)),
            "Plug: analogue expander-1 direct out 1 -> host-1 in 5, for 1 channel: a free way "
            "of the piece",
        ),
        (
            steps.Unplug(WAYS[0]),
            "Unplug: analogue expander-1 direct out 1 -> host-1 in 5: the other ways stay",
        ),
        (steps.SetRate(96_000), "Set: every unit to 96 kHz"),
        (steps.SetRole(FAR), "Set: expander-1 up as expander"),
        (
            steps.SetClock(HOST),
            "Set: the clock of host-1: locked to optical in 1, from expander-1",
        ),
        (steps.Switch("host-1", (1,), True), "Switch: 48 V on on bank 1 of host-1"),
        (steps.Switch("host-1", (1, 2), False), "Switch: 48 V off on banks 1–2 of host-1"),
        (steps.Plug("Bass", "host-1", 3), "Plug: Bass into channel 3 of host-1"),
    ],
)
def test_each_step_in_words(step: Any, said: str) -> None:
    assert ": ".join(step_words(step)) == said


def step(title: str, mic: int, outlay: int, rig: Rig, **needs: Any) -> Step:
    return Step(title, Needs(mic=mic, **needs), replace(rig, total=outlay))


FIRST = step("Stage 1", 8, 10000, lone(), owned={"desk-8": 1}, resale={"desk-8": 5})
SECOND = step("Concert", 16, 20600, sixteen(), owned={"desk-8": 1}, resale={"desk-8": 5})
AHEAD = Growth((FIRST, SECOND), 30000, True)
ALONE = replace(AHEAD, steps=(FIRST, step("Concert", 16, 25000, sixteen())))


def test_the_stages_of_a_growth() -> None:
    assert growth.stage_rows(Grown(AHEAD, ALONE), "GBP") == (
        ["Stage", "Rig then", "Outlay GBP", "So far", "One by one", "So far then"],
        [
            ["Stage 1", "1 desk-8", "100.00", "100.00", "100.00", "100.00"],
            ["Concert", "1 desk-8 + 1 rack-8", "206.00", "306.00", "250.00", "350.00"],
        ],
    )
    assert [row[-2:] for row in growth.stage_rows(Grown(AHEAD, None), "GBP")[1]] == [
        ["-", "-"],
        ["-", "-"],
    ]
    assert growth.stage_name(1, FIRST) == "Stage 1"
    assert growth.stage_name(2, SECOND) == "Stage 2: Concert"
    assert growth.heading(1) == "Growth in 1 stage"


def test_what_was_there_before_is_owned_at_the_first_stage_alone() -> None:
    told = growth.stage_asked(1, FIRST, CATALOGUE)
    assert told == "48 kHz, 8 microphones; owned: 1 desk-8 (sold at 0.05 if not used)"
    assert growth.stage_asked(2, SECOND, CATALOGUE) == "48 kHz, 16 microphones"


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (Grown(AHEAD, None, "stuck"), "one after the other, the stages cannot all be reached."),
        (Grown(AHEAD, None, "time"), "one after the other was not found in the time."),
        (Grown(AHEAD, ALONE), "the stages cost 350.00 GBP; looking ahead saves 44.00 GBP."),
        (
            Grown(AHEAD, ALONE, "found"),
            "350.00 GBP as far as was found in the time; looking ahead saves 44.00 GBP.",
        ),
        (
            Grown(AHEAD, replace(AHEAD, steps=(step("Stage 1", 8, 10001, lone()), SECOND))),
            "the stages cost 306.01 GBP; looking ahead saves 0.01 GBP.",
        ),
        (Grown(AHEAD, AHEAD), "306.00 GBP; looking ahead saves nothing here."),
        (Grown(ALONE, AHEAD), "306.00 GBP; looking ahead saves nothing here."),
    ],
)
def test_what_looking_ahead_saves(found: Grown, said: str) -> None:
    assert growth.beside(found, CATALOGUE).endswith(said)


def test_what_is_not_known_saves_nothing() -> None:
    assert saved(Grown(AHEAD, None)) == 0
    assert saved(Grown(AHEAD, ALONE)) == 4400
    assert saved(Grown(ALONE, AHEAD)) == -4400


def test_how_sure_a_growth_is() -> None:
    sure = "complete; no way through these stages with this catalogue costs less."
    assert growth.growth_proof(Grown(AHEAD, None), CATALOGUE) == sure
    open_ = growth.growth_proof(Grown(replace(AHEAD, proven=False), None), CATALOGUE)
    assert open_.endswith("No way with this catalogue costs less than 300.00 GBP.")


STAGES = tuple(Stage(name, Needs(mic=8)) for name in ("One", "Two", "Three"))
ALL = "at each stage; what is left over is not kept."


@pytest.mark.parametrize(
    ("ended", "proven", "budget", "told"),
    [
        ("reached", (True, True), 0, [("Budget", f"0.00 GBP {ALL}")]),
        (
            "out of reach",
            (True, True),
            None,
            [
                ("Budget", f"0.00 GBP {ALL}"),
                ("Ends", "before the stage Three: no rig can be had for it."),
            ],
        ),
        (
            "time",
            (True, False),
            500,
            [
                ("Budget", f"5.00 GBP {ALL}"),
                ("Ends", "before the stage Three: time was up."),
                ("Proof", "none yet; there may be more for the money."),
            ],
        ),
    ],
)
def test_how_far_the_same_money_goes(
    ended: Any, proven: tuple[bool, ...], budget: int | None, told: list[tuple[str, str]]
) -> None:
    found = Most(AHEAD, proven, ended)
    needs = Needs(budget=budget, stages=STAGES)
    said = growth.most_answer(found, CATALOGUE, needs)
    assert said == [told[0], ("Most", "8 microphones, then 16 microphones"), *told[1:]]
    none = growth.most_answer(replace(found, growth=Growth((), 0, True)), CATALOGUE, needs)
    assert none[1] == ("Most", "no rig at all.")


def test_the_rows_of_the_most_at_each_stage() -> None:
    head, told = growth.most_rows(Most(AHEAD, (True, False), "reached"), "GBP")
    assert head == ["Stage", "Rig then", "Mics", "Outlay GBP", "So far", "Proven"]
    assert told == [
        ["Stage 1", "1 desk-8", "8", "100.00", "100.00", "yes"],
        ["Concert", "1 desk-8 + 1 rack-8", "16", "206.00", "306.00", "no"],
    ]


ORDERS = (Order("a", "GBP", 1, 0, 0, 1), Order("b", "GBP", 1, 0, 0, 1))


@pytest.mark.parametrize(
    ("gain", "rig", "said"),
    [
        ("inputs", sixteen(), "16 microphone inputs"),
        ("rate", lone(), "96 kHz"),
        ("units", lone(), "1 unit"),
        ("orders", sixteen(), "no order"),
        ("orders", replace(sixteen(), orders=ORDERS[:1]), "1 order"),
        ("orders", replace(sixteen(), orders=ORDERS), "2 orders"),
        ("master", sixteen(), "a host as clock master"),
        ("new", sixteen(), "new things only"),
    ],
)
def test_what_a_little_more_money_buys(gain: Any, rig: Rig, said: str) -> None:
    better = Better(gain, Setting("mic", 16), Needs(), answered(rig))
    assert more.gain(better) == said


def test_how_much_more_is_asked_for() -> None:
    found = More(Decimal("10.0"), 88275, ())
    assert more.heading(found, "GBP") == "What up to 10 % more buys, up to 882.75 GBP"
