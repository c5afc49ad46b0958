"""What hosts that are pooled say of clock trees: nothing that hosts apart allow is lost, and
some that they do not allow is not asked for.

Each case is so many units of some types; hosts apart are the reference.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any, Final

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Device, SocketRef
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.solver.linear import total
from rigopt.optimiser.solver.run import Deadline, run
from tests.world import catalogue

pytestmark = pytest.mark.made_up

PLAIN: Final = Device(
    "plain", "", "host", 40000, mic=8, optical_in=4, optical_out=1, clock_in=("optical",)
)
"""Four light-pipe inputs, and one output to lock a box with."""
MENDS: Final = replace(PLAIN, id="mends", optical_in=2, rate_converter=("optical",))
BOX: Final = Device(
    "box", "", "expander", 20000, mic=8, optical_in=1, optical_out=1, clock_in=("optical",)
)
DEAF: Final = replace(BOX, id="deaf", optical_in=0, clock_in=())
"""It locks to nothing."""
WIDE: Final = replace(DEAF, id="wide", mic=16, optical_out=2)
"""The same, and its audio takes two links."""

TYPES: Final = (PLAIN, MENDS, BOX, DEAF, WIDE)

PAIR: Final = replace(PLAIN, id="pair", optical_in=2)
ONE: Final = replace(PLAIN, id="one", optical_in=1, optical_out=0)
"""One input, and nothing to lock a box with."""
CUT: Final = replace(PAIR, id="cut", max_in_1x=16)
"""The computer sees no more than one of its two light-pipes."""
LONG: Final = replace(WIDE, id="long", optical_in=1, clock_in=("optical",))
"""Its audio takes two links, and it locks to a third one."""

SWAP: Final = replace(
    PAIR,
    id="swap",
    coax_in=1,
    either=((SocketRef("optical", "in", 1), SocketRef("coax", "in", 1)),),
)
"""As a pair, unless coax takes the place of one of them."""

FEW_SOCKETS: Final = (PAIR, ONE, CUT, DEAF, LONG)
Numbers = tuple[int, ...]


def possible(
    numbers: Numbers, *, pooled: bool, types: tuple[Device, ...] = TYPES, **wishes: Any
) -> bool:
    """Whether there is a rig of so many of these types, all of whose microphones are needed."""
    shop = [box for box, number in zip(types, numbers, strict=True) if number]
    units = {box.id: number for box, number in zip(types, numbers, strict=True)}
    needs = Needs(
        mic=sum(box.mic * units[box.id] for box in shop),
        max_hosts=sum(units[box.id] for box in shop if box.role == "host"),
        **wishes,
    )
    problem = state(catalogue(*shop), needs)
    problem = problem if pooled else problem.apart()
    model = cp_model.CpModel()
    rig = build(model, problem, columns(problem, 0))
    for item, terms in rig.units_by_type.items():
        model.add(total(terms) == units[item])
    return run(model, Deadline(None)).status == "optimal"


@pytest.mark.parametrize("own_clocks", [False, True])
@pytest.mark.parametrize("hosts", [(2, 0), (0, 2), (1, 1)])
def test_pooled_hosts_allow_what_hosts_apart_allow(hosts: Numbers, own_clocks: bool) -> None:
    allowed = 0
    for boxes in product(range(0, 5, 2), range(3), range(3)):
        if possible((*hosts, *boxes), own_clocks=own_clocks, pooled=False):
            allowed += 1
            assert possible((*hosts, *boxes), own_clocks=own_clocks, pooled=True), boxes
    assert allowed > 3


OWN: Final = {"own_clocks": True}
HOST: Final = {"master": "host"}


@pytest.mark.parametrize(
    ("numbers", "wishes", "found"),
    [
        # Who could lock has its clock from nobody too: one at the plain host, two behind
        # converters, and two outputs lock two more.
        ((1, 1, 4, 2, 0), OWN, False),
        ((1, 1, 5, 1, 0), OWN, False),
        # Two links in the two sockets with converters, and the other one is the master. Then
        # the host with converters has no socket left for its clock.
        ((1, 1, 0, 0, 2), {}, False),
        ((1, 1, 1, 0, 2), {}, False),
        # The host whose two sockets a box takes is the master; the others lock to it in turn.
        ((1, 1, 0, 0, 1), HOST, True),
        ((1, 2, 0, 0, 1), HOST, True),
        # Of two such hosts one is not, and has no socket for its clock.
        ((1, 2, 0, 0, 2), HOST, False),
        ((1, 3, 0, 0, 2), HOST, False),
    ],
)
def test_pooled_hosts_know_what_no_clock_tree_holds(
    numbers: Numbers, wishes: dict[str, Any], found: bool
) -> None:
    assert possible(numbers, pooled=False, **wishes) == found
    assert possible(numbers, pooled=True, **wishes) == found


@pytest.mark.parametrize("own_clocks", [False, True])
@pytest.mark.parametrize("hosts", [(2, 0, 0), (1, 1, 0), (1, 0, 1), (0, 1, 1), (2, 1, 0)])
def test_so_they_do_where_sockets_are_few(hosts: Numbers, own_clocks: bool) -> None:
    allowed = 0
    for boxes in product(range(4), range(3)):
        numbers = (*hosts, *boxes)
        wishes: dict[str, Any] = {"own_clocks": own_clocks, "types": FEW_SOCKETS}
        if possible(numbers, pooled=False, **wishes):
            allowed += 1
            assert possible(numbers, pooled=True, **wishes), boxes
    assert allowed


@pytest.mark.parametrize("pair", [PAIR, SWAP], ids=["pair", "swap"])
@pytest.mark.parametrize(
    ("numbers", "wishes", "found"),
    [
        # Of two hosts each has one socket whose light-pipe arrives, and a unit needs two.
        ((0, 0, 2, 0, 1), OWN, False),
        ((1, 0, 1, 0, 1), OWN, True),
        ((1, 0, 1, 0, 2), OWN, False),
        # The sockets of the pair are full. So it cannot lock to the deaf one, whose clock
        # ends at the other host; and that has nothing to hand it on with.
        ((1, 1, 0, 1, 1), {}, False),
        ((2, 0, 0, 1, 1), {}, True),
        # The master locks to nothing, so it needs nobody to lock to.
        ((1, 0, 0, 0, 1), HOST, True),
        ((2, 1, 0, 1, 2), {"max_hops": 5}, False),
        ((3, 0, 0, 1, 2), {"max_hops": 5}, True),
    ],
)
def test_sockets_that_carry_as_much_are_those_of_one_host(
    numbers: Numbers, wishes: dict[str, Any], found: bool, pair: Device
) -> None:
    types = (pair, *FEW_SOCKETS[1:])
    assert possible(numbers, pooled=False, types=types, **wishes) == found
    assert possible(numbers, pooled=True, types=types, **wishes) == found
