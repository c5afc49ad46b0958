"""Catalogues broken in every way, read back and added to: plain lines, and nothing is lost."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.adding.boxes import OUT_ONLY, lines, piped
from tests.hostile import attack
from tests.hostile.breaking import CSV, Break
from tests.hostile.test_any_bytes import OFTEN, STREAM, TABLES, broken


def read_back(folder: Path, stream: str) -> attack.Said:
    """`rigopt list`, what it says checked in the form asked for."""
    to = {"text": (), "json": ("--json", "-"), "csv": ("--csv", "-")}[stream]
    said = attack.rigopt("list", "--catalog", folder, *to)
    if stream == "json" and said.out:
        assert attack.harmless_json(said.out)
    if stream == "csv" and said.out:
        assert attack.harmless_csv(said.out)
    return said


@OFTEN
@given(st.sampled_from([*TABLES]), st.lists(CSV, min_size=1, max_size=3), STREAM)
def test_a_broken_table_is_read_back_or_told(
    name: str, breaks: list[Break], stream: str
) -> None:
    with tempfile.TemporaryDirectory() as room:
        files: dict[str, str | bytes] = {**TABLES, name: broken(TABLES[name], breaks)}
        read_back(attack.write(Path(room) / "c", files), stream)


@OFTEN
@given(st.lists(CSV, min_size=1, max_size=3))
def test_a_broken_table_is_added_to_or_told(breaks: list[Break]) -> None:
    """What the file held is still in it, byte for byte, but for columns in its head."""
    with tempfile.TemporaryDirectory() as room, pytest.MonkeyPatch.context() as patch:
        folder = attack.write(Path(room) / "c")
        answers = "\n".join(lines(folder, OUT_ONLY.said))
        attack.write(folder, {"devices.csv": broken(TABLES["devices.csv"], breaks)})
        before = (folder / "devices.csv").read_bytes()
        piped(patch, answers)
        said = attack.rigopt("add", "--catalog", folder)
        after = (folder / "devices.csv").read_bytes()
        if said.status:
            assert after == before
        else:
            pairs = enumerate(zip(before, after, strict=False))
            head = next((i for i, (old, new) in pairs if old != new), len(before))
            assert before[head:] in after[head:]
            assert len(after) > len(before)


@pytest.mark.full
@pytest.mark.parametrize("column", ["label", "note", "price", "clock_in"])
def test_any_value_in_a_cell(column: str, tmp_path: Path) -> None:
    for number, value in enumerate(attack.VALUES):
        quoted = '"' + value.replace('"', '""') + '"'
        devices = f"id,role,optical_in,{column}\nbox,host,1,{quoted}\n"
        folder = attack.write(tmp_path / str(number), {"devices.csv": devices})
        read_back(folder, ("text", "json", "csv")[number % 3])
