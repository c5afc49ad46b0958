"""Every named fault of a rig wired by hand, in both forms of file: rule, words, change."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.verdict import examine
from rigopt.needs.types import Needs, SourceLine
from rigopt.output.terminal.audit_rig import remarks
from rigopt.output.words.findings import change, says
from rigopt.rig.types import ClockSetting
from rigopt.rig.wired import StatedInput
from tests.audit.audit_world import BAND, RETURNED, Bench, as_json, toml

UNITS = "host-1=desk; expander-1=pre"
ONE = "expander-1 optical 1 > host-1 optical 1"

FAULTS: list[tuple[str, str, list[str], str, str]] = [
    # Two free-running units joined by audio slip (follows from AES11-2009 cl. 5.2).
    (
        "two masters",
        toml(UNITS, ONE, "host-1=internal; expander-1=internal"),
        ["clock-tree"],
        "2 units run on clocks of their own (host-1, expander-1), and audio goes"
        " between them: optical expander-1 out 1 -> host-1 in 1",
        "lock host-1 to optical in 1, where the cable from expander-1 is",
    ),
    (
        "two hosts and no cable for the clock",
        toml("host-1=bare; host-2=bare", "", "host-1=internal; host-2=internal"),
        ["clock-hosts"],
        "the hosts run on 2 clocks (host-1, host-2); they need one, unless the"
        " computer resamples between them",
        "keep one on its internal clock and lock the others to it; no cable that is there and"
        " no free socket does that, so move cables or replace a unit",
    ),
    (
        "the generator is there, its cable is missing",
        toml(
            "host-1=desk; expander-1=two; box=tick",
            ONE,
            "host-1=word 1; expander-1=internal; box=internal",
        ),
        ["clock-link"],
        "host-1 is locked to word input 1, and no cable is in it",
        "plug the word cable that is missing from box out 1 into host-1 in 1",
    ),
    (
        "no master: a circle",
        toml(
            UNITS,
            f"{ONE}; host-1 optical 1 > expander-1 optical 1",
            "host-1=optical 1; expander-1=optical 1",
        ),
        ["clock-master", "clock-loop"],
        "no unit runs on its internal clock; one must",
        "set host-1 to its internal clock",
    ),
    (
        "no master can be made of a loose end",
        toml("host-1=desk; d=dist", "", "host-1=word 1; d=word 1"),
        ["clock-master", "clock-link", "clock-link"],
        "no unit runs on its internal clock; one must",
        "set host-1 to its internal clock",
    ),
    # One expander, master on the host: two optical cables (common practice, no source).
    (
        "the return cable is missing",
        toml(UNITS, ONE, "host-1=internal; expander-1=optical 1"),
        ["clock-link"],
        "expander-1 is locked to optical input 1, and no cable is in it",
        "plug the optical cable that is missing from host-1 out 1 into expander-1 in 1",
    ),
    (
        "cannot lock to that kind",
        toml(
            "host-1=cut; expander-1=pre; box=tick",
            f"{ONE}; box word 1 > expander-1 word 1",
            "host-1=word 1; expander-1=word 1; box=internal",
        ),
        ["clock-kind", "clock-link"],
        "host-1 is locked to word; cut locks to optical",
        "lock host-1 to optical in 1, where the cable from expander-1 is",
    ),
    (
        "locks to nothing",
        toml("host-1=bare; box=tick", "", "host-1=optical 1; box=internal"),
        ["clock-kind", "clock-link"],
        "host-1 is locked to optical; bare locks to nothing",
        "lock it to another kind of socket",
    ),
    (
        "no clock of its own",
        toml("host-1=desk; d=dist", "d word 1 > host-1 word 1", "host-1=word 1; d=internal"),
        ["clock-internal"],
        "d is clock master; dist has no clock of its own",
        "make another unit the master and lock d to it",
    ),
    (
        "a socket used twice",
        toml(
            "host-1=desk; expander-1=pre; expander-2=two",
            f"{ONE}; expander-2 optical 1 > host-1 optical 1; host-1 optical 1 > expander-1"
            " optical 1",
            "host-1=internal; expander-1=optical 1; expander-2=internal",
        ),
        ["socket-taken", "clock-tree"],
        "optical input 1 of host-1 has 2 cables; it takes one",
        "move all but one of them to free sockets",
    ),
    (
        "a socket that is not there",
        toml(
            UNITS,
            "expander-1 optical 2 > host-1 optical 1",
            "host-1=optical 1; expander-1=internal",
        ),
        ["socket-missing"],
        "expander-1 has no optical output 2; pre has 1",
        "move the cable optical expander-1 out 2 -> host-1 in 1 to a socket that is there",
    ),
    # One socket {8, 4, 0}: light-pipe off at 4x (Linux kernel, firewire dice tables).
    (
        "a socket dead at 4x",
        toml(
            "host-1=desk; box=tick",
            "host-1 optical 1 > box optical 1; box word 1 > host-1 word 1",
            "host-1=word 1; box=internal",
            rate="192",
        ),
        ["socket-dead", "socket-missing"],
        "optical output 1 of host-1 carries neither audio nor clock at 192 kHz",
        "take the cable optical host-1 out 1 -> box in 1 off, or run at a lower rate",
    ),
    (
        "a unit without the rate",
        toml(UNITS, ONE, "host-1=optical 1; expander-1=internal", rate="96"),
        ["rate"],
        "expander-1 does not run at 96 kHz; pre runs at 44.1 kHz, 48 kHz",
        "run the rig at a rate that every unit lists, or replace expander-1",
    ),
    # Plastic fibre: 10 m limit (common practice, no source).
    (
        "a cable too long",
        toml(UNITS, f"{ONE} @opt-12m", "host-1=optical 1; expander-1=internal"),
        ["cable-long"],
        "the cable of optical expander-1 out 1 -> host-1 in 1 is 12 m long;"
        " it works up to 10 m",
        "use a shorter one, and move the units closer together if it must be",
    ),
    (
        "a cable of another kind",
        toml(UNITS, f"{ONE} @coax-1m", "host-1=optical 1; expander-1=internal"),
        ["cable-kind"],
        "the cable of optical expander-1 out 1 -> host-1 in 1 is coax-1m, which is coax",
        "use a cable of the kind the sockets have",
    ),
    (
        "no host",
        toml("expander-1=pre", "", "expander-1=internal"),
        ["no-host"],
        "no unit is a host, so the computer sees no inputs",
        "add a host, or use a unit that can be one as the host",
    ),
]


def test_a_cable_that_carries_nothing_is_a_remark(bench: Bench) -> None:
    """The rig works with it; taking it off, as the remark says, leaves no remark."""
    lines = "box word 1 > expander-1 word 1; box word 2 > host-1 word 1"
    spare = "; expander-1 optical 1 > expander-1 optical 1"
    units = "host-1=desk; expander-1=pre; box=tick"
    clock = "host-1=word 1; expander-1=word 1; box=internal"
    found = examine(bench.read(toml(units, lines + spare, clock)), None)
    assert found.works
    assert [remark.rule for remark in found.warnings] == ["carries-nothing"]
    (told,) = found.warnings
    assert says(told) == (
        "the cable optical expander-1 out 1 -> expander-1 in 1 carries neither audio nor clock"
    )
    assert change(told) == "take it off"
    assert "clock. Take it off." in " ".join(remarks(found))
    assert not examine(bench.read(toml(units, lines, clock)), None).warnings


SPARE = [
    # the second light-pipe of an expander on word clock has no channel left
    (
        "a second light-pipe beside the first",
        toml(
            "host-1=twin; expander-1=two",
            f"{ONE}; host-1 word 1 > expander-1 word 1;"
            " expander-1 optical 2 > host-1 optical 2",
            "host-1=internal; expander-1=word 1",
        ),
        "optical expander-1 out 2 -> host-1 in 2",
    ),
    (
        "a light-pipe into an expander that passes nothing on",
        toml(
            f"{UNITS}; expander-2=pre",
            f"{ONE}; expander-2 optical 1 > expander-1 optical 1",
            "host-1=optical 1; expander-1=internal; expander-2=internal",
        ),
        "optical expander-2 out 1 -> expander-1 in 1",
    ),
    (
        "a second light-pipe for clock, from host to host",
        toml(
            "host-1=twin; host-2=twin",
            "host-1 optical 1 > host-2 optical 1; host-1 optical 2 > host-2 optical 2",
            "host-1=internal; host-2=optical 1",
        ),
        "optical host-1 out 2 -> host-2 in 2",
    ),
    (
        "word clock for a unit on its own clock",
        toml(
            f"{UNITS}; box=tick",
            f"{ONE}; box word 1 > expander-1 word 1",
            "host-1=optical 1; expander-1=internal; box=internal",
        ),
        "word box out 1 -> expander-1 in 1",
    ),
    (
        "word clock for a unit that is locked to light-pipe",
        toml(
            "host-1=twin; expander-1=pre",
            f"{ONE}; host-1 optical 1 > expander-1 optical 1;"
            " host-1 word 1 > expander-1 word 1",
            "host-1=internal; expander-1=optical 1",
        ),
        "word host-1 out 1 -> expander-1 in 1",
    ),
]


@pytest.mark.parametrize("stated", ["nothing", "clock"])
@pytest.mark.parametrize("case", SPARE, ids=[case[0] for case in SPARE])
def test_a_cable_too_many_is_a_remark_of_a_rig_that_works(
    bench: Bench, case: Any, stated: str
) -> None:
    """Even where the file says that it is there for clock."""
    _, text, link = case
    raw = json.loads(as_json(text))
    if stated == "clock":
        raw["links"][-1] |= {"carries": ["clock"], "channels": 0}
    path = bench.file(json.dumps(raw), "r.json")
    found = examine(bench.read(json.dumps(raw), "r.json"), None)
    assert (found.works, found.exit_status) == (True, 0)
    assert [says(one) for one in found.warnings] == [
        f"the cable {link} carries neither audio nor clock"
    ]
    assert bench.run("audit", str(path)) == 0
    del raw["links"][-1]
    without = examine(bench.read(json.dumps(raw), "r.json"), None)
    assert (without.works, without.warnings) == (True, ())
    assert without.inputs == found.inputs


@pytest.mark.parametrize("form", ["toml", "json"])
@pytest.mark.parametrize("case", FAULTS, ids=[case[0] for case in FAULTS])
def test_each_fault_is_named_with_its_change(bench: Bench, case: Any, form: Any) -> None:
    _, text, rules, fault, cure = case
    if form == "json":
        rig = bench.read(as_json(text), "rig.json")
        assert rig == bench.read(text)
    found = bench.verdict(text).findings
    assert [one.rule for one in found] == rules
    assert (says(found[0]), change(found[0])) == (fault, cure)


def test_a_sound_rig_has_no_fault(bench: Bench) -> None:
    assert bench.rules(BAND) == []
    assert bench.rules(RETURNED) == []


def test_a_circle_is_named_once_and_opened_from_outside(bench: Bench) -> None:
    text = toml(
        "host-1=twin; expander-1=pre; expander-2=pre; box=tick",
        "expander-1 optical 1 > host-1 optical 1; expander-2 optical 1 > host-1 optical 2;"
        "host-1 optical 1 > expander-1 optical 1; host-1 optical 2 > expander-2 optical 1",
        "host-1=optical 1; expander-1=optical 1; expander-2=optical 1; box=internal",
    )
    found = bench.verdict(text).findings
    assert [one.rule for one in found] == ["clock-loop"]
    assert says(found[0]) == "the clock goes in a circle: expander-1 -> host-1 -> expander-1"
    assert change(found[0]) == (
        "plug a word cable from box out 1 into expander-1 in 1, and lock expander-1 to it"
    )


def test_a_circle_that_nothing_opens_is_still_told(bench: Bench) -> None:
    text = toml(
        "host-1=cut; expander-1=solo; host-2=bare",
        "expander-1 optical 1 > host-1 optical 1; host-1 optical 1 > expander-1 optical 1",
        "host-1=optical; expander-1=optical; host-2=internal",
    )
    found = bench.verdict(text).findings
    assert [one.rule for one in found] == ["clock-loop"]
    assert change(found[0]) == "lock one of them to a chain that ends in the master"


def test_a_setting_to_a_unit_that_sends_nothing_there(bench: Bench) -> None:
    raw = json.loads(as_json(BAND))
    raw["units"][0]["clock"] = {"source": "word", "socket": 1, "from": "expander-1"}
    found = examine(bench.read(json.dumps(raw), "r.json"), None).findings
    assert says(found[0]) == (
        "host-1 is locked to word input 1, and no cable from expander-1 is in it"
    )
    assert change(found[0]) == "lock host-1 to optical in 1, where the cable from expander-1 is"


def test_a_clock_that_no_unit_gives(bench: Bench) -> None:
    """The finding of the loop is left out where that of the cable says it all."""
    rig = bench.read(BAND)
    units = tuple(
        replace(u, clock=ClockSetting("optical", 2)) if u.role == "host" else u
        for u in rig.units
    )
    links = tuple(replace(link, carries=("audio",)) for link in rig.links)
    found = examine(replace(rig, units=units, links=links), None).findings
    assert [one.rule for one in found] == ["clock-link"]


# --- what the file states --------------------------------------------------------------


def planned(**link: Any) -> str:
    raw = json.loads(as_json(BAND))
    raw["links"][0] |= link
    return json.dumps(raw)


@pytest.mark.parametrize(
    ("link", "rule"),
    [
        ({"channels": 7}, "channels"),
        ({"carries": ["audio"]}, "carries-clock"),
        ({"carries": ["clock"], "channels": 8}, "channels"),
    ],
)
def test_what_is_stated_of_a_cable_must_hold(bench: Bench, link: Any, rule: Any) -> None:
    found = examine(bench.read(planned(**link), "r.json"), None).findings
    assert [one.rule for one in found] == [rule]


def test_what_is_stated_waits_for_what_is_wrong(bench: Bench) -> None:
    raw = json.loads(planned(channels=7, carries=["audio"]))
    raw["units"][0]["clock"] = "internal"
    found = examine(bench.read(json.dumps(raw), "r.json"), None).findings
    assert [one.rule for one in found] == ["clock-tree"]


def test_a_cable_said_to_be_for_clock_brings_no_audio(bench: Bench) -> None:
    verdict = examine(bench.read(planned(carries=["clock"]), "r.json"), None)
    assert verdict.findings == ()
    assert len(verdict.inputs) == 8
    same = BAND.replace('cable = "opt-1m"', 'carries = "clock"')
    assert len(bench.verdict(same).inputs) == 8


# --- needs -----------------------------------------------------------------------------


def test_runs_and_demands_come_from_the_needs(bench: Bench) -> None:
    assert bench.rules(BAND, Needs(mic=16, host_to_rack_mm=1000)) == []
    assert bench.rules(BAND, Needs(mic=17, host_to_rack_mm=1001)) == ["demand", "cable-short"]
    assert bench.rules(BAND, Needs(rate_hz=44100, master="host")) == [
        "clock-wish",
        "rate-asked",
    ]


LISTED = Needs(
    mic=2,
    phantom=1,
    no_phantom=1,
    sources=(SourceLine("Overhead", "mic", "on"), SourceLine("Ribbon", "mic", "off")),
)


def seated(ribbon: str, overhead: str) -> str:
    return BAND + (
        f'[phantom]\nexpander-1 = 1\n[inputs]\n"{ribbon}" = "Ribbon"\n'
        f'"{overhead}" = {{ source = "Overhead", use = "mic" }}\n'
    )


def test_48_volts_must_not_reach_a_source_that_must_not_get_it(bench: Bench) -> None:
    assert bench.rules(seated("host-1 3", "expander-1 1"), LISTED) == []
    assert bench.rules(seated("3", "11"), LISTED) == []
    found = bench.verdict(seated("expander-1 2", "expander-1 1"), LISTED).findings
    assert [one.rule for one in found] == ["source-phantom"]
    assert "Ribbon needs 48 V off; input 12" in says(found[0])


def test_48_volts_as_the_file_lists_it(bench: Bench) -> None:
    raw = json.loads(as_json(BAND))
    raw["inputs"] = [{"computer_input": 3, "use": "mic", "phantom": False}]
    assert examine(bench.read(json.dumps(raw), "r.json"), None).works
    raw["units"][0]["phantom_banks_on"] = [1]
    found = examine(bench.read(json.dumps(raw), "r.json"), None).findings
    assert [says(one) for one in found] == ["48 V on input 3 is listed as off; it is on"]
    assert change(found[0]) == (
        "switch the bank of channel 3 of host-1 off, or move what is in it"
    )
    raw["inputs"][0]["phantom"] = True
    raw["units"][0]["phantom_banks_on"] = []
    found = examine(bench.read(json.dumps(raw), "r.json"), None).findings
    assert says(found[0]) == "48 V on input 3 is listed as on; it is off"


@pytest.mark.parametrize(
    ("inputs", "rule", "fault"),
    [
        ('"99" = "Voice"', "input-extra", "input 99 is used for Voice; it does not reach"),
        ('"expander-1 9" = {use = "mic"}', "input-extra", "channel 9 of expander-1 is used"),
        ('"expander-1 1" = {use = "instrument"}', "use", "input 11 is used for instrument"),
    ],
)
def test_the_list_of_inputs_is_compared_with_what_arrives(
    bench: Bench, inputs: str, rule: str, fault: str
) -> None:
    found = bench.verdict(f"{BAND}[inputs]\n{inputs}\n").findings
    assert [one.rule for one in found] == [rule]
    assert says(found[0]).startswith(fault)


def test_two_sources_that_are_said_to_sit_on_one_input(bench: Bench) -> None:
    """A file cannot say so; a repair can move the one onto the other."""
    said = tuple(StatedInput(11, None, None, source=name) for name in ("Voice", "Bass"))
    rig = replace(bench.read(BAND), stated=said)
    (found,) = examine(rig, None).findings
    assert (found.rule, says(found)) == ("input-order", "input 11 is listed twice")


def test_a_number_that_is_another_channel(bench: Bench) -> None:
    raw = json.loads(as_json(BAND))
    raw["inputs"] = [{"computer_input": 3, "unit": "expander-1", "channel": 1, "use": "mic"}]
    found = examine(bench.read(json.dumps(raw), "r.json"), None).findings
    assert says(found[0]) == "channel 1 of expander-1 is listed as input 3; it is input 11"


def test_a_warning_is_no_fault(bench: Bench) -> None:
    verdict = bench.verdict(BAND.replace("opt-1m", "opt-7m"))
    assert verdict.works
    assert [one.rule for one in verdict.warnings] == ["optical-long"]
