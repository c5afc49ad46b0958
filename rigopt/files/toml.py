"""TOML files that people edit: decoded, and within limits that keep reading quick."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, Final

from rigopt.files.faults import Gathered
from rigopt.files.text import read_text

LARGEST_MB: Final = 1
DEEPEST: Final = 16
"""Parts of a dotted key; the time that a long one takes grows with its square."""

_KEY: Final = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DEEP: Final = re.compile(rf"(?<![\w-]){_KEY}(?:[ \t]*+\.[ \t]*+{_KEY}){{{DEEPEST}}}")


def read_toml(path: Path, faults: Gathered) -> dict[str, Any] | None:
    """The tables of a TOML file, or None and a fault.

    Numbers with a point stay text, exact to the last digit, as the parsers of values
    take it.
    """
    text = read_text(path, faults, LARGEST_MB)
    if text is None:
        return None
    if _DEEP.search(text):
        faults.add(f"holds a dotted key of more than {DEEPEST} parts")
        return None
    try:
        return tomllib.loads(text, parse_float=_as_written)
    except RecursionError:
        faults.add("is nested too deeply")
    except ValueError as error:  # also a whole number of thousands of digits
        _note(text, str(error), faults)
    return None


def _note(text: str, message: str, faults: Gathered) -> None:
    """Note what the parser found, with the line and what to do where that is known."""
    # Here and not above: a file without a fault does not wait for what is known of faults.
    from rigopt.files.toml_slips import slip  # noqa: PLC0415

    if found := slip(text, message):
        problem = f"is not valid TOML: {found.remedy}"
        faults.add(problem, row=found.row, shows=found.lines)
    else:
        faults.add(f"is not valid TOML: {_plain(message)}")


def _as_written(number: str) -> str:
    return number.replace("_", "")


def _plain(message: str) -> str:
    """The parser's message with a small first letter and without its advice to programmers."""
    message = message.partition(";")[0]
    return message[:1].lower() + message[1:]
