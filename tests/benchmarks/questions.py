"""What is asked beside a plan, against the plan; and the second opinion on the same."""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import partial

from rigopt.answers.outcome import Answered
from rigopt.answers.prices import Prices
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.checks.checks import checks
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.more import more
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.prices.prices import prices
from rigopt.optimiser.questions.regret.plan import solve_ranges
from rigopt.optimiser.questions.second import second_opinion
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import Deadline
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rich import rich_catalogue
from tests.benchmarks.rows import Row, Rows, timed
from tests.benchmarks.shops import with_blanks, with_offers, with_ranges

STAGES = (8, 24, 32)
MOST_ROUNDS = 10
FEW = 40
SHARE_S = 30.0
"""What one question may take, so that all of them end within minutes."""


def questions(quick: bool) -> Rows:
    """Each question on one to three catalogues, and the median of its ratios to its plan."""
    for types in (FEW,) if quick else (FEW, 200):
        for rich in (False, True):
            seeds = range(1 if quick or types > FEW else 2 if rich else 3)
            shops = [_shop(rich, seed, types) for seed in seeds]
            name = f"{types} types, {'every kind of row' if rich else 'light-pipe'}"
            yield from _whole_plans(shops, name)
            yield from _beside(shops, name)
            yield from _series(shops, name)
            yield from _money(shops, name)


def _shop(rich: bool, seed: int, types: int) -> Catalogue:
    return (rich_catalogue if rich else catalogue)(seed, types)


def _whole_plans(shops: list[Catalogue], name: str) -> Rows:
    """`why` with one host and with two, against the plan with one."""
    for hosts in (1, 2):
        seconds, ratios = [], []
        for shop in shops:
            once, _ = timed(partial(solve, shop, Needs(mic=24)))
            needs = Needs(mic=24, max_hosts=hosts)
            answer = solve(shop, needs)
            assert isinstance(answer, Answered)
            took, _ = timed(partial(why, shop, needs, answer.rig, Deadline(SHARE_S)))
            seconds.append(took)
            ratios.append(took / once)
        size = f"24 inputs, {name}, {hosts} host{'s' * (hosts > 1)}"
        yield Row("why, median", size, statistics.median(seconds))
        # What is asked for is the ratio of whole commands: see `processes`.
        yield Row("ratio why / solving with one host", size, statistics.median(ratios), "")


def _beside(shops: list[Catalogue], name: str) -> Rows:
    """Alternatives, checks and a little more, and the second opinion, against their plan."""
    needs = Needs(mic=24, phantom=8)
    asked: dict[str, Callable[[Catalogue, Answered], object]] = {
        "20 alternatives": lambda shop, found: alternatives(
            shop, needs, found.rig, 20, Deadline(SHARE_S)
        ),
        "checks": lambda shop, found: checks(shop, needs, found.rig, Deadline(SHARE_S)),
        "20 % more": lambda shop, found: more(
            shop, needs, found.rig, Decimal(20), Deadline(SHARE_S)
        ),
        "second opinion": lambda shop, found: second_opinion(
            found, shop, needs, Deadline(SHARE_S)
        ),
    }
    times: dict[str, list[tuple[float, float]]] = {what: [] for what in asked}
    opinions = []
    for shop in shops:
        once, found = timed(partial(solve, shop, needs))
        assert isinstance(found, Answered)
        for what, call in asked.items():
            took, told = timed(partial(call, shop, found))
            times[what].append((took, took / once))
            if isinstance(told, Answered):
                opinions.append(told.second or "not asked")
    for what, each in times.items():
        note = ", ".join(sorted(opinions)) if what == "second opinion" else ""
        yield from _both(what, f"24 inputs, {name}", each, note=note)


def _series(shops: list[Catalogue], name: str) -> Rows:
    """A curve of every count, and stages, against the largest plan of each."""
    curves, trips = [], []
    for shop in shops:
        once, _ = timed(partial(solve, shop, Needs(mic=32)))
        took, _ = timed(partial(curve, shop, Needs(mic=32), range(8, 33), Deadline(SHARE_S)))
        curves.append((took, took / once))
        stages = [Stage(f"{mic}", Needs(mic=mic)) for mic in STAGES]
        took, _ = timed(partial(grow, shop, stages, Deadline(SHARE_S)))
        trips.append((took, took / once))
    yield from _both("curve, 8 to 32", name, curves, 4)
    yield from _both("growth, 8, 24 and 32", name, trips, 4)


def _money(shops: list[Catalogue], name: str) -> Rows:
    """Offers of ten sellers, ranges, and the rounds of looking prices up."""
    needs = Needs(mic=24)
    offers, ranges, rounds = [], [], []
    for seed, shop in enumerate(shops):
        once, _ = timed(partial(solve, shop, needs))
        took, _ = timed(partial(solve, with_offers(shop, seed), needs))
        offers.append((took, took / once))
        took, _ = timed(partial(solve_ranges, with_ranges(shop, seed), needs))
        ranges.append((took, took / once))
        rounds += [
            (took, took / once) for took in _rounds(shop, with_blanks(shop, seed), needs)
        ]
    yield from _both("plan with 10 sellers", f"24 inputs, {name}", offers)
    yield from _both("plan with ranges", f"24 inputs, {name}", ranges)
    yield from _both("a round of prices", f"24 inputs, {name}", rounds)


def _rounds(true: Catalogue, shop: Catalogue, needs: Needs) -> list[float]:
    """How long each round takes, of which every price that is asked for is looked up."""
    times: list[float] = []
    while len(times) < MOST_ROUNDS:
        took, found = timed(partial(prices, shop, needs, 0, Deadline(SHARE_S)))
        times.append(took)
        if not isinstance(found, Prices) or found.done or not found.ask:
            break
        devices = dict(shop.devices)
        for ask in found.ask:
            devices[ask.item] = replace(devices[ask.item], price=true.devices[ask.item].price)
        shop = replace(shop, devices=devices)
    return times


def _both(
    what: str,
    size: str,
    each: list[tuple[float, float]],
    most: float | None = None,
    note: str = "",
) -> Rows:
    """The median of seconds, and that of the ratios to a plan."""
    yield Row(f"{what}, median", size, statistics.median(took for took, _ in each), note=note)
    ratio = statistics.median(ratio for _, ratio in each)
    yield Row(f"ratio {what} / plan", size, ratio, "", most)
