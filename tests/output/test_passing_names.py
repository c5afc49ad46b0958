"""What is on the disk under a name of its own only goes when the program is asked to end."""

from __future__ import annotations

from pathlib import Path

from rigopt.output.files import gone, passing_name, put_away


def test_all_that_has_a_passing_name_is_taken_away(tmp_path: Path) -> None:
    names = [Path(passing_name(str(tmp_path))) for _ in range(4)]
    for name in names[:2]:
        name.write_text("half")
    for name in names[2:]:
        name.mkdir()
        (name / "half").write_text("half")
    (tmp_path / "whole").write_text("whole")
    put_away()
    assert [path.name for path in tmp_path.iterdir()] == ["whole"]
    put_away()


def test_what_is_gone_already_is_no_fault(tmp_path: Path) -> None:
    name = passing_name(str(tmp_path))
    gone(name)
    put_away()
    assert list(tmp_path.iterdir()) == []
