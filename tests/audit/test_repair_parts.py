"""Parts of a repair, each asked by itself, with what is right written by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.repair import Cause, Unmet
from rigopt.catalogue.types import Cable, Device, Offer, Seller, SocketRef
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.repair import causes as causing
from rigopt.optimiser.questions.repair import model as solving
from rigopt.optimiser.questions.repair import objectives, pieces
from rigopt.optimiser.questions.repair import repair as repairing
from rigopt.optimiser.questions.repair import sockets as sockets_rule
from rigopt.optimiser.questions.repair.analogue import FAR, Analogue, Bundle, Lead, Line
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.model import build
from rigopt.optimiser.questions.repair.routes import Ends, Place, Route, _heard
from rigopt.optimiser.solver.lexicographic import Optimum
from rigopt.optimiser.solver.linear import amount, total
from rigopt.optimiser.solver.run import NO_END, Deadline, Result, TimeIsUpError, run
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import StatedInput, WiredRig
from tests.wires import link
from tests.world import CABLES, DESK, OPT, PRE, catalogue

# --- the analogue half ---------------------------------------------------------------------

BOX = Device("box", "", "either", mic=4, line=2, direct_out=3)
"""Channels 1 to 4 for microphones, of which three have a direct out, and 5 and 6 for line."""


def half(
    *units: tuple[str, Device, Any],
    links: tuple[Link, ...] = (),
    shelf: tuple[Cable, ...] | None = None,
    taken: tuple[tuple[str, int], ...] = (),
) -> Analogue:
    there = [Unit(name, device, role, None) for name, device, role in units]
    return Analogue(there, links, shelf, True, frozenset(taken))


def line(ends: str, cable: Cable | None = None, piece: int | None = 1) -> Link:
    """Of 'a 1 b 5': from direct out 1 of a to channel 5 of b."""
    sender, out, to, into = ends.split()
    where = (sender, int(out), to, int(into))
    return link("analogue", *where, 1, ("audio",), cable, piece=piece)


def test_direct_outs_and_inputs_for_line_go_by_the_part_that_a_unit_plays() -> None:
    found = half(
        ("host", BOX, "host"),
        ("expander", BOX, "expander"),
        ("preamp", BOX, "preamp"),
        ("clock", BOX, "clock"),
        ("plain", replace(BOX, direct_out=0, line=1), "expander"),
    )
    assert found.outs == {"expander": (1, 2, 3), "preamp": (1, 2, 3)}
    assert found.inlets == {"host": (5, 6), "expander": (5, 6), "plain": (5,)}


def test_no_line_goes_into_its_own_unit() -> None:
    found = half(("a", replace(BOX, direct_out=1), "expander"), ("b", DESK, "host"))
    assert {(x.sender, x.out, x.taker, x.into) for x in found.bundles} == {
        ("a", 1, "b", into) for into in range(1, 9)
    }


def test_an_input_that_is_taken_keeps_the_line_that_is_there() -> None:
    units = (("a", replace(BOX, direct_out=2), "preamp"), ("b", BOX, "host"))
    free = {Line("a", 1, "b", 6), Line("a", 2, "b", 6)}
    assert set(half(*units, taken=(("b", 5),)).bundles) == free
    there = half(*units, links=(line("a 1 b 5"),), taken=(("b", 5),))
    assert set(there.bundles) == {*free, Line("a", 1, "b", 5)}


def test_a_line_needs_a_piece_with_its_plugs() -> None:
    units = (
        ("a", replace(BOX, direct_out=1), "preamp"),
        ("b", replace(BOX, line=1), "host"),
        ("c", replace(BOX, line=1, line_plug="xlr"), "host"),
    )
    lead = Cable("lead", "", "analogue", 1000, 1, ends=("jack", "jack"))
    assert set(half(*units, shelf=(lead,)).bundles) == {Line("a", 1, "b", 5)}
    assert set(half(*units, shelf=()).bundles) == set()
    assert set(half(*units).bundles) == {Line("a", 1, "b", 5), Line("a", 1, "c", 5)}


def test_places_of_two_connectors_are_joined_one_by_one() -> None:
    """Ten direct outs and ten inputs, eight to a connector."""
    sender = Device("a", "", "preamp", mic=10, direct_out=10, direct_plug="dsub")
    taker = Device("b", "", "host", line=10, line_plug="dsub")
    found = half(("a", sender, "preamp"), ("b", taker, "host")).bundles
    assert found[Line("a", 1, "b", 9)] == Bundle("a", "dsub", 0, "dsub", "b", 1)
    assert found[Line("a", 9, "b", 1)] == Bundle("a", "dsub", 1, "dsub", "b", 0)
    assert Line("a", 1, "b", 2) not in found
    assert len(found) == 2 * 4 + 6, "places 1 and 2 in either connector, and six more"


def test_a_comb_counts_the_connector_on_its_side_alone() -> None:
    comb = Device("a", "", "preamp", mic=9, direct_out=9, direct_plug="dsub")
    found = half(("a", comb, "preamp"), ("b", BOX, "host")).bundles
    assert found[Line("a", 9, "b", 5)] == Bundle("a", "dsub", 1, "jack", None, None)
    wide = Device("b", "", "host", line=9, line_plug="dsub")
    found = half(("a", BOX, "preamp"), ("b", wide, "host")).bundles
    assert found[Line("a", 3, "b", 9)] == Bundle("a", "jack", None, "dsub", "b", 1)


def test_a_piece_is_at_home_where_one_of_its_lines_fits_it() -> None:
    """Of two lines, the first goes where there is no input; what has an XLR is nowhere."""
    units = (("a", BOX, "preamp"), ("b", BOX, "host"))
    jacks = Cable("jacks", "", "analogue", 1000, 1, ends=("jack", "jack"), ways=4)
    xlr = replace(jacks, id="xlr", ends=("jack", "xlr"))
    home = Bundle("a", "jack", None, "jack", None, None)
    for cable, where in ((jacks, home), (xlr, None)):
        two = (line("a 1 b 9", cable), line("a 2 b 6", cable))
        (lead,) = half(*units, links=two).leads
        assert (lead.links, lead.cable, lead.plugs) == ((0, 1), cable, cable.ends)
        assert (lead.ways, lead.length_mm, lead.home) == (4, 1000, where)
    nowhere = half(*units, links=(line("a 1 b 9", jacks),))
    assert [lead.home for lead in nowhere.leads] == [None]


def test_the_first_line_of_a_piece_says_what_it_is() -> None:
    """Of one that nobody names, by where it goes; else by its name."""
    units = (
        ("a", BOX, "preamp"),
        ("b", BOX, "host"),
        ("c", replace(BOX, line_plug="xlr"), "host"),
    )
    mixed = (line("a 1 b 5"), line("a 2 c 5"), line("a 3 c 6"))
    (lead,) = half(*units, links=mixed).leads
    assert (lead.plugs, lead.ways, lead.length_mm) == (("jack", "jack"), 3, FAR)
    one = Cable("one", "", "analogue", 1000, 1, ends=("jack", "jack"), ways=2)
    other = Cable("other", "", "analogue", 3000, 1, ends=("jack", "xlr"), ways=4)
    named = (line("a 1 b 5", one), line("a 2 b 6", other))
    (lead,) = half(*units, links=named).leads
    assert (lead.cable, lead.plugs, lead.ways) == (one, ("jack", "jack"), 2)


def test_lines_without_a_number_are_a_piece_each_and_so_are_those_of_two_units() -> None:
    units = (("a", BOX, "preamp"), ("d", BOX, "preamp"), ("b", BOX, "host"))
    apart = (line("a 1 b 5", piece=None), line("a 2 b 6", piece=None))
    assert [lead.links for lead in half(*units, links=apart).leads] == [(0,), (1,)]
    numbered = (line("a 1 b 5"), line("d 2 b 6"), line("a 2 b 6"))
    assert [lead.links for lead in half(*units, links=numbered).leads] == [(0, 2), (1,)]


@pytest.mark.parametrize(("length_mm", "usable"), [(30_000, True), (30_001, False)])
def test_an_analogue_cable_works_up_to_30_m(length_mm: int, usable: bool) -> None:
    lead = Cable("lead", "", "analogue", length_mm, 1)
    assert Lead((), lead, ("jack", "jack"), 1, length_mm, None).usable is usable


# --- the case ------------------------------------------------------------------------------

TRUNK = Format("trunk", "trunk", "trunk", "net", (32, 16, 8), duplex=True)
STAGE = replace(PRE, id="stage", trunk=TRUNK, trunk_in=1)
LIGHT_PIPE, COAX, WORD = FORMATS["light-pipe"], FORMATS["coax"], FORMATS["word"]
FAR_CABLE = Cable("opt-3m", "", "optical", 3000, 900)
TOO_LONG = Cable("opt-20m", "", "optical", 20_000, 900)


def case(
    *units: tuple[str, Device, Any],
    links: tuple[Link, ...] = (),
    judged: bool = True,
    cables: tuple[Cable, ...] = CABLES,
    **needs: Any,
) -> Case:
    there = tuple(
        Unit(name, device, role, ClockSetting("internal")) for name, device, role in units
    )
    problem = state(catalogue(cables=cables), Needs(**needs))
    return Case(there, links, problem, judged)


PAIR: Any = (("a", DESK, "host"), ("b", PRE, "expander"))


def test_a_unit_that_is_analogue_alone_here_has_no_sockets() -> None:
    found = case(*PAIR, ("c", replace(PRE, direct_out=8), "preamp"), ("d", PRE, "clock"))
    assert {name: len(there) for name, there in found.sockets.items()} == {
        "a": 4,
        "b": 2,
        "c": 0,
        "d": 2,
    }


@pytest.mark.parametrize(
    ("given", "whole"),
    [
        (link(LIGHT_PIPE, "b", 1, "a", 1, 0, (), None), True),
        (link(LIGHT_PIPE, "a", 1, "a", 1, 0, (), None), False),
        (link(LIGHT_PIPE, "b", 2, "a", 1, 0, (), None), False),
        (link(LIGHT_PIPE, "b", 1, "a", 2, 0, (), None), False),
        (link("stereo", "b", 1, "a", 1, 0, (), None), False),
        (link(COAX, "b", 1, "a", 1, 0, (), None), False),
    ],
)
def test_a_cable_is_whole_where_both_sockets_speak_its_format(given: Link, whole: bool) -> None:
    assert case(*PAIR, links=(given,)).whole(given) is whole


def test_a_duplex_cable_is_told_from_the_expander_to_the_host() -> None:
    def ends(start: str, end: str) -> tuple[str, str]:
        given = link(TRUNK, start, 1, end, 1, 0, (), None)
        units = (("h", replace(STAGE, role="host"), "host"), ("s", STAGE, "expander"))
        more = ("z", replace(STAGE, role="host"), "host")
        (found,) = case(*units, more, links=(given,)).ends
        return found.start.unit, found.end.unit

    assert ends("h", "s") == ends("s", "h") == ("s", "h")
    assert (ends("h", "z"), ends("z", "h")) == (("h", "z"), ("z", "h"))


def test_a_cable_of_a_chain_begins_at_the_word_input_before_it() -> None:
    """The second word input of b; or the first, where no cable comes in there any more."""
    units = (
        ("m", replace(PRE, word_out=2), "clock"),
        ("b", replace(PRE, word_in=2), "expander"),
        ("c", replace(PRE, word_in=1), "expander"),
    )
    to_b = link(WORD, "m", 2, "b", 2, 0, ("clock",), None)
    other = link(WORD, "m", 1, "b", 1, 0, ("clock",), None)
    on = link(WORD, "m", 2, "c", 1, 0, ("clock",), None, after="b")
    end = Place("c", SocketRef("word", "in", 1))
    for links, number in (((to_b, on), 2), ((other, to_b, on), 2), ((on,), 1)):
        start = Place("b", SocketRef("word", "in", number))
        assert case(*units, links=links).ends[-1] == Ends(start, end, tee=True)


def test_as_many_word_inputs_hang_on_an_output_as_did_where_nobody_says() -> None:
    units = (("m", replace(PRE, word_out=2), "clock"), *PAIR)
    chain = tuple(link(WORD, "m", 2, f"x{n}", 1, 0, (), None) for n in range(3))
    other = link(WORD, "m", 1, "a", 1, 0, (), None)
    optical = tuple(link(LIGHT_PIPE, "m", 1, "a", 1, 0, (), None) for _ in range(9))
    links = (other, *chain, *optical)
    assert case(*units, links=links, judged=False, word_inputs=2).word_inputs == 3
    assert case(*units, links=links, judged=False, word_inputs=4).word_inputs == 4
    assert case(*units, links=links, judged=True, word_inputs=2).word_inputs == 2
    assert case(*units, judged=False, word_inputs=2).word_inputs == 2


def test_hops_are_no_more_than_there_are_units_but_one() -> None:
    assert case(*PAIR, max_hops=9).max_hops == 1
    assert case(*PAIR, max_hops=0).max_hops == 0
    assert case(*PAIR, max_hops=0, judged=False).max_hops == 1


def test_hosts_are_in_one_tree_or_each_in_its_own() -> None:
    units = (*PAIR, ("z", DESK, "host"))
    assert [case(*units).tree(name) for name in "az"] == ["a", "a"]
    assert [case(*units, own_clocks=True).tree(name) for name in "az"] == ["a", "z"]


def test_pieces_count_by_length_where_needs_say_how_far_it_is() -> None:
    short, long, old, odd = (
        link(LIGHT_PIPE, "b", 1, "a", 1, 0, (), cable)
        for cable in (OPT, FAR_CABLE, TOO_LONG, CABLES[0])
    )
    unnamed = link(LIGHT_PIPE, "b", 1, "a", 1, 0, (), None)
    links = (short, long, old, odd, unnamed)
    found = case(*PAIR, links=links, host_to_rack_mm=3000)
    assert [found.length(one) for one in links] == [1000, 3000, 20_000, 1000, FAR]
    assert [found.fits(n) for n in range(5)] == [False, True, False, False, True]
    assert [found.usable(one) for one in links] == [True, True, False, True, True]
    assert [found.piece_kind(one) for one in (odd, unnamed)] == ["coax", "optical"]
    free = case(*PAIR, links=links, judged=False, host_to_rack_mm=3000)
    assert {free.length(one) for one in links} == {FAR}
    assert [free.fits(n) for n in range(5)] == [True, True, False, False, True]
    near = case(*PAIR, links=links, host_to_rack_mm=1000)
    assert near.fits(0)


def test_channels_were_meant_for_the_host_that_most_of_them_went_to() -> None:
    """Two light-pipes to one host at 96 kHz, each of 4; one to another; 8 are all there are."""
    two = replace(PRE, optical_out=3, optical_2x=3)
    units = (("a", DESK, "host"), ("z", DESK, "host"), ("b", two, "expander"))

    def meant(*ends: str, rate_hz: int = 96000) -> int:
        links = tuple(
            link(LIGHT_PIPE, "b", n, end, 1, 4, ("audio",), None)
            for n, end in enumerate(ends, start=1)
        )
        found = case(*units, links=links, rate_hz=rate_hz)
        return found.meant(found.by_name["b"])

    assert meant() == 0
    assert meant("a") == 4
    assert meant("a", "z") == 4
    assert meant("a", "z", "a") == 8
    assert meant("a", "a", rate_hz=48000) == 8


def test_sockets_both_ways_are_counted_both_ways() -> None:
    """Two trunks with two ways each; a light-pipe from b has no way in at all."""
    units = (
        ("h", replace(STAGE, optical_in=0, optical_out=0, role="host"), "host"),
        ("s", replace(STAGE, optical_in=0, optical_out=1), "expander"),
    )
    assert case(*units).size == 2 * 2 + 1 * 1


def test_t_pieces_are_of_use_where_there_are_some() -> None:
    """In the shop, or in the rig; or where cables are no matter."""
    units = (
        ("m", replace(PRE, word_out=1), "clock"),
        ("b", replace(PRE, word_in=1, clock_in=("word",)), "expander"),
        ("c", replace(PRE, word_in=1, clock_in=("word",)), "expander"),
    )
    tee = Cable("tee", "", "tee", 0, 400)
    chain = (
        link(WORD, "m", 1, "b", 1, 0, ("clock",), None, tee=tee),
        link(WORD, "m", 1, "c", 1, 0, ("clock",), None, after="b"),
    )

    def tees(found: Case) -> bool:
        return any(route.tee for route in found.routes)

    assert not tees(case(*units))
    assert tees(case(*units, cables=(*CABLES, tee)))
    assert tees(case(*units, links=chain))
    assert tees(replace(case(*units), relaxed=frozenset(["cables"])))
    found = case(*units, links=chain)
    assert [len(routes) for routes in found.staying] == [1, 1]
    word_in = Place("b", SocketRef("word", "in", 1))
    assert {route.end for route in found.taken(word_in)} == {word_in}
    assert found.taken(Place("b", SocketRef("coax", "in", 1))) == []


# --- what counts ---------------------------------------------------------------------------


class Flags(dict[str, Any]):
    """Variables by name, and what each weighs in a sum."""

    def __init__(self) -> None:
        super().__init__()
        self.model = cp_model.CpModel()

    def __missing__(self, name: str) -> Any:
        self[name] = self.model.new_bool_var(name)
        return self[name]

    def weights(self, terms: Iterable[tuple[Any, int]]) -> dict[str, int]:
        found: dict[str, int] = Counter()
        for var, weight in terms:
            found[var.name] += weight
        return dict(found)


def test_a_line_that_stays_counts_for_it_and_a_new_one_against() -> None:
    old, new = Line("a", 1, "b", 5), Line("a", 2, "b", 6)
    flags = Flags()
    repair: Any = SimpleNamespace(
        case=SimpleNamespace(analogue=SimpleNamespace(given=(old,))),
        line={old: flags["old"], new: flags["new"]},
        kept={0: flags["kept"]},
    )
    assert flags.weights(objectives._staying(repair)) == {"old": -1, "new": 1, "kept": -1}


def test_lines_are_low_and_do_not_cross() -> None:
    def cost(out: int, into: int) -> int:
        return objectives._uncrossed(Line("a", out, "b", into))

    assert cost(1, 1) + cost(2, 2) < cost(1, 2) + cost(2, 1)
    assert cost(1, 1) < cost(1, 2) < cost(2, 2) < cost(2, 3)
    assert cost(1, 2) == cost(2, 1)
    assert cost(1, 8) < cost(8, 8)


def test_settings_that_change_count_and_48_v_that_stays_on_counts_for_it() -> None:
    """Two units: one was on its own clock, the other locked to optical 1. Bank 2 was on."""
    flags = Flags()
    units = {
        "a": Unit("a", DESK, "host", ClockSetting("internal"), phantom_banks_on=(2,)),
        "b": Unit("b", PRE, "expander", ClockSetting("optical", 1, "a")),
        "c": Unit("c", PRE, "expander", None),
    }
    places = [
        Place("a", SocketRef("optical", "in", 1)),
        Place("b", SocketRef("optical", "in", 1)),
        Place("b", SocketRef("optical", "in", 2)),
        Place("b", SocketRef("word", "in", 1)),
    ]
    staying = (Route(LIGHT_PIPE, Ends(places[0], places[1])),)
    turned = (Route(COAX, Ends(places[0], places[1])),)
    case: Any = SimpleNamespace(
        units=tuple(units.values()),
        by_name=units,
        links=[SimpleNamespace(format=LIGHT_PIPE)] * 2,
        staying=(staying, turned),
    )
    repair: Any = SimpleNamespace(
        case=case,
        internal={name: flags[f"internal {name}"] for name in "abc"},
        locked={
            place: flags[f"{place.unit} {place.socket[0]} {place.socket[2]}"]
            for place in places
        },
        plug={staying[0]: flags["as it was"], turned[0]: flags["another format"]},
        on={("a", 1): flags["on 1"], ("a", 2): flags["on 2"]},
    )
    assert flags.weights(objectives._settings(repair)) == {
        "internal b": 1,
        "internal c": 1,
        "a optical 1": 1,
        "b optical 2": 1,
        "b word 1": 1,
        "another format": 1,
        "on 1": 1,
        "on 2": -1,
    }


def test_inputs_for_microphones_that_lines_take_count() -> None:
    flags = Flags()
    repair: Any = SimpleNamespace(
        case=SimpleNamespace(by_name={"a": SimpleNamespace(device=BOX)}),
        enters={("a", 4): flags["microphone"], ("a", 5): flags["line"]},
    )
    assert flags.weights(objectives._occupied(repair)) == {"microphone": 1}


def test_of_equal_wirings_low_sockets_and_the_first_format_are_taken() -> None:
    flags = Flags()
    routes = {}

    def way(start: str, out: int, end: str, into: int, row: Format = LIGHT_PIPE) -> str:
        name = f"{start}{out}{end}{into}{row.id}"
        ends = (
            Place(start, SocketRef("optical", "out", out)),
            Place(end, SocketRef("optical", "in", into)),
        )
        routes[Route(row, Ends(*ends))] = flags[name]
        return name

    ways = [
        (way("b", 1, "a", 1), way("b", 1, "a", 2)),
        (way("b", 1, "a", 1), way("b", 2, "a", 1)),
        (way("b", 1, "a", 1), way("b", 1, "a", 1, FORMATS["stereo"])),
    ]
    straight = way("c", 1, "a", 1), way("c", 2, "b", 1)
    crossed = way("c", 2, "a", 1), way("c", 1, "b", 1)
    case: Any = SimpleNamespace(
        units=[SimpleNamespace(name=name) for name in "abc"],
        place={name: place for place, name in enumerate("abc")},
        routes=tuple(routes),
    )
    packs = {"cable": [[(flags["first pack"], 1)], [(flags["second pack"], 1)]]}
    deal = SimpleNamespace(
        var=flags["deal"], rank=SimpleNamespace(number=2), route=next(iter(routes))
    )
    every: dict[str, Any] = {
        name: {n: flags[f"{name} {n}"] for n in range(2)}
        for name in ("locked", "own", "on", "sits", "put")
    }
    repair: Any = SimpleNamespace(
        case=case,
        plug=routes,
        deals=[deal],
        line={Line("a", 1, "b", 1): flags["line"]},
        basket=SimpleNamespace(packs=packs),
        **every,
    )
    cost = flags.weights(objectives._order(repair))
    for lower, higher in ways:
        assert cost[lower] < cost[higher], (lower, higher)
    assert sum(cost[one] for one in straight) < sum(cost[one] for one in crossed)
    assert cost["c1a1light-pipe"] == cost["c1b1light-pipe"] == 2 * 3
    for name in every:
        assert cost[f"{name} 0"] < cost[f"{name} 1"]
    assert cost["first pack"] < cost["second pack"]
    assert cost["line"] == 1999
    assert cost["deal"] == -2, "later ranks in higher sockets"


# --- what the cables that are there cost -----------------------------------------------------

SHOP = (
    OPT,
    FAR_CABLE,
    Cable("coax-1m", "", "coax", 1000, 700),
    Cable("word-1m", "", "word", 1000, 900),
)
NEXT: Any = (
    ("a", replace(DESK, optical_in=2, rate_converter=("optical",)), "host"),
    ("b", replace(PRE, clock_in=()), "expander"),
    ("c", replace(PRE, clock_in=()), "expander"),
)


def optical(start: str, into: int, cable: Cable | None) -> Link:
    return link(LIGHT_PIPE, start, 1, "a", into, 8, ("audio",), cable)


def least(found: Case) -> dict[str, int] | None:
    """The least money with all cables where they are, and then the least that are moved,
    taken away and added; None where that cannot be."""
    repair = build(found, Deadline(None))
    there = {routes[0] for routes in found.staying if routes}
    for route, plug in repair.plug.items():
        repair.model.add(plug == (route in there))
    told = {}
    gone, most = pieces.unused(repair)
    sums = {
        "money": repair.basket.spent(),
        "moved": [(var, 1) for var in repair.moved.values()],
        "gone": gone,
        "added": pieces.added(repair),
    }
    for name, terms in sums.items():
        repair.model.minimize(total(terms))
        result = run(repair.model, Deadline(None))
        if not result.found:
            return None
        repair.model.add(total(terms) <= amount(terms, result.value))
        told[name] = amount(terms, result.value) + (most if name == "gone" else 0)
    return told


def counted(money: int, moved: int = 0, gone: int = 0, added: int = 0) -> dict[str, int]:
    return {"money": money, "moved": moved, "gone": gone, "added": added}


LONG: dict[str, Any] = {"own_clocks": True, "max_hosts": 2}


@pytest.mark.parametrize(
    ("there", "needs", "right"),
    [
        ((OPT, None), {}, counted(0)),
        ((OPT, FAR_CABLE), {"host_to_rack_mm": 3000}, counted(900, gone=1, added=1)),
        (
            (OPT, FAR_CABLE),
            {"host_to_rack_mm": 3000, "budget": 900},
            counted(900, gone=1, added=1),
        ),
        ((OPT, FAR_CABLE), {"host_to_rack_mm": 3000, "budget": 899}, None),
        ((OPT, FAR_CABLE), {"host_to_rack_mm": 3001}, None),
        (
            (OPT, FAR_CABLE),
            {"host_to_rack_mm": 3000, "owned": {"opt-3m": 1}},
            counted(900, gone=1, added=1),
        ),
        (
            (OPT, FAR_CABLE),
            {"host_to_rack_mm": 3000, "owned": {"opt-3m": 2}},
            counted(0, gone=1, added=1),
        ),
        ((TOO_LONG, OPT), {}, counted(600, gone=1, added=1)),
        ((CABLES[0], OPT), {}, counted(600, gone=1, added=1)),
        ((None, None), {"host_to_rack_mm": 9000}, counted(0)),
    ],
)
def test_pieces_stay_where_they_reach(
    there: tuple[Cable | None, Cable | None],
    needs: dict[str, Any],
    right: dict[str, int] | None,
) -> None:
    links = tuple(
        optical(unit, n, cable)
        for n, (unit, cable) in enumerate(zip("bc", there, strict=True), 1)
    )
    found = case(*NEXT, links=links, cables=SHOP, **LONG, **needs)
    assert least(found) == right


def test_pieces_change_places_between_runs() -> None:
    """The word cable of 3 m runs within the rack, and the one of 1 m to the desk."""
    long = Cable("word-3m", "", "word", 3000, 1900)
    units: Any = (
        ("a", replace(DESK, word_in=1, clock_in=("word",)), "host"),
        ("b", replace(PRE, word_in=1, clock_in=("word",)), "expander"),
        ("m", Device("m", "", "clock", word_out=2), "clock"),
    )
    links = (
        link(WORD, "m", 1, "a", 1, 0, ("clock",), SHOP[-1]),
        link(WORD, "m", 2, "b", 1, 0, ("clock",), long),
    )
    found = case(*units, links=links, cables=(*SHOP, long), host_to_rack_mm=3000)
    assert least(found) == counted(0, moved=2)
    free = case(*units, links=links, judged=False, cables=SHOP, host_to_rack_mm=3000)
    assert least(free) == counted(0)


@pytest.mark.parametrize(
    ("fitted", "money"),
    [((True, True), 0), ((True, False), 300), ((False, True), 800), ((False, False), 1100)],
)
def test_a_chain_takes_its_t_pieces_and_its_end(fitted: tuple[bool, bool], money: int) -> None:
    """Two T-pieces, at 4.00, and a terminator, at 3.00, as the last input has no end."""
    tee, end = Cable("tee", "", "tee", 0, 400), Cable("end", "", "terminator", 0, 300)
    word = SHOP[-1]
    open_ = replace(PRE, word_in=1, clock_in=("word",), word_end="none")
    units: Any = (
        ("a", replace(DESK, word_in=1, clock_in=("word",)), "host"),
        ("b", open_, "expander"),
        ("m", Device("m", "", "clock", word_out=1), "clock"),
    )
    tees, ends = (
        (piece if there else None) for piece, there in zip((tee, end), fitted, strict=True)
    )
    links = (
        link(WORD, "m", 1, "a", 1, 0, ("clock",), word, tee=tees),
        link(WORD, "m", 1, "b", 1, 0, ("clock",), word, after="a", tee=tees, terminator=ends),
    )
    found = case(*units, links=links, cables=(*SHOP, tee, end))
    told = least(found)
    assert told is not None
    assert told["money"] == money


# --- why there is no repair -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("enough", "told"),
    [
        ({"budget", "cables"}, (Cause("budget"),)),
        ({"cables", "inputs"}, (Cause("cables", ("coax",)),)),
        (
            {"inputs", "outputs", "hops", "master"},
            (
                Cause(
                    "needs",
                    unmet=(
                        Unmet("inputs", 8),
                        Unmet("outputs", 2),
                        Unmet("hops", 3),
                        Unmet("master", "host"),
                    ),
                ),
            ),
        ),
        ({"hops"}, (Cause("needs", unmet=(Unmet("hops", 3),)),)),
        ({"all"}, (Cause("many needs"),)),
        (set(), (Cause("clock"),)),
    ],
)
def test_what_stands_in_the_way_is_what_it_takes_to_leave_out(
    enough: set[str], told: tuple[Cause, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """There is no coax cable; and nobody asks for any analogue one."""
    every = {"budget", "cables", "inputs", "outputs", "hops", "master"}

    def can(_: Case, __: Deadline, *without: str) -> bool:
        return set(without) <= enough or (enough == {"all"} and set(without) == every)

    monkeypatch.setattr(causing, "can", can)
    box = replace(PRE, coax_out=1)
    needs: dict[str, Any] = {"mic": 8, "out_line": 2, "master": "host"}
    found = case(PAIR[0], ("b", box, "expander"), cables=(OPT,), **needs)
    assert causing.causes(found, Deadline(None)) == told


def test_analogue_cables_are_missed_where_there_are_direct_outs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(causing, "can", lambda *asked: asked[2:] == ("cables",))
    found = case(*PAIR, ("p", BOX, "preamp"), cables=())
    (cause,) = causing.causes(found, Deadline(None))
    assert cause.items == ("optical", "analogue")


LEADER = replace(DESK, clock_in=())


@pytest.mark.parametrize(
    ("units", "needs", "told"),
    [
        ({"a": LEADER, "b": PRE}, {}, []),
        ({"a": LEADER, "z": LEADER}, {}, [Cause("cannot lock", ("a", "z"))]),
        ({"a": LEADER, "z": LEADER}, {"own_clocks": True}, []),
        ({"a": LEADER, "z": DESK}, {}, []),
        (
            {"a": replace(LEADER, internal_clock=False), "b": PRE},
            {},
            [Cause("no clock", ("a",))],
        ),
        (
            {"a": replace(DESK, internal_clock=False), "b": replace(PRE, internal_clock=False)},
            {},
            [Cause("no master")],
        ),
        ({"a": replace(DESK, internal_clock=False), "p": BOX}, {}, [Cause("no master")]),
        ({"a": replace(DESK, internal_clock=False), "b": PRE}, {}, []),
    ],
)
def test_what_no_cable_cures(
    units: dict[str, Device], needs: dict[str, Any], told: list[Cause]
) -> None:
    roles: Any = {"a": "host", "z": "host", "b": "expander", "p": "preamp"}
    found = case(*((name, box, roles[name]) for name, box in units.items()), **needs)
    assert list(causing._clocks(found)) == told


def test_channels_that_the_file_says_are_taken() -> None:
    """By unit and channel, or by the number at the computer: 1 to 8 are the host's own."""
    units = (Unit("a", DESK, "host", ClockSetting("internal")),)
    said = (
        StatedInput(None, "a", 3, "mic"),
        StatedInput(5, None, None, "mic"),
        StatedInput(99, None, None, "mic"),
        StatedInput(None, "a", None, "mic"),
        StatedInput(6, "b", 2, "mic"),
    )
    rig = WiredRig(48000, units, (), said)
    assert list(repairing._taken(rig)) == [("a", 3), ("a", 5), ("b", 2)]


def test_banks_that_a_unit_has_not_are_left_out() -> None:
    unit = Unit("a", DESK, "host", None, phantom_banks_on=(1, 2, 3))
    assert repairing._sound(unit).phantom_banks_on == (1, 2)


def test_nothing_but_cables_is_for_sale_and_in_what_money_is_known() -> None:
    shop = replace(
        catalogue(DESK, cables=(OPT,)),
        sellers={"here": Seller("here", "GBP"), "far": Seller("far", "EUR")},
        offers=tuple(
            Offer(item, seller, 100)
            for item in ("opt-1m", "desk-8")
            for seller in ("here", "far")
        ),
    )

    def left(needs: Needs | None) -> list[tuple[str, str]]:
        found = repairing._cables_only(shop, needs)
        assert (found.devices, found.cables) == ({}, shop.cables)
        return [(offer.item, offer.seller) for offer in found.offers]

    assert left(None) == [("opt-1m", "here")]
    assert left(Needs()) == [("opt-1m", "here"), ("opt-1m", "far")]


@pytest.mark.parametrize(
    ("fed", "bought", "paid"), [(1, 1, 5), (1, 0, 0), (0, 1, 0), (0, 0, 0)]
)
def test_what_is_paid_to_keep_outputs_fed_is_told(fed: int, bought: int, paid: int) -> None:
    """A cable, at 5, is there for an output that is fed by nothing else."""
    model = cp_model.CpModel()
    output, cable = model.new_bool_var("output"), model.new_bool_var("cable")
    untouched = model.clone()
    model.add(output == fed)
    model.add(cable == bought)
    best = run(model, Deadline(None))
    order: Any = [[], [(output, -1)], [(cable, 5)]]
    assert solving._for_outputs(untouched, order, best, Deadline(None)) == paid


def test_what_is_not_known_in_time_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    model = cp_model.CpModel()
    output, cable = model.new_constant(1), model.new_constant(1)
    best = run(model, Deadline(None))
    order: Any = [[], [(output, -1)], [(cable, 5)]]
    late = Result("feasible", 0, lambda _: 0)
    monkeypatch.setattr(solving, "optimise", lambda *_: Optimum(late, False))
    assert solving._for_outputs(model, order, best, Deadline(None)) == 0


@pytest.mark.parametrize(("status", "told"), [("optimal", True), ("infeasible", False)])
def test_whether_there_is_any_repair_is_told_where_it_is_known(
    status: Any, told: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = case(*PAIR)
    left: list[object] = []

    def made(asked: Case, _: Deadline) -> Any:
        left.append(asked.relaxed)
        return SimpleNamespace(model=None)

    monkeypatch.setattr(solving, "build", made)
    monkeypatch.setattr(solving, "run", lambda *_: Result(status, 0, lambda _: 0))
    assert solving.can(found, NO_END, "hops", "master") is told
    assert left == [{"hops", "master"}]
    monkeypatch.setattr(solving, "run", lambda *_: Result("unknown", 0, lambda _: 0))
    with pytest.raises(TimeIsUpError):
        solving.can(found, NO_END)


def test_where_cables_are_no_matter_a_line_needs_no_lead() -> None:
    """Two direct outs and the lines for them; there is no lead to buy."""
    host = replace(DESK, mic_line=0, mic=0, line=2, phantom_bank=0)
    preamp = Device("p", "", "preamp", 100, mic=2, phantom_bank=1, direct_out=2)
    found = case(("a", host, "host"), ("p", preamp, "preamp"), mic=2)
    assert not solving.can(found, NO_END)
    assert solving.can(found, NO_END, "cables")


# --- sockets that are alike ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "clock", "held", "alike"),
    [
        ({}, None, 0, [(1, 2), (2, 3)]),
        ({"optical_2x": 1}, None, 0, [(1, 2), (2, 3)]),
        ({"optical_stereo": 1}, None, 0, [(2, 3)]),
        ({}, ("optical", 2), 0, []),
        ({}, ("optical", 3), 0, [(1, 2)]),
        ({}, ("coax", 2), 0, [(1, 2), (2, 3)]),
        ({}, None, 3, [(1, 2)]),
        ({"max_in_1x": 9}, None, 0, []),
        (
            {"either": ((SocketRef("optical", "in", 1), SocketRef("coax", "in", 1)),)},
            None,
            0,
            [(2, 3)],
        ),
    ],
)
def test_sockets_are_alike_where_nothing_tells_them_apart(
    changes: dict[str, Any],
    clock: tuple[Any, int] | None,
    held: int,
    alike: list[tuple[int, int]],
) -> None:
    """Three optical inputs of a host; one may hold a cable of old."""
    host = replace(DESK, optical_in=3, optical_out=0, coax_out=0, **changes)
    unit = Unit("a", host, "host", clock and ClockSetting(*clock))
    links = (link(LIGHT_PIPE, "b", 1, "a", held, 8, ("audio",), None),) if held else ()
    found = case(("a", host, "host"), PAIR[1], links=links)
    found = replace(found, units=(unit, *found.units[1:]))
    assert [
        (one.socket.number, other.socket.number) for one, other in sockets_rule._alike(found)
    ] == alike


def test_what_one_unit_could_hear_of_another() -> None:
    """Towards a host what an expander converts, or what it plays, over a cable both ways."""
    deaf = replace(PRE, mic_line=0, line_out=0)
    plays = replace(deaf, line_out=8)
    host = Unit("host-1", DESK, "host", None)
    pipe, both = FORMATS["light-pipe"], FORMATS["light-pipe"]._replace(duplex=True)

    def heard(device: Device, row: Format, *, back: bool = False) -> bool:
        unit = Unit("expander-1", device, "expander", None)
        ends = (host, unit) if back else (unit, host)
        return _heard(row, *ends, 48_000)

    assert heard(PRE, pipe)
    assert not heard(plays, pipe)
    assert heard(plays, both)
    assert not heard(deaf, both)
    assert heard(plays, pipe, back=True)
    assert not heard(deaf, pipe, back=True)
