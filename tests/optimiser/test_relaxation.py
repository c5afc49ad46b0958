"""The relaxation against every solution of small models, with duals that are right and wrong.

Whatever the linear solver says, no solution may be cheaper than the bound, nor cheaper than
the bound and the reduced costs of what it holds (weak duality).
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.optimiser.solver import relaxation
from rigopt.optimiser.solver.relaxation import Linear, relax
from rigopt.optimiser.solver.run import Deadline, TimeIsUpError
from tests.tiers import few

MOST = 3
"""Variables go up to this at most."""

Point = tuple[int, ...]


def negate_first(row: cp_model.Constraint) -> None:
    """Put the negation of the first variable, a truth value, into a row."""
    assert row.proto.linear.vars[0] == 0
    row.proto.linear.vars[0] = -1


class Small:
    """A model of a few variables, and all that may be put in for them."""

    def __init__(self, draw: random.Random) -> None:
        self.model, self.draw = cp_model.CpModel(), draw
        self.spans = [(0, 1), (0, 1), (0, draw.randint(1, MOST)), (1, MOST)]
        self.x = [self.model.new_bool_var("") for _ in self.spans[:2]]
        self.x += [self.model.new_int_var(*span, "") for span in self.spans[2:]]
        self.costs = [draw.randint(0, 9) for _ in self.x]
        self.model.minimize(sum(c * x for c, x in zip(self.costs, self.x, strict=True)))
        self.rules = [self.rule() for _ in range(draw.randint(1, 4))]

    def rule(self) -> Any:
        """A row with one side or both; negated, under a condition or with a gap at times."""
        draw = self.draw
        factors = [draw.choice((-3, -1, 1, 2)), *(draw.randint(-3, 4) for _ in self.x[1:])]
        low = draw.randint(-2, 6)
        sides = draw.choice([(low, 10**18), (-(10**18), low), (low, low + draw.randint(0, 2))])
        turned, iffy = draw.random() < 0.3, draw.random() < 0.2
        domain = cp_model.Domain(*sides)
        gap = draw.random() < 0.2
        if gap:
            domain = cp_model.Domain.from_values([low, low + 2, low + 3])
        linear = sum(f * x for f, x in zip(factors, self.x, strict=True))
        row = self.model.add_linear_expression_in_domain(linear, domain)
        if turned:
            negate_first(row)
        if iffy:
            row.only_enforce_if(self.x[1])

        def holds(point: Point) -> bool:
            values = [1 - point[0] if turned else point[0], *point[1:]]
            value = sum(f * v for f, v in zip(factors, values, strict=True))
            return bool(iffy and not point[1]) or domain.contains(value)

        return holds

    def points(self) -> Iterator[tuple[int, Point]]:
        """Every solution, and what it costs."""
        for point in itertools.product(*(range(low, high + 1) for low, high in self.spans)):
            if all(rule(point) for rule in self.rules):
                yield sum(c * p for c, p in zip(self.costs, point, strict=True)), point

    def kept(self) -> bool:
        """Whether no solution is cheaper than the relaxation says, with what it holds."""
        known = relax(self.model, 1)
        for cost, point in self.points():
            more = 0
            for index, (value, (low, high)) in enumerate(zip(point, self.spans, strict=True)):
                reduced = known.reduced_costs.get(index, 0)
                more += reduced * (value - low) if reduced > 0 else reduced * (value - high)
            if cost < known.bound + more:
                return False
        return True

    def kept_again(self) -> bool:
        """The same, asked of one program at other costs and within other limits, in turn."""
        program, draw = Linear(self.model, 1), self.draw
        for _ in range(5):
            costs = [draw.randint(0, 9) for _ in self.x]
            low = draw.randint(0, 4)
            least, most = low, low + draw.randint(0, 3)
            self.model.minimize(sum(c * x for c, x in zip(costs, self.x, strict=True)))
            program.price(self.model.proto.objective)
            program.limit("some", [0, 2, 3], least, most)
            known = program.relaxation()
            for _, point in self.points():
                cost = sum(c * p for c, p in zip(costs, point, strict=True))
                if not least <= point[0] + point[2] + point[3] <= most:
                    continue
                more = 0
                for index, reduced in known.reduced_costs.items():
                    low, high = self.spans[index]
                    more += reduced * (point[index] - (low if reduced > 0 else high))
                if cost < known.bound + more:
                    return False
        return True

    def held(self, upper: int) -> bool:
        """Whether all solutions up to `upper` are left by what it leaves the variables."""
        relax(self.model, 1).hold(self.model, upper)
        domains = [variable.proto.domain for variable in self.x]
        return all(
            low <= value <= high
            for cost, point in self.points()
            if cost <= upper
            for value, (low, high) in zip(point, domains, strict=True)
        )


@pytest.mark.parametrize("first", few([0, *range(60, 660, 60)]))
def test_no_solution_is_below_the_bound(first: int) -> None:
    assert all(Small(random.Random(seed)).kept() for seed in range(first, first + 60))


def test_a_model_is_what_it_was_after_it_was_relaxed() -> None:
    """The solver's own way to read a rule puts an empty one, which nothing keeps, in its place
    where it is of another kind."""
    model = cp_model.CpModel()
    one, two, three = (model.new_bool_var("") for _ in range(3))
    model.add(one + two <= 1).only_enforce_if(three)
    model.add_bool_or(one, two)
    model.add_bool_and(one).only_enforce_if(~two)
    model.add_exactly_one(one, two, three)
    model.add_max_equality(three, [one, two])
    model.minimize(one + 2 * two)
    before = str(model.proto)
    relax(model, 1)
    assert str(model.proto) == before


@pytest.mark.parametrize("first", few([0, *range(60, 660, 60)]))
def test_what_variables_are_held_to_loses_no_solution_up_to_an_objective(first: int) -> None:
    seeds = range(first, first + 60)
    assert all(Small(random.Random(seed)).held(seed % 40) for seed in seeds)


@pytest.mark.parametrize("first", few([0, *range(60, 660, 60)]))
def test_no_solution_is_below_what_it_says_when_asked_again(first: int) -> None:
    assert all(Small(random.Random(seed)).kept_again() for seed in range(first, first + 60))


def test_it_is_asked_again_at_the_price_and_within_the_limits_of_the_day() -> None:
    model = cp_model.CpModel()
    x, y = (model.new_int_var(0, 9, "") for _ in "xy")
    model.add(x + y >= 5)
    model.minimize(3 * x + 4 * y)
    program = Linear(model, 1)
    assert program.relaxation().bound == 15
    model.minimize(6 * x + 4 * y)
    program.price(model.proto.objective)
    assert program.relaxation().bound == 20
    assert [program.value(var.index) for var in (x, y)] == [0, 5]
    program.limit("y", [y.index], 0, 3)
    assert program.relaxation().bound == 6 * 2 + 4 * 3
    assert [program.value(var.index) for var in (x, y)] == [2, 3]
    program.limit("y", [y.index], 0, 1)
    assert program.relaxation().bound == 6 * 4 + 4
    program.limit("x", [x.index], 5, 9)
    assert program.relaxation().bound == 6 * 5
    model.minimize(x + 4 * y)
    program.price(model.proto.objective)
    assert program.relaxation().bound == 5


def test_a_variable_that_a_row_names_twice_counts_twice() -> None:
    model = cp_model.CpModel()
    x = model.new_int_var(0, 9, "")
    y = model.new_int_var(0, 9, "")
    row = model.add(x + y >= 6).proto.linear
    row.vars.append(x.index)
    row.coeffs.append(2)
    model.minimize(6 * x + 6 * y)
    assert relax(model, 1).bound == 12


def test_what_nothing_changed_is_not_worked_out_twice() -> None:
    model = cp_model.CpModel()
    x = model.new_int_var(2, 9, "")
    model.minimize(3 * x)
    program = Linear(model, 1)
    program.limit("x", [x.index], 4, 9)
    known = program.relaxation()
    assert known.bound == 12
    program.limit("x", [x.index], 4, 9)
    program.price(model.proto.objective)
    assert program.relaxation() is known


def test_a_variable_is_held_at_either_end_as_its_reduced_cost_allows() -> None:
    model = cp_model.CpModel()
    x, y = (model.new_int_var(0, 9, "") for _ in "xy")
    model.minimize(30 * x - 50 * y + 450)
    known = relax(model, 1)
    assert known.bound == -450
    assert not known.hold(model, known.bound + 50 * 9)
    assert known.hold(model, known.bound + 100)
    assert [list(var.proto.domain) for var in (x, y)] == [[0, 3], [7, 9]]
    assert not known.hold(model, known.bound - 1)


def test_what_costs_as_much_as_the_bound_holds_each_where_it_is_cheapest() -> None:
    """However little it would add to be elsewhere."""
    model = cp_model.CpModel()
    x, y = (model.new_int_var(0, 9, "") for _ in "xy")
    model.minimize(x - 50 * y + 450)
    known = relax(model, 1)
    assert known.hold(model, known.bound)
    assert [list(var.proto.domain) for var in (x, y)] == [[0, 0], [9, 9]]


def test_a_variable_that_is_more_than_nothing_is_held_by_how_far_it_may_go() -> None:
    """From four to nine at 10 each: all of them are 50 more than the least."""
    model = cp_model.CpModel()
    x = model.new_int_var(4, 9, "")
    model.minimize(10 * x)
    known = relax(model, 1)
    assert not known.hold(model, known.bound + 50)
    assert known.hold(model, known.bound + 49)
    assert list(x.proto.domain) == [4, 8]


class Wild:
    """A linear solver whose dual values are any numbers."""

    GLOP_LINEAR_PROGRAMMING = OPTIMAL = 0
    draw = random.Random(0)

    def __init__(self, *_: object) -> None:
        self.rows = 0

    def __getattr__(self, name: str) -> Any:
        dual = SimpleNamespace(dual_value=lambda: self.draw.uniform(-4, 4))
        return {
            "LoadModelFromProto": lambda whole: setattr(self, "rows", len(whole.constraint)),
            "SetSolverSpecificParametersAsString": lambda _: True,
            "Objective": lambda: SimpleNamespace(SetMinimization=lambda: None),
            "constraints": lambda: [dual] * self.rows,
            "Solve": lambda: self.OPTIMAL,
        }[name]


@pytest.mark.parametrize("first", few([0, *range(60, 660, 60)]))
def test_no_solution_is_below_it_whatever_the_duals_are(
    first: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(relaxation, "pywraplp", SimpleNamespace(Solver=Wild))
    assert all(Small(random.Random(seed)).kept() for seed in range(first, first + 60))


def test_nothing_is_known_where_the_linear_solver_fails(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    failing = type("Failing", (Wild,), {"OPTIMAL": 1, "Solve": lambda _: 0})
    monkeypatch.setattr(relaxation, "pywraplp", SimpleNamespace(Solver=failing))
    known = relax(Small(random.Random(1)).model, 1)
    assert (known.bound, dict(known.reduced_costs)) == (0, {})


def test_the_linear_solver_takes_its_settings() -> None:
    """It says so when it knows all of them."""
    glop = relaxation.pywraplp.Solver
    solver = glop("", glop.GLOP_LINEAR_PROGRAMMING)
    assert solver.SetSolverSpecificParametersAsString(relaxation.DUAL)
    assert not solver.SetSolverSpecificParametersAsString(relaxation.DUAL + " use_dual: true")


def worked(*rows: tuple[Sequence[int], int, int]) -> tuple[int, list[int]]:
    """Bound and reduced costs of two variables up to 9 at 30 and 50, with these rows."""
    model = cp_model.CpModel()
    x = [model.new_int_var(0, 9, "") for _ in "xy"]
    model.minimize(30 * x[0] + 50 * x[1])
    for (one, other), low, high in rows:
        model.add_linear_constraint(one * x[0] + other * x[1], low, high)
    known = relax(model, 10)
    return known.bound, [known.reduced_costs[index] for index in range(2)]


NO = 10**18


@pytest.mark.parametrize(
    ("rows", "bound", "reduced"),
    [
        # Four of the cheaper one; the other would add 20.
        ([((1, 1), 4, NO)], 120, [0, 20]),
        # Three of it and one of the other: 3 * 30 + 50. Both rows pay.
        ([((1, 1), 4, NO), ((1, 0), -NO, 3)], 140, [0, 0]),
        ([((1, 1), 4, NO), ((-1, 0), -3, NO)], 140, [0, 0]),
        # Just four, from both sides.
        ([((1, 1), 4, 4)], 120, [0, 20]),
        # At most nothing of the first: 4 * 50.
        ([((1, 1), 4, NO), ((1, 0), 0, 0)], 200, [0, 0]),
        # Turned round: -x - y <= -4.
        ([((-1, -1), -NO, -4)], 120, [0, 20]),
        # Nothing is asked for.
        ([((1, 1), -NO, 4)], 0, [30, 50]),
        # Twelve, of which nine at 30; the tenth of the cheap would save 20.
        ([((1, 1), 12, NO)], 420, [-20, 0]),
    ],
)
def test_worked_by_hand(rows: list[Any], bound: int, reduced: list[int]) -> None:
    found, costs = worked(*rows)
    assert found == bound
    if rows[1:2] != [((1, 0), 0, 0)]:  # any price of x will do where there is none of it
        assert costs == reduced


def test_a_negated_truth_value_counts_as_what_is_left_of_one() -> None:
    model = cp_model.CpModel()
    one, other = model.new_bool_var(""), model.new_bool_var("")
    model.minimize(7 * one + 9 * other)
    negate_first(model.add_linear_constraint(one + other, 1, 2))
    model.add_linear_constraint(one + other, 1, 2)
    # Half of each: a half is left of `one`.
    assert relax(model, 1).bound == 8


def test_a_truth_value_may_stand_in_a_row_twice() -> None:
    model = cp_model.CpModel()
    one, other = model.new_bool_var(""), model.new_bool_var("")
    model.minimize(8 * one + 9 * other)
    row = model.add_linear_constraint(3 * one + other, 2, 3)
    row.proto.linear.vars[1] = -1
    # 3 x + (1 - x) >= 2: a half of it.
    known = relax(model, 1)
    assert (known.bound, known.reduced_costs[0]) == (4, 0)


def test_a_row_that_is_left_out_hides_none_after_it() -> None:
    model = cp_model.CpModel()
    one = model.new_int_var(0, 9, "")
    model.minimize(5 * one)
    model.add_linear_expression_in_domain(one, cp_model.Domain.from_values([3, 5, 7]))
    model.add_linear_constraint(one, 2, 9)
    assert relax(model, 1).bound == 10


def test_what_is_there_at_least_is_paid_for() -> None:
    model = cp_model.CpModel()
    some, none = model.new_int_var(2, 9, ""), model.new_int_var(-3, 9, "")
    model.minimize(30 * some + 10 * none)
    known = relax(model, 10)
    assert known.bound == 2 * 30 - 3 * 10
    assert dict(known.reduced_costs) == {0: 30, 1: 10}


def test_it_hears_when_time_is_up() -> None:
    with pytest.raises(TimeIsUpError):
        relax(Small(random.Random(1)).model, 1, Deadline(0.0))
    alone = cp_model.CpModel()
    alone.minimize(alone.new_int_var(0, 1, ""))
    with pytest.raises(TimeIsUpError):
        relax(alone, 1, Deadline(0.0))


def test_a_linear_solver_that_has_no_time_left_is_told_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told: list[int] = []
    slow = type("Slow", (Wild,), {"SetTimeLimit": lambda _, limit: told.append(limit)})
    monkeypatch.setattr(relaxation, "pywraplp", SimpleNamespace(Solver=slow))
    relax(Small(random.Random(1)).model, 1, Deadline(50.0))
    relax(Small(random.Random(1)).model, 1)
    assert len(told) == 1
    assert 40_000 < told[0] <= 50_000
    for left, limit in ((2.5, 2500), (0.0001, 1)):
        deadline: Any = SimpleNamespace(left=left, check=lambda: None)
        relax(Small(random.Random(1)).model, 1, deadline)
        assert told[-1] == limit


@pytest.mark.parametrize(("dual", "sides"), [(1, (-(10**18), 9)), (-1, (-9, 10**18))])
def test_a_side_that_is_not_there_has_no_price(
    dual: int, sides: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At 3 for each of one to three no less than 3 is paid, and no more is known."""
    monkeypatch.setattr(relaxation, "pywraplp", SimpleNamespace(Solver=Wild))
    monkeypatch.setattr(Wild, "draw", SimpleNamespace(uniform=lambda *_: dual))
    for sign in (1, -1):
        model = cp_model.CpModel()
        some = model.new_int_var(1, 3, "")
        model.minimize(3 * some)
        model.add_linear_constraint(sign * some, *sides)
        assert relax(model, 1).bound == 3
