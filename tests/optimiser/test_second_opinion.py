"""The second opinion: right where the truth is known, and told wherever it was asked for."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from ortools.sat.python import cp_model

import rigopt
from rigopt.answers.growth import Grown, Growth
from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.shipped import demo_catalogue
from rigopt.catalogue.types import Cable, Catalogue
from rigopt.cli.main import run
from rigopt.needs.types import Needs, SourceLine, Stage
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions import second as asked
from rigopt.optimiser.questions.growth.journey import journey
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.second import second_on_growth, second_opinion
from rigopt.optimiser.solver.linear import Terms, total
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.second import UnknownRuleError, opinion
from rigopt.optimiser.solver.watch import Watch
from tests.choice_commands.shop import write
from tests.tiers import few
from tests.world import CABLES, DESK, catalogue

NO_END = Deadline(None)


def some_model(seed: int) -> tuple[cp_model.CpModel, Terms]:
    """A model with every kind of rule that the program uses, and some money."""
    chance = random.Random(seed)
    model = cp_model.CpModel()
    flags = [model.new_bool_var("") for _ in range(6)]
    counts = [model.new_int_var(0, chance.randint(1, 5), "") for _ in range(4)]
    literals = [*flags, *(~flag for flag in flags)]

    def some() -> list[cp_model.LiteralT]:
        return chance.sample(literals, chance.randint(1, 3))

    def linear() -> Any:
        every = [*counts, *flags]
        return total([(var, chance.randint(-3, 4)) for var in chance.sample(every, 4)])

    for _ in range(chance.randint(2, 7)):
        kind = chance.randrange(8)
        if kind == 0:
            model.add(linear() >= chance.randint(-2, 5)).only_enforce_if(*some())
        elif kind == 1:
            model.add_bool_or(some())
        elif kind == 2:
            model.add_bool_and(some()).only_enforce_if(chance.choice(literals))
        elif kind == 3:
            model.add_at_most_one(some())
        elif kind == 4:
            model.add_exactly_one(some())
        elif kind == 5:
            model.add_max_equality(chance.choice(counts), [linear(), linear(), 0])
        elif kind == 6:
            model.add_min_equality(chance.choice(counts), [linear() + 2, counts[0]])
        else:
            model.add_linear_constraint(linear(), -1, chance.randint(0, 9))
    return model, [(var, chance.randint(-5, 9)) for var in [*counts, *flags, counts[0]]]


@pytest.mark.parametrize("first", few(range(0, 200, 50), slow=(100, 150)))
def test_it_knows_the_least_of_any_small_model(first: int) -> None:
    endings = set()
    for seed in range(first, first + 50):
        model, money = some_model(seed)
        model.minimize(total(money))
        solver = cp_model.CpSolver()
        status = solver.solve(model)
        endings.add(status)
        if status == cp_model.INFEASIBLE:
            assert opinion(model, money, None, NO_END) == "agrees", seed
            assert opinion(model, money, 7, NO_END) == "disagrees", seed
            continue
        least = sum(factor * solver.value(var) for var, factor in money)
        said = [opinion(model, money, c, NO_END) for c in (least, least - 1, least + 1, None)]
        assert said == ["agrees", "disagrees", "disagrees", "disagrees"], seed
    assert endings == {cp_model.OPTIMAL, cp_model.INFEASIBLE}


def test_without_time_it_has_none() -> None:
    model, money = some_model(1)
    assert opinion(model, money, 0, Deadline(0.0)) == "no opinion"
    watch = Watch()
    watch.stopped = True
    assert opinion(model, money, 0, Deadline(None, watch)) == "no opinion"


def test_a_rule_that_it_does_not_know_is_not_left_out() -> None:
    holes = cp_model.CpModel()
    gap = cp_model.Domain.from_intervals([[0, 1], [4, 5]])
    several = holes.new_int_var_from_domain(gap, "")
    product = cp_model.CpModel()
    one = product.new_int_var(0, 4, "")
    product.add_multiplication_equality(one, [one, one])
    split = cp_model.CpModel()
    split.add_linear_expression_in_domain(split.new_int_var(0, 9, ""), gap)
    for model, money in ((holes, [(several, 1)]), (product, []), (split, [])):
        with pytest.raises(UnknownRuleError):
            opinion(model, money, 0, NO_END)


# --- questions -------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo() -> Catalogue:
    return read_folder(demo_catalogue(), invented=True)


QUESTIONS = [
    Needs(mic=16),
    Needs(mic=24, phantom=8, out_line=4, owned={"pre-8-one": 1}, resale={"pre-8-one": 9000}),
    Needs(mic=24, max_hosts=2),
    Needs(mic=24, rate_hz=192000),
    Needs(mic=40, max_hosts=2, budget=1000),
]


@pytest.mark.parametrize("needs", few(QUESTIONS, 0), ids=lambda needs: str(needs.mic))
def test_it_agrees_with_what_is_true_and_with_nothing_else(
    demo: Catalogue, needs: Needs
) -> None:
    agrees_with_the_truth_alone(demo, needs)


@pytest.mark.parametrize("mic", [8, 24, 999])
def test_it_agrees_with_the_truth_alone_in_a_small_shop(tmp_path: Path, mic: int) -> None:
    agrees_with_the_truth_alone(read_folder(write(tmp_path / "shop")), Needs(mic=mic))


def agrees_with_the_truth_alone(shop: Catalogue, needs: Needs) -> None:
    outcome = solve(shop, needs)
    assert isinstance(outcome, Answered | Impossible)
    told = second_opinion(outcome, shop, needs, NO_END)
    assert isinstance(told, Answered | Impossible)
    assert told == replace(outcome, second="agrees")
    if isinstance(outcome, Answered):
        wrong = replace(outcome, rig=replace(outcome.rig, total=outcome.rig.total + 1))
        for claim in (wrong, Impossible()):
            told = second_opinion(claim, shop, needs, NO_END)
            assert isinstance(told, Answered | Impossible)
            assert told.second == "disagrees"


def test_pairs_that_cannot_sit_side_by_side_are_no_matter_for_it(demo: Catalogue) -> None:
    """The cheapest mix may have no banks for them, which the model does not know."""
    pairs = (SourceLine("Left", "mic", pair="Right"), SourceLine("Right", "mic", pair="Left"))
    needs = Needs(mic=2, sources=pairs)
    outcome = solve(demo, needs)
    assert isinstance(outcome, Answered)
    dearer = replace(outcome, rig=replace(outcome.rig, total=outcome.rig.total + 1))
    for claim, said in ((outcome, AGREES), (dearer, "no opinion")):
        told = second_opinion(claim, demo, needs, NO_END)
        assert isinstance(told, Answered)
        assert told.second == said


def test_what_is_not_proven_is_not_asked_of_it(demo: Catalogue) -> None:
    outcome = solve(demo, Needs(mic=8))
    assert isinstance(outcome, Answered)
    for open_end in (replace(outcome, proven=False), OutOfTime(1.0)):
        assert second_opinion(open_end, demo, Needs(mic=8), NO_END) is open_end


def test_of_stages_that_are_not_proven_it_is_not_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asked, "said_of_trip", lambda *_: AGREES)
    shop, stages = catalogue(DESK), (Stage("only", Needs(mic=8)),)
    for proven, said in ((True, AGREES), (False, None)):
        found = Grown(Growth((), 0, proven), None)
        assert second_on_growth(found, shop, stages, NO_END).second == said


def test_it_is_given_an_end_where_none_is_said(
    demo: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asked, "SECONDS", 0.0)
    outcome = solve(demo, Needs(mic=8))
    told = second_opinion(outcome, demo, Needs(mic=8), NO_END)
    assert isinstance(told, Answered)
    assert told.second == "no opinion"


PATCH = Cable("patch", "patch lead", "analogue", 1000, 500, ends=("jack", "jack"))
"""With analogue cables units are pooled, as hosts are."""

POOLED = [(1, (PATCH,)), (2, ())]
AGREES, AGAINST = "agrees", "disagrees"


def said(
    monkeypatch: pytest.MonkeyPatch, opinions: list[str], cheaper: list[Any], **needs: Any
) -> tuple[str, list[str], list[Any]]:
    """What is said of a claim where the second solver says this, and what it was not asked."""
    patches = needs.pop("patches", ())
    monkeypatch.setattr(asked, "opinion", lambda *_: opinions.pop(0))
    monkeypatch.setattr(asked, "cheaper", lambda *_: cheaper.pop(0))
    shop = catalogue(DESK, cables=(*CABLES, *patches))
    problem = state(shop, Needs(mic=8, **needs))
    return asked.said_of(problem, 30000, NO_END), opinions, cheaper


def test_one_host_with_nothing_pooled_is_asked_once(monkeypatch: pytest.MonkeyPatch) -> None:
    assert said(monkeypatch, [AGAINST, AGREES], []) == (AGAINST, [AGREES], [])


@pytest.mark.parametrize(("hosts", "patches"), POOLED)
def test_what_stands_pooled_stands(
    hosts: int, patches: tuple[Cable, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = said(monkeypatch, [AGREES, AGAINST], [], max_hosts=hosts, patches=patches)
    assert told == (AGREES, [AGAINST], [])


@pytest.mark.parametrize(("hosts", "patches"), POOLED)
@pytest.mark.parametrize(
    ("pooled", "cheaper"),
    [("no opinion", []), (AGAINST, [None]), (AGAINST, [[0] * 10**4, None])],
)
def test_what_does_not_is_asked_by_name(
    pooled: str,
    cheaper: list[Any],
    hosts: int,
    patches: tuple[Cable, ...],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Pooled there may be less money than there is by name."""
    left = [*cheaper]
    told = said(monkeypatch, [pooled, AGREES], left, max_hosts=hosts, patches=patches)
    assert told == (AGREES, [], [])


def test_a_cheaper_rig_by_name_is_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    cheaper = [[0] * 10**4, [0]]
    assert said(monkeypatch, [AGAINST, AGREES], cheaper, max_hosts=2) == (AGAINST, [AGREES], [])


def test_nothing_that_the_search_leaves_out_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With 0 ranks every column is there: in a plan, and in each step of a way."""
    ranks, columns = [], asked.columns

    def noted(*args: Any, **named: Any) -> Any:
        ranks.append(named["ranks"])
        return columns(*args, **named)

    monkeypatch.setattr(asked, "columns", noted)
    shop, needs = catalogue(DESK), Needs(mic=8)
    assert asked.said_of(state(shop, needs), 30000, NO_END) == AGREES
    assert asked.said_of_trip(journey(shop, (Stage("one", needs),)), 30000, NO_END) == AGREES
    assert set(ranks) == {0}
    assert len(ranks) > 1


def test_of_several_models_one_that_agrees_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    opinions = [AGAINST, AGREES]
    monkeypatch.setattr(asked, "opinion", lambda *_: opinions.pop(0))
    trip = journey(catalogue(DESK), (Stage("only", Needs(mic=8)),))
    assert asked.said_of_trip(trip, 30000, NO_END) == AGREES


def test_the_time_that_is_said_is_its_time(
    demo: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = []
    monkeypatch.setattr(asked, "said_of", lambda *args: given.append(args[2]))
    limit = Deadline(9.0)
    second_opinion(Impossible(), demo, Needs(mic=8), limit)
    assert given == [limit]


# --- commands --------------------------------------------------------------------------------


COMMANDS = [
    (["plan", "--mic", "8"], "costs less. A solver of another kind agrees."),
    (["plan", "--mic", "8", "--rate", "192"], "A solver of another kind agrees."),
    (["curve", "--from", "2", "--to", "8", "--step", "6"], "a solver of another kind agrees."),
    (
        ["compare", "--mic", "8", "--rate", "48", "--rate", "44.1"],
        "Second opinion agrees agrees",
    ),
    (["grow", "2 mics, then 8 mics"], "costs less. A solver of another kind agrees."),
]


@pytest.mark.parametrize(("args", "said"), COMMANDS, ids=lambda value: str(value[0]))
def test_every_command_tells_it(
    args: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "data.json"
    args = [*args, "--catalog", str(write(tmp_path / "shop"))]
    run([*args, "--json", str(data)])
    without = json.loads(data.read_text("utf-8"))
    assert "second_opinion" not in str(without)
    assert "another kind" not in capsys.readouterr().out
    run([*args, "--second-opinion", "--json", str(data)])
    assert said in " ".join(capsys.readouterr().out.split())
    found = str(json.loads(data.read_text("utf-8")))
    assert "'second_opinion': 'agrees'" in found
    assert found.count("second_opinion") == found.count("'second_opinion': 'agrees'")


def test_a_table_has_it_in_a_column(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    shop = ["--catalog", str(write(tmp_path / "shop"))]
    run(["curve", "--from", "7", "--to", "8", "--second-opinion", "--csv", str(table), *shop])
    head, first, last = table.read_text("utf-8").splitlines()
    place = head.split(",").index("second_opinion")
    assert [row.split(",")[place] for row in (first, last)] == ["agrees", "agrees"]


def test_python_can_ask_for_it(tmp_path: Path) -> None:
    shop = rigopt.read_catalogue(write(tmp_path / "shop"))
    needs = rigopt.Needs(mic=8)
    stages = rigopt.Needs(stages=[rigopt.Needs(mic=2), rigopt.Needs(mic=8)])
    answers = (
        rigopt.plan(needs, shop, second_opinion=True),
        rigopt.compare(needs, shop, second_opinion=True),
        rigopt.curve(needs, shop, [8], second_opinion=True),
        rigopt.grow(stages, shop, second_opinion=True),
    )
    for answer in answers:
        assert "'second_opinion': 'agrees'" in str(answer.to_dict())
