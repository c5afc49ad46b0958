"""What random cables carry: the program, and the audit, which deals out single channels.

Hosts and expanders with sockets of every kind, many of them dead, mute or not there; clocks
of their own, converters, direct outs; no socket has two cables.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from rigopt.catalogue.types import Device
from rigopt.facts import FORMATS, SocketKind
from rigopt.rig.audit.channels import check_channels, listen
from rigopt.rig.audit.locks import check_carries
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Unit
from tests.rig.rig_builders import INTERNAL
from tests.rig.worlds import DUPLEX, SIMPLEX
from tests.tiers import few
from tests.world import ALL

KINDS: tuple[SocketKind, ...] = ("optical", "optical", "coax", "word", "trunk", "trunk")
NAMES = ("host-1", "host-2", "expander-1", "expander-2", "clock-1")


def unit(rng: random.Random, name: str) -> Unit:
    role = name.partition("-")[0]
    trunk = rng.choice((DUPLEX, DUPLEX, SIMPLEX))
    device = Device(
        name,
        "",
        role,  # type: ignore[arg-type]
        1,
        mic=0 if role == "clock" else rng.choice((0, 1, 4, 12)),
        line=0 if role == "clock" else rng.choice((0, 2)),
        analogue_4x=rng.choice((0, 1, 99)),
        line_out=rng.choice((0, 1, 4, 20)),
        trunk=trunk,
        trunk_in=2,
        trunk_out=0 if trunk is DUPLEX else 2,
        optical_in=3,
        optical_out=3,
        optical_1x=rng.randint(0, 3),
        optical_2x=rng.randint(0, 3),
        optical_4x=rng.randint(0, 3),
        optical_stereo=rng.randint(0, 3),
        coax_in=2,
        coax_out=2,
        word_in=1,
        word_out=2,
        clock_in=("optical", "coax", "word", "trunk"),
        rate_converter=rng.choice(((), ("trunk",), ("optical",))),
        rates_hz=ALL,
    )
    return Unit(name, device, role, _clock(rng))  # type: ignore[arg-type]


def _clock(rng: random.Random) -> ClockSetting | None:
    if rng.random() < 0.4:
        return rng.choice((INTERNAL, INTERNAL, None))
    return ClockSetting(rng.choice(KINDS), rng.randint(1, 2), rng.choice(NAMES))


def wires(rng: random.Random, units: dict[str, Unit]) -> Iterator[Wire]:
    taken: set[tuple[str, str, str, int]] = set()
    for _ in range(rng.randint(1, 9)):
        start, stop = rng.sample(list(units.values()), 2)
        kind = rng.choice(KINDS)
        rows = [row for row in FORMATS.values() if row.socket == kind]
        row = rng.choice(rows) if rows else start.device.trunk
        assert row is not None
        both = row.duplex
        ends = (
            (start.name, kind, "in" if both else "out", rng.randint(1, 3)),
            (stop.name, kind, "in", rng.randint(1, 3)),
        )
        if not taken.intersection(ends):
            taken.update(ends)
            audio = rng.random() < 0.8
            yield Wire(row, start.name, ends[0][3], stop.name, ends[1][3], None, audio)


@pytest.mark.parametrize("seed", few(range(300), 80))
def test_both_ways_of_reckoning_find_the_same(seed: int) -> None:
    rng = random.Random(seed)
    names = NAMES if rng.random() < 0.5 else NAMES[:1] + NAMES[2:]
    units = tuple(unit(rng, name) for name in rng.sample(names, len(names)))
    rate_hz = rng.choice((48_000, 48_000, 96_000, 192_000))
    links = derive_links(units, list(wires(rng, {one.name: one for one in units})), rate_hz)
    wiring = Wiring(units, links, rate_hz)
    sound = listen(wiring)
    assert tuple(link.channels for link in links) == sound.heard
    assert tuple(link.back for link in links) == sound.back
    inputs = derive_inputs(units, links, rate_hz)
    assert {one.computer_input: (one.unit, one.channel) for one in inputs} == sound.inputs
    told = [*check_channels(wiring), *check_carries(wiring)]
    wrong = ("channels", "carries-audio", "carries-clock")
    assert [one for one in told if one.rule in wrong] == []
