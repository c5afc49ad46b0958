from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from rig_builders import build, locked, with_input, with_needs, with_rig

from rigopt.needs.types import Needs
from rigopt.rig.audit.figures import check_figures
from rigopt.rig.figures import CableFigures, KindFigures, delay_ms, figures, recording_gb_hour
from rigopt.rig.types import Purchase


def facts(world):
    return figures(world.rig, world.needs)


def test_recording_size_of_32_channels_at_96_khz():
    # 9.216 MB/s = 33.18 GB an hour (arithmetic on 24 bit).
    assert recording_gb_hour(32, 96000) == Decimal("33.1776")
    assert recording_gb_hour(0, 96000) == 0


@pytest.mark.parametrize(
    ("samples", "rate_hz", "ms"),
    # 64 samples at 48 kHz = 1.33 ms (arithmetic); 2.9025 ms goes down, 0.665 up.
    [(64, 48000, "1.33"), (128, 44100, "2.90"), (133, 200000, "0.67"), (32, 192000, "0.17")],
)
def test_delay(samples, rate_hz, ms):
    assert delay_ms(samples, rate_hz) == Decimal(ms)


def test_the_band(band):
    found = facts(band)
    assert (found.inputs, found.used, found.spare) == (16, 16, 0)
    assert found.kinds == (
        KindFigures("mic", 14, 0), KindFigures("line", 1, 0), KindFigures("instrument", 1, 0),
    )  # fmt: skip
    assert (found.line_fed, found.phones, found.units, found.mains) == (4, 2, 2, 2)
    # 1 U = 44.45 mm: EIA-310, IEC 60297-3-100.
    assert (found.rack_units, found.rack_mm) == (2, Decimal("88.90"))
    assert found.watts == Decimal("35.5")
    # 8 channels of 48 V x 10 mA: 3.84 W (IEC 61938).
    assert (found.phantom_channels, found.phantom_ma) == (8, 80)
    assert found.phantom_watts == Decimal("3.84")
    assert [str(delay.ms) for delay in found.delays] == ["0.67", "1.33", "2.67", "5.33"]
    assert (found.clock_hops, found.links) == (1, 1)
    assert found.cables == (CableFigures("opt-1m", 1, 0, 1, 0),)
    # 300.00 + 200.00 + 6.00 over 16: 31.625 goes up.
    assert (band.rig.total, found.price_per_mic) == (50600, 3163)


def test_spare_inputs_count_for_every_kind_they_accept(band):
    world = with_input(with_input(band, 1, use=None), 18, use=None)
    found = facts(world)
    assert (found.used, found.spare) == (14, 2)
    assert [kind.spare for kind in found.kinds] == [2, 2, 1]
    assert found.recording_gb_hour_used < found.recording_gb_hour_all


def test_outputs_of_the_expander_count_as_far_as_fed(returned):
    assert facts(returned).line_fed == 12


def test_no_microphone_input_no_price_of_one(band):
    inputs = tuple(replace(item, accepts=("line",), use=None) for item in band.rig.inputs)
    assert facts(with_rig(band, inputs=inputs)).price_per_mic is None
    lines = replace(band.rig.units[0].device, mic_line_inst=0, mic_line=0, line=2)
    world = build([replace(band.rig.units[0], device=lines)], [], {}, 0, Needs())
    assert facts(world).price_per_mic is None
    assert check_figures(world.rig, world.needs, facts(world)) == ()


def test_short_last_bank(band):
    host = band.rig.units[0]
    for banks, count in (((), 0), ((1,), 5), ((2,), 3), ((1, 2), 8), ((2, 2), 3)):
        device = replace(host.device, phantom_bank=5)
        unit = replace(host, device=device, phantom_banks_on=banks)
        assert facts(with_rig(band, units=(unit,))).phantom_channels == count


def test_spare_pieces_are_what_is_left_of_packs(clocked):
    assert clocked.rig.purchases[-1].quantity == 1
    one_owned = with_needs(clocked, owned={"bnc-1m": 1, "never-used": 4})
    assert facts(one_owned).cables == (
        CableFigures("bnc-1m", 2, 1, 2, 1), CableFigures("opt-1m", 1, 0, 1, 0),
    )  # fmt: skip


def test_owned_pieces_beyond_those_used_are_not_spare(clocked):
    lines = tuple(line for line in clocked.rig.purchases if line.item != "bnc-1m")
    world = with_needs(with_rig(clocked, purchases=lines), owned={"bnc-1m": 9})
    assert facts(world).cables[0] == CableFigures("bnc-1m", 2, 2, 0, 0)


def test_unnamed_cables_are_not_counted(band):
    links = (replace(band.rig.links[0], cable=None),)
    world = with_rig(band, links=links, purchases=())
    assert facts(world).cables == ()
    assert facts(world).links == 1


def test_several_lines_of_one_cable_add_up(band):
    lines = (*band.rig.purchases, Purchase("opt-1m", "again", "cable", 1, 600, 4))
    assert facts(with_rig(band, purchases=lines)).cables == (
        CableFigures("opt-1m", 1, 0, 5, 4),
    )


# --- the second computation ------------------------------------------------------------


@pytest.mark.parametrize("name", ["band", "returned", "clocked", "listed", "coaxial"])
def test_the_second_computation_agrees(name, request):
    world = request.getfixturevalue(name)
    assert check_figures(world.rig, world.needs, facts(world)) == ()
    owned = with_needs(world, owned={"opt-1m": 1, "bnc-1m": 1})
    assert check_figures(owned.rig, owned.needs, facts(owned)) == ()


def wrong_figures(found):
    for name in found._fields:
        value = getattr(found, name)
        if isinstance(value, int | Decimal):
            yield name, found._replace(**{name: value + 1})
    first = found.kinds[0]._replace(used=99, spare=99)
    yield "mic used", found._replace(kinds=(first, *found.kinds[1:]))
    yield "delay 32", found._replace(delays=(found.delays[0]._replace(ms=Decimal(9)),))
    yield "delay 64", found._replace(delays=found.delays[:1])
    for part in ("used", "from_owned", "bought", "spare"):
        cable = found.cables[0]._replace(**{part: 99})
        words = part.replace("_", " ")
        yield f"cable opt-1m {words}", found._replace(cables=(cable,))
    yield (
        "cable other used",
        found._replace(cables=(*found.cables, CableFigures("other", 1, 0, 1, 0))),
    )
    yield "price_per_mic", found._replace(price_per_mic=None)


def test_the_second_computation_names_each_wrong_figure(band):
    cases = list(wrong_figures(facts(band)))
    assert len(cases) > 25
    for name, wrong in cases:
        findings = check_figures(band.rig, band.needs, wrong)
        assert name in [found.fact("name") for found in findings]
        assert {found.rule for found in findings} == {"figure"}
    words = check_figures(band.rig, band.needs, facts(band)._replace(watts=Decimal("1.5")))
    assert str(words[0]) == "the figure 'watts' is 1.5; it comes to 35.5"


def test_hops_of_a_chain_are_counted_again(clocked):
    host = locked("host-1", clocked.rig.units[0].device, "host", "word", 1, "expander-1")
    units = (host, *clocked.rig.units[1:])
    world = with_rig(clocked, units=units)
    findings = check_figures(world.rig, world.needs, facts(world))
    assert [found.fact("name") for found in findings] == ["clock_hops"]
