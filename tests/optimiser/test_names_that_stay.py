"""Which unit of a later rig has the name of which before, and what its links wish for."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from rigopt.catalogue.types import Device
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.optimiser.decode.boxes import Box
from rigopt.optimiser.decode.kept import keep
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.model.variables import Site
from rigopt.optimiser.problem.problem import state
from rigopt.rig.types import Unit, UnitRole
from tests.world import DESK, PRE, catalogue

EITHER = replace(DESK, id="either", role="either")
OTHER = replace(PRE, id="other", price=20001)
PIPE = FORMATS["light-pipe"]
FOUND = columns(
    state(catalogue(DESK, PRE, EITHER, OTHER), Needs(mic=40, max_hosts=3)).apart(), ranks=0
)


def host(slot: int, device: Device = DESK) -> Box:
    """A host in a slot."""
    column = next(c for c in FOUND.hosts if c.slot == slot and c.device == device)
    return Box("host", column, Site(column.face, 0), None)


def box(slot: int | None, device: Device = PRE) -> Box:
    """An expander whose audio goes to the host in a slot, or one that has no link to any."""
    column = next(
        c
        for c in FOUND.satellites
        if (c.wiring.slot, c.device) == (slot, device) and (slot is None or c.wiring.audio)
    )
    return Box("expander", column, Site(column.face, 0), None)


def stood(*units: tuple[str, Device, str | None], sockets: dict[str, int] | None = None) -> Any:
    """A rig of units with the host of each; `sockets`: at which they were there."""
    links = [
        SimpleNamespace(
            from_unit=name,
            to_unit=to,
            channels=range(8),
            format=PIPE,
            from_socket=1,
            to_socket=(sockets or {}).get(name, 1),
        )
        for name, _, to in units
        if to
    ]

    def role(name: str) -> UnitRole:
        return "host" if name.startswith("host") else "expander"

    return SimpleNamespace(
        units=tuple(Unit(name, device, role(name), None) for name, device, _ in units),
        links=tuple(links),
    )


def names(boxes: list[Box], *rigs: Any) -> list[str]:
    keep(boxes, rigs)
    return [one.name for one in boxes]


def test_without_a_rig_before_they_are_counted() -> None:
    boxes = [host(0), host(1), box(0), box(1)]
    assert names(boxes) == ["host-1", "host-2", "expander-1", "expander-2"]
    assert [one.wishes for one in boxes] == [{}] * 4


def test_a_host_is_the_one_whose_boxes_it_has() -> None:
    desks = (("host-1", DESK, None), ("host-2", DESK, None))
    before = stood(*desks, ("expander-1", PRE, "host-2"))
    boxes = [host(0), host(1), box(0)]
    assert names(boxes, before) == ["host-2", "host-1", "expander-1"]
    assert [one.name for one in keep(boxes, [before])] == ["host-1", "host-2", "expander-1"]
    # Of another type, or of two that count.
    other = stood(
        ("host-1", DESK, None), ("host-2", DESK, None), ("expander-1", OTHER, "host-2")
    )
    assert names([host(0), host(1), box(0)], other)[:2] == ["host-1", "host-2"]
    three = stood(
        *desks,
        ("expander-1", PRE, "host-1"),
        ("expander-2", PRE, "host-2"),
        ("expander-3", PRE, "host-2"),
    )
    boxes = [host(0), host(1), box(0), box(0), box(1)]
    assert names(boxes, three) == ["host-2", "host-1", "expander-2", "expander-3", "expander-1"]


def test_a_box_is_the_one_that_was_at_its_host() -> None:
    before = stood(
        ("host-1", DESK, None),
        ("host-2", EITHER, None),
        ("expander-1", PRE, "host-2"),
        ("expander-2", PRE, "host-1"),
        sockets={"expander-1": 3, "expander-2": 2},
    )
    boxes = [host(0), host(1, EITHER), box(0), box(1)]
    assert names(boxes, before) == ["host-1", "host-2", "expander-2", "expander-1"]
    assert [one.wishes for one in boxes[2:]] == [
        {("host-1", "light-pipe"): (2,)},
        {("host-2", "light-pipe"): (3,)},
    ]
    # One without a link to a host takes what is left.
    assert names([host(0), box(None), box(0)], before) == ["host-1", "expander-1", "expander-2"]


def test_one_that_stood_just_before_comes_first() -> None:
    first = stood(("host-1", DESK, None), ("expander-1", PRE, "host-1"))
    then = stood(("host-1", DESK, None), ("expander-2", PRE, "host-1"))
    assert names([host(0), box(0)], first, then) == ["host-1", "expander-2"]
    assert names([host(0), box(0), box(0)], first, then)[1:] == ["expander-2", "expander-1"]
    assert names([host(0), box(0)], then, first) == ["host-1", "expander-1"]


def test_a_name_is_given_once_and_to_its_type() -> None:
    before = stood(("host-1", DESK, None), ("expander-1", PRE, "host-1"))
    assert names([host(0), box(0, OTHER)], before) == ["host-1", "expander-2"]
    assert names([host(0, EITHER), box(0)], before) == ["host-2", "expander-1"]
    assert names([host(0), box(0), box(0)], before) == ["host-1", "expander-1", "expander-2"]


def test_a_name_of_its_role_comes_before_one_of_another() -> None:
    before = stood(("host-1", EITHER, None), ("expander-1", EITHER, "host-1"))
    found = names([host(0, EITHER), box(0, EITHER)], before)
    assert found == ["host-1", "expander-1"]
    turned = names([host(0, DESK), box(0, EITHER)], stood(("host-1", EITHER, None)))
    assert turned == ["host-2", "host-1"]


def test_hosts_come_in_the_order_in_which_they_first_stood() -> None:
    before = stood(("host-2", EITHER, None), ("host-1", DESK, None))
    found = keep([host(0), host(1, EITHER), host(2), box(0)], [before])
    assert [one.name for one in found] == ["host-2", "host-1", "host-3", "expander-1"]


def test_a_box_takes_no_name_of_a_host_that_is_gone_where_it_has_its_own() -> None:
    before = stood(("host-1", EITHER, None), ("expander-1", EITHER, "host-1"))
    assert names([host(0, DESK), box(0, EITHER)], before) == ["host-2", "expander-1"]
    other = stood(("host-1", DESK, None), ("expander-1", EITHER, "host-1"))
    assert names([host(0, EITHER), box(0, EITHER)], other) == ["host-2", "expander-1"]
