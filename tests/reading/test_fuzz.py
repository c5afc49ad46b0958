"""Whatever the bytes: a valid result or an `InputError`, and nothing else, ever."""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigopt.catalogue.rows import DeviceRow, OfferRow, SellerRow
from rigopt.catalogue.types import Catalogue
from rigopt.errors import Fault, InputError
from rigopt.files import amounts, values
from rigopt.files.models import keys
from rigopt.files.values import BadValueError
from rigopt.needs.read import read_needs
from rigopt.needs.schema import SECTIONS, NeedsTable
from rigopt.needs.types import Needs
from tests.reading.folders import SMALL, read_catalogue, write

PIECES = st.sampled_from(
    [
        *DeviceRow.model_fields,
        *OfferRow.model_fields,
        *SellerRow.model_fields,
        "host",
        "clock",
        "expander",
        "optical",
        "48",
        "44,1;48",
        "-1",
        "1e400",
        "nan",
        "1,234",
        "box",
        "opt",
        "12.50",
        "£5",
        "yes",
        "\x1b",
        "\ufeff",
        "\u200b",
        "é",
        "٣",
        "x" * 600,
    ]
)
MARKS = st.sampled_from(
    [",", ",", ",", ";", "\t", "\n", "\n", "\r\n", "\r", '"', '""', " ", ""]
)
CSV = st.lists(st.tuples(PIECES, MARKS), max_size=40).map(
    lambda parts: "".join(a + b for a, b in parts)
)
HEADED = CSV.map(lambda text: "id,role,price,mic,rates_khz,optical_in,clock_in\n" + text)
FILE = st.one_of(
    st.binary(max_size=60),
    CSV.map(str.encode),
    HEADED.map(str.encode),
    HEADED.map(lambda text: text.encode("utf-16")),
)

KEYS = [*keys(NeedsTable), *SECTIONS, "desk-8", "opt-1.5m", "name", "pair", "budget"]
for section in SECTIONS.values():
    KEYS += keys(section)
VALUES = [
    "1",
    "-1",
    "1.5",
    "1e400",
    "nan",
    "true",
    '"x"',
    '"48 kHz"',
    '"on"',
    '"mic"',
    '"desk-8"',
    "[]",
    "[1]",
    "{}",
    "{mic = 1}",
    '["usb"]',
    "1979-05-27",
    "[[[]]]",
    '"\\u0007"',
    "[{}]",
    '[{name = "a"}, {name = "b", pair = "p"}]',
]
LINES = st.one_of(
    st.builds("{} = {}".format, st.sampled_from(KEYS), st.sampled_from(VALUES)),
    st.builds("{}.{} = {}".format, *[st.sampled_from(KEYS)] * 2, st.sampled_from(VALUES)),
    st.sampled_from([f"[{key}]" for key in KEYS] + [f"[[{key}]]" for key in KEYS]),
)
TOML = st.one_of(
    st.binary(max_size=60), st.lists(LINES, max_size=12).map(lambda s: "\n".join(s).encode())
)
T = TypeVar("T", Catalogue, Needs)
QUICK = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)


def result(read: Callable[[], T]) -> T | list[Fault]:
    """What `read` gives, or the faults it tells; anything else fails the test."""
    try:
        return read()
    except InputError as error:
        return list(error.faults)


@QUICK
@given(
    st.sampled_from(
        ["catalog.toml", "devices.csv", "cables.csv", "offers.csv", "sellers.csv", "extras.csv"]
    ),
    FILE,
)
def test_a_catalogue_of_any_bytes(file: str, data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), {file: data})
        found = result(lambda: read_catalogue(Path(folder)))
    if isinstance(found, list):
        assert found
        assert all(line.isprintable() for fault in found for line in str(fault).split("\n"))
    else:
        assert found.devices


@QUICK
@given(TOML, st.dictionaries(st.sampled_from(["mic", "rate", "budget"]), st.text(max_size=5)))
def test_needs_of_any_bytes(data: bytes, options: dict[str, object]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "needs.toml"
        path.write_bytes(data)
        found = result(lambda: read_needs(path, SMALL, options))
    if isinstance(found, list):
        assert found
        assert all(line.isprintable() for fault in found for line in str(fault).split("\n"))
    else:
        assert found.phantom + found.no_phantom <= found.mic


@pytest.mark.parametrize(
    "parse",
    [
        values.rate,
        values.rates,
        values.yes,
        values.short_id,
        values.label,
        amounts.number,
        lambda value: amounts.amount(value, "GBP"),
        lambda value: amounts.whole(value, 9),
    ],
)
@QUICK
@given(
    st.one_of(
        st.text(max_size=20),
        st.text("0123456789.,' -+e£€", max_size=12),
        st.integers(),
        st.floats(),
        st.booleans(),
        st.none(),
    )
)
def test_any_single_value(parse: object, value: object) -> None:
    assert callable(parse)
    with contextlib.suppress(BadValueError):
        parse(value)


@QUICK
@given(st.decimals(0, 10**9, places=2))
def test_an_amount_is_read_back_whatever_the_marks(value: object) -> None:
    exact = int(f"{value:.2f}".replace(".", ""))
    marked = f"{value:,.2f}"
    swapped = marked.translate(str.maketrans(",.", ".,"))
    spaced = marked.replace(",", " ").replace(".", ",")
    for text in (marked, swapped, spaced, f"£ {marked}", f"{swapped} £"):
        assert amounts.amount(text, "GBP") == exact
    assert amounts.amount(f"{swapped} €", "EUR") == exact
