"""The ends of what each column may say, and what a row leaves open."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.rows import (
    CableRow,
    DeviceRow,
    ExtraRow,
    FormatRow,
    OfferRow,
    RowModel,
    SellerRow,
    SourceRow,
    parse_row,
)
from rigopt.catalogue.rules import refilled
from rigopt.catalogue.types import (
    CHANNEL_COLUMNS,
    Cable,
    Device,
    Extra,
    InOut,
    Offer,
    Seller,
)
from rigopt.files.faults import Gathered
from tests.reading.folders import catalogue, faults_of

NEEDFUL: dict[type[RowModel], dict[str, str]] = {
    DeviceRow: {"id": "a", "role": "host"},
    CableRow: {"id": "a", "kind": "word"},
    FormatRow: {"id": "a", "cable": "net"},
    ExtraRow: {"id": "a", "per": "rig"},
    OfferRow: {"item": "a", "seller": "b"},
    SellerRow: {"seller": "b"},
    SourceRow: {"name": "a"},
}


def whole(least: int, most: int) -> str:
    return f"must be a whole number from {least} to {most}"


def read(model: type[RowModel], **cells: str) -> tuple[RowModel | None, list[str]]:
    faults = Gathered("t")
    row = parse_row(model, 2, {**NEEDFUL[model], **cells}, "GBP", faults)
    return row, [str(fault) for fault in faults.faults]


LENGTH = "must be a length above 0 and up to 1000 metres"


@pytest.mark.parametrize(
    ("model", "column", "fine", "bad", "limits"),
    [
        (DeviceRow, "mic", "1000", "1001", whole(0, 1000)),
        (DeviceRow, "line_in", "1", "0", whole(1, 1000)),
        (DeviceRow, "optical_in", "100", "101", whole(0, 100)),
        (DeviceRow, "optical_1x", "1000/0", "1001", whole(0, 1000)),
        (DeviceRow, "rack_units", "100 U", "101", whole(0, 100)),
        (DeviceRow, "max_in_1x", "1000000", "1000001", whole(0, 1_000_000)),
        (
            *(DeviceRow, "watts", "100000 W", "100000.5"),
            "must be a number from 0 to 100000 with up to 6 decimals",
        ),
        (CableRow, "length_m", "0.001", "0", LENGTH),
        (CableRow, "length_m", "1000 m", "1000.001", LENGTH),
        (CableRow, "pack", "1", "0", whole(1, 1_000_000)),
        (CableRow, "pack", "1000000", "1000001", whole(1, 1_000_000)),
        (CableRow, "ways", "1", "0", whole(1, 1000)),
        (FormatRow, "channels_4x", "1000", "1001", whole(0, 1000)),
        (FormatRow, "max_m", "0.001", "0", LENGTH),
        (ExtraRow, "each", "1", "0", whole(1, 1_000_000)),
        (OfferRow, "stock", "0", "1000001", whole(0, 1_000_000)),
        (
            *(SellerRow, "tax_percent", "100 %", "100.1"),
            "must be a number from 0 to 100 with up to 6 decimals",
        ),
    ],
)
def test_the_ends_of_a_column(
    model: type[RowModel], column: str, fine: str, bad: str, limits: str
) -> None:
    assert read(model, **{column: fine})[0] is not None
    assert read(model, **{column: bad}) == (
        None,
        [f"t, row 2, {column}: {limits} (found '{bad}')"],
    )


def test_what_a_row_leaves_open() -> None:
    """By hand: a pack of one, one each, no stock that ends, no fee and no tax."""
    row, _ = read(OfferRow)
    assert row is not None
    assert dict(row) == {
        **{"item": "a", "seller": "b", "price": None, "pack": 1},
        **{"stock": None, "condition": "", "as_of": None},
    }
    assert Cable("a", "A", "word", 1) == Cable("a", "A", "word", 1, None, 1, None, 1, None)
    assert Extra("a", "A", "rig") == Extra("a", "A", "rig", None, 1, 1, None)
    assert Offer("a", "b", 5) == Offer("a", "b", 5, 1, None, "", None)
    assert Seller("a", "GBP") == Seller("a", "GBP", 0, None, Decimal(0))


BOX = Device(
    *("d", "D", "either"),
    mic_line_inst=1,
    mic_line=2,
    mic=3,
    line_inst=4,
    line=5,
    inst=6,
    max_in_1x=30,
    max_in_4x=0,
)


def changed(**values: object) -> Device:
    return replace(BOX, **values)  # type: ignore[arg-type]


def test_channels_by_what_they_take() -> None:
    assert (BOX.analogue, BOX.mic_capable) == (21, 6)
    assert BOX.taking("mic") == (1, 2, 3, 4, 5, 6)
    assert BOX.taking("line") == (1, 2, 3, *range(7, 16))
    assert BOX.taking("instrument") == (1, *range(7, 11), *range(16, 22))
    assert (BOX.direct_channels, changed(direct_out=2).direct_channels) == ((), (1, 2))
    order = ("inst", "mic", *(c for c in CHANNEL_COLUMNS if c not in ("inst", "mic")))
    turned = changed(channel_order=order, direct_out=4)
    assert turned.direct_channels == (7, 8, 9, 10)
    assert turned.channel_kinds[:10] == (*["inst"] * 6, *["mic"] * 3, "mic_line_inst")


@pytest.mark.parametrize(
    ("sizes", "banks"),
    [
        (0, ()),
        (4, ((1, 2, 3, 4), (5, 6))),
        (3, ((1, 2, 3), (4, 5, 6))),
        (1, ((1,), (2,), (3,), (4,), (5,), (6,))),
        (8, ((1, 2, 3, 4, 5, 6),)),
        ((2, 3), ((1, 2), (3, 4, 5))),
    ],
)
def test_banks_of_48_v(
    sizes: int | tuple[int, ...], banks: tuple[tuple[int, ...], ...]
) -> None:
    assert changed(phantom_bank=sizes).bank_channels == banks


def test_what_a_box_may_be() -> None:
    roles = ("host", "expander", "either", "clock", "preamp", "di", "headphones")
    boxes = [changed(role=role, direct_out=1) for role in roles]
    assert [box.role for box in boxes if box.may_host] == ["host", "either"]
    assert [box.role for box in boxes if box.digital] == [*roles[:4]]
    assert [box.role for box in boxes if box.may_expand] == ["expander", "either", "clock"]
    assert [box.role for box in boxes if box.has_direct_outs] == [
        "expander",
        "either",
        "preamp",
    ]
    assert not any(changed(role=role).has_direct_outs for role in roles)
    assert [box.role for box in boxes if not box.may_stand(96000)] == ["host", "clock"]
    assert all(box.may_stand(48000) for box in boxes)
    plain = [changed(role=role) for role in roles]
    assert [box.role for box in plain if not box.may_stand(96000)] == [*roles[:4]]
    assert [BOX.max_in(rate) for rate in (44100, 96000, 192000)] == [30, None, 0]


def test_a_blank_cell_filled_in() -> None:
    """Sockets that work at 2x follow from those at 1x, unless the row says them."""
    box = Device("a", "A", "host", optical_in=2, optical_out=1, rates_hz=(48000, 96000))
    assert refilled(box, "optical_1x", 0).optical_2x == 0
    assert refilled(box, "optical_1x", InOut(1, 0)).optical_2x == InOut(2, 0)
    assert refilled(box, "optical_in", 5).optical_2x == 5
    said = Device(
        *("a", "A", "host"),
        optical_in=2,
        optical_2x=1,
        rates_hz=(48000, 96000),
        filled=frozenset({"optical_2x"}),
    )
    assert refilled(said, "optical_1x", 0).optical_2x == 1
    slow = Device("a", "A", "host", optical_in=2)
    assert refilled(slow, "word_in", 1) == Device("a", "A", "host", optical_in=2, word_in=1)


def test_ends_and_ways_are_of_analogue_cables(tmp_path: Path) -> None:
    head = "id,kind,length_m,ends,ways\n"
    rows = "a,word,1,jack-jack,\nb,optical,1,,4\nc,analogue,1,,4\nd,analogue,,xlr-xlr,\n"
    assert faults_of(tmp_path, {"cables.csv": head + rows}) == [
        "cables.csv, row 2, ends: is for analogue cables alone",
        "cables.csv, row 3, ways: is for analogue cables alone",
        "cables.csv, row 4, ends: must not be blank for an analogue cable, such as jack-jack",
        "cables.csv, row 5, length_m: must not be blank",
    ]


def test_groups_that_share_something_may_name_any_socket_there_is(tmp_path: Path) -> None:
    cells = "coax in 1/coax out 2;word in 1/optical out 1"
    text = f"id,role,price,coax_in,coax_out,word_in,either\nbox,host,1,1,1,1,{cells}\n"
    assert faults_of(tmp_path, {"devices.csv": text}) == [
        "devices.csv, row 2, either: there is no such socket: coax_out is 1 (found 'coax out "
        "2')",
        "devices.csv, row 2, either: there is no such socket: optical_out is 0 (found 'optical "
        "out 1')",
    ]


def test_as_many_sources_as_a_list_may_have(tmp_path: Path) -> None:
    text = "name\n" + "".join(f"Voice {n}\n" for n in range(1000))
    assert len(catalogue(tmp_path, {"sources.csv": text}).sources) == 1000


def test_what_is_installed_comes_before_what_stands_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "rigopt"
    monkeypatch.setattr(shipped, "_PACKAGE", package)
    for folder in ("scenarios", "rigopt/shipped/scenarios", "catalog_templates/b", "x"):
        (tmp_path / folder).mkdir(parents=True)
    for name in ("b", "a"):
        (tmp_path / "catalog_templates" / name).mkdir(exist_ok=True)
        (tmp_path / "catalog_templates" / name / "catalog.toml").touch()
    assert shipped.demo_catalogue() == package / "shipped/scenarios/chapel-choir/catalogue"
    assert shipped.template_names() == ("a", "b")
    assert shipped.template("b") == tmp_path / "catalog_templates" / "b"
    with pytest.raises(KeyError):
        shipped.template("c")
