"""A catalogue as a whole: head, prices, extras, sellers and offers."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from rigopt import money
from rigopt.catalogue.columns import COLUMNS, Column
from rigopt.catalogue.currencies import CODES
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.catalogue.types import Catalogue, Device, Extra, Offer, Seller
from rigopt.errors import Fault, InputError
from tests.reading.folders import (
    SMALL,
    Files,
    catalogue,
    faults,
    faults_of,
    read_catalogue,
    write,
)

OFFERS = "item,seller,price\nbox,near,90\n"


def test_the_sound_folder(tmp_path: Path) -> None:
    found = catalogue(tmp_path, {})
    assert found == Catalogue(
        name=tmp_path.name,
        title="Test",
        currency="GBP",
        devices={"box": Device("box", "box", "host", 10000)},
        cables=found.cables,
    )
    assert list(found.cables) == ["opt"]
    assert read_catalogue(tmp_path, invented=True).invented


def test_the_head(tmp_path: Path) -> None:
    head = 'currency = "JPY"\nnote = "a  note"\n'
    found = catalogue(tmp_path, {"catalog.toml": head})
    assert (found.title, found.note) == (tmp_path.name, "a note")
    assert found.devices["box"].price == 100


@pytest.mark.parametrize(
    ("head", "fault"),
    [
        ("", "catalog.toml, currency: this is missing; give an ISO 4217 code"),
        (
            'currency = "gbp"',
            "catalog.toml, currency: must be an ISO 4217 code of three "
            "capital letters (found 'gbp'); did you mean 'GBP'?",
        ),
        (
            'currency = "£"',
            "catalog.toml, currency: must be an ISO 4217 code of three "
            "capital letters (found '£')",
        ),
        (
            'currency = "XXX"',
            "catalog.toml, currency: is not a currency of ISO 4217 that "
            "things are sold in (found 'XXX')",
        ),
        (
            "currency = 5",
            "catalog.toml, currency: must be an ISO 4217 code of three capital "
            "letters (found '5')",
        ),
        (
            'currency = "GBP"\nnotes = "x"',
            "catalog.toml, notes: there is no such key (found 'notes'); did you mean 'note'?",
        ),
        (
            'currency = "GBP"\ntitle = ["x"]',
            "catalog.toml, title: must be a text or a number (found 'a list')",
        ),
        (
            "currency = ",
            "catalog.toml, row 1: is not valid TOML: there is no value behind the =",
        ),
    ],
)
def test_a_head_that_is_refused(tmp_path: Path, head: str, fault: str) -> None:
    found = faults_of(tmp_path, {"catalog.toml": head})
    assert [line.startswith(fault) for line in found] == [True]


def test_the_list_of_currencies_fits_the_rules_of_money() -> None:
    assert all(re.fullmatch("[A-Z]{3}", code) for code in CODES)
    assert len(set(CODES)) == len(CODES)
    assert set(CODES) >= money.NO_DECIMALS | money.THREE_DECIMALS
    # Funds and test codes are left out: ISO 4217, from memory.
    assert not {"XXX", "XTS", "XAU", "CLF", "UYI", "UYW"} & set(CODES)


def test_a_catalogue_without_a_price_says_which_column_to_fill(tmp_path: Path) -> None:
    assert faults_of(tmp_path, {"devices.csv": "id,role,price\nbox,host,\n"}) == [
        "devices.csv, price: no device in devices.csv has a price; fill in the price column "
        "of devices.csv"
    ]
    assert read_folder(tmp_path).devices["box"].price is None


def test_one_price_is_enough_and_may_be_an_offer(tmp_path: Path) -> None:
    files: Files = {"devices.csv": "id,role\nbox,host\nbax,host\n", "offers.csv": OFFERS}
    assert catalogue(tmp_path, files).devices["box"].price is None


def test_offers_for_cables_alone_are_not_enough(tmp_path: Path) -> None:
    files: Files = {
        "devices.csv": "id,role\nbox,host\n",
        "offers.csv": OFFERS.replace("box", "opt"),
    }
    assert len(faults_of(tmp_path, files)) == 1


def test_extras(tmp_path: Path) -> None:
    text = "id,label,price,pack,per,each\na,Lead,4.50,2,Mic,3\nb,,,,rack_unit,\n"
    assert catalogue(tmp_path, {"extras.csv": text}).extras == {
        "a": Extra("a", "Lead", "mic", 450, 2, 3),
        "b": Extra("b", "b", "rack_unit"),
    }


def test_extras_that_are_refused(tmp_path: Path) -> None:
    text = "id,per,each\na,mics,1\nbox,rig,0\n"
    assert faults_of(tmp_path, {"extras.csv": text}) == [
        "extras.csv, row 2, per: must be mic, source, unit, rack_unit, mains or rig "
        "(found 'mics'); did you mean 'mic'?",
        "extras.csv, row 3, id: is taken already, by row 2 of devices.csv (found 'box')",
        "extras.csv, row 3, each: must be a whole number from 1 to 1000000 (found '0')",
    ]


def test_sellers_and_their_offers(tmp_path: Path) -> None:
    found = catalogue(
        tmp_path,
        {
            "sellers.csv": "seller,currency,delivery,free_over,tax_percent\n"
            "near,,4.99,50,20%\nThe far one,JPY,¥ 500,,\n",
            "offers.csv": "item,seller,price,pack,stock,condition,as_of\n"
            "box,near,90.50,,1,used,2025-03-31\nopt,The far one,700,2,,,\nbox,near,,,,,\n",
        },
    )
    assert found.sellers == {
        "near": Seller("near", "GBP", 499, 5000, Decimal(20)),
        "The far one": Seller("The far one", "JPY", 500),
    }
    assert found.offers == (
        Offer("box", "near", 9050, 1, 1, "used", datetime.date(2025, 3, 31)),
        Offer("opt", "The far one", 700, 2),
    )


def test_without_a_list_of_sellers_each_is_without_fees(tmp_path: Path) -> None:
    found = catalogue(tmp_path, {"offers.csv": OFFERS})
    assert found.sellers == {"near": Seller("near", "GBP")}
    assert found.offers == (Offer("box", "near", 9000),)


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (
            "bax,near,1,",
            "item: there is no such device, cable or extra (found 'bax'); did you mean 'box'?",
        ),
        (
            "box,naer,1,",
            "seller: there is no such seller in sellers.csv (found 'naer'); did "
            "you mean 'near'?",
        ),
        (
            "box,naer,1.2345,",
            "seller: there is no such seller in sellers.csv (found 'naer'); did "
            "you mean 'near'?",
        ),
        ("box,,1,", "seller: must not be blank"),
        ("box,near,1.5,", "price: has more decimals than JPY, which has 0 (found '1.5')"),
        (
            "box,near,1,3/4/2025",
            "as_of: could be 2025-03-04 or 2025-04-03; write it as one of these "
            "(found '3/4/2025')",
        ),
        (
            "box,near,1,2025-02-30",
            "as_of: must be a date such as 2025-03-31 (found '2025-02-30')",
        ),
    ],
)
def test_offers_that_are_refused(tmp_path: Path, row: str, fault: str) -> None:
    files: Files = {
        "offers.csv": f"item,seller,price,as_of\n{row}\n",
        "sellers.csv": "seller,currency\nnear,JPY\n",
        "extras.csv": "id,per\nlead,mic\n",
    }
    assert faults_of(tmp_path, files) == [f"offers.csv, row 2, {fault}"]


def test_sellers_that_are_refused(tmp_path: Path) -> None:
    text = "seller,currency,delivery,tax_percent\na,GPB,1.2345,\na,JPY,1.5,101\n"
    assert faults_of(tmp_path, {"sellers.csv": text}) == [
        "sellers.csv, row 2, currency: is not a currency of ISO 4217 that things are sold in "
        "(found 'GPB'); did you mean 'GBP'?",
        "sellers.csv, row 3, seller: is taken already, by row 2 of sellers.csv (found 'a')",
        "sellers.csv, row 3, delivery: has more decimals than JPY, which has 0 (found '1.5')",
        "sellers.csv, row 3, tax_percent: must be a number from 0 to 100 with up to 6 decimals "
        "(found '101')",
    ]


def test_a_fault_of_the_currency_causes_no_others(tmp_path: Path) -> None:
    write(tmp_path, {"offers.csv": OFFERS.replace("90", "90.1234"), "catalog.toml": ""})
    assert len(faults(tmp_path)) == 1
    (tmp_path / "sellers.csv").write_text("seller\nnear\n")
    assert len(faults(tmp_path)) == 1


def test_a_faulty_row_still_lends_its_name_to_offers(tmp_path: Path) -> None:
    files: Files = {
        "devices.csv": "id,role,price\nbox,hst,1\n",
        "sellers.csv": "seller,delivery\nnear,x\n",
        "offers.csv": OFFERS,
    }
    assert [line.partition(":")[0] for line in faults_of(tmp_path, files)] == [
        "devices.csv, row 2, role",
        "sellers.csv, row 2, delivery",
    ]


def test_the_text_of_an_error_is_one_line_a_fault(tmp_path: Path) -> None:
    write(tmp_path, {"devices.csv": "id,role\nbox,hst\nbax,hst\n"})
    with pytest.raises(InputError) as raised:
        read_catalogue(tmp_path)
    assert len(str(raised.value).splitlines()) == 2


def test_a_column_says_its_words_where_the_meaning_does_not() -> None:
    words = ("on", "offer")
    assert Column("a", "is on or offer", choices=words).told == "is on or offer"
    assert Column("a", "is on", choices=words).told == "is on: on, offer"
    assert Column("a", "is one", choices=words, others=True).told == "is one"
    assert Column("a", "is one").told == "is one"
    others = [(t, c.name) for t, columns in COLUMNS.items() for c in columns if c.others]
    assert others == [("cables", "kind"), ("offers", "condition")]


BLANK = replace(SMALL, devices={k: replace(d, price=None) for k, d in SMALL.devices.items()})
NEARBY = Offer("pre-8", "near", 5)


@pytest.mark.parametrize(
    ("shop", "owned"),
    [
        (SMALL, {}),
        (BLANK, {"pre-8": 1}),
        (replace(BLANK, offers=(NEARBY,)), {}),
        (replace(BLANK, unknown={"pre-8": Fault("f", "p")}), {}),
    ],
)
def test_one_device_that_can_be_had_is_enough(shop: Catalogue, owned: dict[str, int]) -> None:
    check_for_sale(Path("shop"), shop, owned)


def test_where_no_device_can_be_had_the_place_for_prices_is_named() -> None:
    for folder, what, place in (
        ("shop", "devices.csv", "shop/devices.csv"),
        ("shop.ODS", "sheet devices", "shop.ODS, sheet devices"),
    ):
        with pytest.raises(InputError) as raised:
            check_for_sale(
                Path(folder), replace(BLANK, unknown={"lead": Fault("f", "p")}), {"pre-8": 0}
            )
        assert str(raised.value) == (
            f"{place}, price: no device in {what} has a price; fill in the price column of "
            f"{place}"
        )


def test_a_price_that_nobody_knows_is_noted_with_its_place(tmp_path: Path) -> None:
    files = {
        "devices.csv": "id,role,price\nbox,host,?\nbax,host,5-6\nbix,host,\n",
        "cables.csv": "id,kind,length_m,price\nopt,optical,1,?\n",
        "extras.csv": "id,per,price\nlead,mic,?\npad,mic,1-2\n",
    }
    found = read_folder(write(tmp_path, files))
    assert [(item, Path(f.file).name, f.row) for item, f in found.unknown.items()] == [
        *(("box", "devices.csv", 2), ("opt", "cables.csv", 2), ("lead", "extras.csv", 2)),
    ]
    assert found.unknown["box"].column == "price"
    assert (found.devices["bax"].price, found.devices["bax"].least) == (600, 500)
    assert (found.extras["pad"].price, found.extras["pad"].least) == (200, 100)
    assert (found.cables["opt"].price, found.cables["opt"].least) == (None, None)
    assert not found.invented


def test_a_folder_without_a_device_is_for_adding_one(tmp_path: Path) -> None:
    write(tmp_path, {"devices.csv": "id,role,price\n"})
    assert read_folder(tmp_path, empty=True).devices == {}
    with pytest.raises(InputError, match="there is no device in it; each takes a row"):
        read_folder(tmp_path)
