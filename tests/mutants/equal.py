"""Changes after which the program is the same, each with the reason.

By file, the line that changes, and what changes in it, as `random_mutants` prints them.
"""

from __future__ import annotations

from typing import Final

EQUAL: Final[dict[tuple[str, str, str], str]] = {}
