"""The tiers: what every run tries, what waits for `pytest -m full`, and what for `-m long`."""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Any

import pytest


def few(values: Sequence[Any], now: int = 1, slow: Container[Any] = ()) -> list[Any]:
    """Parameters of a test: the first `now` for every run, the rest for the full tier, but
    those that are `slow` on demand only.
    """
    marks = [pytest.mark.long if value in slow else pytest.mark.full for value in values]
    later = [pytest.param(v, marks=m) for v, m in zip(values[now:], marks[now:], strict=True)]
    return [*values[:now], *later]
