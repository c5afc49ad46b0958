"""Planned rigs of random catalogues with every kind of row, broken and repaired.

What was planned is one repair of what was broken: it costs the pieces that were taken away.
So no repair costs more, and each passes the audit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Literal

import pytest

from rigopt.answers.outcome import Answered
from rigopt.answers.repair import Repaired
from rigopt.answers.verdict import examine
from rigopt.api.repair import ask_repair
from rigopt.catalogue.types import Cable, Catalogue
from rigopt.facts import SOCKET_KINDS, SocketKind
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import WiredRig, carried, wire_of
from tests.rig.line_shops import lined
from tests.rig.worlds import instance
from tests.tiers import few

KINDS: tuple[Literal["internal"] | SocketKind, ...] = ("internal", *SOCKET_KINDS)


def broken(rig: WiredRig, random: Random) -> tuple[WiredRig, list[Cable]]:
    """The rig with one to three edits, and the pieces that were taken away."""
    units, links, gone = list(rig.units), list(rig.links), list[Cable]()
    for _ in range(random.randint(1, 3)):
        edit = random.choice(("drop", "drop", "clock", "move", "bank"))
        place = random.randrange(len(units))
        if edit == "clock":
            units[place] = replace(units[place], clock=_clock(units, random))
        elif edit == "bank":
            on = tuple(sorted(random.sample(range(1, 10), random.randint(0, 3))))
            units[place] = replace(units[place], phantom_banks_on=on)
        elif links:
            link = links.pop(random.randrange(len(links)))
            if edit == "drop":
                # A piece with other ways stays in the rig.
                lone = link.piece is None or link.piece not in {x.piece for x in links}
                gone += link.pieces if lone else ()
            else:
                links.append(_moved(link, units, random))
    wires = list(map(wire_of, links))
    return replace(rig, units=tuple(units), links=carried(units, wires, rig.rate_hz)), gone


def _clock(units: list[Unit], random: Random) -> ClockSetting | None:
    kind: Literal["internal"] | SocketKind = random.choice(KINDS)
    if kind == "internal":
        return random.choice((ClockSetting("internal"), None))
    return ClockSetting(kind, random.randint(1, 2), random.choice(units).name)


def _moved(link: Link, units: list[Unit], random: Random) -> Link:
    return replace(link, to_unit=random.choice(units).name, to_socket=random.randint(1, 3))


def check(seed: int, world: Callable[[int], tuple[Catalogue, Needs]] = instance) -> str:
    """Break and repair the rig of a seed; what came of it."""
    catalogue, needs = world(seed)
    outcome = solve(catalogue, needs, 20)
    if not isinstance(outcome, Answered):
        return "no rig"
    if world is lined and not any(link.kind == "analogue" for link in outcome.rig.links):
        return "no line"
    rig = WiredRig(outcome.rig.rate_hz, outcome.rig.units, outcome.rig.links)
    assert examine(rig, needs).findings == ()
    bad, gone = broken(rig, Random(seed))
    if examine(bad, needs).works:
        return "not broken"
    found = ask_repair(bad, catalogue, needs)
    assert isinstance(found, Repaired), found
    assert examine(found.rig, needs).findings == ()
    assert found.money <= sum(piece.price or 0 for piece in gone) or not found.proven
    return "repaired"


def test_what_was_planned_is_found_again_in_a_few_worlds() -> None:
    assert [check(seed) for seed in range(6)].count("repaired") >= 2


def test_a_rig_with_lines_is_found_again_in_a_few_worlds() -> None:
    assert [check(seed, lined) for seed in range(10)].count("repaired") >= 2


@pytest.mark.parametrize("first", few(range(100, 340, 20), now=0, slow=range(120, 340)))
def test_a_rig_with_lines_is_found_again(first: int) -> None:
    assert [check(seed, lined) for seed in range(first, first + 20)].count("repaired") >= 2


@pytest.mark.parametrize("first", few(range(100, 340, 20), now=0, slow=range(120, 340)))
def test_what_was_planned_is_found_again(first: int) -> None:
    assert [check(seed) for seed in range(first, first + 20)].count("repaired") >= 4
