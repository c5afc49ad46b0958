"""Small rigs written as files of both forms and read again: what is left out follows."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rigopt.errors import InputError
from rigopt.output.data.json_parts import rig_json
from rigopt.rig.reading.read import read_rig
from rigopt.rig.types import ClockSetting, Input, Link, Unit
from rigopt.rig.wired import WiredRig
from tests.rig import line_worlds, link_worlds
from tests.rig.link_worlds import SIXTEEN
from tests.rig.rig_builders import World, with_device, with_unit

NAMES = ("stereo", "staged", "chained", "apart", "two_hosts", "idle")
LINED = ("leads", "loomed", "combs", "shut", "converted")


def written(units: Sequence[Unit], links: Sequence[Link], inputs: Sequence[Input]) -> Any:
    return rig_json(units, links, inputs)


def made(name: str) -> World:
    where = link_worlds if name in NAMES else line_worlds
    found: World = getattr(where, name)()
    return found


@pytest.mark.parametrize("name", [*NAMES, *LINED])
def test_an_answer_is_read_as_it_was_written(name: str) -> None:
    world = made(name)
    rig = world.rig
    raw = written(rig.units, rig.links, rig.inputs)
    found = read_rig({"format": "rigopt-plan/2", "rate_khz": 48, **raw}, world.catalogue)
    assert (found.units, found.links, found.rate_hz) == (rig.units, rig.links, rig.rate_hz)
    used = [item for item in rig.inputs if item.use]
    assert [(one.number, one.use, one.phantom) for one in found.stated] == [
        (item.computer_input, item.use, item.phantom) for item in used
    ]
    boxes = [item.path[0] if item.path[0].startswith("di") else None for item in used]
    assert [one.through for one in found.stated] == boxes


@pytest.mark.parametrize("name", [*NAMES, *LINED])
@pytest.mark.parametrize("turned", [False, True])
def test_what_people_write_is_the_same_rig(name: str, turned: bool, tmp_path: Path) -> None:
    """From output to input, or turned round; roles, carriage and senders follow."""
    world = made(name)
    rig = world.rig
    path = tmp_path / "rig.toml"
    path.write_text("\n".join(lines(world, turned)), "utf-8")
    found = read_rig(path, world.catalogue)
    assert found.units == tuple(replace(unit, owned=True) for unit in rig.units)
    assert found.links == rig.links
    assert [one.use for one in found.stated] == [item.use for item in rig.inputs if item.use]


def lines(world: World, turned: bool) -> list[str]:
    rig = world.rig
    found = ["rate_khz = 48", "[units]"]
    found += [f'{unit.name} = "{unit.device.id}"' for unit in rig.units]
    found += ["[cables]"]
    for link in rig.links:
        start, stop = ends(link)
        if turned:
            start, stop = stop, start
        more = {
            "cable": link.cable and link.cable.id,
            "format": link.format.id if link.kind == "optical" else None,
            "tee": link.tee and link.tee.id,
            "terminator": link.terminator and link.terminator.id,
            "piece": link.piece,
        }
        said = ", ".join(f"{key} = {json.dumps(value)}" for key, value in more.items() if value)
        found += [f'"{start}" = {{ to = "{stop}", {said} }}']
    found += ["[clock]"]
    found += [
        f'{unit.name} = "{unit.clock.source} {unit.clock.socket or ""}"'.replace(' "', '"')
        for unit in rig.units
        if unit.clock
    ]
    found += ["[phantom]"]
    found += [
        f"{unit.name} = {list(unit.phantom_banks_on)}"
        for unit in rig.units
        if unit.phantom_banks_on
    ]
    found += ["[inputs]"]
    found += [
        f'"{item.unit} {item.channel}" = {{ use = "{item.use}" }}'
        for item in rig.inputs
        if item.use
    ]
    return found


def ends(link: Link) -> tuple[str, str]:
    if link.format.duplex:
        return (
            f"{link.from_unit} trunk {link.from_socket}",
            f"{link.to_unit} trunk {link.to_socket}",
        )
    start = f"{link.from_unit} {link.kind} out {link.from_socket}"
    return (
        f"{link.after} tee" if link.after else start,
        f"{link.to_unit} {link.kind} in {link.to_socket}",
    )


def read(world: World, **changes: Any) -> WiredRig:
    """The rig of a world from JSON, with other links."""
    raw = written(world.rig.units, world.rig.links, [])
    return read_rig({"rate_khz": 48, **raw, **changes}, world.catalogue)


def faults(world: World, **changes: Any) -> str:
    with pytest.raises(InputError) as caught:
        read(world, **changes)
    return "\n".join(map(str, caught.value.faults))


def test_a_trunk_cable_is_listed_from_the_expander_unless_it_brings_clock_alone() -> None:
    world = made("staged")
    (link,) = written([], world.rig.links, [])["links"]
    back = {"from": link["to"], "from_socket": 2, "to": link["from"], "to_socket": 1}
    for carries, sender in ((None, "expander-1"), (["audio"], "expander-1")):
        turned = {**link, **back, "carries": carries, "channels": None, "back": None}
        (found,) = read(world, links=[turned]).links
        assert (found.from_unit, found.from_socket, found.to_socket) == (sender, 1, 2)
    turned = {**link, **back, "carries": ["clock"], "channels": 0, "back": 0}
    (found,) = read(world, links=[turned]).links
    assert (found.from_unit, found.carries) == ("host-1", ("clock",))


@pytest.mark.parametrize(("said", "value"), [("channels", 3), ("back", 5)])
def test_what_is_stated_of_a_cable_stands(said: str, value: int) -> None:
    world = made("staged")
    (link,) = written([], world.rig.links, [])["links"]
    (found,) = read(world, links=[{**link, said: value}]).links
    assert getattr(found, said) == value
    (found,) = read(world, links=[{**link, said: None}]).links
    assert getattr(found, said) == getattr(world.rig.links[0], said)


def test_a_trunk_cable_ends_at_a_unit_that_has_one() -> None:
    world = made("staged")
    bare = with_device(world, "expander-1", trunk=None, trunk_in=0, clock_in=())
    bare = with_unit(bare, "expander-1", clock=None)
    assert read(bare).links[0].format == world.rig.links[0].format
    none = with_device(bare, "host-1", trunk=None, trunk_in=0)
    assert "joins trunk sockets, and neither unit has any" in faults(none)


def test_a_chain_that_begins_nowhere() -> None:
    world = made("chained")
    links = written([], world.rig.links, [])["links"]
    problem = "begins at a T-piece that no word clock cable leads to"
    assert problem in faults(world, links=[*links[:2], *links[3:]])
    circle = [{**links[3], "after": "expander-2"}, links[4]]
    assert problem in faults(world, links=[*links[:3], *circle])


@pytest.mark.parametrize(
    ("names", "roles"),
    [
        (("Host", "box"), ["host", "expander"]),
        (("box", "Host"), ["expander", "host"]),
        (("box", "case"), ["host", "expander"]),
    ],
)
def test_what_could_be_either_is_a_host_by_its_name_or_its_place(
    names: tuple[str, str], roles: list[str]
) -> None:
    world = with_device(made("two_hosts"), "host-1", role="either")
    device = world.rig.units[0].device
    units = [Unit(name, device, "host", world.rig.units[0].clock) for name in names]
    raw = written(units, [], [])["units"]
    for unit in raw:
        del unit["role"], unit["owned"]
    found = read(world, units=raw, links=[]).units
    assert [unit.role for unit in found] == roles
    assert all(unit.owned for unit in found)


def test_a_name_makes_no_host_of_an_expander() -> None:
    world = made("staged")
    raw = written(world.rig.units, [], [])["units"]
    for unit in raw:
        unit["name"] = f"host of {unit['name']}"
        unit["clock"] = "internal"
        del unit["role"]
    assert [unit.role for unit in read(world, units=raw, links=[]).units] == [
        "host",
        "expander",
    ]


@pytest.mark.parametrize(
    ("seat", "sound"),
    [
        ({"computer_input": 1}, True),
        ({"unit": "host-1", "channel": 1}, True),
        ({"unit": "host-1"}, False),
        ({"channel": 1}, False),
        ({}, False),
    ],
)
def test_an_input_is_known_by_its_number_or_its_channel(
    seat: dict[str, Any], sound: bool
) -> None:
    world = made("staged")
    said = [{**seat, "use": "mic", "source": ""}]
    if sound:
        (one,) = read(world, inputs=said).stated
        assert (one.use, one.source) == ("mic", None)
    else:
        problem = "says neither a computer input nor a unit and a channel"
        assert problem in faults(world, inputs=said)


def test_a_file_without_a_rig_is_told_once() -> None:
    world = made("staged")
    with pytest.raises(InputError) as caught:
        read_rig({"format": "rigopt-plan/2", "status": "infeasible"}, world.catalogue)
    assert len(caught.value.faults) == 1
    with pytest.raises(InputError) as caught:
        read_rig({"format": "rigopt-plan/9"}, world.catalogue)
    assert len(caught.value.faults) == 1
    with pytest.raises(InputError, match="units: this is missing"):
        read_rig({"rate_khz": 48, "status": 3}, world.catalogue)


def test_a_clock_without_a_number_means_the_socket_with_a_cable() -> None:
    world = made("staged")
    raw = written(world.rig.units, [], [])["units"]
    raw[1]["clock"] = "trunk"
    clock = read(world, units=raw).units[1].clock
    assert clock == world.rig.units[1].clock
    assert "does not say which trunk input" in faults(world, units=raw, links=[])


def test_a_unit_with_a_cable_says_its_clock() -> None:
    world = made("staged")
    raw = written(world.rig.units, [], [])["units"]
    raw[1]["clock"] = None
    assert "its clock setting is missing" in faults(world, units=raw)
    assert read(world, units=raw, links=[]).units[1].clock is None


def test_a_clock_without_a_number_is_not_guessed_between_two_cables() -> None:
    """Although the second is in a socket that is not there."""
    world = made("chained")
    raw = written(world.rig.units, [], [])["units"]
    raw[0]["clock"] = "word"
    (first,) = written([], world.rig.links[2:3], [])["links"]
    assert read(world, units=raw, links=[first]).units[0].clock == world.rig.units[0].clock
    assert read(world, units=raw, links=[]).units[0].clock == ClockSetting("word", 1, None)
    second = {**first, "to_socket": 2}
    assert "does not say which word input" in faults(world, units=raw, links=[first, second])


def test_a_unit_without_direct_outs_is_no_preamp() -> None:
    world = made("converted")
    raw = written(world.rig.units, [], [])["units"]
    for unit in raw:
        del unit["role"]
    assert [unit.role for unit in read(world, units=raw).units][1:] == ["expander", "preamp"]
    bare = with_device(world, "preamp-1", role="expander", direct_out=0)
    assert [unit.role for unit in read(bare, units=raw).units][1:] == ["expander", "expander"]
    able = with_device(world, "preamp-1", role="expander")
    assert [unit.role for unit in read(able, units=raw).units][1:] == ["expander", "preamp"]
    wired = with_device(able, "expander-1", direct_out=1)
    assert [unit.role for unit in read(wired, units=raw).units][1:] == ["expander", "preamp"]


def test_a_cable_that_no_format_fits_is_said_to_be_light_pipe() -> None:
    world = made("stereo")
    (one,) = written([], world.rig.links[:1], [])["links"]
    bare = with_device(world, "host-1", optical_stereo=0)
    (found,) = read(bare, links=[{**one, "format": None}]).links
    assert found.format.id == "light-pipe"
    (found,) = read(world, links=[{**one, "format": None}]).links
    assert found.format.id == "stereo"
    # Where both sockets speak both, it is what is stated.
    both = with_device(world, "expander-1", optical_1x=1, optical_2x=1)
    for said, meant in ((None, "light-pipe"), ("stereo", "stereo")):
        (found,) = read(both, links=[{**one, "format": said}]).links
        assert found.format.id == meant


@pytest.mark.parametrize(("number", "sound"), [("999999", True), ("1000000", False)])
def test_a_number_of_an_input_has_six_digits(number: str, sound: bool, tmp_path: Path) -> None:
    path = tmp_path / "rig.toml"
    world = made("two_hosts")
    path.write_text("\n".join([*lines(world, False), f'{number} = "Voice"']), "utf-8")
    if sound:
        assert read_rig(path, world.catalogue).stated[0].number == int(number)
    else:
        with pytest.raises(InputError, match="must be a computer input"):
            read_rig(path, world.catalogue)


def test_a_source_alone_is_a_use_too_and_only_the_first_of_a_path_is_a_box() -> None:
    world = made("leads")
    said = [
        {"computer_input": 1, "source": "Voice", "path": ["di-1", "host-1"]},
        {"computer_input": 2, "source": "Bass", "path": ["preamp-1", "di-1"]},
        {"computer_input": 3, "path": ["host-1"]},
        {"computer_input": 4, "source": "Guitar", "through": "di-1"},
    ]
    found = [(one.source, one.through) for one in read(world, inputs=said).stated]
    assert found == [("Voice", "di-1"), ("Bass", None), ("Guitar", "di-1")]


def test_a_format_of_other_sockets_says_nothing() -> None:
    world = made("two_hosts")
    coax = {"kind": "coax", "format": "light-pipe", "from": "host-1", "from_socket": 1}
    (found,) = read(world, links=[{**coax, "to": "host-2", "to_socket": 1}]).links
    assert found.format.id == "coax"


def test_a_role_that_is_said_stands() -> None:
    world = with_device(made("two_hosts"), "host-1", role="either")
    raw = written(world.rig.units[:1], [], [])["units"]
    raw[0]["role"] = "expander"
    assert read(world, units=raw, links=[]).units[0].role == "expander"


def test_faults_name_their_place() -> None:
    world = made("two_hosts")
    trunk = {"kind": "trunk", "from": "host-1", "from_socket": 1, "to": "host-2"}
    bare = with_device(world, "host-2", trunk=None, trunk_in=0)
    told = faults(bare, links=[{**trunk, "to_socket": 1}])
    assert told.startswith("rig, links[1]: joins trunk sockets")


def test_a_source_without_a_name_is_none(tmp_path: Path) -> None:
    path = tmp_path / "rig.toml"
    world = made("two_hosts")
    text = [*lines(world, False), '"host-1 1" = { use = "mic", source = "" }']
    path.write_text("\n".join(text), "utf-8")
    assert read_rig(path, world.catalogue).stated[0].source is None


@pytest.mark.parametrize(
    ("key", "to", "start"),
    [
        ("host-1 trunk in 1", "host-2 trunk 1", "host-2"),
        ("host-2 trunk 1", "host-1 trunk in 1", "host-2"),
        ("host-1 trunk 1", "host-2 trunk out 1", "host-2"),
        ("host-2 trunk 1", "host-1 trunk 1", "host-2"),
        ("host-1 trunk 1", "host-2 trunk 1", "host-1"),
    ],
)
def test_a_cable_starts_at_an_output_or_where_it_is_named_first(
    key: str, to: str, start: str, tmp_path: Path
) -> None:
    world = made("two_hosts")
    text = "\n".join(lines(world, False)).replace("[cables]", f'[cables]\n"{key}" = "{to}"')
    path = tmp_path / "rig.toml"
    path.write_text(text, "utf-8")
    assert read_rig(path, world.catalogue).links[0].from_unit == start


@pytest.mark.parametrize(
    ("text", "needs"),
    [
        ("[computer]\nmax_hosts = 2", True),
        ("[[source]]\nname = 1", True),
        ("[owned]\ndesk = 1", True),
        ('title = "x"', False),
    ],
)
def test_a_file_of_needs_is_told_from_one_without_units(
    text: str, needs: bool, tmp_path: Path
) -> None:
    path = tmp_path / "rig.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_rig(path, made("two_hosts").catalogue)
    assert ("is a file of needs" in str(caught.value.faults[0])) is needs


def test_the_clock_comes_from_the_unit_at_the_socket_that_is_named() -> None:
    world = made("stereo")
    raw = written(world.rig.units, [], [])["units"]
    raw[0]["clock"] = "optical 2"
    assert read(world, units=raw).units[0].clock == ClockSetting("optical", 2, "expander-2")


def test_no_clock_comes_over_a_trunk_of_others() -> None:
    world = made("staged")
    host, stage = world.rig.units
    raw = written([host, stage, replace(stage, name="expander-2")], [], [])["units"]
    raw[2]["clock"] = "trunk 1"
    links = written([], world.rig.links, [])["links"]
    clock = read(world, units=raw, links=links).units[2].clock
    assert clock == ClockSetting("trunk", 1, None)


def test_no_clock_comes_back_over_light() -> None:
    """Although the trunks of the host go both ways."""
    world = made("stereo")
    raw = written(world.rig.units, [], [])["units"]
    raw[0]["clock"] = "optical 1"
    out = written([], world.rig.links[2:], [])["links"]
    assert [one["from"] for one in out] == ["host-1"]
    assert read(world, units=raw, links=out).units[0].clock == ClockSetting("optical", 1)


def test_no_clock_comes_back_over_a_trunk_of_one_way() -> None:
    world = with_device(made("staged"), "expander-1", trunk=SIXTEEN, trunk_in=1, trunk_out=1)
    world = with_device(world, "host-1", trunk=SIXTEEN)
    raw = written(world.rig.units, [], [])["units"]
    (one,) = written([], world.rig.links, [])["links"]
    raw[1]["clock"] = "trunk 1"
    for row, sender in (("both-12", "host-1"), ("sixteen", None)):
        both = made("staged") if row == "both-12" else world
        (clock,) = [unit.clock for unit in read(both, units=raw, links=[one]).units[1:]]
        assert clock == ClockSetting("trunk", 1, sender)


def test_a_unit_of_which_only_direct_outs_are_used_is_not_made_the_host() -> None:
    world = made("leads")
    either = with_device(world, "preamp-1", role="either")
    either = with_device(either, "host-1", role="either")
    raw = written(either.rig.units, [], [])["units"]
    names = {"host-1": "box", "preamp-1": "amp"}
    for unit in raw:
        del unit["role"]
        unit["name"] = names.get(unit["name"], unit["name"])
    links = written([], either.rig.links, [])["links"]
    for one in links:
        one["from"], one["to"] = names[one["from"]], names[one["to"]]
    raw.sort(key=lambda unit: unit["name"] != "amp")
    roles = {unit.name: unit.role for unit in read(either, units=raw, links=links).units}
    assert (roles["amp"], roles["box"]) == ("preamp", "host")
