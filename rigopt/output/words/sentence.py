"""What is said of one way to break a rule, and the smallest change that mends it."""

from __future__ import annotations

from typing import NamedTuple


class Sentence(NamedTuple):
    """Templates over the names of the facts; `change` is for where no better one is known."""

    says: str
    change: str
