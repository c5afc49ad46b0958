"""Which unit's direct outs go into whose inputs: small rigs worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Device
from rigopt.optimiser.decode.leads import _in_order, _into_connectors, _on_pieces
from rigopt.optimiser.model.variables import Bunch, Site, Stub
from rigopt.optimiser.problem.analogue import Inlet
from tests.world import CABLES, impossible, rig

HOST = Device("host", "", "host", 20000, optical_in=2, rate_converter=("optical",))
SNAKE = Cable("snake", "", "analogue", 1000, 2500, ends=("jack", "dsub"), ways=8)
PREAMP = Device("preamp", "", "preamp", 8000, mic=4, direct_out=4)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
LINES = Device(
    "lines",
    "8 lines to light-pipe, and a preamp with an output of its own",
    "expander",
    5000,
    mic=1,
    line=8,
    channel_order=("line", "mic"),
    direct_out=1,
    optical_out=1,
)


def test_no_unit_feeds_itself_but_two_feed_each_other() -> None:
    cables = (*CABLES, LEAD)
    assert impossible(HOST, LINES, mic=1, units=2, cables=cables)
    found = rig(HOST, LINES, mic=2, cables=cables)
    assert found.total == 20000 + 2 * (5000 + 600 + 500)
    leads = [link for link in found.links if link.kind == "analogue"]
    assert {(link.from_unit, link.to_unit) for link in leads} == {
        ("expander-1", "expander-2"),
        ("expander-2", "expander-1"),
    }


def test_one_piece_in_each_connector() -> None:
    """Of nine line inputs the ninth has a connector of its own; four plugs go into either."""
    host = Device("host", "", "host", 10000, line=9, line_plug="dsub")
    cables = (*CABLES, SNAKE)
    assert rig(host, PREAMP, mic=5, cables=cables).total == 10000 + 2 * (8000 + 2500)
    assert impossible(host, PREAMP, mic=6, cables=cables)


def test_connectors_and_other_plugs_are_counted_apart() -> None:
    """A connector of eight, one of one, and a plug of the host."""
    host = Device("host", "", "host", 10000, line=1, optical_in=2, clock_in=("optical",))
    box = Device("box", "", "expander", 5000, line=9, line_plug="dsub", optical_out=2)
    cables = (*CABLES, SNAKE, LEAD)
    found = rig(host, box, PREAMP, mic=6, cables=cables)
    assert found.total == 10000 + 5000 + 2 * 600 + 2 * (8000 + 2500) + 500


def test_one_piece_leaves_each_connector() -> None:
    """The ninth direct out has a connector of its own."""
    host = Device("host", "", "host", 10000, line=9)
    preamp = Device("preamp", "", "preamp", 8000, mic=9, direct_out=9, direct_plug="dsub")
    four = Cable("four", "", "analogue", 1000, 2500, ends=("dsub", "jack"), ways=4)
    three = replace(four, id="three", price=2000, ways=3)
    cables = (*CABLES, four, three)
    assert rig(host, preamp, mic=5, units=2, cables=cables).total == 18000 + 2500 + 2000
    assert impossible(host, preamp, mic=6, units=2, cables=cables)


def test_no_unit_feeds_its_own_connector() -> None:
    lines = replace(LINES, line_plug="dsub")
    cables = (*CABLES, SNAKE)
    assert impossible(HOST, lines, mic=1, units=2, cables=cables)
    found = rig(HOST, lines, mic=2, cables=cables)
    assert found.total == 20000 + 2 * (5000 + 600 + 2500)


def test_a_unit_does_not_feed_itself_beside_others() -> None:
    """One has two inputs and a direct out, the other four inputs: the preamp fills these."""
    host = replace(HOST, coax_in=1, rate_converter=("optical", "coax"))
    own = replace(LINES, id="own", line=2, line_plug="dsub", optical_out=0, coax_out=1)
    four = replace(LINES, id="four", mic=0, line=4, line_plug="dsub", direct_out=0)
    wish: dict[str, Any] = {"units": 4, "require": ("own", "four"), "cables": (*CABLES, SNAKE)}
    assert rig(host, own, four, PREAMP, mic=4, **wish).total > 0
    assert impossible(host, own, four, PREAMP, mic=5, **wish)


def test_fewer_lines_than_inputs_take_the_first_of_a_connector() -> None:
    """From plugs of their own. The first input there is one that no line feeds."""
    face: Any = type("Face", (), {"inlets": (1, 2, 3, 4, 5)})
    preamp, box = Site(face, 0), Site(face, 1)
    bunch: Any = SimpleNamespace(
        stub=Stub(preamp, None, (7, 8)), end=Stub(box, 0, (1, 2, 3, 4))
    )
    moved: Any = {box: [2, 3, 4, 5]}
    names: Any = {preamp: "preamp-1", box: "box-1"}
    lines = [line for _, line in _into_connectors([(bunch, [7, 8])], names, moved)]
    assert [tuple(line) for line in lines] == [
        ("preamp-1", 7, "box-1", 2),
        ("preamp-1", 8, "box-1", 3),
    ]
    assert moved[box] == [4, 5]


def test_lines_come_by_unit_and_connector_and_those_to_hosts_first() -> None:
    """Units are told by letters here; of those in the rack the first listed comes first."""
    nothing: Any = None

    def line(
        sender: str, connector: int | None, host: bool = False, end: str | None = None
    ) -> Bunch:
        site: Any = sender
        inlet = Inlet("jack" if end is None else "dsub", host)
        into: Any = Stub(nothing, None, ()) if end is None else SimpleNamespace(site=end)
        return Bunch(Stub(site, connector, ()), into, nothing, inlet, nothing)

    right = [
        line("a", 0, host=True),
        line("a", 0, end="b"),
        line("a", 0, end="c"),
        line("a", 0),
        line("a", 1, host=True),
        line("b", None, host=True),
        line("b", None),
        line("c", 0),
    ]
    by_site: Any = {name: name for name in "abc"}
    found: Any = ["a", "b", "c"]
    lines = [(one, 1) for one in reversed(right)]
    assert [one for one, _ in _in_order(found, by_site, lines)] == right


@pytest.mark.parametrize(("to_rack", "within"), [(3000, 500), (500, 3000)])
def test_lines_with_the_longest_runs_are_on_the_pieces_for_these(
    to_rack: int, within: int
) -> None:
    """Two lines to the host and one within the rack, told by the numbers of their inputs."""
    needs = SimpleNamespace(host_to_rack_mm=to_rack, within_rack_mm=within)
    problem: Any = SimpleNamespace(needs=needs)

    def piece(far: bool, ways: int) -> Any:
        return SimpleNamespace(lead=SimpleNamespace(far=far, ways=ways))

    lines: Any = [
        SimpleNamespace(taker=SimpleNamespace(role=role), into=into)
        for into, role in enumerate(("host", "expander", "host"))
    ]
    pieces = [piece(False, 1), piece(True, 2)]

    def laid(some: Any) -> list[tuple[bool, list[int]]]:
        found = _on_pieces(problem, some, pieces)
        return [(one.lead.far, [line.into for line in one.lines]) for one in found]

    right = [(True, [0, 2]), (False, [1])]
    assert laid(lines) == (right if to_rack > within else right[::-1])
    # A piece that no line is left for is not laid.
    assert laid(lines[:1]) == [(to_rack > within, [0])]
