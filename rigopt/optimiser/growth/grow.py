"""Growth without regret: the purchases of all stages, chosen together.

Every stage has a rig of its own, with all its rules, made from what is owned and what has
been bought at this stage or before. One model holds them all.

Variables: those of each stage's rig, and for each stage a basket: packs and orders.
Constraints: the rules of every rig, where pieces of an item are those in the baskets of
its stage and the stages before; what a basket comes to <= the budget of its stage.
Cost: all baskets; then the first basket; then, of what is left, the earlier ones (nothing
is bought before it must be); then packs.

The stages bought one after the other give a first way through, so that the linear
relaxation can rule out the columns that no cheaper way holds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.optimiser import money, orders
from rigopt.optimiser.baskets import Packs, lines
from rigopt.optimiser.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.decode import decode
from rigopt.optimiser.exact import LARGEST, TooLargeError
from rigopt.optimiser.model import Columns, build, columns
from rigopt.optimiser.problem import Problem, state
from rigopt.optimiser.relaxation import relax
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.search import Best, Search
from rigopt.optimiser.stretch import ceiling, fewest
from rigopt.optimiser.supplies import Item, Supply, shops, supplies
from rigopt.optimiser.variables import RigVars, Terms, Var, total
from rigopt.rig.figures import figures
from rigopt.rig.growth import Growth, Step
from rigopt.rig.orders import half_up, paid
from rigopt.rig.orders import orders as placed
from rigopt.rig.types import Purchase


@dataclass(frozen=True, slots=True)
class Journey:
    """Stages with their problems, each at its own prices, and able to buy for later ones."""

    stages: tuple[Stage, ...]
    problems: tuple[Problem, ...]

    def apart(self) -> Journey:
        """The same with each host in a slot of its own."""
        return replace(self, problems=tuple(p.apart() for p in self.problems))


@dataclass(frozen=True, slots=True)
class Posed:
    """The model of a journey. `unit` is the weight of a minor unit in the goal."""

    model: cp_model.CpModel
    rigs: tuple[RigVars, ...]
    baskets: tuple[RigVars, ...]
    goal: Terms
    unit: int


def journey(catalogue: Catalogue, stages: Sequence[Stage]) -> Journey:
    """The problems of the stages.

    Raises:
        NoRateError: When something could be bought in a currency without exchange rate.
    """
    alone = [state(catalogue, stage.needs) for stage in stages]
    wanted: dict[str, Item] = {}
    for problem in alone:
        wanted.update({device.id: device for device in problem.devices})
        wanted.update({cable.id: cable for cable in problem.cables})
        wanted.update({extra.id: extra for extra in problem.extras})
    items = [wanted[key] for key in sorted(wanted)]
    problems = []
    for problem, stage in zip(alone, stages, strict=True):
        found = supplies(catalogue, stage.needs, items)
        known = shops(found, catalogue, stage.needs)
        priced = {item: _scaled(ways, stage.price_factor) for item, ways in found.items()}
        problems.append(replace(problem, supplies=priced, shops=known))
    return Journey(tuple(stages), tuple(problems))


def _scaled(ways: tuple[Supply, ...], factor: Decimal) -> tuple[Supply, ...]:
    """The same at a stage's prices; each is rounded half up."""
    return tuple(replace(w, price=half_up(Fraction(factor) * w.price)) for w in ways)


def grow(catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline) -> Growth | Result:
    """The stages at the least cost in all; a result that has not found any, if so."""
    trip = journey(catalogue, stages)
    ahead = one_by_one(trip, deadline)
    limit = None if ahead is None else ahead.total
    for told in (trip, trip.apart()):
        posed, result = _solve(told, deadline, limit)
        if not result.found:
            return result
        found = _read(told, posed, result, deadline)
        if found is not None:
            return found
    return Result("unknown", 0, result.value)


def one_by_one(trip: Journey, deadline: Deadline) -> Growth | None:
    """The stages bought one after the other without looking ahead; None if that fails."""
    steps: list[Step] = []
    owned: Counter[str] = Counter(trip.stages[0].needs.owned)
    sold: Counter[tuple[str, int]] = Counter()
    for stage, problem in zip(trip.stages, trip.problems, strict=True):
        needs = replace(stage.needs, owned=dict(owned))
        left = {i: _left(i, ways, sold) for i, ways in problem.supplies.items()}
        best = Search(replace(problem, needs=needs, supplies=left)).best(deadline)
        if not isinstance(best, Best):
            return None
        packs = best.counted.packs
        step = _step(stage, problem, packs, owned, deadline)
        if step is None:
            return None
        steps.append(step)
        owned.update(_pieces(step.purchases))
        for item, numbers in packs.items():
            sold.update({(item, place): number for place, number in enumerate(numbers)})
    return Growth(tuple(steps), 0, proven=False)


def _left(
    item: str, ways: tuple[Supply, ...], sold: Mapping[tuple[str, int], int]
) -> tuple[Supply, ...]:
    """The ways to buy it, with what is left of their stock."""
    return tuple(
        way if way.stock is None else replace(way, stock=way.stock - sold.get((item, n), 0))
        for n, way in enumerate(ways)
    )


def _step(
    stage: Stage, problem: Problem, packs: Packs, owned: Mapping[str, int], deadline: Deadline
) -> Step | None:
    """A stage with what is bought then, and the smallest rig from what is there."""
    bought = lines(problem, packs)
    there = Counter(owned)
    there.update(_pieces(bought))
    needs = replace(stage.needs, owned=dict(there), owned_only=True, budget=None)
    stands = replace(problem, needs=needs, supplies={}, shops={})
    best = Search(stands).best(deadline)
    if not isinstance(best, Best):
        return None
    ordered = placed(bought, problem.catalogue, stage.needs.exchange)
    rig = decode(stands, best.counted)
    return Step(stage.title, needs, bought, ordered, paid(bought, ordered), rig)


def _pieces(bought: Sequence[Purchase]) -> Counter[str]:
    pieces: Counter[str] = Counter()
    for line in bought:
        pieces[line.item] += line.quantity * line.pack
    return pieces


def _solve(trip: Journey, deadline: Deadline, limit: int | None) -> tuple[Posed, Result]:
    """The cheapest journey; none above `limit` is of interest."""
    everything = [columns(problem, ranks=0) for problem in trip.problems]
    whole = _pose(trip, everything, limit)
    known = relax(whole.model, whole.unit)
    if known is None or limit is None:
        return whole, _settled(whole, deadline)
    slack = (limit + 1) * whole.unit - known.bound
    near = [
        counted.only(_within(dict(rig.columns()), known.reduced_costs, slack))
        for counted, rig in zip(everything, whole.rigs, strict=True)
    ]
    posed = _pose(trip, near, limit)
    return posed, _settled(posed, deadline)


def _settled(posed: Posed, deadline: Deadline) -> Result:
    """The best solution; of those that are equal in the goal, one that buys late."""
    result = run(posed.model, deadline)
    if result.status != "optimal":
        return result
    least = sum(factor * result.value(var) for var, factor in posed.goal)
    posed.model.add(total(posed.goal) <= least)
    posed.model.minimize(total(_early(posed.baskets)))
    late = run(posed.model, deadline)
    return replace(late, status="optimal", bound=least) if late.found else result


def _early(baskets: Sequence[RigVars]) -> Terms:
    """What is paid at each stage, times the stages that come after it; then packs."""
    packs = [
        term for basket in baskets for ways in basket.packs.values() for t in ways for term in t
    ]
    weight = sum(basket.problem.most_packs for basket in baskets) + 1
    terms = []
    for later, basket in enumerate(reversed(baskets)):
        terms += [(var, price * later * weight) for var, price in basket.spent()]
    return terms + packs


def _within(
    counts: Mapping[HostColumn | SatelliteColumn, Var], extra: Mapping[int, int], slack: int
) -> Callable[[HostColumn | SatelliteColumn], bool]:
    """Whether a column adds no more than `slack`."""
    return lambda column: extra[counts[column].index] <= slack


def _pose(trip: Journey, counted: Sequence[Columns], limit: int | None) -> Posed:
    model = cp_model.CpModel()
    baskets = [_basket(model, trip, problem) for problem in trip.problems]
    rigs = []
    for stage, problem in enumerate(trip.problems):
        free = replace(problem, needs=replace(problem.needs, budget=None))
        stock = _stock(baskets[: stage + 1])
        rigs.append(build(model, free, counted[stage], stock))
    for basket, stage_ in zip(baskets, trip.stages, strict=True):
        orders.add(model, basket)
        if stage_.needs.budget is not None:
            model.add(total(basket.spent()) <= stage_.needs.budget)
    _share_stock(model, baskets)
    terms, unit = _goal(model, baskets, limit)
    return Posed(model, tuple(rigs), tuple(baskets), terms, unit)


def _basket(model: cp_model.CpModel, trip: Journey, problem: Problem) -> RigVars:
    """What is bought at one stage, for any stage."""
    basket = RigVars(problem)
    for item in problem.supplies:
        money.item(model, basket, item, max(_most(item, p) for p in trip.problems))
    orders.create(model, basket)
    return basket


def _most(item: str, problem: Problem) -> int:
    """Most pieces of an item that the rig of a stage can hold."""
    if item in problem.catalogue.devices:
        return problem.max_units
    if item in problem.catalogue.cables:
        return problem.max_links
    return problem.most_extra.get(item, 0)


def _stock(baskets: Sequence[RigVars]) -> dict[str, Terms]:
    """Pieces in all of `baskets`, by item."""
    stock: dict[str, Terms] = {}
    for basket in baskets:
        for item in basket.packs:
            stock.setdefault(item, []).extend(money.bought(basket, item))
    return stock


def _share_stock(model: cp_model.CpModel, baskets: Sequence[RigVars]) -> None:
    """What a seller has in stock is there once for all stages."""
    shared: dict[tuple[str, int], tuple[int, Terms]] = {}
    for basket in baskets:
        for item, packs in basket.packs.items():
            for place, (terms, way) in enumerate(
                zip(packs, basket.problem.ways(item), strict=True)
            ):
                if way.stock is not None:
                    _, so_far = shared.get((item, place), (0, []))
                    shared[item, place] = way.stock, [*so_far, *terms]
    for stock, terms in shared.values():
        model.add(total(terms) <= stock)


def _goal(
    model: cp_model.CpModel, baskets: Sequence[RigVars], limit: int | None
) -> tuple[Terms, int]:
    """All money, then that of the first stage; and the weight of the first of these.

    Raises:
        TooLargeError: When the sum could exceed what is exact.
    """
    most = sum(b.problem.most_money for b in baskets) if limit is None else limit
    unit = most + 1
    if 2 * unit * unit > LARGEST:
        raise TooLargeError
    spent = [term for basket in baskets for term in basket.spent()]
    model.add(total(spent) <= most)
    terms = [(var, price * unit) for var, price in spent] + baskets[0].spent()
    model.minimize(total(terms))
    return terms, unit


def _read(trip: Journey, posed: Posed, result: Result, deadline: Deadline) -> Growth | None:
    """The journey of a solution; None if the hosts of a stage cannot be told apart."""
    owned: Counter[str] = Counter(trip.stages[0].needs.owned)
    steps = []
    for stage, problem, basket in zip(trip.stages, trip.problems, posed.baskets, strict=True):
        packs = basket.read(result.value).packs
        step = _step(stage, problem, packs, owned, deadline)
        if step is None:
            return None
        steps.append(step)
        owned.update(_pieces(step.purchases))
    growth = Growth(tuple(steps), 0, proven=result.status == "optimal")
    bound = growth.total if growth.proven else max(0, result.bound // posed.unit)
    return replace(growth, bound=bound)


def most_each(
    catalogue: Catalogue, stages: Sequence[Stage], budget: int, deadline: Deadline
) -> tuple[Growth, tuple[bool, ...]]:
    """The most microphones at each stage for an outlay of `budget` at each.

    First the most at the first stage; of all ways to reach that, those with the most at the
    second, and so on: what is bought early is chosen so that it serves later. Returns the
    cheapest way through these counts, and for each stage whether it is proven that there
    are no more. Ends before the first stage that the money is not enough for.
    """
    fixed: list[Stage] = []
    found, proven = Growth((), 0, proven=True), []
    for stage in stages:
        reach = _Reach(catalogue, fixed, stage, budget, deadline)
        reach.close()
        if reach.best is None:
            break
        found = reach.best
        fixed.append(reach.at(reach.low))
        proven.append(reach.proven)
    return found, tuple(proven)


class _Reach:
    """The most microphones at one stage after others: `low` can be had, `high` cannot."""

    def __init__(
        self,
        catalogue: Catalogue,
        before: Sequence[Stage],
        stage: Stage,
        budget: int,
        deadline: Deadline,
    ) -> None:
        self.catalogue, self.before, self.stage = catalogue, before, stage
        self.budget, self.deadline = budget, deadline
        self.low = fewest(stage.needs) - 1
        self.high = max(self.low, ceiling(catalogue, stage.needs)) + 1
        self.best: Growth | None = None
        self.proven = True

    def at(self, mic: int) -> Stage:
        """The stage with so many microphones, and the budget."""
        needs = replace(self.stage.needs, mic=mic, budget=self.budget)
        return replace(self.stage, needs=needs, budget=self.budget)

    def close(self) -> None:
        """Ask until the two are neighbours; the fewest first, then the middle."""
        self._ask(self.low + 1)
        while self.best is not None and self.low + 1 < self.high:
            self._ask((self.low + self.high + 1) // 2)

    def _ask(self, mic: int) -> None:
        found = grow(self.catalogue, [*self.before, self.at(mic)], self.deadline)
        if not isinstance(found, Growth):
            self.high = mic
            self.proven = self.proven and found.status == "infeasible"
            return
        last = found.steps[-1]
        microphones = figures(last.rig, last.needs).kinds[0]
        room = microphones.used + microphones.spare
        self.low, self.best = min(room, self.high - 1), found
        if self.low > mic:
            self._settle()

    def _settle(self) -> None:
        """The rig has inputs to spare; ask again with them in use, as banks may matter."""
        found = grow(self.catalogue, [*self.before, self.at(self.low)], self.deadline)
        if isinstance(found, Growth):
            self.best = found
