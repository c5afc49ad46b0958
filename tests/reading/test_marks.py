"""A mark before three digits is read as the other cells of the file have it, or refused."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from rigopt.files.csv import Row
from rigopt.files.marks import settled
from tests.reading.folders import catalogue, faults_of, needs_faults

HEAD = "id;role;price;watts"


def prices(folder: Path, *cells: str, separator: str = ";") -> list[int | None]:
    """The prices of devices whose cells are these, in minor units."""
    rows = [f"box-{n};host;{cell};" for n, cell in enumerate(cells)]
    text = "\n".join([HEAD, *rows, ""])
    devices = catalogue(folder, {"devices.csv": text.replace(";", separator)}).devices
    return [device.price for device in devices.values()]


def test_beside_decimal_commas_a_point_groups_thousands(tmp_path: Path) -> None:
    assert prices(tmp_path, "1.300", "12,50", "1.300,50", "7") == [130000, 1250, 130050, 700]
    assert prices(tmp_path, "1,300", "12,50") == [130, 1250]


def test_beside_decimal_points_it_is_the_decimal_one(tmp_path: Path) -> None:
    assert prices(tmp_path, "1.300", "12.50", "1.1", separator="\t") == [130, 1250, 110]


def test_beside_decimal_points_a_comma_groups_thousands(tmp_path: Path) -> None:
    assert prices(tmp_path, "1,300", "12.50", "£ 1,000") == [130000, 1250, 100000]


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        (("1.300",), "could mean 1300 or 1.30; write it as one of these (found '1.300')"),
        (("1.300", "900"), "could mean 1300 or 1.30"),
        (("1.300", "12,50", "9.90"), "could mean 1300 or 1.30"),
        (("1.345", "12.50"), "has more decimals than GBP, which has 2"),
        (("1,345", "12,50"), "could mean 1345 or 1.345; write it without a comma"),
    ],
)
def test_where_the_file_does_not_tell_it_is_refused(
    tmp_path: Path, cells: tuple[str, ...], fault: str
) -> None:
    rows = "\n".join(f"box-{n};host;{cell};" for n, cell in enumerate(cells))
    (told,) = faults_of(tmp_path, {"devices.csv": f"{HEAD}\n{rows}\n"})
    assert told.startswith(f"devices.csv, row 2, price: {fault}")


def test_other_columns_tell_as_well_and_texts_do_not(tmp_path: Path) -> None:
    text = f"{HEAD};label\na;host;1.300;2,5;\nb;host;100;;1.5 metres\n"
    assert catalogue(tmp_path, {"devices.csv": text}).devices["a"].price == 130000
    text = f"{HEAD};label\na;host;1.300;;an 1,5 or 12,50\n"
    (told,) = faults_of(tmp_path, {"devices.csv": text})
    assert "could mean" in told


def test_beside_decimal_commas_watts_may_have_three(tmp_path: Path) -> None:
    text = f"{HEAD}\na;host;9,50;1,125\n"
    watts = catalogue(tmp_path, {"devices.csv": text}).devices["a"].watts
    assert watts == Decimal("1.125")


def test_each_file_tells_for_itself(tmp_path: Path) -> None:
    (told,) = faults_of(
        tmp_path,
        {
            "devices.csv": f"{HEAD}\na;host;12,50;\n",
            "cables.csv": "id;kind;length_m;price\nopt;optical;1;1.300\n",
        },
    )
    assert told.startswith("cables.csv, row 2, price: could mean 1300 or 1.30")


def test_a_length_beside_decimal_commas() -> None:
    row = Row(2, {"length_m": "1,500", "price": "9,50", "id": "opt-1.500"})
    (read,) = settled([row], ["length_m", "price"], ["price"])
    assert read.cells == {"length_m": "1.50", "price": "9,50", "id": "opt-1.500"}


def test_a_range_is_settled_at_both_ends() -> None:
    rows = [Row(2, {"price": "1.300-1.500"}), Row(3, {"price": "9,50"})]
    assert settled(rows, ["price"], ["price"])[0].cells == {"price": "1300-1500"}


@pytest.mark.parametrize("text", ["1.300", '"1.300"', '"£1.300"'])
def test_a_budget_is_as_ambiguous(tmp_path: Path, text: str) -> None:
    (told,) = needs_faults(tmp_path, f"[limits]\nbudget = {text}\n")
    assert told.startswith("needs.toml, limits.budget: could mean 1300 or 1.30; write it")
    (told,) = needs_faults(tmp_path, "", budget="1.300")
    assert told.startswith("command line, --budget: could mean 1300 or 1.30; write it")
