"""What is said of a choice in which preamps, DI boxes, amplifiers or spare inputs play a part.

Every sum is worked out by hand beside its case.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.choice import Fact, Need
from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.stretch import stretch
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import Deadline
from rigopt.output.words.reasons import reasons
from tests.choice.test_conflict import trouble
from tests.world import ALL, CABLES, DESK, PRE, catalogue

LINED = replace(DESK, id="lined", line=4, rates_hz=ALL)
"""300.00: eight microphones and four lines; its optical sockets are dead at 4x."""

PREAMP = Device("preamp-4", "", "preamp", 9000, mic=4, phantom_bank=4, direct_out=4)
BOX = Device("di-1", "", "di", 2000, inst=1)
EARS = Device("ears-4", "", "headphones", 5000, phones=4, line_in=2)
LEAD = Cable("lead-1m", "", "analogue", 1000, 500, ends=("jack", "jack"))


def shop(*devices: Device) -> Catalogue:
    return catalogue(*devices, cables=(*CABLES, LEAD))


SHOP = shop(LINED, PRE, PREAMP)


def told(of: Catalogue, **needs: Any) -> Impossible:
    question = of, Needs(**needs)
    assert isinstance(solve(*question), Impossible)
    assert not trouble(question)
    return explained(*question, Deadline(None))


def answer(of: Catalogue, **needs: Any) -> Answered:
    found = solve(of, Needs(**needs))
    assert isinstance(found, Answered)
    return found


def test_no_rig_at_192_khz_names_the_analogue_way() -> None:
    found = told(shop(LINED, PRE), mic=12, rate_hz=192000)
    assert {need.name for need in found.conflict} == {"rate_hz", "max_hosts", "mic"}
    assert Fact("analogue_way", "lined", 12) in found.facts
    assert (
        "At 192 kHz preamps with direct outs could do it, with leads to inputs that take line "
        "(lined has 12); this catalogue has none that do."
    ) in reasons(found, "GBP", Needs(mic=12, rate_hz=192000))
    # 300.00, a preamp for 90.00 and four leads for 5.00 each.
    assert answer(SHOP, mic=12, rate_hz=192000).rig.total == 30000 + 9000 + 4 * 500


@pytest.mark.parametrize(
    ("devices", "needs"),
    [
        # Thirteen inputs are more than there are numbers.
        ((LINED, PRE), {"mic": 13}),
        # What preamps cost is not known.
        ((LINED, PRE), {"mic": 12, "budget": 31000, "rate_hz": 48000}),
        # No input takes line.
        ((replace(LINED, mic_line=0, mic=8, line=0, inst=4), PRE), {"mic": 12}),
    ],
)
def test_the_analogue_way_is_not_named_where_it_would_not_do(
    devices: tuple[Device, ...], needs: dict[str, Any]
) -> None:
    found = told(shop(*devices), **{"rate_hz": 192000, **needs})
    assert "analogue_way" not in {fact.name for fact in found.facts}


def test_a_preamp_that_is_avoided_may_come_back() -> None:
    found = told(SHOP, mic=12, rate_hz=192000, avoid=("preamp-4",))
    assert Need("avoid", "preamp-4") in found.conflict
    assert ("avoid", ()) in [(s.name, s.now) for c in found.changes for s in c.settings]


def test_a_preamp_that_is_required_needs_no_rate() -> None:
    found = told(SHOP, mic=13, rate_hz=192000, require=("preamp-4",))
    assert "not_at_rate" not in {fact.name for fact in found.facts}
    far = told(shop(LINED, PREAMP), mic=4, master="expander")
    assert [fact.name for fact in far.facts] == ["no_master"]


def test_spare_inputs_can_be_given_up() -> None:
    found = told(shop(LINED), mic=6, spare=4)
    assert {need.name: need.value for need in found.conflict} == {
        "mic": 6,
        "spare": 4,
        "max_hosts": 1,
    }
    settings = {c.settings[0].name: c.settings[0].now for c in found.changes}
    assert settings == {"mic": 4, "spare": 2, "max_hosts": 2}


def test_amplifiers_are_told_of() -> None:
    """Two outputs of its own, and four line outputs for two amplifiers of four."""
    found = told(shop(LINED, EARS), mic=8, out_phones=11)
    assert found.facts == (Fact("most_phones", "lined", 2), Fact("amplifier", "ears-4", 4, 2))
    assert (
        "A headphone amplifier has 4 more at most, and takes 2 line outputs (ears-4)."
        in reasons(found, "GBP", Needs(out_phones=11))
    )
    settings = {c.settings[0].name: c.settings[0].now for c in found.changes}
    assert settings["out_phones"] == 10
    assert answer(shop(LINED, EARS), mic=8, out_phones=10).rig.total == 30000 + 2 * 5000


def test_a_run_is_told_of_leads_where_they_are_of_use() -> None:
    found = told(SHOP, mic=12, host_to_rack_mm=2000)
    assert Fact("longest_cable", "analogue", 1000, each=30000) in found.facts
    found = told(shop(DESK, PRE), mic=12, host_to_rack_mm=2000)
    assert "analogue" not in {fact.item for fact in found.facts}


def test_entry_and_switch_prices() -> None:
    """With 12 microphones: 300.00 + 200.00 + 6.00 by light-pipe; 300.00, leads for 20.00 and
    the preamp by lines. At the same money the one with fewer links is taken.
    """
    dear = shop(LINED, PRE, replace(PREAMP, price=20000))
    needs = Needs(mic=12)
    found = answer(dear, mic=12)
    assert found.rig.total == 50600
    prices = {p.device: p for p in why(dear, needs, found.rig, Deadline(None)).prices}
    assert (prices["preamp-4"].limit, prices["preamp-4"].note) == (50600 - 30000 - 2000, "")
    found = answer(SHOP, mic=12)
    assert found.rig.total == 41000
    prices = {p.device: p for p in why(SHOP, needs, found.rig, Deadline(None)).prices}
    assert (prices["preamp-4"].limit, prices["pre-8"].limit) == (18599, 41000 - 30600 + 1)


def test_needs_moved_by_a_step() -> None:
    found = answer(SHOP, mic=11, spare=1)
    steps = why(SHOP, Needs(mic=11, spare=1), found.rig, Deadline(None)).changes
    totals = {(c.settings[0].name, c.settings[0].now): c.total for c in steps}
    assert totals["spare", 0] == 40500
    assert totals["mic", 10] == 40500
    assert totals["mic", 12] == 50600
    assert totals["rate_hz", 192000] == 41000


def test_alternatives_are_digital_and_analogue() -> None:
    found = answer(SHOP, mic=12)
    after = alternatives(SHOP, Needs(mic=12), found.rig, 1, Deadline(None))
    assert [one.rig.total for one in after.found] == [50600]
    assert {unit.device.id for unit in after.found[0].rig.units} == {"lined", "pre-8"}


def test_instruments_in_boxes_are_compared_too() -> None:
    """Two instruments: in boxes on microphone inputs, or in a host with inputs for them."""
    host = replace(LINED, id="both", mic_line=6, mic_line_inst=2, price=33000)
    found = answer(shop(LINED, host, BOX), mic=4, instrument=2)
    assert found.rig.total == 33000
    after = alternatives(
        shop(LINED, host, BOX), Needs(mic=4, instrument=2), found.rig, 1, Deadline(None)
    )
    assert [one.rig.total for one in after.found] == [30000 + 2 * 2000]


@pytest.mark.parametrize("spare", [0, 2])
def test_curves_go_up_lead_by_lead(spare: int) -> None:
    """To 8 inputs 300.00; from 9 to 12 a preamp and a lead each; then the expander."""
    needs = Needs(mic=1, spare=spare)
    counts = [n - spare for n in (8, 9, 10, 12, 13)]
    found = curve(SHOP, needs, counts, Deadline(None))
    totals = [point.answer.rig.total for point in found.points if point.answer]
    assert totals == [30000, 39500, 40000, 41000, 50600]
    for point in found.points:
        assert point.answer
        assert point.answer.proven
    most = stretch(SHOP, needs, 40400, Deadline(None))
    assert most.best
    assert most.proven
    assert most.best.mic == 10 - spare
