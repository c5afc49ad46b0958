"""JSON files that people edit: decoded strictly, and within limits that keep it quick."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from rigopt.files.faults import Gathered
from rigopt.files.text import read_text
from rigopt.files.values import BadValueError, escaped, shown

LARGEST_MB: Final = 5


def read_json(path: Path, faults: Gathered) -> dict[str, Any] | None:
    """The object of a JSON file, or None and a fault.

    Numbers with a point stay text, exact to the last digit. NaN and infinities, which
    JSON does not have (RFC 8259, section 6), are refused, and so is a key that an object
    holds twice: section 4 leaves open which of the two counts.
    """
    text = read_text(path, faults, LARGEST_MB)
    return None if text is None else parse_json(text, faults)


def parse_json(text: str, faults: Gathered) -> dict[str, Any] | None:
    """The object that `text` holds, or None and a fault."""
    try:
        found = json.loads(
            text, parse_float=str, parse_constant=_refuse, object_pairs_hook=_object
        )
    except json.JSONDecodeError as error:
        problem = f"{error.msg[:1].lower()}{error.msg[1:]}"
        faults.add(f"is not valid JSON: {problem}", row=error.lineno)
    except RecursionError:
        faults.add("is nested too deeply")
    except BadValueError as error:
        faults.add(f"is not valid JSON: {error}")
    except ValueError:  # a whole number of thousands of digits
        faults.add("is not valid JSON: it holds a number of thousands of digits")
    else:
        if isinstance(found, dict):
            return found
        faults.add("must hold an object with units and links")
    return None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadValueError(f"the key {escaped(shown(key))!r} is twice in one object")
        found[key] = value
    return found


def _refuse(word: str) -> Any:
    raise BadValueError(f"{word} is no number")
