"""A price that nobody knows is in the way only where the thing could be bought."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue.types import Device
from rigopt.errors import Fault, InputError
from rigopt.needs.known import check_known
from rigopt.needs.types import Needs, Stage
from tests.reading.folders import SMALL

DIGITAL = Device("slow", "Slow", "host", rates_hz=(48000,))
BOX = Device("slow", "Slow", "di")
TOLD = {item: Fault("f", f"of {item}") for item in ("slow", "lead", "opt-1.5m")}


def told(device: Device, *asked: Needs) -> list[str]:
    shop = replace(SMALL, devices={"slow": device}, unknown=TOLD)
    first, *others = asked
    stages = tuple(Stage("", one) for one in others)
    with pytest.raises(InputError) as raised:
        check_known(shop, replace(first, stages=stages))
    return [fault.problem for fault in raised.value.faults]


def test_what_cannot_stand_at_the_rate_asks_for_no_price() -> None:
    rest = ["of lead", "of opt-1.5m"]
    assert told(DIGITAL, Needs()) == ["of slow", *rest]
    assert told(BOX, Needs(rate_hz=96000)) == ["of slow", *rest]
    assert told(DIGITAL, Needs(rate_hz=96000)) == rest
    assert told(DIGITAL, Needs(rate_hz=96000), Needs(rate_hz=192000)) == rest
    assert told(DIGITAL, Needs(rate_hz=96000), Needs()) == ["of slow", *rest]


def test_what_is_avoided_or_where_nothing_is_bought_needs_no_price() -> None:
    assert told(BOX, Needs(avoid=("slow",))) == ["of lead", "of opt-1.5m"]
    assert told(BOX, Needs(owned_only=True), Needs(avoid=("slow",))) == [
        "of lead",
        "of opt-1.5m",
    ]
    shop = replace(SMALL, devices={"slow": BOX}, unknown=TOLD)
    check_known(shop, Needs(owned_only=True))
    check_known(replace(shop, unknown={}), Needs())
