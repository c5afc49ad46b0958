"""All that the audit says of a break: no rule more, and none twice."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigopt.rig.audit import audit_wiring
from tests.rig import line_worlds, link_worlds
from tests.rig.rig_builders import World, with_device, with_link, with_needs, with_rig

Bend = Callable[[World], World]


def made(name: str) -> World:
    where = link_worlds if hasattr(link_worlds, name) else line_worlds
    found: World = getattr(where, name)()
    return found


def at(world: World, rate_hz: int) -> World:
    return with_needs(with_rig(world, rate_hz=rate_hz), rate_hz=rate_hz)


def converter(world: World) -> World:
    """The expander has direct outs too, and is wired digitally."""
    return with_device(world, "expander-1", direct_out=1)


WIRED: list[tuple[str, Bend, list[str]]] = [
    # A cable of light that is said to go on is named once, and is no chain of word clock.
    ("stereo", lambda w: with_link(w, 1, after="host-1"), ["chain-start"]),
    # Direct outs do not make a rate needless where a digital cable is in use.
    (
        "staged",
        lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)),
        ["rate"],
    ),
    # What is idle runs at every rate only if it has direct outs.
    ("idle", lambda w: with_device(w, "expander-1", rates_hz=(44100,)), ["rate"]),
    ("idle", lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)), []),
]


@pytest.mark.parametrize(("name", "bend", "rules"), WIRED)
def test_of_a_rig_as_it_is_wired(name: str, bend: Bend, rules: list[str]) -> None:
    rig = bend(made(name)).rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    assert [one.rule for one in found] == rules
