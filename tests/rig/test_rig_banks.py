"""48 V banks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rigopt.catalogue.types import Device
from rigopt.rig.audit import banks as audit
from rigopt.rig.banks import as_fine, bank_of, banks, powered
from rigopt.rig.types import ClockSetting, Unit
from tests.reading.folders import device

BOX = Device("box", "", "host", mic_line=5, mic=2, line=3, phantom_bank=3)


def test_the_last_bank_may_be_short() -> None:
    assert list(banks(BOX)) == [1, 2, 3]
    assert [bank_of(BOX, channel) for channel in range(1, 11)] == [
        *(1, 1, 1, 2, 2, 2, 3),
        *(None, None, None),
    ]
    assert list(banks(replace(BOX, mic=1))) == [1, 2]


def test_without_48_volts_or_microphones_there_is_no_bank() -> None:
    for dry in (replace(BOX, phantom_bank=0), replace(BOX, mic_line=0, mic=0)):
        assert list(banks(dry)) == []
        assert bank_of(dry, 1) is None


@pytest.mark.parametrize("size", [0, 1, 2, 3, 7, 8])
@pytest.mark.parametrize("on", [(), (1,), (2, 3), (3, 9)])
def test_the_audit_finds_the_same_channels_on(size: int, on: tuple[int, ...]) -> None:
    device = replace(BOX, phantom_bank=size)
    unit = Unit("box-1", device, "host", ClockSetting("internal"), phantom_banks_on=on)
    assert set(powered(unit)) == audit.powered(unit)
    assert len(banks(device)) == len(audit.banks(device))


def test_banks_are_as_fine_if_they_fill_the_other() -> None:
    def box(size: int) -> Device:
        return replace(BOX, phantom_bank=size)

    assert as_fine(box(1), box(8))
    assert as_fine(box(4), box(8))
    assert as_fine(box(8), box(8))
    assert not as_fine(box(8), box(4))
    assert not as_fine(box(3), box(4))
    assert as_fine(box(3), box(8))  # 3, 3 and 1 are the seven
    assert not as_fine(replace(box(3), mic_line=7), replace(box(8), mic_line=7))
    assert not as_fine(box(0), box(8))


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        # Linux kernel, sound/usb, mixer table: switches x inputs each.
        ({"mic_line": "1", "phantom_bank": "1"}, [[1]]),
        ({"mic_line": "2", "phantom_bank": "2"}, [[1, 2]]),
        ({"mic_line": "4", "phantom_bank": "2"}, [[1, 2], [3, 4]]),
        ({"mic_line": "8", "phantom_bank": "4"}, [[1, 2, 3, 4], [5, 6, 7, 8]]),
        # Control services: of 8 microphones, switches for 1-4 and 5-8; one for the whole box;
        # one a microphone.
        ({"mic": "8", "phantom_bank": "4;4"}, [[1, 2, 3, 4], [5, 6, 7, 8]]),
        ({"mic": "8", "phantom_bank": "8"}, [[1, 2, 3, 4, 5, 6, 7, 8]]),
        ({"mic": "4", "phantom_bank": "1"}, [[1], [2], [3], [4]]),
        # Linux kernel, sound/usb, phantom_first: of two inputs the second has it.
        (
            {
                "line_inst": "1",
                "mic_line": "1",
                "phantom_bank": "1",
                "channel_order": "line_inst",
            },
            [[2]],
        ),
        # A list may be of several sizes, and leave inputs without 48 V.
        ({"mic_line": "9", "phantom_bank": "4;2;2"}, [[1, 2, 3, 4], [5, 6], [7, 8]]),
    ],
)
def test_banks_of_rows(
    cells: dict[str, str], expected: list[list[int]], tmp_path: Path
) -> None:
    box = device(tmp_path, **cells)
    assert [list(bank) for bank in box.bank_channels] == expected
    assert audit.banks(box) == expected
    last = Unit("box-1", box, "host", None, phantom_banks_on=(len(expected),))
    assert set(powered(last)) == audit.powered(last) == set(expected[-1])
