"""How much longer rigs take when the baskets are chosen with them. No time is asserted.

    python -m tests.benchmarks.baskets [SEEDS]

200 device types, ten sellers, three offers each, 32 inputs: the same question at plain prices
and with the offers, one after the other, so that what else the machine does falls on both.
CPU seconds of this process; one line a seed, then the medians.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from dataclasses import replace
from decimal import Decimal

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Cable, Catalogue, Device, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from tests.benchmarks.instances import catalogue

TYPES, SELLERS, OFFERS, MICS = 200, 10, 3, 32
EXCHANGE = {"GBP": Decimal("0.8547")}


def with_offers(shop: Catalogue, seed: int) -> Catalogue:
    """The same devices and cables, each from three sellers around its plain price."""
    draw = random.Random(seed)
    sellers = {
        f"shop-{number}": Seller(
            f"shop-{number}",
            "GBP" if number % 4 == 3 else shop.currency,
            draw.choice([0, 390, 490, 690, 1200]),
            draw.choice([None, 5000, 20000, 50000]),
            Decimal(draw.choice(["0", "0", "20", "7.7"])),
        )
        for number in range(SELLERS)
    }
    offers = []
    items: list[Device | Cable] = [*shop.devices.values(), *shop.cables.values()]
    for item in items:
        for name in sorted(draw.sample(sorted(sellers), OFFERS)):
            asked = sellers[name]
            price = (item.price or 0) * draw.randrange(88, 125) / 100
            price /= 1 + float(asked.tax_percent) / 100
            price *= 0.8547 if asked.currency == "GBP" else 1
            stock = draw.choice([None, None, 1, 3])
            offers.append(Offer(item.id, name, round(price), getattr(item, "pack", 1), stock))
    return replace(shop, offers=tuple(offers), sellers=sellers)


def seconds(shop: Catalogue, needs: Needs) -> tuple[float, Answered]:
    """CPU seconds of one answer, which is proven."""
    start = time.process_time()
    outcome = solve(shop, needs)
    took = time.process_time() - start
    assert isinstance(outcome, Answered)
    assert outcome.proven
    return took, outcome


def main(seeds: int) -> None:
    needs = Needs(mic=MICS, phantom=MICS // 2, exchange=EXCHANGE)
    plain, named = [], []
    for seed in range(seeds):
        shop = catalogue(seed, TYPES)
        without, _ = seconds(shop, needs)
        took, answer = seconds(with_offers(shop, seed), needs)
        plain.append(without)
        named.append(took)
        print(
            f"seed {seed}: plain {without:.2f} s, offers {took:.2f} s, "
            f"ratio {took / without:.1f}, {len(answer.rig.orders)} orders",
            flush=True,
        )
    ratio = statistics.median(b / a for a, b in zip(plain, named, strict=True))
    print(
        f"median: plain {statistics.median(plain):.2f} s, offers "
        f"{statistics.median(named):.2f} s (most {max(named):.2f}), ratio {ratio:.1f}"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
