"""Rules of a repair that few rigs show: pieces and their numbers, homes, what counts more."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Cable, Plug, SocketRef
from rigopt.facts import FORMATS
from rigopt.optimiser.questions.repair import audio, objectives, sockets
from rigopt.optimiser.questions.repair.analogue import FAR, Analogue, Bundle, Lead, Line
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.leads import _connectors
from rigopt.optimiser.questions.repair.looms import Loom, laid, numbered
from rigopt.optimiser.questions.repair.returns import _most
from rigopt.optimiser.questions.repair.routes import Ends, Place, routes
from rigopt.optimiser.solver.linear import total
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.sockets import Socket
from rigopt.rig.types import Unit
from tests.world import DESK, PRE

OPTICAL_IN = SocketRef("optical", "in", 1)


@dataclass(eq=False)
class Route:
    """A way for a cable; its format is told by the channels of it."""

    format: int


def loom(lead: int | None, lines: int) -> Loom:
    some: Any = list(range(lines))
    return Loom(None, 8, 1000, lead, some)


def test_a_piece_keeps_its_number_or_gets_one_that_no_old_piece_has() -> None:
    """Of old, the first has the number 2 and the others, of one line each, have none."""
    pieces = (2, None, None)
    case: Any = SimpleNamespace(
        lines=[SimpleNamespace(piece=piece) for piece in pieces],
        analogue=SimpleNamespace(leads=[SimpleNamespace(links=(i,)) for i in range(3)]),
    )
    looms = [loom(0, 4), loom(1, 1), loom(2, 3), loom(None, 1), loom(None, 2)]
    assert numbered(case, looms) == [2, None, 1, 3, 4]


def test_pieces_of_old_come_in_their_order_and_then_new_ones() -> None:
    """A new one and the second of old are in the first bundle, the first of old is in the
    second. Each has a line of its own."""
    first, second = (Bundle("a", "jack", None, "jack", name, None) for name in "xy")
    lines: Any = {first: ["one", "two"], second: ["three"]}
    leads = [SimpleNamespace(cable=None, ways=1, length_mm=1000, links=()) for _ in range(2)]
    case = SimpleNamespace(
        analogue=SimpleNamespace(lines=lines, leads=leads, given=[]),
        leads_sold=[Cable("new", "", "analogue", 1000, 500)],
        line_mm=lambda _: 500,
    )
    repair: Any = SimpleNamespace(
        case=case,
        line=dict.fromkeys(("one", "two", "three"), 1),
        sits={(1, first): 1, (0, second): 1},
        put={("new", first): 1},
    )
    value: Any = int
    assert [one.lead for one in laid(repair, value)] == [0, 1, None]


def may_be_home(
    home: str, hosts: tuple[str, ...], brought: tuple[int, int], sends: int
) -> bool:
    """Of a box with eight outputs, which a cable from either host can feed."""
    model = cp_model.CpModel()
    unit: Any = SimpleNamespace(name="box", device=SimpleNamespace(line_out=8))
    routes: Any = [Route(number) for number in brought]
    feeds: Any = [(route, host, None) for route, host in zip(routes, hosts, strict=True)]
    repair: Any = SimpleNamespace(
        model=model,
        case=SimpleNamespace(
            hosts=[SimpleNamespace(name=name) for name in hosts], carries=lambda row: row
        ),
        count=lambda most, *_: model.new_int_var(0, most, "could feed"),
        dealt={"box": [SimpleNamespace(way="way")]},
        sends={"way": model.new_constant(sends)},
        home={("box", host): model.new_constant(host == home) for host in hosts},
    )
    _most(repair, unit, feeds, dict.fromkeys(routes, model.new_constant(1)))
    return run(model, Deadline(None)).found


@pytest.mark.parametrize(
    ("brought", "sends", "homes"),
    [
        ((2, 8), 0, [0, 1]),  # the second host feeds more
        ((8, 2), 0, [1, 0]),
        ((8, 8), 0, [1, 0]),  # the first of equal ones
        ((16, 8), 0, [1, 0]),
        ((8, 16), 0, [1, 0]),  # there are no more outputs than eight
        ((2, 8), 1, [1, 1]),  # where it sends to one, that one is its home
        ((8, 2), 1, [1, 1]),
    ],
)
def test_the_host_that_can_feed_most_is_home(
    brought: tuple[int, int], sends: int, homes: list[int]
) -> None:
    """Whether either host may be."""
    hosts = ("host-1", "host-2")
    assert [int(may_be_home(host, hosts, brought, sends)) for host in hosts] == homes


def test_one_moved_weighs_more_than_all_taken_away_and_so_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Then come those added, and last those that stay between their sockets."""
    model = cp_model.CpModel()
    gone, new, moved, kept, line = (model.new_bool_var("") for _ in range(5))
    monkeypatch.setattr(objectives, "unused", lambda _: ([(gone, 1)], 1))
    monkeypatch.setattr(objectives, "added", lambda _: [(new, 1)])
    case = SimpleNamespace(analogue=SimpleNamespace(given=[], leads=[]))
    repair: Any = SimpleNamespace(
        case=case, kept={0: kept}, line={"new": line}, moved={0: moved}, sits={}
    )
    weights: dict[int, int] = Counter()
    for var, weight in objectives._effort(repair):
        weights[var.index] += weight
    by_hand = [weights[var.index] for var in (moved, gone, new, line, kept)]
    assert by_hand == [2 * 2 * 3, 2 * 3, 3, 1, -1]


@pytest.mark.parametrize(
    ("whole", "tee", "fed"), [(True, False, 8), (False, False, 0), (True, True, 0)]
)
def test_outputs_are_fed_by_cables_that_work(whole: bool, tee: bool, fed: int) -> None:
    units = [Unit("host-1", DESK, "host", None), Unit("expander-1", PRE, "expander", None)]
    start, end = SocketRef("optical", "out", 1), SocketRef("optical", "in", 1)
    case = SimpleNamespace(
        units=units,
        expanders=units[1:],
        links=[SimpleNamespace(format=FORMATS["light-pipe"])],
        ends=[Ends(Place("host-1", start), Place("expander-1", end), tee=tee)],
        whole=lambda _: whole,
        rate_hz=48000,
    )
    repair: Any = SimpleNamespace(case=case)
    assert objectives._fed_now(repair) == {"expander-1": fed}


@pytest.mark.parametrize("duplex", [True, False])
@pytest.mark.parametrize("locks", [(True, False), (False, True), (False, False)])
def test_a_cable_for_clock_alone_ends_where_a_unit_can_lock(
    duplex: bool, locks: tuple[bool, bool]
) -> None:
    """Between two hosts; both ways at once, or from the first to the second and back."""
    row = FORMATS["light-pipe"]._replace(id="link", duplex=duplex)
    units = [Unit(name, DESK, "host", None) for name in "ab"]
    there: Any = {
        unit.name: {
            ref: Socket(ref, (row,), duplex, lock, converts=False)
            for ref in (OPTICAL_IN, SocketRef("optical", "out", 1))[: 1 if duplex else 2]
        }
        for unit, lock in zip(units, locks, strict=True)
    }
    found = [(route.start.unit, route.end.unit) for route in routes(units, there, 48000, False)]
    ways = [("a", "b")] if duplex else [("a", "b"), ("b", "a")]
    into = {("a", "b"): any(locks) if duplex else locks[1], ("b", "a"): locks[0]}
    assert found == [way for way in ways if into[way]]


def test_of_two_cables_between_the_same_sockets_one_stays() -> None:
    model = cp_model.CpModel()
    ends = Ends(Place("a", SocketRef("optical", "out", 1)), Place("b", OPTICAL_IN))
    case = SimpleNamespace(at=[], units=[], ends=[ends, ends], staying=[("cable",)] * 2)
    kept = {index: model.new_bool_var("stays") for index in range(2)}
    repair: Any = SimpleNamespace(
        case=case, model=model, kept=kept, plug={"cable": model.new_constant(1)}
    )
    sockets.add(repair)
    model.maximize(total((var, 1) for var in kept.values()))
    assert sum(map(run(model, Deadline(None)).value, kept.values())) == 1


@pytest.mark.parametrize(
    ("link", "whole", "meant"),
    [
        ({}, True, True),
        ({"channels": range(1, 9), "back": 2}, True, True),
        ({"back": 2}, True, False),
        ({"carries": ("clock",)}, True, False),
        ({"carries": ("clock",)}, False, True),  # it does no work
    ],
)
def test_which_cables_were_meant_to_bring_audio(
    link: dict[str, Any], whole: bool, meant: bool
) -> None:
    units = {name: SimpleNamespace(role=name) for name in ("expander", "host")}
    case: Any = SimpleNamespace(by_name=units, whole=lambda _: whole)
    given: Any = SimpleNamespace(**{"carries": ("audio",), "channels": (), "back": 0, **link})
    there, back = (
        Ends(Place(one, OPTICAL_IN), Place(other, OPTICAL_IN))
        for one, other in (("expander", "host"), ("host", "expander"))
    )
    assert Case._carries_audio(case, given, there) is meant
    assert Case._carries_audio(case, given, back) is False


def test_about_how_large_a_repair_is() -> None:
    """Outputs 4 and inputs 3 of a format; 5 direct outs, and 4 inputs for them."""
    ways: Any = {"a": ("in", "in", "out"), "b": ("in", "out", "out", "out")}
    case: Any = SimpleNamespace(
        units=[SimpleNamespace(name=name) for name in ways],
        sockets={
            name: {
                place: Socket(
                    SocketRef("optical", way, 1), (FORMATS["light-pipe"],), *[False] * 3
                )
                for place, way in enumerate(there)
            }
            for name, there in ways.items()
        },
        analogue=SimpleNamespace(
            outs={"a": (1, 2, 3), "b": (1, 2)}, inlets={"a": (1, 2, 3, 4)}
        ),
    )
    assert vars(Case)["size"].fget(case) == 4 * 4 + 5 * 4


def test_an_analogue_piece_is_usable_between_analogue_sockets() -> None:
    def usable(cable: Cable | None) -> bool:
        return Lead((), cable, ("jack", "jack"), 1, 1000, None).usable

    assert usable(None)
    assert usable(Cable("lead", "", "analogue", 1000, 0))
    assert not usable(Cable("opt", "", "optical", 1000, 0))


def test_a_line_needs_a_piece_that_is_there_or_can_be_had() -> None:
    """One from jack to XLR is there."""
    there: Any = SimpleNamespace(
        cable=Cable("lead", "", "analogue", 1000, 0, ends=("jack", "xlr")), piece=None
    )
    jacks = Cable("jacks", "", "analogue", 1000, 0, ends=("jack", "jack"))

    def can(shelf: list[Cable] | None, plug: Plug) -> bool:
        return Analogue((), [there], shelf, False, frozenset())._sold(("jack", plug))

    assert can([], "xlr")
    assert not can([], "jack")
    assert can([jacks], "jack")
    assert not can([jacks], "dsub")
    assert can(None, "dsub")


@pytest.mark.parametrize(
    ("outs", "meant"), [((), 0), ((4,), 1), ((1, 4), 2), ((4, 4), 1), ((5,), 0)]
)
def test_channels_are_meant_to_be_heard_by_the_direct_outs_there_are(
    outs: tuple[int, ...], meant: int
) -> None:
    """A preamp with four of them."""
    model = cp_model.CpModel()
    unit = SimpleNamespace(name="a", device=SimpleNamespace(analogue=4))
    case = SimpleNamespace(
        units=[unit],
        analogue=SimpleNamespace(
            given=[Line("a", out, "b", into) for into, out in enumerate(outs, start=1)],
            outs={"a": (1, 2, 3, 4)},
        ),
        meant=lambda _: 0,
    )
    repair: Any = SimpleNamespace(
        case=case,
        model=model,
        dealt={},
        line={},
        count=lambda most, *_: model.new_int_var(0, most, "heard"),
    )
    [(heard, _)] = objectives._unheard(repair)
    assert list(heard.proto.domain) == [0, meant]


@pytest.mark.parametrize(
    ("plug", "cable", "measured", "found"),
    [
        ("dsub", None, True, (("dsub", "dsub"), 8, FAR)),
        ("jack", None, True, (("jack", "jack"), 2, FAR)),
        ("jack", Cable("opt", "", "optical", 1000, 0), True, (("jack", "jack"), 1, 1000)),
        ("jack", Cable("opt", "", "optical", 1000, 0), False, (("jack", "jack"), 1, FAR)),
    ],
)
def test_a_piece_that_nobody_names_fits_where_it_is(
    plug: Plug, cable: Cable | None, measured: bool, found: tuple[Any, int, int]
) -> None:
    """Of two lines from a preamp to a host; one that has no plugs of its own neither."""
    pre = replace(PRE, id="pre", optical_in=0, direct_out=8, direct_plug=plug)
    units = [
        Unit("a", pre, "preamp", None),
        Unit("b", replace(DESK, line=8, line_plug=plug), "host", None),
    ]
    links: Any = [
        SimpleNamespace(
            from_unit="a", from_socket=n, to_unit="b", to_socket=8 + n, piece=1, cable=cable
        )
        for n in (1, 2)
    ]
    [lead] = Analogue(units, links, None, measured, frozenset()).leads
    assert (lead.plugs, lead.ways, lead.length_mm) == found


def test_a_box_that_sends_to_a_host_has_a_cable_for_it() -> None:
    model = cp_model.CpModel()
    deal = SimpleNamespace(way=("a", "b", "light-pipe"), var=model.new_bool_var("deal"))
    repair: Any = SimpleNamespace(
        model=model,
        dealt={"a": [deal]},
        sends={},
        flag=lambda *name: model.new_bool_var(str(name)),
    )
    audio._one_host(repair, "a")
    model.add(repair.sends[deal.way] != deal.var)
    assert not run(model, Deadline(None)).found


def test_pieces_in_the_rig_are_not_at_hand() -> None:
    """One is a digital cable there, one lies between analogue sockets."""
    one, other = Cable("one", "", "analogue", 1000, 0), Cable("other", "", "analogue", 1000, 0)
    case: Any = SimpleNamespace(
        links=[SimpleNamespace(pieces=(one, other, other))],
        analogue=SimpleNamespace(leads=[SimpleNamespace(cable=c) for c in (one, other, None)]),
        problem=SimpleNamespace(owned=lambda name: {"one": 4, "other": 2}.get(name, 0)),
    )
    assert Case.unplugged(case, one) == 2
    assert Case.unplugged(case, other) == 0


@pytest.mark.parametrize(
    ("first", "second", "most"),
    [
        (("a", 1, "x", 1), ("a", 1, "y", 1), 1),
        (("a", 1, "x", 1), ("b", 1, "x", 1), 1),
        (("a", 1, "x", 1), ("a", 2, "x", 2), 2),
        (("a", None, "x", 1), ("a", None, "x", 2), 2),
        (("a", 1, None, None), ("a", 2, None, None), 2),
    ],
)
def test_one_piece_in_each_connector(first: Any, second: Any, most: int) -> None:
    """Sender and its connector, taker and its socket, of two bundles of lines."""
    bundles = [Bundle(one[0], "dsub", one[1], "dsub", *one[2:]) for one in (first, second)]
    model = cp_model.CpModel()
    put = {("comb", bundle): model.new_bool_var("put") for bundle in bundles}
    cable = Cable("comb", "", "analogue", 1000, 500, ends=("dsub", "dsub"), ways=8)
    case = SimpleNamespace(
        leads_sold=[cable],
        analogue=SimpleNamespace(lines=dict.fromkeys(bundles), leads=[]),
    )
    repair: Any = SimpleNamespace(case=case, model=model, sits={}, put=put)
    _connectors(repair)
    model.maximize(total((var, 1) for var in put.values()))
    value = run(model, Deadline(None)).value
    assert sum(map(value, put.values())) == most
