"""The second opinion on random questions of every kind; what ever disagrees is a fault."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.second import second_opinion
from rigopt.optimiser.solver.run import Deadline
from tests.analogue import instances as analogue
from tests.oracle.instances import Seeded, rarely
from tests.oracle.patched import for_sale, patched
from tests.oracle.rich import rich
from tests.oracle.themes import Question
from tests.tiers import few

STEP = 12
SORTS = (rich, patched, analogue.instance, analogue.looms)
"""Every sort of link, number and clock; the same with preamps, looms, DI boxes, headphone
amplifiers, inputs to spare and used gear sold; the analogue half alone."""


def question(seed: int) -> Question:
    """Each sort has its turn; of all a part owns something that could be sold."""
    asked, choose = SORTS[seed % len(SORTS)](seed), Seeded(seed)
    return for_sale(choose, *asked) if rarely(choose, 3) else asked


def disagreeing(seeds: range) -> list[int]:
    """The seeds on which the two solvers are not of one mind; some pair may leave it open."""
    found = []
    for seed in seeds:
        catalogue, needs = question(seed)
        told = second_opinion(solve(catalogue, needs), catalogue, needs, Deadline(None))
        assert isinstance(told, Answered | Impossible)
        pairs = any(line.pair for line in needs.sources)
        if told.second not in ("agrees", *(["no opinion"] if pairs else [])):
            found.append(seed)
    return found


@pytest.mark.parametrize("first", few(range(0, 72, STEP)))
def test_two_solvers_are_of_one_mind(first: int) -> None:
    assert not disagreeing(range(first, first + STEP))


@pytest.mark.long
@pytest.mark.parametrize("first", range(50_000, 60_000, 100))
def test_two_solvers_are_of_one_mind_on_10000_more(first: int) -> None:
    assert not disagreeing(range(first, first + 100))


def facts(asked: Question) -> Sequence[str]:
    """What of the rows that came with the analogue half, and of resale, there is."""
    catalogue, needs = asked
    boxes = [*catalogue.devices.values()]
    there = {
        "direct outs": any(box.direct_out for box in boxes),
        "looms": any(cable.ways and cable.ways > 1 for cable in catalogue.cables.values()),
        "DI boxes": any(box.role == "di" for box in boxes),
        "headphone amplifiers": any(box.role == "headphones" for box in boxes),
        "trunks": any(box.trunk for box in boxes),
        "converters": any(box.rate_converter for box in boxes),
        "either": any(box.either for box in boxes),
        "to spare": needs.spare > 0,
        "resale": bool(needs.resale),
    }
    return [name for name, is_there in there.items() if is_there]


def test_the_cases_are_of_every_sort() -> None:
    seen = Counter(name for seed in range(200) for name in facts(question(seed)))
    assert len(seen) == 9
    assert min(seen.values()) >= 10
