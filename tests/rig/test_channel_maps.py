"""Channel maps of open drivers at 1x, 2x and 4x, out of rows of a catalogue, by both ways."""

from __future__ import annotations

import pytest

from rigopt.catalogue.types import BLOCKS, Blank, Device, SocketRef
from rigopt.rig.audit.numbers import places
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.numbering import host_spans
from tests.rig.link_worlds import STAGE
from tests.rig.rig_builders import ALL, master
from tests.wires import link

RATES = (48000, 96000, 192000)
LOOP = Blank(2, 2, 2)
LIGHT_FIRST = ("optical", "coax", "analogue", "trunk")


def box(analogue: int, optical: int, coax: int = 1, **more) -> Device:
    rest = {"optical_2x": optical, "coax_4x": 1, **more}
    order = rest.get("input_order", ())
    rest["input_order"] = (*order, *(block for block in BLOCKS if block not in order))
    return Device(
        "box",
        "box",
        "host",
        price=1,
        line=analogue,
        optical_in=optical,
        coax_in=coax,
        rates_hz=ALL,
        **rest,
    )


MAPS = {
    # alsa-ucm-conf, ucm2/USB-Audio: analogue 1-8, coax 9-10, light-pipe 11-18.
    "analogue first": (
        box(8, 1),
        [
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 18)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 14)},
            {"analogue": (1, 8), "coax": (9, 10)},
        ],
    ),
    # Linux kernel, hdsp.c: light-pipe first, and none at 4x.
    "light-pipe first": (
        box(2, 1, input_order=LIGHT_FIRST),
        [
            {"optical": (1, 8), "coax": (9, 10), "analogue": (11, 12)},
            {"optical": (1, 4), "coax": (5, 6), "analogue": (7, 8)},
            {"coax": (1, 2), "analogue": (3, 4)},
        ],
    ),
    # Linux kernel, hdspm.c: four light-pipes, two fixed inputs, coax.
    "four light-pipes first": (
        box(2, 4, optical_4x=4, input_order=("optical", "analogue", "coax")),
        [
            {"optical": (1, 32), "analogue": (33, 34), "coax": (35, 36)},
            {"optical": (1, 16), "analogue": (17, 18), "coax": (19, 20)},
            {"optical": (1, 8), "analogue": (9, 10), "coax": (11, 12)},
        ],
    ),
    # Linux kernel, hdsp.c: three light-pipes and coax.
    "three light-pipes": (
        box(0, 3, input_order=LIGHT_FIRST),
        [
            {"optical": (1, 24), "coax": (25, 26)},
            {"optical": (1, 12), "coax": (13, 14)},
            {"coax": (1, 2)},
        ],
    ),
    # Linux kernel, hdsp.c: coax after light-pipe, analogue before.
    "coax last": (
        box(8, 1, input_order=("analogue", "optical", "coax")),
        [
            {"analogue": (1, 8), "optical": (9, 16), "coax": (17, 18)},
            {"analogue": (1, 8), "optical": (9, 12), "coax": (13, 14)},
            {"analogue": (1, 8), "coax": (9, 10)},
        ],
    ),
    # Linux kernel, sound/firewire, channel mask: the same numbers at every rate.
    "one mask": (
        box(8, 1, input_order=("analogue", "optical", Blank(0, 4, 8), "coax")),
        [
            {"analogue": (1, 8), "optical": (9, 16), "coax": (17, 18)},
            {"analogue": (1, 8), "optical": (9, 12), "coax": (17, 18)},
            {"analogue": (1, 8), "coax": (17, 18)},
        ],
    ),
    # alsa-ucm-conf: loopback between analogue and coax.
    "loopback between": (
        box(8, 1, input_order=("analogue", LOOP)),
        [
            {"analogue": (1, 8), "coax": (11, 12), "optical": (13, 20)},
            {"analogue": (1, 8), "coax": (11, 12), "optical": (13, 16)},
            {"analogue": (1, 8), "coax": (11, 12)},
        ],
    ),
    # alsa-ucm-conf: ten analogue, loopback, coax, two light-pipes.
    "loopback and two light-pipes": (
        box(10, 2, input_order=("analogue", LOOP)),
        [
            {"analogue": (1, 10), "coax": (13, 14), "optical": (15, 30)},
            {"analogue": (1, 10), "coax": (13, 14), "optical": (15, 22)},
            {"analogue": (1, 10), "coax": (13, 14)},
        ],
    ),
    # Linux kernel, dice tables: 26/14/4; analogue 8 to 4, light-pipe 16/4/0, coax 0 at 4x.
    "analogue halved at 4x": (
        box(8, 2, optical_2x=1, coax_4x=0, analogue_4x=4),
        [
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 26)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 14)},
            {"analogue": (1, 4)},
        ],
    ),
    # Linux kernel, dice tables: 14/10/4, coax and light-pipe off at 4x.
    "coax off at 4x": (
        box(4, 1, coax_4x=0),
        [
            {"analogue": (1, 4), "coax": (5, 6), "optical": (7, 14)},
            {"analogue": (1, 4), "coax": (5, 6), "optical": (7, 10)},
            {"analogue": (1, 4)},
        ],
    ),
    # Control services, light-pipe constant: 8/8/4 in two sockets, the second from 2x only.
    "the second socket from 2x": (
        box(0, 2, 0, optical_1x=1, optical_4x=2),
        [{"optical": (1, 8)}, {"optical": (1, 8)}, {"optical": (1, 4)}],
    ),
}


def heard(device: Device, rate_hz: int, wires=()) -> dict[str, tuple[int, int]]:
    """First and last number of each block, as the audit deals them out."""
    units = (master("host-1", device), master("expander-1", STAGE, "expander"))
    found: dict[str, list[int]] = {}
    for number, place in enumerate(places(Wiring(units, tuple(wires), rate_hz)), start=1):
        if place is not None:
            found.setdefault(place[1], []).append(number)
    assert all(n == list(range(n[0], n[-1] + 1)) for n in found.values())
    return {kind: (numbers[0], numbers[-1]) for kind, numbers in found.items()}


def numbered(device: Device, rate_hz: int, wires=()) -> dict[str, tuple[int, int]]:
    """The same as the rig is numbered."""
    span = host_spans([master("host-1", device)], wires, rate_hz)["host-1"]
    found = {"analogue": [*span.analogue()]}
    for kind in ("optical", "coax"):
        found[kind] = [
            number
            for socket in range(1, 9)
            for number in span.socket(SocketRef(kind, "in", socket))
        ]
    return {kind: (numbers[0], numbers[-1]) for kind, numbers in found.items() if numbers}


@pytest.mark.parametrize("name", MAPS)
def test_ranges_at_each_class(name):
    device, expected = MAPS[name]
    for rate_hz, ranges in zip(RATES, expected, strict=True):
        assert heard(device, rate_hz) == ranges
        assert numbered(device, rate_hz) == ranges


# Linux kernel, bebob stream table: stereo mode 10/10/2, light-pipe mode 16/12/2.
STEREO = box(8, 1, 0, optical_stereo=1, analogue_4x=2)


@pytest.mark.parametrize(
    ("format", "totals"), [("stereo", (10, 10, 2)), ("light-pipe", (16, 12, 2))]
)
def test_an_optical_socket_set_to_stereo_counts_two(format, totals):
    wires = [link(format, "expander-1", 1, "host-1", 1, 0, (), None)]
    for rate_hz, total in zip(RATES, totals, strict=True):
        for found in (heard, numbered):
            assert max(last for _, last in found(STEREO, rate_hz, wires).values()) == total


def test_blanks_at_the_end_count_and_are_cut():
    # Linux kernel, protocol-v2: 18 inputs, 8 analogue, 8 light-pipe, 2 dummies at the end.
    dummies = box(8, 1, 0, input_order=("analogue", "optical", "coax", "trunk", LOOP))
    units = (master("host-1", dummies),)
    assert len(places(Wiring(units, (), 48000))) == 18
    assert host_spans(units, (), 48000)["host-1"].visible.total == 18
