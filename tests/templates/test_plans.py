"""A plan can be made from every template once it has prices, and from the demo as it is."""

from dataclasses import replace

import pytest

from rigopt.answers.outcome import Answered
from rigopt.api.ask import ask_plan
from rigopt.catalogue import shipped
from rigopt.catalogue.read import check_for_sale, read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs
from rigopt.rig.types import Rig

DEMO = read_folder(shipped.demo_catalogue(), invented=True)
SCENARIO = shipped.demo_catalogue().parent


def priced(catalogue: Catalogue) -> Catalogue:
    """`catalogue` with invented prices: 100, 101 … for devices, 5, 6 … for cables."""
    devices, cables = catalogue.devices.values(), catalogue.cables.values()
    return replace(
        catalogue,
        devices={d.id: replace(d, price=10000 + 100 * i) for i, d in enumerate(devices)},
        cables={c.id: replace(c, price=500 + 100 * i) for i, c in enumerate(cables)},
    )


def rig(catalogue: Catalogue, needs: Needs) -> Rig:
    outcome = ask_plan(catalogue, needs).outcome
    assert isinstance(outcome, Answered)
    assert outcome.proven
    return outcome.rig


def devices(rig: Rig) -> list[str]:
    return sorted(unit.device.id for unit in rig.units)


@pytest.mark.parametrize("name", shipped.template_names())
@pytest.mark.parametrize("mics", [8, 16])
def test_a_template_with_prices_answers(name: str, mics: int) -> None:
    catalogue = priced(read_folder(shipped.template(name)))
    found = rig(catalogue, Needs(mic=mics))
    assert sum(item.use == "mic" for item in found.inputs) == mics


@pytest.mark.parametrize("name", shipped.template_names())
def test_a_template_without_prices_says_what_to_fill_in(name: str) -> None:
    with pytest.raises(InputError, match=r"fill in the price column of .*devices\.csv"):
        check_for_sale(shipped.template(name), read_folder(shipped.template(name)), {})


@pytest.mark.parametrize("file", sorted(p.name for p in SCENARIO.glob("*.toml")))
def test_a_question_of_the_demo_is_answered(file: str) -> None:
    needs = read_needs(SCENARIO / file, DEMO, {})
    found = rig(DEMO, needs)
    assert sum(item.use == "mic" for item in found.inputs) == needs.mic
    assert len(needs.title) > 10


# The sums below are by hand, from the demo's prices.


def test_16_microphones_take_a_preamp_or_else_one_light_pipe() -> None:
    found = rig(DEMO, Needs(mic=16))
    assert found.total == 26500 + 14900 + 2200
    assert devices(found) == ["amp-8", "desk-8-line"]
    found = rig(DEMO, Needs(mic=16, avoid=("desk-8-line",)))
    assert found.total == 29500 + 14900 + 600
    assert devices(found) == ["old-8-cut", "pre-8-out"]


def test_at_192_kilohertz_the_preamp_is_the_only_way_with_one_host() -> None:
    found = rig(DEMO, Needs(mic=16, rate_hz=192000))
    assert found.total == 26500 + 14900 + 2200
    assert {link.kind for link in found.links} == {"analogue"}


def test_instruments_in_di_boxes_cost_less_than_inputs_of_their_own() -> None:
    found = rig(DEMO, Needs(mic=10, instrument=6))
    # Two of the interface's inputs take an instrument: four are left for boxes.
    assert found.total == 26500 + 14900 + 2200 + 4 * 1500
    assert [unit.device.id for unit in found.units if unit.role == "di"] == ["di-1"] * 4
    boxes = ("di-1", "di-1-active", "di-4")
    without = rig(DEMO, Needs(mic=10, instrument=6, avoid=boxes))
    assert without.total > found.total
    assert all(item.path[0] == item.unit for item in without.inputs)


def test_an_amplifier_brings_headphone_outputs() -> None:
    found = rig(DEMO, Needs(mic=8, out_phones=6))
    assert found.total == 24900 + 2900
    assert devices(found) == ["desk-8-plain", "phones-4"]


def test_the_cheapest_host_is_not_in_the_cheapest_rig_for_24() -> None:
    found = rig(DEMO, Needs(mic=24))
    assert found.total == 45900 + 14900 + 17900 + 950 + 600
    assert devices(found) == ["desk-8-x2", "pre-8-1x", "pre-8-out"]
    cheaper = [d for d in DEMO.devices.values() if d.may_host and (d.price or 0) < 45900]
    # hub-4 alone of these has the sockets for 24, with three expanders instead of two.
    assert "hub-4" in [d.id for d in cheaper]
    with_hub = rig(DEMO, Needs(mic=24, require=("hub-4",)))
    assert with_hub.total == 34900 + 14900 + 2 * 17900 + 1700 + 600


def test_the_interface_as_master_costs_a_cable_more() -> None:
    free, bound = (
        rig(DEMO, Needs(mic=16, avoid=("pre-8-out", "desk-8-line"), master=master))
        for master in ("any", "host")
    )
    assert devices(free) == devices(bound) == ["old-8-cut", "pre-8-1x"]
    assert (len(free.links), len(bound.links)) == (1, 2)
    assert bound.total - free.total == 950 - 600


def test_a_second_host_is_cheaper_for_32() -> None:
    one, two = (rig(DEMO, Needs(mic=32, max_hosts=hosts)) for hosts in (1, 2))
    assert one.total == 34900 + 14900 + 3 * 17900 + 1700 + 950 + 600
    assert two.total == 2 * 29500 + 14900 + 17900 + 950 + 600


def test_twice_the_rate_is_dearer_by_light_pipe() -> None:
    digital = Needs(mic=16, avoid=("desk-8-line", "desk-8-dsub"))
    slow, fast = (rig(DEMO, replace(digital, rate_hz=rate)) for rate in (48000, 96000))
    # Its second light-pipe pair is there at 2x alone, where each carries half.
    assert fast.total == 36900 + 2 * 15900 + 950 + 600
    assert devices(fast) == ["desk-8-split", "pre-4", "pre-4"]
    assert fast.total > slow.total


def test_a_stage_box_takes_one_cable() -> None:
    found = rig(DEMO, Needs(mic=32, require=("stage-16", "mixer-16-stage")))
    (link,) = found.links
    assert (link.kind, link.format.id, link.channels, link.back) == ("trunk", "aes50", 16, 8)
    assert found.total == 98900 + 64900 + 600


def test_converters_take_in_boxes_on_clocks_of_their_own() -> None:
    found = rig(DEMO, Needs(mic=16, require=("hub-2-src", "pre-8-out"), avoid=("pre-8-1x",)))
    assert devices(found) == ["hub-2-src", "pre-8-out", "pre-8-out"]
    assert len(found.links) == 2
    assert found.total == 28900 + 2 * 14900 + 950
    assert len(found.masters) > 1
