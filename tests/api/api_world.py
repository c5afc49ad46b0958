"""The questions that tests of the face ask: each as Python and as the command line puts it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import rigopt
from rigopt.api.results import Result

GOLDEN = Path(__file__).parents[1] / "golden"
SMALL = GOLDEN / "catalogues" / "small"
SHOPS = GOLDEN / "catalogues" / "shops"

STAGES = """
title = "Band"
[[stage]]
title = "EP"
inputs.mic = 8
[[stage]]
inputs.mic = 16
price_factor = 0.9
"""

RIG = """
rate_khz = 48
[units]
host-1 = "desk-8"
expander-1 = "pre-8-lock"
[cables]
"expander-1 optical out 1" = "host-1 optical in 1"
[clock]
host-1 = "{host}"
expander-1 = "internal"
"""

FILES = {
    "stages.toml": STAGES,
    "works.toml": RIG.format(host="optical 1"),
    "faulty.toml": RIG.format(host="internal"),
    "alone.toml": '[units]\na = "pre-8"\n[clock]\na = "internal"\n',
}


def small() -> rigopt.Catalogue:
    return rigopt.read_catalogue(SMALL)


@dataclass(frozen=True)
class Question:
    """`ask` is what `args` are, in a folder with `FILES`; it ends in one of `kind`."""

    name: str
    kind: type[Result]
    args: str
    ask: Callable[[rigopt.Catalogue], Result]
    page: bool = False


def stages(shop: rigopt.Catalogue) -> rigopt.Needs:
    return rigopt.read_needs("stages.toml", shop)


QUESTIONS = [
    Question(
        "plan",
        rigopt.Answered,
        "plan --mic 16 --phantom 4 --alternatives 1 --why",
        lambda shop: rigopt.plan(
            rigopt.Needs(mic=16, phantom=4), shop, alternatives=1, why=True
        ),
        page=True,
    ),
    Question(
        "no rig",
        rigopt.Impossible,
        "plan --mic 16 --rate 192",
        lambda shop: rigopt.plan(rigopt.Needs(mic=16, rate_khz=192), shop),
    ),
    Question(
        "no time",
        rigopt.OutOfTime,
        "plan --mic 16 --time-limit 0.000001",
        lambda shop: rigopt.plan(rigopt.Needs(mic=16), shop, time_limit=0.000001),
    ),
    Question(
        "compare",
        rigopt.Comparison,
        "compare --mic 8 --rate 48 --rate 96 --rate 192",
        lambda shop: rigopt.compare(
            [rigopt.Needs(mic=8, rate_khz=rate) for rate in (48, 96, 192)], shop
        ),
        page=True,
    ),
    Question(
        "curve",
        rigopt.Curve,
        "curve --line 1 --from 2 --to 26 --step 8",
        lambda shop: rigopt.curve(rigopt.Needs(line=1), shop, range(2, 27, 8)),
        page=True,
    ),
    Question(
        "stretch",
        rigopt.Stretched,
        "stretch --budget 450",
        lambda shop: rigopt.stretch(rigopt.Needs(budget=450), shop),
        page=True,
    ),
    Question(
        "nothing for the money",
        rigopt.Impossible,
        "stretch --budget 1",
        lambda shop: rigopt.stretch(rigopt.Needs(budget=1), shop),
    ),
    Question(
        "grow",
        rigopt.Grown,
        "grow stages.toml",
        lambda shop: rigopt.grow(stages(shop), shop),
        page=True,
    ),
    Question(
        "most at each stage",
        rigopt.Grown,
        "grow stages.toml --budget-per-stage 300",
        lambda shop: rigopt.grow(stages(shop), shop, budget_per_stage=300),
        page=True,
    ),
    Question(
        "nothing at any stage",
        rigopt.Impossible,
        "grow stages.toml --budget-per-stage 1",
        lambda shop: rigopt.grow(stages(shop), shop, budget_per_stage=1),
    ),
    Question(
        "no way",
        rigopt.Impossible,
        "grow stages.toml --sellers 0 --master clock",
        lambda shop: rigopt.grow(
            rigopt.Needs(
                title="Band",
                sellers=0,
                master="clock",
                stages=[
                    rigopt.Needs(title="EP", mic=8),
                    rigopt.Needs(mic=16, price_factor="0.9"),
                ],
            ),
            shop,
        ),
    ),
    Question(
        "works",
        rigopt.Works,
        "audit works.toml",
        lambda shop: rigopt.audit("works.toml", shop),
        page=True,
    ),
    Question(
        "faulty",
        rigopt.Faulty,
        "audit faulty.toml",
        lambda shop: rigopt.audit("faulty.toml", shop),
        page=True,
    ),
    Question(
        "works at another rate",
        rigopt.Works,
        "audit works.toml --rate 44.1 --fix",
        lambda shop: rigopt.repair("works.toml", shop, rate_khz=44.1),
        page=True,
    ),
    Question(
        "repair",
        rigopt.Repaired,
        "audit faulty.toml --fix",
        lambda shop: rigopt.repair("faulty.toml", shop),
        page=True,
    ),
    Question(
        "no repair",
        rigopt.NoRepair,
        "audit alone.toml --rate 48 --fix",
        lambda shop: rigopt.repair("alone.toml", shop, rate_khz=48),
        page=True,
    ),
    Question(
        "facts to check and what more buys",
        rigopt.Answered,
        "plan --mic 8 --checks --more 60",
        lambda shop: rigopt.plan(rigopt.Needs(mic=8), shop, checks=True, more=60),
        page=True,
    ),
    Question(
        "prices",
        rigopt.Prices,
        "prices --mic 16 --price desk-8=220-230 --within 5",
        lambda shop: rigopt.prices(
            rigopt.Needs(mic=16), shop, known={"desk-8": "220-230"}, within=5
        ),
    ),
    Question(
        "rates",
        rigopt.Rates,
        "rates works.toml",
        lambda shop: rigopt.rates("works.toml", shop),
        page=True,
    ),
]
