"""Trunks, converters, shared receivers and word clock alone: what the rig looks like.

The boxes and their prices, in pence, are those of the hand cases of the oracle, where the
money of more such questions is worked out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.types import Link, Rig
from tests.oracle.graph_checks import clock_tree_faults
from tests.oracle.known import BNC, CABLE, THREE, catalogue
from tests.oracle.known_clocks import (
    BOX,
    BOXES,
    CONVERTING,
    DEARER,
    DESKS,
    FIVE,
    FIXED,
    HUB,
    OPEN,
    PARTS,
    STAR,
    TWO,
)
from tests.oracle.known_links import DUPLEX, EIGHTS, EIGHTS_2, SHARED


def planned(shop: Catalogue, needs: Needs, **changed: Any) -> Rig:
    """The cheapest rig, proven, its clocks the trees that it says they are."""
    found = solve(shop, replace(needs, **changed))
    assert isinstance(found, Answered)
    assert found.proven
    assert not clock_tree_faults(found.rig)
    return found.rig


def impossible(shop: Catalogue, needs: Needs, **changed: Any) -> bool:
    return isinstance(solve(shop, replace(needs, **changed)), Impossible)


def masters(found: Rig) -> list[str]:
    """Units on their internal clock."""
    clocks = {unit.name: unit.clock for unit in found.units if unit.clock}
    return sorted(name for name, clock in clocks.items() if clock.source == "internal")


def word_links(found: Rig) -> list[Link]:
    return [link for link in found.links if link.kind == "word"]


@pytest.mark.parametrize("rate_hz", [48_000, 96_000])
def test_a_stage_box_of_16_on_one_cable(rate_hz: int) -> None:
    # 48 channels at 1x, 24 at 2x (AES50: its owner's table, restated): all 16 pass at both.
    found = planned(DUPLEX, THREE, mic=24, out_line=10, rate_hz=rate_hz)
    assert found.total == 20_000 + 40_000 + 2000
    (trunk,) = found.links
    assert (trunk.from_unit, trunk.to_unit) == ("expander-1", "host-1")
    assert (trunk.channels, trunk.back, trunk.carries) == (16, 8, ("audio", "clock"))


def test_two_hosts_with_clocks_of_their_own() -> None:
    apart = planned(DESKS, TWO, own_clocks=True)
    assert (apart.total, apart.links, masters(apart)) == (40_000, (), ["host-1", "host-2"])
    together = planned(DESKS, TWO)
    assert (together.total, len(together.links)) == (40_600, 1)
    assert len(masters(together)) == 1


def test_a_box_into_a_converter_keeps_its_clock() -> None:
    # As the host cannot follow it, it would need a second cable from the host otherwise.
    found = planned(CONVERTING, THREE, mic=16)
    assert (found.total, found.clock_hops) == (20_000 + 15_000 + 600, 0)
    assert masters(found) == ["expander-1", "host-1"]
    (cable,) = found.links
    assert (cable.to_unit, cable.carries) == ("host-1", ("audio",))


def test_tees_are_cheaper_than_a_distributor() -> None:
    tees = planned(catalogue(HUB, BOX, STAR, *PARTS), FIVE)
    without = planned(catalogue(HUB, BOX, STAR, CABLE, BNC), FIVE)
    # Three BNC cables; and two tees, or the distributor.
    assert tees.total == BOXES + 3 * 500 + 2 * 300
    assert without.total == BOXES + 3 * 500 + 9000
    assert {unit.role for unit in tees.units} == {"host", "expander"}
    chain = word_links(tees)
    assert {(link.from_unit, link.from_socket) for link in chain} == {("host-1", 1)}
    assert sum(link.after is not None for link in chain) == 2
    assert sum(link.tee is not None for link in chain) == 2
    assert all(link.terminator is None for link in chain)


def test_a_fixed_end_is_last() -> None:
    found = planned(catalogue(HUB, BOX, FIXED, *PARTS), FIVE, require=("fixed",))
    types = {unit.name: unit.device.id for unit in found.units}
    before = {link.after for link in word_links(found)}
    (last,) = [link for link in word_links(found) if types[link.to_unit] == "fixed"]
    assert last.to_unit not in before
    assert last.tee is None
    assert impossible(catalogue(HUB, FIXED, *PARTS), FIVE)


def test_a_terminator_only_where_the_last_has_no_end() -> None:
    ended = word_links(planned(catalogue(HUB, OPEN, *PARTS), FIVE))
    assert [link.terminator is not None for link in ended].count(True) == 1
    assert all(link.tee is not None for link in ended)
    mixed = word_links(planned(catalogue(HUB, OPEN, DEARER, *PARTS), FIVE))
    assert all(link.terminator is None for link in mixed)


def test_a_shared_receiver_has_one_cable() -> None:
    # 8 of the host and 8 by light-pipe, or 2 by coax: never both.
    assert planned(SHARED, THREE, mic=16).links[0].kind == "optical"
    assert planned(SHARED, THREE, mic=10).links[0].kind == "coax"
    for mic in (8, 9, 11):
        used = {(link.kind, link.to_unit) for link in planned(SHARED, THREE, mic=mic).links}
        assert not used >= {("optical", "host-1"), ("coax", "host-1")}
    assert impossible(SHARED, THREE, mic=17)


def test_two_sockets_with_the_same_8_never_sell_16() -> None:
    # A light-pipe in the first at 1x; four channels in each of the two at 2x.
    assert planned(EIGHTS, THREE, mic=16).links[0].to_socket == 1
    fast = planned(EIGHTS, THREE, mic=16, rate_hz=96_000)
    assert [link.channels for link in fast.links if link.to_unit == "host-1"] == [4, 4]
    assert impossible(EIGHTS, THREE, mic=17)
    assert impossible(EIGHTS, THREE, mic=17, rate_hz=96_000)


def test_what_is_dead_brings_no_clock() -> None:
    # The host follows its second socket alone, which is dead at 1x.
    led = planned(EIGHTS_2, THREE, mic=16)
    assert masters(led) == ["host-1"]
    assert all(link.to_socket == 1 for link in led.links if link.to_unit == "host-1")
    assert impossible(EIGHTS_2, THREE, mic=16, master="expander")
    fast = planned(EIGHTS_2, THREE, mic=12, rate_hz=96_000, master="expander")
    assert [link.to_socket for link in fast.links] == [2]
