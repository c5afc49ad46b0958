"""What a little more money buys, as data."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from rigopt.answers.choice import Setting
from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs

Gain = Literal["inputs", "rate", "units", "orders", "master", "new"]
"""More inputs for microphones, a higher rate, fewer units, fewer orders at named sellers, a
host as clock master, and nothing that is not new."""


@dataclass(frozen=True, slots=True)
class Better:
    """The cheapest rig with a gain: the answer to `needs`, which are those asked with
    `setting`."""

    gain: Gain
    setting: Setting
    needs: Needs
    answer: Answered


@dataclass(frozen=True, slots=True)
class More:
    """All gains up to `limit`, in minor units, which is `percent` above the answer;
    `complete`: none is left out for want of time."""

    percent: Decimal
    limit: int
    found: tuple[Better, ...]
    complete: bool = True
