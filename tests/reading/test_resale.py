"""What is owned may be said with what it is sold for."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.api import needs as api
from rigopt.errors import InputError
from rigopt.needs.read import read_needs
from tests.reading.folders import SMALL, needs, needs_faults

ENTRY = "{count = 2, resale = 150.00}"


def test_a_number_or_a_table(tmp_path: Path) -> None:
    found = needs(
        tmp_path,
        f"mic = 1\n[owned]\ndesk-8 = {ENTRY}\npre-8 = 1\n".replace("mic", "inputs.mic"),
    )
    assert (found.owned, found.resale) == ({"desk-8": 2, "pre-8": 1}, {"desk-8": 15_000})
    assert found.sale == 30_000


def test_an_id_with_a_point(tmp_path: Path) -> None:
    found = needs(tmp_path, "inputs.mic = 1\n[owned]\nopt-1.5m = {count = 2, resale = 3}\n")
    assert (found.owned, found.resale) == ({"opt-1.5m": 2}, {"opt-1.5m": 300})


@pytest.mark.parametrize("said", ["1@150", "1@150.00", "1@£150"])
def test_an_option(said: str) -> None:
    found = read_needs(None, SMALL, {"mic": 1, "owned": {"desk-8": said}})
    assert (found.owned, found.resale) == ({"desk-8": 1}, {"desk-8": 15_000})


def test_a_number_alone_keeps_the_price(tmp_path: Path) -> None:
    text = f"inputs.mic = 1\nowned = {{desk-8 = {ENTRY}, pre-8 = {ENTRY}}}\n"
    found = needs(tmp_path, text, owned={"desk-8": "1", "pre-8": "2@0"})
    assert (found.owned, found.resale) == ({"desk-8": 1, "pre-8": 2}, {"desk-8": 15_000})
    assert needs(tmp_path, text, owned={"desk-8": "0"}).resale == {"pre-8": 15_000}


def test_stages_keep_and_override(tmp_path: Path) -> None:
    text = f"""
        inputs.mic = 1
        owned = {{desk-8 = {ENTRY}}}
        [[stage]]
        owned.pre-8 = {{count = 1, resale = 7}}
        [[stage]]
        owned.desk-8 = {{count = 1, resale = 100}}
        [[stage]]
        owned.desk-8 = 0
    """
    first, second, third = (stage.needs for stage in needs(tmp_path, text).stages)
    assert (first.owned, first.resale) == (
        {"desk-8": 2, "pre-8": 1},
        {"desk-8": 15_000, "pre-8": 700},
    )
    assert (second.owned, second.resale) == (
        {"desk-8": 1, "pre-8": 1},
        {"desk-8": 10_000, "pre-8": 700},
    )
    assert (third.owned, third.resale) == ({"pre-8": 1}, {"pre-8": 700})


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ("{resale = 5}", "must be a number, or a table of count and resale"),
        ("{count = -1}", "must not be negative"),
        ("{count = 1, resale = -5}", "must not be negative"),
        ("'1@x'", "is not"),
    ],
)
def test_what_is_refused(said: str, fault: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        needs(tmp_path, f"inputs.mic = 1\nowned.desk-8 = {said}\n")
    assert f"owned.desk-8: {fault}" in str(caught.value)


def test_from_python() -> None:
    asked = api.Needs(mic=1, owned={"desk-8": {"count": 1, "resale": 150}, "pre-8": 2})
    found = api.settled(asked, SMALL)
    assert (found.owned, found.resale) == ({"desk-8": 1, "pre-8": 2}, {"desk-8": 15_000})


def test_a_file_read_for_python_says_the_same(tmp_path: Path) -> None:
    file = tmp_path / "needs.toml"
    file.write_text("inputs.mic = 1\nowned.opt-1.5m = {count = 2, resale = 3}\n")
    found = api.settled(api.read_needs(file, SMALL), SMALL)
    assert (found.owned, found.resale) == ({"opt-1.5m": 2}, {"opt-1.5m": 300})


def test_an_id_that_is_there_twice_is_refused(tmp_path: Path) -> None:
    text = '[owned]\n"opt-1.5m" = 2\nopt-1.5m = 3\n'
    (told,) = needs_faults(tmp_path, text)
    assert told.startswith(
        "needs.toml, owned: is there twice, with quotation marks and without"
    )
    assert "opt-1.5m" in told


def test_an_id_in_two_spellings_is_refused(tmp_path: Path) -> None:
    (told,) = needs_faults(tmp_path, '[owned]\ndesk-8 = 2\n"desk-8 " = 3\n')
    assert told == "needs.toml, owned: 'desk-8' and 'desk-8 ' mean the same"


def test_an_empty_table_says_no_number(tmp_path: Path) -> None:
    (told,) = needs_faults(tmp_path, "[owned]\ndesk-8 = {}\n")
    assert "owned.desk-8: must be a number, or a table of count and resale" in told
