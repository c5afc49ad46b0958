"""JSON that people edit: strict, and each fault in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.files.faults import Gathered
from rigopt.files.json import parse_json, read_json


def test_an_object_is_read_with_its_decimals_as_they_stand() -> None:
    faults = Gathered("f.json")
    text = '{"a": 1.10, "b": {"a": 2}, "c": [null, true]}'
    assert parse_json(text, faults) == {"a": "1.10", "b": {"a": 2}, "c": [None, True]}
    assert not faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('{"a": 1,\n "b" 2}', ", row 2: is not valid JSON: expecting ':' delimiter"),
        ('{"a": NaN}', ": is not valid JSON: NaN is no number"),
        ('{"a": {"b\\u001b": 1, "b\\u001b": 2}}', None),
        ("[" * 100_000, ": is nested too deeply"),
        ('{"a": ' + "9" * 5000 + "}", ": is not valid JSON: it holds a number of thousands of"),
        ("[1]", ": must hold an object with units and links"),
    ],
)
def test_what_is_refused(text: str, fault: str | None) -> None:
    faults = Gathered("f.json")
    assert parse_json(text, faults) is None
    (told,) = map(str, faults.faults)
    twice = ": is not valid JSON: the key 'b\\\\x1b' is twice in one object"
    assert told.startswith(f"f.json{twice if fault is None else fault}")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    faults = Gathered("f.json")
    assert read_json(tmp_path / "f.json", faults) is None
    assert str(faults.faults[0]) == "f.json: there is no such file"
    (tmp_path / "f.json").write_text("{}")
    assert read_json(tmp_path / "f.json", Gathered("f.json")) == {}
