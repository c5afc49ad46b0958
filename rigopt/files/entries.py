"""Long lists in files, refused by their length before anything in them is looked at."""

from __future__ import annotations

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError


def at_most(most: int) -> BeforeValidator:
    """A validator that takes a list or a table of up to `most` entries.

    Pydantic's own limit counts only the sound ones, so that a million bad entries would be
    a million faults. The fault is of the same type, "too_long".
    """

    def check(value: object) -> object:
        if isinstance(value, (list, dict)) and len(value) > most:
            raise PydanticCustomError("too_long", "too many entries", {"max_length": most})
        return value

    return BeforeValidator(check)
