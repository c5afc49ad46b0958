"""Channel maps of open drivers at 1x, 2x and 4x, out of rows of a catalogue, by both ways.

The rig and the audit number the same row on their own. Where a driver numbers a stereo pair
on XLR apart from the one on coax, the row has two coax sockets.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from rigopt.catalogue.types import Device, SocketRef
from rigopt.rig.audit.banks import accepts
from rigopt.rig.audit.numbers import places
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.numbering import host_spans
from rigopt.rig.types import Link
from tests.reading.folders import device
from tests.rig.link_worlds import STAGE
from tests.rig.rig_builders import master
from tests.wires import link

RATES = (48000, 96000, 192000)
Ranges = dict[str, tuple[int, int]]
Map = tuple[dict[str, str], list[Ranges]]

MAPS: dict[str, Map] = {
    # alsa-ucm-conf, ucm2/USB-Audio: analogue 1-8, coax 9-10, light-pipe 11-18. At 2x and 4x
    # by the driver's counts 18/14/10 (Linux kernel, sound/firewire, former protocol).
    "analogue first": (
        {"line": "8", "coax_in": "1", "coax_4x": "1", "optical_in": "1"},
        [
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 18)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 14)},
            {"analogue": (1, 8), "coax": (9, 10)},
        ],
    ),
    # Linux kernel, sound/usb, counts by rate: 18/14/12, light-pipe of 2 at 4x.
    "light-pipe of two at 4x": (
        {"line": "8", "coax_in": "1", "coax_4x": "1", "optical_in": "1", "optical_4x": "1"},
        [
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 18)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 14)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 12)},
        ],
    ),
    # An open PCIe driver, port names: analogue 1-2, XLR stereo 3-4, coax 5-6, light-pipe
    # 7-14, 7-10, 7-8; 14/10/8.
    "two stereo pairs": (
        {"line": "2", "coax_in": "2", "coax_4x": "2", "optical_in": "1", "optical_4x": "1"},
        [
            {"analogue": (1, 2), "coax": (3, 6), "optical": (7, 14)},
            {"analogue": (1, 2), "coax": (3, 6), "optical": (7, 10)},
            {"analogue": (1, 2), "coax": (3, 6), "optical": (7, 8)},
        ],
    ),
    # Linux kernel, hdsp.c: light-pipe first, and none at 4x.
    "light-pipe first": (
        {
            "line": "2",
            "coax_in": "1",
            "coax_4x": "1",
            "optical_in": "1",
            "input_order": "optical;coax;analogue",
        },
        [
            {"optical": (1, 8), "coax": (9, 10), "analogue": (11, 12)},
            {"optical": (1, 4), "coax": (5, 6), "analogue": (7, 8)},
            {"coax": (1, 2), "analogue": (3, 4)},
        ],
    ),
    # Linux kernel, hdspm.c: four light-pipes, XLR stereo, coax.
    "four light-pipes first": (
        {
            "coax_in": "2",
            "coax_4x": "2",
            "optical_in": "4",
            "optical_4x": "4",
            "input_order": "optical;coax",
        },
        [
            {"optical": (1, 32), "coax": (33, 36)},
            {"optical": (1, 16), "coax": (17, 20)},
            {"optical": (1, 8), "coax": (9, 12)},
        ],
    ),
    # Linux kernel, hdsp.c: three light-pipes and coax; it has no 4x rate.
    "three light-pipes": (
        {"coax_in": "1", "optical_in": "3", "input_order": "optical;coax"},
        [{"optical": (1, 24), "coax": (25, 26)}, {"optical": (1, 12), "coax": (13, 14)}],
    ),
    # Linux kernel, hdsp.c: coax after light-pipe, analogue before.
    "coax last": (
        {"line": "8", "coax_in": "1", "optical_in": "1", "input_order": "analogue;optical"},
        [
            {"analogue": (1, 8), "optical": (9, 16), "coax": (17, 18)},
            {"analogue": (1, 8), "optical": (9, 12), "coax": (13, 14)},
        ],
    ),
    # Linux kernel, sound/firewire, count by rate: 8+8+2, at 2x 8+2; coax moves to 9-10.
    "coax moves up at 2x": (
        {
            "line": "8",
            "coax_in": "1",
            "optical_in": "1",
            "optical_2x": "0",
            "input_order": "analogue;optical;coax",
        },
        [
            {"analogue": (1, 8), "optical": (9, 16), "coax": (17, 18)},
            {"analogue": (1, 8), "coax": (9, 10)},
        ],
    ),
    # Linux kernel, sound/firewire, channel mask: coax at the same numbers at every rate.
    "one mask": (
        {
            "line": "8",
            "coax_in": "1",
            "coax_4x": "1",
            "optical_in": "1",
            "input_order": "analogue;optical;blank 0/4/8;coax",
        },
        [
            {"analogue": (1, 8), "optical": (9, 16), "coax": (17, 18)},
            {"analogue": (1, 8), "optical": (9, 12), "coax": (17, 18)},
            {"analogue": (1, 8), "coax": (17, 18)},
        ],
    ),
    # alsa-ucm-conf: loopback at 9-10, between analogue and coax.
    "loopback between": (
        {"line": "8", "coax_in": "1", "optical_in": "1", "input_order": "analogue;blank 2"},
        [
            {"analogue": (1, 8), "coax": (11, 12), "optical": (13, 20)},
            {"analogue": (1, 8), "coax": (11, 12), "optical": (13, 16)},
            {"analogue": (1, 8)},
        ],
    ),
    # alsa-ucm-conf: the same map reused for an 18-input version reaches 6 of 8 light-pipe.
    "loopback between, 18 in all": (
        {
            "line": "8",
            "coax_in": "1",
            "optical_in": "1",
            "input_order": "analogue;blank 2",
            "max_in_1x": "18",
        },
        [{"analogue": (1, 8), "coax": (11, 12), "optical": (13, 18)}],
    ),
    # alsa-ucm-conf: ten analogue, loopback at 11-12, coax, two light-pipes.
    "loopback and two light-pipes": (
        {"line": "10", "coax_in": "1", "optical_in": "2", "input_order": "analogue;blank 2"},
        [{"analogue": (1, 10), "coax": (13, 14), "optical": (15, 30)}],
    ),
    # alsa-ucm-conf: the user has moved the loopback to 1-2.
    "loopback first": (
        {"line": "10", "coax_in": "1", "optical_in": "2", "input_order": "blank 2;analogue"},
        [{"analogue": (3, 12), "coax": (13, 14), "optical": (15, 30)}],
    ),
    # Linux kernel, sound/firewire: 28/20/12 = 10+2+16/8/0 (light-pipe dropped at 4x).
    "light-pipe off at 4x": (
        {"line": "10", "coax_in": "1", "coax_4x": "1", "optical_in": "2"},
        [
            {"analogue": (1, 10), "coax": (11, 12), "optical": (13, 28)},
            {"analogue": (1, 10), "coax": (11, 12), "optical": (13, 20)},
            {"analogue": (1, 10), "coax": (11, 12)},
        ],
    ),
    # Linux kernel, dice tables: 26/14/4; analogue 8 to 4, light-pipe 16/4/0, coax 0 at 4x.
    "analogue halved at 4x": (
        {
            "line": "8",
            "analogue_4x": "4",
            "coax_in": "1",
            "coax_4x": "0",
            "optical_in": "2",
            "optical_2x": "1",
        },
        [
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 26)},
            {"analogue": (1, 8), "coax": (9, 10), "optical": (11, 14)},
            {"analogue": (1, 4)},
        ],
    ),
    # Linux kernel, protocol-v2: 22/18/8 = 14/14/8 + light-pipe 8/4/0.
    "eight of fourteen at 4x": (
        {"line": "14", "analogue_4x": "8", "optical_in": "1"},
        [
            {"analogue": (1, 14), "optical": (15, 22)},
            {"analogue": (1, 14), "optical": (15, 18)},
            {"analogue": (1, 8)},
        ],
    ),
    # Linux kernel, dice tables: 14/10/4, coax and light-pipe off at 4x.
    "coax off at 4x": (
        {"line": "4", "coax_in": "1", "optical_in": "1"},
        [
            {"analogue": (1, 4), "coax": (5, 6), "optical": (7, 14)},
            {"analogue": (1, 4), "coax": (5, 6), "optical": (7, 10)},
            {"analogue": (1, 4)},
        ],
    ),
    # Linux kernel, sound/usb: 12/8/2 = 2+2+8, only the analogue pair at 4x.
    "the analogue pair alone at 4x": (
        {"line": "2", "coax_in": "1", "optical_in": "1"},
        [
            {"analogue": (1, 2), "coax": (3, 4), "optical": (5, 12)},
            {"analogue": (1, 2), "coax": (3, 4), "optical": (5, 8)},
            {"analogue": (1, 2)},
        ],
    ),
    # Control services, light-pipe constant: 8/8/4 in two sockets, the second from 2x only.
    "the second socket from 2x": (
        {"optical_in": "2", "optical_1x": "1", "optical_4x": "2"},
        [{"optical": (1, 8)}, {"optical": (1, 8)}, {"optical": (1, 4)}],
    ),
    # Linux kernel, protocol-v2: 18/18 = 8 analogue, 8 light-pipe, 2 dummies at the end.
    "blanks at the end": (
        {
            "line": "8",
            "optical_in": "2",
            "optical_1x": "1",
            "input_order": "analogue;coax;optical;trunk;blank 2",
        },
        [
            {"analogue": (1, 8), "optical": (9, 16)},
            {"analogue": (1, 8), "optical": (9, 16)},
        ],
    ),
}


def box(folder: Path, cells: dict[str, str]) -> Device:
    """The device of a row."""
    return device(folder, rates_khz="48;96;192", **cells)


def heard(host: Device, rate_hz: int, wires: Iterable[Link] = ()) -> Ranges:
    """First and last number of each block, as the audit deals them out."""
    units = (master("host-1", host), master("expander-1", STAGE, "expander"))
    found: dict[str, list[int]] = {}
    for number, place in enumerate(places(Wiring(units, tuple(wires), rate_hz)), start=1):
        if place is not None:
            found.setdefault(place[1], []).append(number)
    assert all(n == list(range(n[0], n[-1] + 1)) for n in found.values())
    return {kind: (numbers[0], numbers[-1]) for kind, numbers in found.items()}


def numbered(host: Device, rate_hz: int, wires: Iterable[Link] = ()) -> Ranges:
    """The same as the rig is numbered."""
    span = host_spans([master("host-1", host)], wires, rate_hz)["host-1"]
    found = {"analogue": [*span.analogue()]}
    for kind in ("optical", "coax", "trunk"):
        sockets = (SocketRef(kind, "in", number) for number in range(1, 9))
        found[kind] = [number for socket in sockets for number in span.socket(socket)]
    return {kind: (numbers[0], numbers[-1]) for kind, numbers in found.items() if numbers}


def total(host: Device, rate_hz: int) -> int:
    """How many numbers there are, blanks included, by both ways."""
    units = (master("host-1", host),)
    found = len(places(Wiring(units, (), rate_hz)))
    assert host_spans(units, (), rate_hz)["host-1"].visible.total == found
    return found


@pytest.mark.parametrize("name", MAPS)
def test_ranges_at_each_class(name: str, tmp_path: Path) -> None:
    cells, expected = MAPS[name]
    host = box(tmp_path, cells)
    for rate_hz, ranges in zip(RATES, expected, strict=False):
        assert heard(host, rate_hz) == ranges
        assert numbered(host, rate_hz) == ranges


@pytest.mark.parametrize(
    ("cells", "totals"),
    [
        # Linux kernel, sound/firewire, latter protocol: 30/22/14 = 12+2+16/8/0.
        (
            {"line": "12", "coax_in": "1", "coax_4x": "1", "optical_in": "2"},
            (30, 22, 14),
        ),
        # Linux kernel, protocol-v3: 34/26/14 = 18/18/14 + 16/8/0.
        ({"line": "18", "analogue_4x": "14", "optical_in": "2"}, (34, 26, 14)),
        # Linux kernel, protocol-v2: two dummies at the end count, at 1x and 2x.
        (MAPS["blanks at the end"][0], (18, 18)),
    ],
)
def test_totals_at_each_class(
    cells: dict[str, str], totals: tuple[int, ...], tmp_path: Path
) -> None:
    host = box(tmp_path, cells)
    assert tuple(total(host, rate_hz) for rate_hz in RATES[: len(totals)]) == totals


@pytest.mark.parametrize(
    ("format", "totals"), [("stereo", (10, 10, 2)), ("light-pipe", (16, 12, 2))]
)
def test_an_optical_socket_set_to_stereo_counts_two(
    format: str, totals: tuple[int, ...], tmp_path: Path
) -> None:
    # Linux kernel, bebob stream table: stereo mode 10/10/2, light-pipe mode 16/12/2.
    host = box(
        tmp_path,
        {"line": "8", "analogue_4x": "2", "optical_in": "1", "optical_stereo": "1"},
    )
    wires = [link(format, "expander-1", 1, "host-1", 1, 0, (), None)]
    for rate_hz, count in zip(RATES, totals, strict=True):
        for found in (heard, numbered):
            assert max(last for _, last in found(host, rate_hz, wires).values()) == count


@pytest.mark.parametrize(
    ("cells", "microphones"),
    [
        # Control services: of ten analogue inputs the microphones are 7-10.
        ({"line": "6", "mic_line": "4", "channel_order": "line;mic_line"}, [7, 8, 9, 10]),
        # Linux kernel, sound/usb, phantom_first: of two, the second.
        ({"line_inst": "1", "mic_line": "1", "channel_order": "line_inst"}, [2]),
    ],
)
def test_microphones_need_not_come_first(
    cells: dict[str, str], microphones: list[int], tmp_path: Path
) -> None:
    host = box(tmp_path, {"phantom_bank": "1", **cells})
    assert [n for n, takes in enumerate(accepts(host), 1) if "mic" in takes] == microphones
    assert [n for n, kind in enumerate(host.channel_kinds, 1) if "mic" in kind] == microphones
