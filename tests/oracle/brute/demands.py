"""Whether the channels that arrive serve the sources, with the 48 V that each needs."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache

from rigopt.catalogue.types import ACCEPTS, CHANNEL_COLUMNS, Device
from rigopt.needs.types import Needs

Tally = tuple[int, ...]
"""Number of channels of each kind, in the order of CHANNEL_COLUMNS."""

NOTHING: Tally = (0,) * len(CHANNEL_COLUMNS)


def takes_microphone(device: Device, channel: int) -> bool:
    """Whether a channel (numbered from 1) accepts a microphone."""
    return "mic" in ACCEPTS[device.channel_kinds[channel - 1]]


def bank_numbers(device: Device) -> list[int | None]:
    """The 48 V bank of each channel, channel 1 first; None where there is no 48 V."""
    sizes = device.phantom_bank
    if isinstance(sizes, int):
        sizes = (sizes,) * device.mic_capable if sizes else ()
    banks = iter([number for number, size in enumerate(sizes) for _ in range(size)])
    return [
        next(banks, None) if takes_microphone(device, channel) else None
        for channel in range(1, device.analogue + 1)
    ]


def by_bank(device: Device, channels: Sequence[int]) -> tuple[list[Tally], Tally]:
    """What arrives of each 48 V bank, and what arrives outside any bank."""
    bank_of, kind_of = bank_numbers(device), device.channel_kinds
    kinds: dict[int | None, Counter[str]] = {}
    for channel in channels:
        kinds.setdefault(bank_of[channel - 1], Counter())[kind_of[channel - 1]] += 1
    tallies = {
        bank: tuple(count[column] for column in CHANNEL_COLUMNS)
        for bank, count in kinds.items()
    }
    outside = tallies.pop(None, NOTHING)
    return list(tallies.values()), outside


Cells = tuple[int, ...]
"""Channels by kind: first those with 48 V on, then those without."""


class Demands:
    """The sources of the needs."""

    def __init__(self, needs: Needs) -> None:
        self.needs = needs
        self.meets = cache(self._meets)
        self.by_bank = cache(by_bank)
        free = needs.mic - needs.phantom - needs.no_phantom
        classes = [
            (needs.phantom, "mic", (True,)),
            (needs.no_phantom, "mic", (False,)),
            (free, "mic", (True, False)),
            (needs.line, "line", (True, False)),
            (needs.instrument, "instrument", (True, False)),
        ]
        asked = [one for one in classes if one[0]]
        cells = list(itertools.product((True, False), CHANNEL_COLUMNS))
        # For each set of classes of source: how many there are, the cells that serve any.
        self.sets = [
            (
                sum(count for count, _, _ in chosen),
                [
                    at
                    for at, (state, column) in enumerate(cells)
                    if any(what in ACCEPTS[column] and state in ok for _, what, ok in chosen)
                ],
            )
            for size in range(1, len(asked) + 1)
            for chosen in itertools.combinations(asked, size)
        ]

    def served(self, arriving: Sequence[tuple[Device, tuple[int, ...]]]) -> bool:
        """Whether these channels of these devices serve all sources."""
        banks: list[Tally] = []
        outside = NOTHING
        for device, channels in arriving:
            own, rest = self.by_bank(device, channels)
            banks += own
            outside = tuple(a + b for a, b in zip(outside, rest, strict=True))
        return self.meets(tuple(sorted(banks)), outside)

    def _meets(self, banks: tuple[Tally, ...], outside: Tally) -> bool:
        """Whether some state of the banks gives every source a channel of its own."""
        groups = sorted(Counter(banks).items())
        for switched in self.switchings([count for _, count in groups]):
            on, off = [0] * len(outside), list(outside)
            for (bank, count), ons in zip(groups, switched, strict=True):
                for kind, channels in enumerate(bank):
                    on[kind] += channels * ons
                    off[kind] += channels * (count - ons)
            if self.hall((*on, *off)):
                return True
        return False

    def switchings(self, counts: list[int]) -> Iterator[tuple[int, ...]]:
        """How many banks of each group are on."""
        if self.needs.no_phantom == 0:
            return iter([tuple(counts)])
        if self.needs.phantom == 0:
            return iter([(0,) * len(counts)])
        return itertools.product(*(range(count + 1) for count in counts))

    def hall(self, cells: Cells) -> bool:
        """Hall's condition: each set of sources has as many channels that serve any of it."""
        return all(sum(cells[at] for at in serving) >= count for count, serving in self.sets)
