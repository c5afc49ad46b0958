"""Rig files as people write them, and as nobody should: one fault list, no traceback."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigopt.answers.verdict import examine
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.shipped import demo_catalogue
from rigopt.errors import InputError
from rigopt.files.faults import Gathered
from rigopt.files.json import parse_json
from rigopt.files.models import column
from rigopt.rig.reading.by_json import RigFile
from rigopt.rig.reading.read import read_rig
from rigopt.rig.types import ClockSetting
from tests.audit.audit_world import BAND, RETURNED, Bench, as_json, toml
from tests.tiers import few

RIG = json.loads(as_json(RETURNED))


def faults(bench: Bench, text: str, name: str = "rig.toml", **more: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        bench.read(text, name, **more)
    return [str(fault).partition(name)[2] for fault in caught.value.faults]


def changed(**top: Any) -> str:
    return json.dumps({**RIG, **top})


# --- what may be left out, and how else it may be said ----------------------------------


def test_both_forms_say_the_same(bench: Bench) -> None:
    rig = bench.read(RETURNED)
    assert bench.read(as_json(RETURNED), "rig.json") == rig
    assert [unit.role for unit in rig.units] == ["host", "expander"]
    assert [(link.channels, link.carries) for link in rig.links] == [
        (8, ("audio",)),
        (8, ("audio", "clock")),
    ]
    assert rig.units[1].clock == ClockSetting("optical", 1, "host-1")


def test_ends_may_be_written_in_other_words_and_turned_round(bench: Bench) -> None:
    text = BAND.replace(
        '"expander-1 optical out 1" = { to = "host-1 optical in 1", cable = "opt-1m" }',
        '"HOST-1 Optical INPUT 1" = "expander-1 optical output 1"'.replace("HOST", "host"),
    )
    assert bench.rules(text) == []
    assert bench.read(text).links[0].from_unit == "expander-1"


@pytest.mark.parametrize("said", ["optical", "Optical 1", "optical in 1", "optical input 1"])
def test_a_clock_setting_in_words(bench: Bench, said: str) -> None:
    rig = bench.read(BAND.replace('"optical 1"', f'"{said}"'))
    assert rig.units[0].clock == ClockSetting("optical", 1, "expander-1")


def test_a_device_that_locks_to_nothing_needs_no_setting(bench: Bench) -> None:
    text = toml("host-1=bare; expander-1=deaf", "", "expander-1=internal")
    assert bench.read(text).units[0].clock == ClockSetting("internal")


def test_one_socket_of_a_kind_needs_no_number(bench: Bench) -> None:
    alone = toml("host-1=desk; box=tick", "", "host-1=word; box=internal")
    assert bench.read(alone).units[0].clock == ClockSetting("word", 1)
    twin = toml("host-1=twin; expander-1=pre", "", "host-1=optical; expander-1=internal")
    assert faults(bench, twin) == [
        ", units.host-1: its clock setting does not say which optical input (found 'host-1')"
    ]


@pytest.mark.parametrize(
    ("units", "roles"),
    [
        ("host-1=solo; expander-1=pre", ["host", "expander"]),
        ("desk-a=solo; expander-1=pre", ["host", "expander"]),
        ("desk-a=solo; host-1=desk", ["expander", "host"]),
        ("host-1=solo; host-2=solo", ["host", "host"]),
        ("a=pre; b=tick", ["expander", "clock"]),
    ],
)
def test_roles_follow_from_devices_and_names(bench: Bench, units: str, roles: Any) -> None:
    clock = ";".join(f"{part.split('=')[0]}=internal" for part in units.split(";"))
    assert [unit.role for unit in bench.read(toml(units, "", clock)).units] == roles


def test_a_role_may_be_said(bench: Bench) -> None:
    text = toml("host-1=desk; x=solo", "", "host-1=internal; x=internal")
    text = text.replace('"solo"', '{ device = "solo", role = "host" }')
    assert [unit.role for unit in bench.read(text).units] == ["host", "host"]
    wrong = text.replace(
        'x = { device = "solo", role = "host" }', 'x = { device = "solo", role = "clock" }'
    )
    assert "role" in bench.rules(wrong)


def test_the_rate_comes_from_the_option_the_file_or_the_needs(bench: Bench) -> None:
    assert bench.read(BAND).rate_hz == 48000
    assert bench.read(BAND, rate_typed="44,1").rate_hz == 44100
    bare = BAND.replace("rate_khz = 48", "")
    assert bench.read(bare, rate_needed=44100).rate_hz == 44100
    assert faults(bench, bare) == [
        ", rate_khz: the sample rate is missing; give it here or with --rate"
    ]
    with pytest.raises(InputError, match=r"--rate: must be a sample rate"):
        bench.read(BAND, rate_typed="47")
    with pytest.raises(InputError, match=r"--rate: must be a sample rate") as caught:
        bench.read(bare, rate_typed="fast")
    assert len(caught.value.faults) == 1


def test_what_plan_writes_beyond_units_and_links_is_passed_over(bench: Bench) -> None:
    extra = {"format": "rigopt-plan/1", "status": "best found", "why": {"a": [1]}, "total": "1"}
    units = [{**unit, "weight": 3} for unit in RIG["units"]]
    assert bench.read(changed(**extra, units=units), "r.json") == bench.read(RETURNED)
    assert "status" in RigFile.model_fields


def test_without_a_format_an_unknown_key_is_a_slip(bench: Bench) -> None:
    units = [{**RIG["units"][0], "clok": "internal"}, RIG["units"][1]]
    assert faults(bench, changed(units=units, unit=1, total="1"), "r.json") == [
        ", units[1].clok: there is no such key here (found 'clok'); did you mean 'clock'?",
        ", unit: there is no such key here (found 'unit'); did you mean 'units'?",
    ]
    assert faults(bench, BAND + "[clocks]\n") == [
        ", clocks: there is no such key here (found 'clocks'); did you mean 'clock'?"
    ]


# --- what cannot be meant ---------------------------------------------------------------

LINK = RIG["links"][0]
JSON_FAULTS = [
    ({"units": []}, ", units: must not be empty"),
    ({"units": {}}, ", units: must be a list (found 'a table')"),
    ({"units": [3]}, ", units[1]: must be a table (found '3')"),
    ({"units": None}, ", units: must be a list"),
    (
        {"format": "other/1"},
        ", format: must be rigopt-plan/2, rigopt-audit/2, rigopt-plan/1 or rigopt-audit/1,"
        " or be left out",
    ),
    ({"rate_khz": 47}, ", rate_khz: must be a sample rate in kHz"),
    ({"rate_khz": True}, ", rate_khz: must be a text or a number"),
    ({"links": [{**LINK, "kind": "optcal"}]}, "did you mean 'optical'?"),
    (
        {"links": [{**LINK, "from": "expander-l"}]},
        "links[1].from: there is no unit of that"
        " name (found 'expander-l'); did you mean 'expander-1'?",
    ),
    ({"links": [{**LINK, "to_socket": 0}]}, "must be a whole number from 1 to 1000"),
    ({"links": [{**LINK, "to_socket": 1.5}]}, "must be a whole number from 1 to 1000"),
    ({"links": [{**LINK, "channels": -1}]}, "must not be negative"),
    ({"links": [{**LINK, "carries": ["sound"]}]}, "must be audio or clock"),
    ({"links": [{**LINK, "cable": "opt1m"}]}, "did you mean 'opt-1m'?"),
    ({"links": [{**LINK, "cable": "desk"}]}, "is a device, but must be the id of a cable"),
    ({"links": [{"kind": "optical"}]}, "links[1].from: this is missing"),
    ({"links": [LINK] * 5001}, ", links: has more than 5000 entries"),
    (
        {"units": [{"name": f"a{n}", "device": "desk"} for n in range(1001)]},
        ", units: has more than 1000 entries",
    ),
    ({"inputs": [{}] * 100_001}, ", inputs: has more than 100000 entries"),
    (
        {"links": [{**LINK, "carries": ["audio"] * 10}]},
        ", links[1].carries: has more than 9 entries",
    ),
    (
        {"units": [{**RIG["units"][0], "phantom_banks_on": [1] * 1001}]},
        ", units[1].phantom_banks_on: has more than 1000 entries",
    ),
    (
        {"links": [{**LINK, "channels": 1_000_001}]},
        "must be a whole number from 0 to 1000000 (found '1000001')",
    ),
    (
        {"links": [{**LINK, "piece": 0}]},
        ", links[1].piece: must be a whole number from 1 to 1000000 (found '0')",
    ),
    ({"units": [{"name": "a", "device": "opt-1m"}]}, "is a cable, but must be the id of a"),
    ({"units": [{"name": "a", "device": "desks"}]}, "did you mean 'desk'?"),
    ({"units": [{"name": "a\u0007", "device": "desk"}]}, "holds a control character"),
    (
        {"units": [{"name": "a", "device": "desk"}], "links": []},
        ", units[1]: its clock setting is missing;"
        " say internal, or a socket such as 'optical 1'",
    ),
    ({"units": RIG["units"] * 2}, ", units[3].name: is the name of units[1] already"),
    ({"inputs": [{"use": "mic"}]}, "inputs[1]: says neither a computer input nor a unit"),
    (
        {"inputs": [{"use": "mic", "unit": "ghost", "channel": 1}]},
        "inputs[1].unit: there is no",
    ),
    (
        {"units": [{**RIG["units"][0], "clock": {"source": "optical", "from": "host-9"}}]},
        "units[1].clock.from: there is no unit of that name",
    ),
    (
        {"units": [{**RIG["units"][0], "clock": "internal 1"}]},
        "must be internal, without a socket",
    ),
    (
        {"units": [{**RIG["units"][0], "clock": "by the left one"}]},
        "must be internal, or a socket such as 'optical 1'",
    ),
    ({"units": [{**RIG["units"][0], "clock": 7}]}, "units[1].clock: must be a table"),
]


@pytest.mark.parametrize(("top", "said"), JSON_FAULTS)
def test_json_faults_name_the_place_and_the_nearest(bench: Bench, top: Any, said: Any) -> None:
    assert any(said in fault for fault in faults(bench, changed(**top), "r.json"))


TOML_FAULTS = [
    ('"expander-1 optical out 1"', '"expander-1 optical 1"', "must be unit, kind, in or out"),
    ('"expander-1 optical out 1"', '"expander-1 optical at 1"', "must say in or out"),
    ('"expander-1 optical out 1"', '"expander-1 optcal out 1"', "did you mean 'optical'?"),
    ('"expander-1 optical out 1"', '"expander-1 optical out x"', "is not a number"),
    ('"expander-1 optical out 1"', '"expander-1 optical in 1"', "joins an input to an input"),
    ('"host-1 optical in 1"', '"host-1 coax in 1"', "joins optical to coax; a cable joins"),
    ('"host-1 optical in 1"', '"hots-1 optical in 1"', "did you mean 'host-1'?"),
    ('"host-1 optical in 1"', "3", "must be unit, kind, in or out"),
    ('host-1 = "desk"', "host-1 = { role = 3 }", "units.host-1.device: this is missing"),
    ("[clock]", "[clock]\nghost = 'internal'", "clock.ghost: there is no unit of that name"),
    ("[clock]", "[phantom]\nghost = [1]\n[clock]", "phantom.ghost: there is no unit"),
    ("[clock]", "[phantom]\nhost-1 = 'all'\n[clock]", "phantom.host-1[1]: is not a number"),
    ("[clock]", "[inputs]\n'host-1' = 'x'\n[clock]", "must be a computer input, or unit and"),
    ("[clock]", "[inputs]\n'hots-1 1' = 'x'\n[clock]", "did you mean 'host-1'?"),
    ('"host-1 optical in 1"', '"expander-1 tee"', "leads from a T-piece to something else"),
    ('"expander-1 optical out 1"', '"expander-1 tee"', "leads from a T-piece to something"),
    ("[clock]", "[phantom]\nhost-1 = [0]\n[clock]", "must be a whole number from 1"),
    ("[clock]", f"[phantom]\nhost-1 = {[1] * 1001}\n[clock]", "has more than 1000 entries"),
    (
        'cable = "opt-1m"',
        f"carries = {['audio'] * 10}",
        "carries: has more than 9 entries",
    ),
    ("[units]", "[units", "is not valid TOML"),
    ("[units]", "units = 3\n[unit]", "units: must be a table"),
    ("rate_khz = 48", "rate_khz = 'quick'", "rate_khz: must be a sample rate"),
]


@pytest.mark.parametrize(("old", "new", "said"), TOML_FAULTS)
def test_toml_faults_name_the_place_and_the_nearest(
    bench: Bench, old: Any, new: Any, said: Any
) -> None:
    assert old in BAND
    assert any(said in fault for fault in faults(bench, BAND.replace(old, new)))


def test_every_fault_is_told_at_once(bench: Bench) -> None:
    text = BAND.replace('"desk"', '"desk-8"').replace("48", "47").replace("opt-1m", "op")
    assert len(faults(bench, text)) == 3


OUT = "expander-1 optical out 1"
TWO_SPELLINGS = [
    ("[units]", '"host-1 " = "desk"', "units: 'host-1 ' and 'host-1' mean the same"),
    ("[clock]", '"host-1 " = "word"', "clock: 'host-1 ' and 'host-1' mean the same"),
    ("[phantom]", "' expander-1' = [2]", "phantom: ' expander-1' and 'expander-1' mean"),
    (
        "[cables]",
        '"expander-1 OPTICAL output 01" = "host-1 optical in 1"',
        f"cables: 'expander-1 OPTICAL output 01' and '{OUT}' mean the same",
    ),
    (
        "[cables]",
        f'"host-1 optical in 1" = "{OUT}"',
        f"same cable as 'host-1 optical in 1', the other way round (found '{OUT}')",
    ),
    ("[inputs]", '"host-1 01" = "x"', ".host-1 1: is the same input as inputs.host-1 01"),
    ("[inputs]", '"host-1  1" = "x"', "inputs.host-1 1: is the same input as inputs.host-1"),
    ("[inputs]", '"1" = "x"', "inputs.host-1 1: is the same input as inputs.1"),
    ("[inputs]", '"03" = "x"', "inputs.3: is the same input as inputs.03"),
    ("[inputs]", '"099" = "x"', "inputs.99: is the same input as inputs.099"),
    ("[inputs]", '"host-1 099" = "x"', "host-1 99: is the same input as inputs.host-1 099"),
]


@pytest.mark.parametrize(("table", "line", "said"), TWO_SPELLINGS)
def test_two_keys_that_mean_the_same_are_both_named(
    bench: Bench, table: str, line: str, said: str
) -> None:
    """Neither is lost, and it is no fault of the rig."""
    sound = f"""{BAND}[phantom]\nexpander-1 = [1]\n[inputs]
"host-1 1" = "a"\n3 = "c"\n99 = "d"\n"host-1 99" = "e"\n"""
    assert bench.read(sound)
    (fault,) = faults(bench, sound.replace(table, f"{table}\n{line}"))
    assert said in fault


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('"expander-1 trunk out 1" = "host-1 trunk in 2"', "mean the same"),
        ('"expander-1 trunk out 1" = "host-1 trunk in 1"', "mean the same"),
        ('"host-1 trunk out 1" = "expander-1 trunk in 1"', "the other way round"),
    ],
)
def test_a_socket_that_works_both_ways_is_one_by_any_name(
    tmp_path: Path, line: str, said: str
) -> None:
    path = tmp_path / "rig.toml"
    sound = """rate_khz = 48\n[units]\nhost-1 = "mixer-16-stage"\nexpander-1 = "stage-16"
[clock]\nhost-1 = "internal"\nexpander-1 = "trunk 1"
[cables]\n"expander-1 trunk 1" = "host-1 trunk 1"\n"""
    path.write_text(sound)
    demo = read_folder(demo_catalogue(), invented=True)
    assert examine(read_rig(path, demo), None).works
    path.write_text(sound + line)
    with pytest.raises(InputError, match=said) as caught:
        read_rig(path, demo)
    (fault,) = caught.value.faults
    assert "expander-1 trunk 1" in str(fault)
    assert line.split('"')[1] in str(fault)


def test_an_input_twice_in_json_is_a_fault_of_the_file(bench: Bench) -> None:
    raw = json.loads(as_json(BAND))
    voice = {"unit": "expander-1", "channel": 1, "source": "Voice"}
    raw["inputs"] = [voice, {"computer_input": 11, "source": "Bass"}]
    assert faults(bench, json.dumps(raw), "r.json") == [
        ", inputs[2]: is the same input as inputs[1]"
    ]


def test_a_value_that_is_wrong_is_told_in_files_of_this_program_too(bench: Bench) -> None:
    text = changed(format="rigopt-plan/2", links=[{**LINK, "to_socket": 0}], more=1)
    (fault,) = faults(bench, text, "r.json")
    assert "links[1].to_socket: must be a whole number from 1" in fault


def test_without_units_nothing_is_said_of_their_names(bench: Bench) -> None:
    assert faults(bench, changed(units=[]), "r.json") == [", units: must not be empty"]


def test_an_answer_without_a_rig_is_told_plainly(bench: Bench) -> None:
    text = json.dumps({"format": "rigopt-plan/1", "status": "impossible", "reasons": ["x"]})
    assert faults(bench, text, "r.json") == [
        ", status: holds no rig, for there was none to find (found 'impossible')"
    ]


def test_missing_files_and_folders(bench: Bench) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_rig(bench.folder / "none.json", bench.catalogue)
    with pytest.raises(InputError, match="is a folder"):
        read_rig(bench.folder, bench.catalogue)


# --- hostile files ----------------------------------------------------------------------

HOSTILE = [
    ("", "is not valid JSON: expecting value"),
    ("{", "is not valid JSON"),
    ("null", "must hold an object with units and links"),
    ("[]", "must hold an object"),
    ('{"units": NaN}', "is not valid JSON: NaN is no number"),
    ('{"rate_khz": Infinity}', "Infinity is no number"),
    ('{"a": 1, "a": 2}', "the key 'a' is twice in one object"),
    ('{"a\\u001b": 1, "a\\u001b": 2}', "is twice in one object"),
    ("[" * 100_000, "is nested too deeply"),
    ('{"a":' * 100_000, "is nested too deeply"),
    ('{"rate_khz": ' + "9" * 5000 + "}", "a number of thousands of digits"),
    ('{"units": "' + "x" * 10_000_000 + '"}', "is larger than 5 MB"),
    ('{"units": [{"name": "' + "x" * 1_000_000 + '"}]}', "is longer than 500 characters"),
    ('{"units": "\\ud800"}', "units: must be a list"),
    ('{"units": [{"name": "\\ud800", "device": "\\u202e"}]}', "holds a control character"),
    ("\x00", "is not a text file"),
]


@pytest.mark.parametrize(("text", "said"), HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_json_is_a_line(bench: Bench, text: str, said: str) -> None:
    found = faults(bench, text, "r.json")
    assert any(said in fault for fault in found)
    assert all(len(fault) < 400 for fault in found)


@pytest.mark.parametrize("cut", few(range(0, len(as_json(RETURNED)), 7), 20))
def test_a_truncated_file_is_a_line(bench: Bench, cut: int) -> None:
    assert len(faults(bench, as_json(RETURNED)[:cut], "r.json")) == 1


JSONS = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=9)
    | st.sampled_from(["optical", "host-1", "internal", "desk", "audio", "pre"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from([*RIG, *RIG["units"][0], *LINK, "inputs", "source", "socket", "x"]),
            inner,
            max_size=5,
        )
    ),
    max_leaves=12,
)


def outcome(bench: Bench, text: str, name: str) -> object:
    """The units, or what is wrong; any other exception goes through."""
    try:
        return bench.read(text, name, rate_needed=48000).units
    except InputError as error:
        return str(error)


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.fixed_dictionaries({}, optional=dict.fromkeys((*RIG, "inputs", "format", "x"), JSONS))
)
def test_any_json_is_read_or_refused(bench: Bench, top: Any) -> None:
    """Nothing but `InputError` comes out."""
    text = json.dumps({**RIG, **top})
    assert outcome(bench, text, "r.json")


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=60), st.integers(0, len(BAND)))
def test_any_edit_of_a_toml_file_is_read_or_refused(bench: Bench, text: str, at: int) -> None:
    edited = (BAND[:at] + text + BAND[at + len(text) :]).encode("utf-8", "replace").decode()
    assert outcome(bench, edited, "rig.toml")


def test_the_parser_alone() -> None:
    gathered = Gathered("f")
    assert parse_json('{"a": 1.10}', gathered) == {"a": "1.10"}
    assert not gathered
    assert column(("a", 0, "b", "[key]")) == "a[1].b"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('"host-1 0" = "Voice"', "inputs.host-1 0: counts from 1 (found 'host-1 0')"),
        ('"0" = "Voice"', "inputs.0: counts from 1 (found '0')"),
        ('"\N{SUPERSCRIPT TWO}" = "Voice"', "must be a computer input, or unit and channel"),
        ('"host-1 2" = 5', "inputs.host-1 2.source: must be a name in quotation marks"),
        ('"host-1 2" = { source = 5 }', "inputs.host-1 2.source: must be a name in quotation"),
    ],
)
def test_an_input_that_cannot_be_is_a_fault_of_the_file(
    bench: Bench, line: str, said: str
) -> None:
    (fault,) = faults(bench, f"{BAND}\n[inputs]\n{line}\n")
    assert said in fault


def test_a_number_for_a_source_in_json_is_a_fault_of_the_file(bench: Bench) -> None:
    raw = json.loads(as_json(BAND))
    raw["inputs"] = [{"computer_input": 1, "source": 5}]
    (fault,) = faults(bench, json.dumps(raw), "r.json")
    assert "inputs[1].source: must be a name in quotation marks (found '5')" in fault
