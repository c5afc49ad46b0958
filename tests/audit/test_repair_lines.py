"""Analogue lines, DI boxes and headphone amplifiers of rigs wired by hand: read, audited,
repaired. Every piece is generic, every price invented.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import examine
from rigopt.api.repair import ask_repair
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.needs.types import Needs
from rigopt.output.facts.repair import repair_steps
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.reading.read import read_rig
from rigopt.rig.types import Link
from rigopt.rig.wired import WiredRig

DEVICES = """\
id,role,price,mic_line,mic,line,phantom_bank,line_out,phones,direct_out,direct_plug,\
line_plug,optical_in,optical_out,word_out,clock_in,rates_khz,inst,di_phantom,line_in
desk,host,300,4,,4,4,4,1,,,,1,1,,optical,48;96,,,
xlr,host,320,4,,2,2,2,1,,,xlr,1,1,,optical,48;96,,,
comb,host,310,,,16,,2,1,,,dsub,,,,,48;96;192,,,
pre4,preamp,100,,4,,4,,,4,,,,,,,,,,
pre16,preamp,400,,16,,16,,,16,dsub,,,,,,,,,
pre8,expander,200,8,,,8,8,,8,,,1,1,,optical,48,,,
conv,expander,150,,,8,,,,,,,,1,,,48,,,
active,di,40,,,,,,,,,,,,,,,2,yes,
plain,di,20,,,,,,,,,,,,,,,1,,
ears,headphones,50,,,,,,4,,,,,,,,,,,2
"""
CABLES = """\
id,kind,length_m,price,ends,ways
opt-1m,optical,1,6,,
lead-1m,analogue,1,5,jack-jack,
lead-3m,analogue,3,7,jack-jack,
jack-xlr,analogue,1,6,jack-xlr,
loom-4,analogue,1,16,jack-jack,4
comb-comb,analogue,1,30,dsub-dsub,8
comb-jack,analogue,1,28,dsub-jack,8
jack-comb,analogue,1,27,jack-dsub,8
"""
EIGHT = Needs(rate_hz=48000, mic=8, phantom=8)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    folder = tmp_path_factory.mktemp("shop")
    (folder / "catalog.toml").write_text('title = "Lines"\ncurrency = "GBP"\n')
    (folder / "devices.csv").write_text(DEVICES)
    (folder / "cables.csv").write_text(CABLES)
    return read_folder(folder)


def rig(
    shop: Catalogue, tmp_path: Path, units: str, cables: str = "", more: str = ""
) -> WiredRig:
    """'host-1=desk; preamp-1=pre4' and 'preamp-1 1 > host-1 5 @lead-1m #1; ...'."""
    lines = ["rate_khz = 48", "[units]"]
    lines += [
        f'{name} = "{device}"' for name, device in (u.split("=") for u in units.split("; "))
    ]
    lines.append("[cables]")
    for cable in filter(None, cables.split("; ")):
        route, _, number = cable.partition(" #")
        ends, _, piece = route.partition(" @")
        (one, out), (other, into) = (end.split() for end in ends.split(" > "))
        value = f'to = "{other} analogue in {into}"'
        value += f', cable = "{piece}"' if piece else ""
        value += f", piece = {number}" if number else ""
        lines.append(f'"{one} analogue out {out}" = {{ {value} }}')
    path = tmp_path / "rig.toml"
    path.write_text("\n".join([*lines, more]) + "\n")
    return read_rig(path, shop)


def ways(links: tuple[Link, ...]) -> set[tuple[str, int, str, int]]:
    """Where the lines go."""
    return {
        (x.from_unit, x.from_socket, x.to_unit, x.to_socket)
        for x in links
        if x.kind == "analogue"
    }


def mended(found: WiredRig, shop: Catalogue, needs: Needs | None) -> tuple[Repaired, list[str]]:
    repair = ask_repair(found, shop, needs)
    assert isinstance(repair, Repaired), repair
    assert examine(repair.rig, needs).findings == ()
    steps = map(step_words, repair_steps(found, repair))
    return repair, [": ".join(step) for step in steps]


FOUR = "; ".join(f"preamp-1 {n} > host-1 {n + 4} @lead-1m" for n in range(1, 5))
ON = "[clock]\nhost-1 = 'internal'\n[phantom]\nhost-1 = [1]\npreamp-1 = [1]\n"


def test_lines_that_are_right_stay(shop: Catalogue, tmp_path: Path) -> None:
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", FOUR, ON)
    assert [unit.role for unit in found.units] == ["host", "preamp"]
    assert examine(found, EIGHT).findings == ()
    repair, todo = mended(found, shop, EIGHT)
    assert (repair.moved, repair.added, repair.removed, todo) == ((), (), (), [])


@pytest.mark.parametrize("way", ["preamp-1 4 > host-1 12", "preamp-1 4 > host-1 7"])
def test_a_line_to_no_input_or_to_one_that_is_taken_is_plugged_in_elsewhere(
    shop: Catalogue, tmp_path: Path, way: str
) -> None:
    wrong = FOUR.replace("preamp-1 4 > host-1 8", way)
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", wrong, ON)
    repair, todo = mended(found, shop, EIGHT)
    assert ways(repair.rig.links) == {("preamp-1", n, "host-1", n + 4) for n in range(1, 5)}
    assert (repair.money, len(repair.moved), repair.added, repair.removed) == (0, 1, (), ())
    old = "host-1 in 12" if "12" in way else "host-1 in 7"
    new = "analogue preamp-1 direct out 4 -> host-1 in 8, for 1 channel"
    assert todo == [f"Move: analogue preamp-1 direct out 4 -> {old}: lead-1m; to {new}"]


def test_a_lead_with_the_wrong_plug_is_replaced(shop: Catalogue, tmp_path: Path) -> None:
    wrong = FOUR.replace("host-1 8 @lead-1m", "host-1 8 @jack-xlr")
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", wrong, ON)
    repair, todo = mended(found, shop, EIGHT)
    assert repair.money == 500
    assert todo == [
        "Replace: analogue preamp-1 direct out 4 -> host-1 in 8: jack-xlr, by lead-1m",
    ]


def test_a_lead_that_is_too_short_is_replaced(shop: Catalogue, tmp_path: Path) -> None:
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", FOUR, ON)
    far = replace(EIGHT, host_to_rack_mm=3000)
    assert [f.rule for f in examine(found, far).findings] == ["cable-short"] * 4
    repair, _ = mended(found, shop, far)
    assert repair.money == 4 * 700


def test_the_cheapest_pieces_are_bought(shop: Catalogue, tmp_path: Path) -> None:
    """A loom of 4 for 16.00 is less than four leads for 5.00 each; three are less."""
    bare = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", "", ON)
    repair, todo = mended(bare, shop, EIGHT)
    assert repair.money == 1600
    assert todo == ["Add: analogue preamp-1 direct out 1–4 -> host-1 in 5–8: loom-4"]
    assert len({link.piece for link in repair.rig.links}) == 1
    repair, _ = mended(bare, shop, replace(EIGHT, mic=7, phantom=7))
    assert repair.money == 1500
    repair, _ = mended(bare, shop, replace(EIGHT, owned={"loom-4": 1}))
    assert repair.money == 0


def test_a_free_way_of_a_loom_is_plugged_in(shop: Catalogue, tmp_path: Path) -> None:
    three = "; ".join(f"preamp-1 {n} > host-1 {n + 4} @loom-4 #7" for n in (1, 2, 3))
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", three, ON)
    repair, todo = mended(found, shop, EIGHT)
    assert repair.money == 0
    assert {link.piece for link in repair.rig.links} == {7}
    way = "analogue preamp-1 direct out 4 -> host-1 in 8, for 1 channel"
    assert todo == [f"Plug: {way}: a free way of loom-4"]


def test_a_direct_out_leaves_an_xlr_whose_bank_is_on(shop: Catalogue, tmp_path: Path) -> None:
    """Channels 1 to 4 take both, in banks of two; 5 and 6 take line alone."""
    lines = "preamp-1 1 > host-1 1 @jack-xlr; preamp-1 2 > host-1 2 @jack-xlr"
    found = rig(shop, tmp_path, "host-1=xlr; preamp-1=pre4", lines, ON)
    needs = replace(EIGHT, mic=6, phantom=6)
    assert "line-bank" in {finding.rule for finding in examine(found, needs).findings}
    repair, _ = mended(found, shop, needs)
    assert {way[3] for way in ways(repair.rig.links)} == {5, 6}
    assert repair.rig.units[0].phantom_banks_on == (1, 2)
    alone, todo = mended(found, shop, None)
    assert examine(alone.rig, None).works, todo


def test_without_needs_the_bank_of_an_xlr_goes_off_and_no_other(
    shop: Catalogue, tmp_path: Path
) -> None:
    lines = "preamp-1 1 > host-1 1 @jack-xlr; preamp-1 2 > host-1 2 @jack-xlr"
    both = ON.replace("host-1 = [1]", "host-1 = [1, 2]")
    found = rig(shop, tmp_path, "host-1=xlr; preamp-1=pre4", lines, both)
    repair, todo = mended(found, shop, None)
    assert examine(repair.rig, None).works, todo
    assert repair.rig.units[0].phantom_banks_on == (2,)
    assert {way[3] for way in ways(repair.rig.links)} == {1, 2}


def test_without_needs_nothing_is_plugged_where_something_is(
    shop: Catalogue, tmp_path: Path
) -> None:
    more = f'{ON}[inputs]\n"host-1 5" = "Keys"\n"host-1 6" = "Keys too"\n'
    lines = "preamp-1 1 > host-1 12 @lead-1m; preamp-1 2 > host-1 13 @lead-1m"
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", lines, more)
    repair, _ = mended(found, shop, None)
    assert {way[3] for way in ways(repair.rig.links)} == {7, 8}


def test_d_sub_connectors_have_one_piece_each(shop: Catalogue, tmp_path: Path) -> None:
    """Both connectors of the preamp are crossed with one of the host's, and one is free."""
    units, needs = "host-1=comb; preamp-1=pre16", replace(EIGHT, mic=16, phantom=16)
    lines = [f"preamp-1 {n} > host-1 {n} @comb-comb #1" for n in range(1, 9)]
    lines += [f"preamp-1 {n + 8} > host-1 {n} @comb-comb #2" for n in range(1, 9)]
    power = "[clock]\nhost-1 = 'internal'\n[phantom]\npreamp-1 = [1]\n"
    found = rig(shop, tmp_path, units, "; ".join(lines), power)
    assert {"line-twice", "connector-taken"} <= {f.rule for f in examine(found, needs).findings}
    repair, todo = mended(found, shop, needs)
    assert (repair.money, len(repair.moved), repair.added, repair.removed) == (0, 8, (), ())
    assert len(ways(repair.rig.links)) == 16
    bare = rig(shop, tmp_path, units, "", power)
    repair, todo = mended(bare, shop, needs)
    assert repair.money == 2 * 3000
    assert len(todo) == 2


def test_a_digital_expander_stands_by_its_direct_outs_alone(
    shop: Catalogue, tmp_path: Path
) -> None:
    """At 96 kHz, which it does not have; and it keeps its digital link at 48 kHz."""
    lines = "; ".join(f"pre-1 {n} > host-1 {n + 4} @lead-1m" for n in range(1, 5))
    more = "[clock]\nhost-1 = 'internal'\n[phantom]\nhost-1 = [1]\npre-1 = [1]\n"
    found = rig(shop, tmp_path, "host-1=desk; pre-1=pre8", lines, more)
    assert (found.units[1].role, found.units[1].clock) == ("preamp", None)
    fast = replace(EIGHT, rate_hz=96000)
    _, todo = mended(found, shop, fast)
    assert todo == ["Set: every unit to 96 kHz"]
    assert mended(found, shop, EIGHT)[1] == []
    twelve = replace(EIGHT, mic=12, phantom=12)
    repair, _ = mended(found, shop, twelve)
    assert [x.kind for x in repair.rig.links if x.kind != "analogue"][:1] == ["optical"]
    assert repair.rig.units[1].role == "expander"
    assert isinstance(ask_repair(found, shop, replace(twelve, rate_hz=96000)), NoRepair)


def test_leads_that_nothing_needs_are_remarks(shop: Catalogue, tmp_path: Path) -> None:
    """One that no source is on; one into an input that is not heard; one of a channel that
    is at the computer already.
    """
    units = "host-1=desk; pre-1=pre8; conv-1=conv"
    lines = "pre-1 1 > host-1 5 @lead-1m; pre-1 2 > conv-1 1 @lead-1m"
    link = '"pre-1 optical out 1" = "host-1 optical in 1"\n'
    clock = "[clock]\nhost-1 = 'optical 1'\npre-1 = 'internal'\n"
    found = examine(rig(shop, tmp_path, units, lines, f"{link}{clock}"), None)
    assert found.works
    assert [(one.rule, one.fact("link")) for one in found.warnings] == [
        ("line-needless", "pre-1 direct out 1 -> host-1 5"),
        ("line-needless", "pre-1 direct out 2 -> conv-1 1"),
        ("line-idle", "pre-1 direct out 2 -> conv-1 1"),
    ]
    clock = "[clock]\nhost-1 = 'internal'\n"
    found = examine(rig(shop, tmp_path, units, lines, clock), None)
    assert [(one.rule, one.fact("link")) for one in found.warnings] == [
        ("line-idle", "pre-1 direct out 2 -> conv-1 1"),
    ]
    assert found.works
    assert [item.unit for item in found.inputs][4:] == ["pre-1", *["host-1"] * 3]


def test_a_lead_from_a_direct_out_that_is_not_there(shop: Catalogue, tmp_path: Path) -> None:
    """Whatever a file says that it carries, it is a fault and nothing worse."""
    lead = {"kind": "analogue", "from": "conv-1", "from_socket": 1, "to": "host-1"}
    raw = {
        "rate_khz": 48,
        "units": [
            {"name": "host-1", "device": "desk", "clock": "internal"},
            {"name": "conv-1", "device": "conv"},
        ],
        "links": [{**lead, "to_socket": 5, "channels": 1, "carries": ["audio"]}],
    }
    path = tmp_path / "rig.json"
    path.write_text(json.dumps(raw))
    assert [f.rule for f in examine(read_rig(path, shop), None).findings] == ["line-out"]


def test_a_line_through_a_converter(shop: Catalogue, tmp_path: Path) -> None:
    """The microphones of the preamp have the converter's numbers."""
    units = "host-1=desk; conv-1=conv; pre-1=pre8"
    lines = "; ".join(f"pre-1 {n} > conv-1 {n} @lead-1m" for n in range(1, 9))
    link = '"conv-1 optical out 1" = "host-1 optical in 1"\n'
    more = f"{link}[clock]\nhost-1 = 'optical 1'\nconv-1 = 'internal'\n"
    more += "[phantom]\nhost-1 = [1]\npre-1 = [1]\n"
    found = rig(shop, tmp_path, units, lines, more)
    twelve = replace(EIGHT, mic=12, phantom=12)
    assert examine(found, twelve).findings == ()
    cut = replace(found, links=tuple(x for x in found.links if x.kind == "analogue"))
    assert "demand" in {finding.rule for finding in examine(cut, twelve).findings}
    assert {remark.rule for remark in examine(cut, twelve).warnings} == {"line-idle"}
    repair, _ = mended(cut, shop, twelve)
    assert repair.money == 600


def test_di_boxes_are_read_audited_and_seated(shop: Catalogue, tmp_path: Path) -> None:
    units = "host-1=desk; di-1=active"
    seat = '"host-1 1" = { use = "instrument", through = "di-1", source = "Bass" }\n'
    more = f"[clock]\nhost-1 = 'internal'\n[phantom]\nhost-1 = [1]\n[inputs]\n{seat}"
    found = rig(shop, tmp_path, units, "", more)
    assert examine(found, None).findings == ()
    assert examine(found, None).inputs[0].path == ("di-1", "host-1")
    off = replace(found, units=tuple(replace(u, phantom_banks_on=()) for u in found.units))
    assert [f.rule for f in examine(off, None).findings] == ["di-phantom"]
    line = rig(shop, tmp_path, units, "", more.replace("host-1 1", "host-1 5"))
    assert "use" in {f.rule for f in examine(line, None).findings}
    nobox = rig(shop, tmp_path, "host-1=desk; di-1=ears", "", more)
    assert [f.rule for f in examine(nobox, None).findings] == ["di-missing"]
    needs = Needs(rate_hz=48000, instrument=1)
    assert examine(off, needs).findings != ()
    _, todo = mended(off, shop, needs)
    assert todo == ["Switch: 48 V on on bank 1 of host-1"]
    with pytest.raises(InputError, match="no unit of that name"):
        rig(shop, tmp_path, units, "", more.replace('"di-1", s', '"di-9", s'))


def test_instruments_in_di_boxes_may_take_every_input(shop: Catalogue, tmp_path: Path) -> None:
    """Two boxes of two, and four inputs for microphones: none is left over."""
    more = "[clock]\nhost-1 = 'internal'\n"
    off = rig(shop, tmp_path, "host-1=desk; di-1=active; di-2=active", "", more)
    _, todo = mended(off, shop, Needs(rate_hz=48000, instrument=4))
    assert todo == ["Switch: 48 V on on bank 1 of host-1"]


def test_json_says_the_same(shop: Catalogue, tmp_path: Path) -> None:
    told: dict[str, Any] = {
        "rate_khz": 48,
        "units": [
            {"name": "host-1", "device": "desk", "clock": "internal"},
            {"name": "pre-1", "device": "pre8", "phantom_banks_on": [1]},
            {"name": "di-1", "device": "plain"},
        ],
        "links": [
            {
                "kind": "analogue",
                "from": "pre-1",
                "from_socket": 1,
                "to": "host-1",
                "to_socket": 5,
                "piece": 3,
            }
        ],
        "inputs": [
            {
                "unit": "host-1",
                "channel": 1,
                "use": "instrument",
                "path": ["di-1", "host-1"],
            }
        ],
    }
    path = tmp_path / "rig.json"
    path.write_text(json.dumps(told))
    found = read_rig(path, shop)
    assert examine(found, None).findings == ()
    assert (found.links[0].piece, found.links[0].channels) == (3, 1)
    assert found.stated[0].through == "di-1"
    del told["inputs"][0]["path"]
    told["inputs"][0]["through"] = "di-1"
    assert read_rig(told, shop).stated == found.stated


def test_amplifiers_are_fed_by_outputs_that_count(shop: Catalogue, tmp_path: Path) -> None:
    """The host has four line outputs and one for headphones; the amplifier takes two."""
    found = rig(shop, tmp_path, "host-1=desk; ears-1=ears", "", "[clock]\nhost-1 = 'internal'")
    needs = Needs(rate_hz=48000, mic=1, out_phones=5, out_line=2)
    assert mended(found, shop, needs)[1] == []
    more = ask_repair(found, shop, replace(needs, out_line=3))
    assert isinstance(more, NoRepair)
    assert [unmet.name for cause in more.causes for unmet in cause.unmet] == ["outputs"]
    ears = ask_repair(found, shop, replace(needs, out_phones=6))
    assert isinstance(ears, NoRepair)
    assert [fault.rule for fault in ears.of_units] == ["phones"]


def test_spare_inputs_are_kept_free(shop: Catalogue, tmp_path: Path) -> None:
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", "", ON)
    spare = replace(EIGHT, mic=5, phantom=5, spare=2)
    repair, _ = mended(found, shop, spare)
    assert len(ways(repair.rig.links)) == 3


def test_a_box_gets_its_48_v_without_needs(shop: Catalogue, tmp_path: Path) -> None:
    seat = '"host-1 1" = { use = "instrument", through = "di-1" }\n'
    more = f"[clock]\nhost-1 = 'internal'\n[inputs]\n{seat}"
    found = rig(shop, tmp_path, "host-1=desk; di-1=active", "", more)
    assert [fault.rule for fault in examine(found, None).findings] == ["di-phantom"]
    assert mended(found, shop, None)[1] == ["Switch: 48 V on on bank 1 of host-1"]


def test_a_line_that_is_nowhere_is_one_fault(shop: Catalogue, tmp_path: Path) -> None:
    wrong = FOUR.replace("host-1 8", "host-1 9")
    found = rig(shop, tmp_path, "host-1=desk; preamp-1=pre4", wrong, ON)
    assert [fault.rule for fault in examine(found, None).findings] == ["line-in"]


BAND = "[clock]\nhost-1 = 'internal'\n"


def test_what_arrives_by_itself_does_not_come_by_a_line_too(
    shop: Catalogue, tmp_path: Path
) -> None:
    """A light-pipe at 96 kHz carries 4 channels (lib_xua feat_adat_tx.rst), so that of 8 the
    last four come by their direct outs, over one loom for 16.00.
    """
    link = '"pre-1 optical out 1" = "host-1 optical in 1"\n'
    more = f"{link}[clock]\nhost-1 = 'optical 1'\npre-1 = 'internal'\n[phantom]\npre-1 = [1]\n"
    found = rig(shop, tmp_path, "host-1=desk; pre-1=pre8", "", more)
    units = tuple(
        replace(u, device=replace(u.device, rates_hz=(48000, 96000), optical_2x=1))
        for u in found.units
    )
    fast = replace(found, units=units, rate_hz=96000)
    needs = replace(EIGHT, rate_hz=96000, mic=12)
    repair, _ = mended(fast, shop, needs)
    assert repair.money == 1600
    assert {way[1] for way in ways(repair.rig.links)} == {5, 6, 7, 8}
    assert [(x.kind, x.channels) for x in repair.rig.links][:1] == [("optical", 4)]


def test_each_unit_keeps_its_own_channels(shop: Catalogue, tmp_path: Path) -> None:
    """Two leads of one preamp are right; those of the other have a plug that does not fit."""
    right = "; ".join(f"preamp-1 {n} > host-1 {n + 4} @lead-1m" for n in (1, 2))
    wrong = "; ".join(f"preamp-2 {n} > host-1 {n + 6} @jack-xlr" for n in (1, 2))
    units = "host-1=desk; preamp-1=pre4; preamp-2=pre4"
    found = rig(shop, tmp_path, units, f"{right}; {wrong}", BAND)
    repair, _ = mended(found, shop, None)
    assert repair.money == 2 * 500
    assert {way[0] for way in ways(repair.rig.links)} == {"preamp-1", "preamp-2"}
    assert len(ways(repair.rig.links)) == 4


def test_one_number_on_two_units_is_two_pieces(shop: Catalogue, tmp_path: Path) -> None:
    lines = [f"preamp-1 {n} > host-1 {n + 4} @loom-4 #3" for n in (1, 2)]
    lines += [f"preamp-2 {n} > host-1 {n + 6} @loom-4 #3" for n in (1, 2)]
    units = "host-1=desk; preamp-1=pre4; preamp-2=pre4"
    found = rig(shop, tmp_path, units, "; ".join(lines), BAND)
    assert not examine(found, None).works
    repair, _ = mended(found, shop, None)
    assert (repair.money, repair.added, repair.removed) == (0, (), ())
    assert {(x.from_unit, x.piece) for x in repair.rig.links} == {
        ("preamp-1", 3),
        ("preamp-2", 1),
    }


def test_a_piece_with_a_d_sub_serves_one_connector(shop: Catalogue, tmp_path: Path) -> None:
    """Only inputs 7 to 10 are free, two on each connector: that takes two pieces."""
    taken = [n for n in range(1, 17) if n not in range(7, 11)]
    more = f"{BAND}[inputs]\n" + "".join(f'"host-1 {n}" = "Keys {n}"\n' for n in taken)
    lines = "; ".join(f"preamp-1 {n} > host-1 {n + 16} @jack-comb #1" for n in range(1, 5))
    found = rig(shop, tmp_path, "host-1=comb; preamp-1=pre4", lines, more)
    repair, _ = mended(found, shop, None)
    assert repair.money == 2700
    assert {way[3] for way in ways(repair.rig.links)} == {7, 8, 9, 10}
    pieces = {(x.piece, (x.to_socket - 1) // 8) for x in repair.rig.links}
    assert len(pieces) == len({piece for piece, _ in pieces}) == 2


def test_a_connector_has_no_second_piece(shop: Catalogue, tmp_path: Path) -> None:
    """Eight inputs on one connector, and two preamps of four: that would be two pieces."""
    found = rig(shop, tmp_path, "host-1=comb; preamp-1=pre4; preamp-2=pre4", "", BAND)
    assert isinstance(ask_repair(found, shop, EIGHT), Repaired)
    host = replace(found.units[0], device=replace(found.units[0].device, line=8))
    one = replace(found, units=(host, *found.units[1:]))
    assert isinstance(ask_repair(one, shop, EIGHT), NoRepair)
