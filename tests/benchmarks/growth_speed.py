"""How long growth takes: three stages of a large shop, on demand and without a verdict.

    python -m tests.benchmarks.growth_speed [SEED ...]

Stages of 8, 24 and 32 microphones; 200 device types, ten sellers, three offers of each
item. Prints for each seed how it ended, seconds by the clock and of processor time, and
the load of the machine meanwhile. All data are invented.
"""

from __future__ import annotations

import os
import random
import sys
import time
from dataclasses import replace
from decimal import Decimal

from rigopt.answers.growth import Grown
from rigopt.api.growth import ask_growth
from rigopt.catalogue.types import Cable, Catalogue, Device, Offer, Seller
from rigopt.needs.types import Needs, Stage
from tests.benchmarks.instances import catalogue

TYPES, SELLERS, OFFERS = 200, 10, 3
STAGES = (8, 24, 32)


def shop(seed: int) -> Catalogue:
    """A large catalogue in which everything is sold by three of ten sellers."""
    plain = catalogue(seed, TYPES)
    draw = random.Random(seed)
    names = [f"seller-{number}" for number in range(SELLERS)]
    sellers = {
        name: Seller(
            name,
            plain.currency,
            draw.choice((0, 490, 690, 990)),
            draw.choice((None, 5000, 10_000, 20_000)),
            Decimal(draw.choice((0, 0, 19, 20))),
        )
        for name in names
    }
    things: list[Device | Cable] = [*plain.devices.values(), *plain.cables.values()]
    offers = [
        Offer(
            thing.id,
            name,
            (thing.price or 0) * draw.randrange(90, 111) // 100,
            getattr(thing, "pack", 1),
            draw.choice((None, None, None, 1, 2)),
        )
        for thing in things
        for name in draw.sample(names, OFFERS)
    ]
    return replace(plain, offers=tuple(offers), sellers=sellers)


def stages() -> list[Stage]:
    """The stages, with a few microphones that need 48 V at each."""
    return [Stage(f"{mic} inputs", Needs(mic=mic, phantom=mic // 2)) for mic in STAGES]


def main() -> None:
    """Measure each seed of the command line; 1, 2 and 3 if there is none."""
    for seed in [int(text) for text in sys.argv[1:]] or [1, 2, 3]:
        asked = shop(seed)
        began, worked = time.monotonic(), time.process_time()
        found = ask_growth(asked, stages())
        clock, work = time.monotonic() - began, time.process_time() - worked
        sure = isinstance(found, Grown) and found.together.proven
        total = found.together.total if isinstance(found, Grown) else None
        load = os.getloadavg()[0]
        print(
            f"seed {seed}: {'proven' if sure else 'not proven'}, total {total}, "
            f"{clock:.1f} s by the clock, {work:.1f} s of work, load {load:.1f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
