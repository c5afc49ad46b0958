"""What is settled before a repair, and what of it is named again after; nothing is solved."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict
from rigopt.api import repair as module
from rigopt.api.audited import AuditFailedError
from rigopt.api.repair import ask_repair, settle
from rigopt.catalogue.types import Device
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import finding
from rigopt.rig.types import ClockSetting, Unit
from rigopt.rig.wired import StatedInput, WiredRig
from tests.output.rigs import CATALOGUE, DESK, INTERNAL, RACK, sixteen
from tests.wires import link

EITHER = replace(DESK, id="either", role="either")
HOST = Unit("host-1", DESK, "host", ClockSetting("optical", 1, "expander-1"), False, (2,))
FAR = Unit("expander-1", RACK, "expander", INTERNAL)
CABLE = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio", "clock"), None)
BEFORE = sixteen().inputs


def wired(*units: Unit, stated: Any = (), rate: int = 48_000) -> WiredRig:
    """Units with a light-pipe from the expander, if there is that one."""
    there = any(unit.name == "expander-1" for unit in units) and units[0].name == "host-1"
    return WiredRig(rate, units, (CABLE,) if there else (), tuple(stated))


def at(channel: int | None, phantom: bool | None = None, **more: Any) -> StatedInput:
    fields: dict[str, Any] = {"number": None, "unit": "host-1", "use": "mic"} | more
    return StatedInput(channel=channel, phantom=phantom, **fields)


# --- roles and rates -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("device", "said", "role"),
    [
        (DESK, "expander", "host"),
        (RACK, "clock", "expander"),
        (EITHER, "host", "host"),
        (EITHER, "clock", "expander"),
    ],
)
def test_a_unit_plays_a_role_that_its_device_can(device: Device, said: Any, role: str) -> None:
    found = settle(wired(HOST, Unit("x", device, said, INTERNAL)), None)
    assert found.units[1].role == role


def test_without_a_host_the_first_that_can_be_one_is() -> None:
    two = [Unit(name, EITHER, "expander", INTERNAL) for name in ("expander-1", "host-1")]
    found = settle(wired(Unit("far", RACK, "expander", INTERNAL), *two), None)
    assert [unit.role for unit in found.units] == ["expander", "host", "expander"]
    beside = (Unit("first", EITHER, "expander", INTERNAL), HOST)
    assert [unit.role for unit in settle(WiredRig(48_000, beside, ()), None).units] == [
        *("expander", "host"),
    ]
    alone = WiredRig(48_000, (FAR,), ())
    assert [unit.role for unit in settle(alone, None).units] == ["expander"]


@pytest.mark.parametrize(
    ("rates", "outs", "role"),
    [((48_000,), 8, "preamp"), ((48_000,), 0, "expander"), ((96_000,), 8, "expander")],
)
def test_at_a_rate_that_it_does_not_have_one_with_direct_outs_is_a_preamp(
    rates: tuple[int, ...], outs: int, role: str
) -> None:
    device = replace(RACK, rates_hz=rates, direct_out=outs)
    found = settle(
        wired(HOST, Unit("expander-1", device, "expander", INTERNAL)), Needs(rate_hz=96_000)
    )
    assert (found.rate_hz, found.units[1].role) == (96_000, role)
    assert settle(wired(HOST, FAR), None).rate_hz == 48_000


# --- 48 V ------------------------------------------------------------------------------------


def banks(
    *stated: StatedInput, needs: Needs | None = None, host: Unit = HOST
) -> tuple[int, ...]:
    """Those that are on: of eight channels 1 to 4 are bank 1, and bank 2 was on."""
    return settle(wired(host, FAR, stated=stated), needs).units[0].phantom_banks_on


def test_48_v_is_as_the_list_has_it_for_microphones() -> None:
    assert banks() == (2,)
    assert banks(at(1, True)) == (1, 2)
    assert banks(at(1, True), at(5, False)) == (1,)
    assert banks(at(1, True), at(2, False)) == (2,)
    assert banks(at(1, True, use="line")) == (2,)
    assert banks(at(5)) == (2,)
    assert banks(at(1, True), needs=Needs(mic=1)) == (2,)


@pytest.mark.parametrize(("needs_it", "on"), [(True, (1, 2)), (False, (2,))])
def test_48_v_is_as_a_di_box_needs_it(needs_it: bool, on: tuple[int, ...]) -> None:
    device = Device("box", "DI", "di", inst=1, di_phantom=needs_it)
    box = Unit("di-1", device, "di", None)
    stated = (at(1, use="instrument", through="di-1"),)
    found = settle(wired(HOST, FAR, box, stated=stated), None)
    assert found.units[0].phantom_banks_on == on


# --- inputs by name --------------------------------------------------------------------------


def test_an_input_is_known_by_unit_and_channel() -> None:
    """11 to 18 of the computer are the expander's; 9 is nobody's."""
    by_number = StatedInput(12, None, None, "mic", phantom=True)
    assert module._by_channel(by_number, BEFORE, None) == at(2, True, unit="expander-1")
    asked = module._by_channel(by_number, BEFORE, Needs(mic=1))
    assert asked == at(2, None, unit="expander-1")
    assert module._by_channel(replace(by_number, unit="host-1"), BEFORE, None) == at(
        2, True, unit="expander-1"
    )
    nobody = StatedInput(9, None, None, "mic")
    assert module._by_channel(nobody, BEFORE, None) == nobody
    both = StatedInput(12, "host-1", 3, "mic")
    assert module._by_channel(both, BEFORE, None) == at(3)


def test_places_are_of_named_sources() -> None:
    seats = (
        at(1, source="Bass"),
        at(2),
        at(None, source="Voice"),
        StatedInput(3, None, 4, "mic", "Piano"),
    )
    assert module._places(seats) == {"Bass": ("host-1", 1)}


def test_a_preamp_that_is_idle_stays_one() -> None:
    idle = Unit("expander-1", RACK, "expander", None)
    preamp = replace(idle, role="preamp")
    assert module._as_before(preamp, idle) == preamp
    assert module._as_before(idle, idle) == idle
    clocked = replace(idle, clock=INTERNAL)
    assert module._as_before(preamp, clocked) == clocked


# --- ends ------------------------------------------------------------------------------------


def with_findings(patch: pytest.MonkeyPatch, *rules: Any) -> None:
    """The audit finds these."""
    found = Verdict(wired(HOST, FAR), tuple(map(finding, rules)), (), (), 0)
    patch.setattr(module, "examine", lambda *_: found)


def hopeless(*units: Unit, phones: int = 0) -> list[str]:
    needs = Needs(out_phones=phones) if phones else None
    return [found.rule for found in module._hopeless(wired(*units), needs)]


def test_what_no_cable_cures(monkeypatch: pytest.MonkeyPatch) -> None:
    """The interface has one headphone output, the amplifier 4; a preamp's are of no use."""
    cans = Unit("cans-1", Device("cans", "Cans", "headphones", phones=4), "headphones", None)
    other = Unit("far", replace(RACK, phones=9), "expander", None)
    with_findings(monkeypatch, "clock-none", "rate", "phones", "mains")
    assert hopeless(HOST, cans, other) == ["rate", "mains"]
    assert hopeless(HOST, cans, other, phones=5) == ["rate", "mains"]
    assert hopeless(HOST, cans, other, phones=6) == ["rate", "phones", "mains"]


@pytest.mark.parametrize(
    ("rules", "end"),
    [
        ((), "repaired"),
        (("use", "pair"), "of the list"),
        (("use", "clock-none"), "a fault of the program"),
    ],
)
def test_a_repaired_rig_is_audited(
    rules: tuple[str, ...], end: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_findings(monkeypatch, *rules)
    repaired = Repaired(wired(HOST, FAR), (), (), (), (), (), 0, 0, True)
    if end == "a fault of the program":
        with pytest.raises(AuditFailedError):
            module._checked(repaired, None)
        return
    found = module._checked(repaired, None)
    if end == "repaired":
        assert found is repaired
    else:
        assert isinstance(found, NoRepair)
        assert [one.rule for one in found.of_list] == [*rules]


def test_what_is_hopeless_is_not_searched_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rigopt.optimiser.questions.repair.repair.repair", None)
    with_findings(monkeypatch, "rate")
    found = ask_repair(wired(HOST, FAR), CATALOGUE, None)
    assert isinstance(found, NoRepair)
    assert [one.rule for one in found.of_units] == ["rate"]
