from __future__ import annotations

import importlib
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.catalogue.types import Extra
from rigopt.needs.types import Needs
from rigopt.output.words.findings import says
from rigopt.rig.audit import audit
from rigopt.rig.audit.figures import check_counts, check_figures
from rigopt.rig.counts import ItemCounts, item_counts
from rigopt.rig.figures import KindFigures, delay_ms, figures, recording_gb_hour
from rigopt.rig.types import Purchase, Sale
from tests.rig import line_worlds
from tests.rig.rig_builders import World, build, locked, with_input, with_needs, with_rig


def facts(world: World) -> Any:
    return figures(world.rig)


def counts(world: World) -> Any:
    """Pieces of each item in use or bought: in use, of those owned, bought, left over."""
    return {
        one.item: (one.used, one.from_owned, one.bought, one.left_over)
        for one in item_counts(world.rig, world.catalogue, world.needs)
        if one.used or one.bought
    }


def test_recording_size_of_32_channels_at_96_khz() -> None:
    # 9.216 MB/s = 33.18 GB an hour (arithmetic on 24 bit).
    assert recording_gb_hour(32, 96000) == Decimal("33.1776")
    assert recording_gb_hour(0, 96000) == 0


@pytest.mark.parametrize(
    ("samples", "rate_hz", "ms"),
    # 64 samples at 48 kHz = 1.33 ms (arithmetic); 2.9025 ms goes down, 0.665 up.
    [(64, 48000, "1.33"), (128, 44100, "2.90"), (133, 200000, "0.67"), (32, 192000, "0.17")],
)
def test_delay(samples: Any, rate_hz: int, ms: Any) -> None:
    assert delay_ms(samples, rate_hz) == Decimal(ms)


def test_the_band(band: World) -> None:
    found = facts(band)
    assert (found.inputs, found.used, found.spare) == (16, 16, 0)
    assert found.kinds == (
        KindFigures("mic", 14, 0),
        KindFigures("line", 1, 0),
        KindFigures("instrument", 1, 0),
    )
    assert (found.line_fed, found.phones, found.units, found.mains) == (4, 2, 2, 2)
    # 1 U = 44.45 mm: EIA-310, IEC 60297-3-100.
    assert (found.rack_units, found.rack_mm) == (2, Decimal("88.90"))
    assert found.watts == Decimal("35.5")
    # 8 channels of 48 V x 10 mA: 3.84 W (IEC 61938).
    assert (found.phantom_channels, found.phantom_ma) == (8, 80)
    assert found.phantom_watts == Decimal("3.84")
    assert [str(delay.ms) for delay in found.delays] == ["0.67", "1.33", "2.67", "5.33"]
    assert (found.clock_hops, found.links) == (1, 1)
    assert counts(band)["opt-1m"] == (1, 0, 1, 0)
    # 300.00 + 200.00 + 6.00 over 16: 31.625 goes up.
    assert (band.rig.total, found.price_per_mic) == (50600, 3163)


def test_spare_inputs_count_for_every_kind_they_accept(band: World) -> None:
    world = with_input(with_input(band, 1, use=None), 18, use=None)
    found = facts(world)
    assert (found.used, found.spare) == (14, 2)
    assert [kind.spare for kind in found.kinds] == [2, 2, 1]
    assert found.recording_gb_hour_used < found.recording_gb_hour_all


def test_outputs_of_the_expander_count_as_far_as_fed(returned: World) -> None:
    assert facts(returned).line_fed == 12


def test_no_microphone_input_no_price_of_one(band: World) -> None:
    inputs = tuple(replace(item, accepts=("line",), use=None) for item in band.rig.inputs)
    assert facts(with_rig(band, inputs=inputs)).price_per_mic is None
    lines = replace(band.rig.units[0].device, mic_line_inst=0, mic_line=0, line=2)
    world = build([replace(band.rig.units[0], device=lines)], [], {}, 0, Needs())
    assert facts(world).price_per_mic is None
    assert list(check_figures(world.rig, facts(world))) == []


def test_short_last_bank(band: World) -> None:
    host = band.rig.units[0]
    for banks, count in (((), 0), ((1,), 5), ((2,), 3), ((1, 2), 8), ((2, 2), 3)):
        device = replace(host.device, phantom_bank=5)
        unit = replace(host, device=device, phantom_banks_on=banks)
        assert facts(with_rig(band, units=(unit,))).phantom_channels == count


def test_spare_pieces_are_what_is_left_of_packs(clocked: World) -> None:
    assert clocked.rig.purchases[-1].quantity == 1
    one_owned = with_needs(clocked, owned={"bnc-1m": 1, "never-used": 4})
    assert counts(one_owned)["bnc-1m"] == (2, 1, 2, 1)
    assert counts(one_owned)["opt-1m"] == (1, 0, 1, 0)


def test_owned_pieces_beyond_those_used_are_not_spare(clocked: World) -> None:
    lines = tuple(line for line in clocked.rig.purchases if line.item != "bnc-1m")
    world = with_needs(with_rig(clocked, purchases=lines), owned={"bnc-1m": 9})
    assert counts(world)["bnc-1m"] == (2, 2, 0, 0)


def test_unnamed_cables_are_not_counted(band: World) -> None:
    links = (replace(band.rig.links[0], cable=None),)
    world = with_rig(band, links=links, purchases=())
    assert "opt-1m" not in counts(world)
    assert facts(world).links == 1


def test_several_lines_of_one_cable_add_up(band: World) -> None:
    lines = (*band.rig.purchases, Purchase("opt-1m", "again", "cable", 1, 600, 4))
    assert counts(with_rig(band, purchases=lines))["opt-1m"] == (1, 0, 5, 4)


# --- the second computation ------------------------------------------------------------


@pytest.mark.parametrize("name", ["band", "returned", "clocked", "listed", "coaxial"])
def test_the_second_computation_agrees(name: str, request: pytest.FixtureRequest) -> None:
    world = request.getfixturevalue(name)
    assert list(check_figures(world.rig, facts(world))) == []
    for owned in ({}, {"opt-1m": 1, "bnc-1m": 1}, {"opt-1m": 9, "pre-8": 1}):
        one = with_needs(world, owned=owned)
        asked = (one.rig, one.catalogue, one.needs)
        assert list(check_counts(*asked, item_counts(*asked))) == []


def test_the_second_count_agrees_on_what_is_idle_sold_or_not_bought(band: World) -> None:
    """Stands that no need calls for, a cable for nothing, three that are sold, no purchase."""
    rig = band.rig
    stand = Extra("stand", "stand", "mic", 900)
    shop = replace(band.catalogue, extras={"stand": stand})
    spare = Purchase("coax-1m", "", "cable", 1, 500)
    sales = (Sale("opt-1m", "", "cable", 3, 100),)
    for one, needs in (
        (rig, band.needs),
        (rig, Needs()),
        (replace(rig, purchases=(*rig.purchases, spare)), band.needs),
        (replace(rig, to_sell=sales), replace(band.needs, owned={"opt-1m": 9})),
        (replace(rig, purchases=()), band.needs),
    ):
        assert list(check_counts(one, shop, needs, item_counts(one, shop, needs))) == []
    counted = {one.item: one for one in item_counts(rig, shop, band.needs)}
    assert (counted["stand"].missing, counted["stand"].used) == (14, 14)
    assert "stand" not in {one.item for one in item_counts(rig, shop, Needs())}


def test_an_instrument_in_a_box_counts_as_a_microphone() -> None:
    """Five microphones, and one instrument that comes through a box."""
    world = line_worlds.leads()
    cables = Extra("lead-m", "", "mic", 900, each=2)
    stands = Extra("stand", "stand", "source", 900)
    shop = replace(world.catalogue, extras={one.id: one for one in (cables, stands)})
    rig, needs = world.rig, world.needs
    counted = {one.item: one for one in item_counts(rig, shop, needs)}
    assert (counted["lead-m"].used, counted["stand"].used) == (2 * (5 + 1), 5 + 1 + 1)
    assert (counted["lead-m"].label, counted["host-4"].label) == ("lead-m", "host with lines")
    behind = replace(rig, inputs=(replace(rig.inputs[0], path=("host-1", "di-1")),))
    assert list(check_counts(behind, shop, needs, item_counts(behind, shop, needs))) == []
    outside = replace(rig, inputs=tuple(replace(one, path=one.path[-1:]) for one in rig.inputs))
    counted = {one.item: one for one in item_counts(outside, shop, needs)}
    assert counted["lead-m"].used == 2 * 5
    assert list(check_counts(rig, shop, needs, item_counts(rig, shop, needs))) == []


def test_what_is_not_said_to_be_sold_is_idle() -> None:
    assert ItemCounts("desk-8", "", "device", 1, 3, 0).unused == 2
    assert ItemCounts("desk-8", "", "device", 1, 3, 0, 1).unused == 1


def wrong_figures(found: Any) -> Any:
    for name in found._fields:
        value = getattr(found, name)
        if isinstance(value, int | Decimal):
            yield name, found._replace(**{name: value + 1})
    first = found.kinds[0]._replace(used=99, spare=99)
    yield "mic used", found._replace(kinds=(first, *found.kinds[1:]))
    yield "delay 32", found._replace(delays=(found.delays[0]._replace(ms=Decimal(9)),))
    yield "delay 64", found._replace(delays=found.delays[:1])
    yield "price_per_mic", found._replace(price_per_mic=None)


def test_the_second_computation_names_each_wrong_figure(band: World) -> None:
    cases = list(wrong_figures(facts(band)))
    assert len(cases) > 20
    for name, wrong in cases:
        findings = list(check_figures(band.rig, wrong))
        assert name in [found.fact("name") for found in findings]
        assert {found.rule for found in findings} == {"figure"}
    (wrong,) = check_figures(band.rig, facts(band)._replace(watts=Decimal("1.5")))
    assert says(wrong) == "the figure 'watts' is 1.5; it comes to 35.5"
    (wrong,) = check_figures(band.rig, facts(band)._replace(inputs=15))
    assert says(wrong) == "the figure 'inputs' is 15; it comes to 16"


def test_hops_of_a_chain_are_counted_again(clocked: World) -> None:
    host = locked("host-1", clocked.rig.units[0].device, "host", "word", 1, "expander-1")
    units = (host, *clocked.rig.units[1:])
    world = with_rig(clocked, units=units)
    findings = list(check_figures(world.rig, facts(world)))
    assert [found.fact("name") for found in findings] == ["clock_hops"]


def test_the_second_count_names_each_wrong_number(clocked: World) -> None:
    asked = (clocked.rig, clocked.catalogue, clocked.needs)
    right = item_counts(*asked)
    assert len(right) > 3
    for place, one in enumerate(right):
        others = right[:place] + right[place + 1 :]
        missing = [found.fact("name") for found in check_counts(*asked, others)]
        assert f"{one.item} in use" in missing
        for field in ("used", "owned", "bought"):
            wrong = one._replace(**{field: getattr(one, field) + 1})
            findings = list(check_counts(*asked, (*others, wrong)))
            assert findings
            assert all(str(found.fact("name")).startswith(one.item) for found in findings)
    ghost = right[0]._replace(item="ghost")
    assert len(list(check_counts(*asked, (*right, ghost)))) == 6


@pytest.mark.parametrize("name", ["figures", "item_counts"])
def test_every_answer_has_its_figures_computed_again(
    band: World, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    module = importlib.import_module("rigopt.rig.audit")
    before = getattr(module, name)
    wrong = {
        "figures": lambda rig: before(rig)._replace(watts=Decimal("1.5")),
        "item_counts": lambda *asked: before(*asked)[1:],
    }
    assert audit(band.rig, band.catalogue, band.needs) == ()
    monkeypatch.setattr(module, name, wrong[name])
    found = audit(band.rig, band.catalogue, band.needs)
    assert {one.rule for one in found} == {"figure"}


def test_of_a_rig_with_a_fault_no_figure_is_computed_again(
    band: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    module = importlib.import_module("rigopt.rig.audit")
    monkeypatch.setattr(module, "figures", lambda _: pytest.fail("no figure follows"))
    found = audit(replace(band.rig, clock_hops=7), band.catalogue, band.needs)
    assert [one.rule for one in found] == ["clock-hops"]
