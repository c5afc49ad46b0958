"""Leaving at once, when Ctrl-C or the system asks for it: no half file is left behind.

An exception would be lost, or taken for another, where it is raised in a package that is
being loaded. This module is loaded before Ctrl-C is heard, so it imports next to nothing.
"""

import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import FrameType
    from typing import NoReturn


def stopped(number: int, frame: "FrameType | None") -> "NoReturn":
    """Leave after Ctrl-C, with a line."""
    os.write(2, b"rigopt: stopped\n")
    ended(number, frame)


def ended(number: int, frame: "FrameType | None") -> "NoReturn":
    """Leave without a word; the status is 128 and the number of the signal."""
    del frame
    put_away = getattr(sys.modules.get("rigopt.output.files"), "put_away", None)
    if put_away is not None:
        put_away()
    os._exit(128 + number)
