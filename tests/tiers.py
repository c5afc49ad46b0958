"""The two tiers: what every run tries, and what waits for `pytest -m full`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest


def few(values: Sequence[Any], now: int = 1) -> list[Any]:
    """Parameters of a test: the first `now` for every run, the rest for the full tier."""
    later = [pytest.param(value, marks=pytest.mark.full) for value in values[now:]]
    return [*values[:now], *later]
