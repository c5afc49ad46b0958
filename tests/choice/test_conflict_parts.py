"""The parts of an explanation, each asked by itself, with what is right written by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.choice import BlankCell, Change, Fact, Need, Setting
from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs, SourceLine, Value
from rigopt.optimiser.questions.conflict import advice as module
from rigopt.optimiser.questions.conflict import blank_cells as cells
from rigopt.optimiser.questions.conflict import explain, smaller
from rigopt.optimiser.questions.conflict import probes as probing
from rigopt.optimiser.questions.conflict.advice import advice
from rigopt.optimiser.questions.conflict.analogue_way import analogue_way
from rigopt.optimiser.questions.conflict.blank_cells import MEANT, Filled
from rigopt.optimiser.questions.conflict.catalogue_facts import facts
from rigopt.optimiser.questions.conflict.conflict import Conflict, rates, stated, without
from rigopt.optimiser.questions.conflict.edited_needs import edited
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError, proven
from rigopt.optimiser.questions.conflict.smaller import least_change
from rigopt.optimiser.search.pooled import NOTHING_YET, Search
from rigopt.optimiser.solver.run import Deadline, Result
from tests.world import ALL, BOTH, CABLES, DESK, HUB, OPT, PRE, catalogue

# --- the least change of one need --------------------------------------------------------


def up_to(most: int) -> Callable[[Value], bool]:
    return lambda value: isinstance(value, int) and value <= most


def from_(least: int) -> Callable[[Value], bool]:
    return lambda value: isinstance(value, int) and value >= least


@pytest.mark.parametrize("most", range(12))
def test_the_most_sources_that_work_are_found(most: int) -> None:
    others = Needs(mic=12, line=1)
    assert smaller._most_sources(others, "mic", 12, up_to(most)) == most
    alone = smaller._most_sources(Needs(mic=12), "mic", 12, up_to(most))
    assert alone == (most or None), "a rig for no source is no answer"


def test_what_is_no_source_of_its_own_may_go_to_nothing() -> None:
    assert smaller._most_sources(Needs(mic=1, phantom=1), "phantom", 1, up_to(0)) == 0
    assert smaller._most_sources(Needs(mic=1), "mic", 1, up_to(1)) is None
    assert smaller._most_sources(Needs(mic=2), "mic", 2, up_to(-1)) is None


@pytest.mark.parametrize("least", range(4, 31))
def test_the_least_number_that_works_is_found(least: int) -> None:
    assert smaller._least_number(3, 30, from_(least)) == least


def test_no_number_is_told_that_does_not_work() -> None:
    assert smaller._least_number(3, 30, from_(31)) is None
    assert smaller._least_number(30, 30, from_(30)) is None
    assert smaller._least_number(3, 4, from_(4)) == 4


class Asked:
    """Answers in the place of the solver's, with what was asked."""

    def __init__(self, works: Callable[[Needs], bool]) -> None:
        self.works = works
        self.seen: list[Needs] = []

    def possible(self, _: Probes, needs: Needs, _given_up: object) -> bool:
        self.seen.append(needs)
        return self.works(needs)


def changed(
    monkeypatch: pytest.MonkeyPatch,
    needs: Needs,
    need: Need,
    works: Callable[[Needs], bool],
    shop: Catalogue | None = None,
) -> tuple[Setting | None, list[Needs]]:
    """The least change, and what was asked for it."""
    asked = Asked(works)
    monkeypatch.setattr(smaller, "possible", asked.possible)
    probes = Probes(shop or catalogue(DESK, PRE), Deadline(None))
    return least_change(probes, needs, need), asked.seen


def test_rates_are_tried_from_the_nearest_on(monkeypatch: pytest.MonkeyPatch) -> None:
    needs = Needs(rate_hz=96000)
    never = changed(monkeypatch, needs, Need("rate_hz", 96000), lambda _: False)
    assert never[0] is None
    assert [asked.rate_hz for asked in never[1]] == [88200, 48000, 44100]


def test_one_id_is_taken_out(monkeypatch: pytest.MonkeyPatch) -> None:
    needs = Needs(avoid=("a", "b", "c"))
    found, asked = changed(monkeypatch, needs, Need("avoid", "b"), lambda _: True)
    assert found == Setting("avoid", ("a", "c"))
    assert len(asked) == 1


def test_one_port_more_is_tried_before_all(monkeypatch: pytest.MonkeyPatch) -> None:
    needs = Needs(ports=("pcie", "usb"))
    need = Need("ports", needs.ports)
    found, asked = changed(monkeypatch, needs, need, lambda n: len(n.ports) == 4)
    assert found == Setting("ports", ("usb", "thunderbolt", "pcie", "network"))
    assert [one.ports[2:] for one in asked[:2]] == [("thunderbolt",), ("network",)]


def test_the_next_shorter_cable_is_tried_first(monkeypatch: pytest.MonkeyPatch) -> None:
    cables = tuple(replace(OPT, id=f"opt-{mm}", length_mm=mm) for mm in (500, 1500, 3000))
    shop = catalogue(DESK, cables=(*CABLES, *cables))
    needs = Needs(host_to_rack_mm=3000)
    need = Need("host_to_rack_mm", 3000)
    found, asked = changed(monkeypatch, needs, need, lambda n: n.host_to_rack_mm < 1000, shop)
    assert found == Setting("host_to_rack_mm", 500)
    assert [one.host_to_rack_mm for one in asked] == [1500, 1000, 500]


def test_a_limit_without_an_end_is_looked_for_to_the_largest_count(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    needs = Needs(units=2, max_hops=2)
    found, _ = changed(monkeypatch, needs, Need("units", 2), lambda n: (n.units or 0) >= 900)
    assert found == Setting("units", 900)
    found, asked = changed(monkeypatch, needs, Need("max_hops", 2), lambda _: False)
    assert found is None
    assert [one.max_hops for one in asked] == [32]


# --- what could be given up ----------------------------------------------------------------


def test_every_need_that_says_something_is_stated_once() -> None:
    needs = Needs(
        mic=4,
        phantom=1,
        ports=("usb", "pcie"),
        avoid=("a", "b"),
        require=("c",),
        budget=5,
        max_hosts=16,
        max_hops=32,
        word_inputs=64,
        host_to_rack_mm=0,
        within_rack_mm=0,
        own_clocks=True,
    )
    assert set(stated(needs)) == {
        Need("avoid", "a"),
        Need("avoid", "b"),
        Need("require", "c"),
        Need("phantom", 1),
        Need("mic", 4),
        Need("budget", 5),
        Need("ports", ("usb", "pcie")),
        Need("rate_hz", 48000),
    }
    same = replace(needs, ports=("network", "pcie", "thunderbolt", "usb"))
    assert "ports" not in {need.name for need in stated(same)}, "in any order they are all"


def test_what_is_given_up_says_nothing_any_more() -> None:
    needs = Needs(mic=8, phantom=2, no_phantom=1, budget=5, avoid=("a", "b"), rate_hz=96000)
    gone = [Need("avoid", "a"), Need("budget", 5), Need("rate_hz", 96000), Need("mic", 8)]
    assert without(needs, gone) == replace(needs, avoid=("b",), budget=None, mic=3)


def test_other_rates_follow_the_nearest_first() -> None:
    assert rates(catalogue(DESK), 88200) == [88200, 96000, 48000, 44100]
    even = catalogue(replace(DESK, rates_hz=(44100, 51900)))
    assert rates(even, 48000) == [48000, 44100, 51900], "of two as near the lower"


def test_new_sources_count_from_1() -> None:
    listed = Needs(mic=1, sources=(SourceLine("Kick"),))
    more = edited(edited(listed, "mic", 3), "phantom", 1)
    assert [source.name for source in more.sources] == [
        "Kick",
        "another mic any 1",
        "another mic on 1",
    ]
    two = edited(listed, "line", 2)
    assert [s.name for s in two.sources] == ["Kick", "another line any 1", "another line any 2"]


# --- facts -----------------------------------------------------------------------------------


def fact(shop: Catalogue, *names: str, **needs: Any) -> tuple[Fact, ...]:
    """What is told where needs of these names conflict."""
    asked = Needs(**needs)
    conflict = [Need(name, getattr(asked, name)) for name in names]
    return facts(shop, asked, conflict)


WIDE = replace(DESK, id="wide", optical_in=2, optical_2x=2, optical_out=0, mic_line=4)
"""As many light-pipes as two, of which one arrives whole where 20 inputs are seen."""


def test_inputs_are_told_where_nothing_but_sources_and_places_is_in_the_way() -> None:
    shop = catalogue(DESK, PRE)
    told = (Fact("most_inputs", "desk-8", 18), Fact("most_optical", "desk-8", 1, each=8))
    assert fact(shop, "mic", "max_hosts", mic=40) == told
    assert fact(shop, "mic", "rate_hz", "ports", mic=40) == told
    assert fact(shop, "mic", "budget", mic=40, budget=1) == ()
    assert fact(shop, "max_hosts", mic=40) == ()
    assert fact(shop, "mic", mic=40, rate_hz=96000)[1:] == (
        Fact("most_optical", "desk-8", 1, each=4),
    )


def test_a_light_pipe_that_is_cut_is_not_counted() -> None:
    cut = replace(WIDE, max_in_1x=14)
    assert fact(catalogue(cut), "mic", mic=40) == (
        Fact("most_inputs", "wide", 14),
        Fact("most_optical", "wide", 1, each=8),
    )


def test_of_equal_hosts_the_first_by_id_is_told() -> None:
    shop = catalogue(replace(DESK, id="b"), replace(DESK, id="a"), HUB)
    assert fact(shop, "out_line", out_line=9) == (Fact("most_line_out", "a", 4),)
    assert fact(shop, "out_phones", out_phones=9) == (Fact("most_phones", "a", 2),)


def test_amplifiers_that_can_be_had_are_told() -> None:
    def ears(name: str, phones: int, price: int | None = 100) -> Device:
        return Device(name, "", "headphones", price, phones=phones, line_in=4)

    shop = catalogue(DESK, ears("c", 6), ears("b", 6), ears("a", 4), ears("dear", 9, None))
    assert fact(shop, "out_phones", out_phones=99) == (
        Fact("most_phones", "desk-8", 2),
        Fact("amplifier", "b", 6, each=4),
    )


def test_the_smallest_bank_is_told_once() -> None:
    shop = catalogue(DESK, PRE, replace(PRE, id="mixed", phantom_bank=(6, 2)))
    asked: dict[str, Any] = {"mic": 8, "phantom": 3, "no_phantom": 5, "budget": 1}
    told = (Fact("smallest_bank", number=2),)
    assert fact(shop, "phantom", "budget", **asked) == told
    assert fact(shop, "no_phantom", "budget", **asked) == told
    assert fact(shop, "phantom", "no_phantom", "budget", **asked) == told
    none = catalogue(replace(DESK, phantom_bank=0))
    assert fact(none, "phantom", "budget", **asked) == (Fact("smallest_bank", number=0),)


def test_the_longest_cable_of_each_kind_is_told_with_what_would_work() -> None:
    long = Cable("opt-9m", "", "optical", 9000, 100)
    useless = Cable("opt-20m", "", "optical", 20000, 100)
    unsold = Cable("opt-10m", "", "optical", 10000)
    shop = catalogue(DESK, PRE, cables=(*CABLES, long, useless, unsold))
    told = fact(shop, "host_to_rack_mm", host_to_rack_mm=9500)
    assert told == (
        Fact("longest_cable", "optical", 9000, each=10_000),
        Fact("longest_cable", "coax", 1000, each=10_000),
        Fact("longest_cable", "word", 1000, each=30_000),
    )
    assert fact(shop, "within_rack_mm", within_rack_mm=9500) == told


def test_analogue_cables_are_told_of_where_there_are_direct_outs() -> None:
    preamp = Device("preamp", "", "preamp", 100, mic=4, direct_out=4)
    lead = Cable("lead", "", "analogue", 2000, 100, ends=("jack", "jack"))
    shop = catalogue(replace(DESK, line=4), preamp, cables=(*CABLES, lead))
    told = fact(shop, "host_to_rack_mm", host_to_rack_mm=9500)
    assert told[-1] == Fact("longest_cable", "analogue", 2000, each=30_000)
    assert len(told) == 4


def test_a_trunk_without_a_limit_works_at_any_length() -> None:
    trunk = Format("trunk", "trunk", "trunk", "net", (32, 16, 8))
    plain = catalogue(replace(DESK, trunk=trunk, trunk_in=1), PRE)
    shop = replace(plain, formats={**FORMATS, "trunk": trunk})
    told = fact(shop, "within_rack_mm", within_rack_mm=9500)
    assert told[-1] == Fact("longest_cable", "net", 0, each=0)


def test_a_master_of_that_role_is_looked_for_everywhere() -> None:
    following = replace(DESK, internal_clock=False)
    shop = catalogue(following, PRE)
    assert fact(shop, "master", master="clock") == (Fact("no_master"),)
    assert fact(shop, "master", master="host") == (Fact("no_master"),)
    assert fact(shop, "master", master="expander") == ()
    assert fact(catalogue(DESK), "master", master="host") == ()


def test_an_analogue_box_is_no_master() -> None:
    preamp = Device("preamp", "", "preamp", 100, mic=4, direct_out=4, rates_hz=BOTH)
    shop = catalogue(replace(DESK, line=4), preamp)
    assert fact(shop, "master", master="preamp") == (Fact("no_master"),)


def test_without_a_host_what_is_wrong_with_them_is_told() -> None:
    slow = replace(DESK, rates_hz=(44100, 48000))
    fast = replace(DESK, id="fast", rates_hz=(88200,), computer="pcie")
    assert fact(catalogue(slow, fast), "rate_hz", rate_hz=192000) == (
        Fact("no_host_at_rate", rates_hz=(44100, 48000, 88200)),
    )
    assert fact(catalogue(slow, fast), "ports", ports=("network",)) == (
        Fact("no_host_on_ports", ports=("usb",)),
    )
    assert fact(catalogue(slow, fast), ports=("network",)) == (Fact("no_host"),)
    unsold = catalogue(replace(slow, price=None))
    assert fact(unsold, "rate_hz", rate_hz=192000) == (Fact("no_host"),)
    owned = fact(unsold, "rate_hz", rate_hz=192000, owned={"desk-8": 1})
    assert owned == (Fact("no_host_at_rate", rates_hz=(44100, 48000)),)


# --- what a blank cell may have been meant to say ------------------------------------------

_TRUNK = Format("trunk", "trunk", "trunk", "net", (32, 16, 8))
BARE = Device("bare", "", "expander", 100, mic=9, rates_hz=ALL)
PREAMP = replace(BARE, role="preamp")


@pytest.mark.parametrize(
    ("column", "device", "needs", "meant"),
    [
        ("optical_out", BARE, {}, [1, 2]),
        ("optical_in", replace(BARE, mic=8), {}, [1, 1]),
        ("optical_in", BARE, {"rate_hz": 96000}, [1, 3]),
        ("optical_out", PREAMP, {}, []),
        ("coax_out", BARE, {}, [1, 5]),
        ("coax_in", BARE, {}, [1, 5]),
        ("coax_in", PREAMP, {}, []),
        ("clock_in", replace(BARE, optical_in=1, word_in=1), {}, [("optical", "word")]),
        ("clock_in", BARE, {}, [()]),
        ("direct_out", PREAMP, {}, [9]),
        ("direct_out", replace(BARE, role="host"), {}, [0]),
        ("trunk_in", BARE, {}, []),
        ("trunk_out", BARE, {}, []),
        ("trunk_in", replace(BARE, trunk=_TRUNK), {}, [1]),
        ("trunk_out", replace(BARE, trunk=_TRUNK), {}, [1]),
        ("trunk_in", replace(BARE, trunk=_TRUNK._replace(duplex=True)), {}, [1]),
        ("trunk_out", replace(BARE, trunk=_TRUNK._replace(duplex=True)), {}, []),
        ("phantom_bank", BARE, {}, [9, 1]),
        ("phantom_bank", replace(BARE, mic=0), {}, [0, 0]),
        ("line_out", BARE, {"out_line": 5}, [5]),
        ("line_out", PREAMP, {"out_line": 5}, [0]),
        ("phones", PREAMP, {"out_phones": 5}, [5]),
        ("phones", replace(BARE, role="clock"), {"out_phones": 5}, [0]),
        ("optical_4x", replace(BARE, optical_in=2, optical_out=3), {"rate_hz": 192000}, [3]),
        ("optical_4x", replace(BARE, optical_in=2), {"rate_hz": 96000}, []),
        ("coax_4x", replace(BARE, coax_in=2, coax_out=1), {"rate_hz": 176400}, [2]),
        ("optical_stereo", replace(BARE, optical_in=2, optical_out=3), {}, [3]),
        ("word_out", BARE, {}, [1]),
        ("word_out", PREAMP, {}, [0]),
    ],
)
def test_what_a_cell_was_meant_to_say(
    column: str, device: Device, needs: dict[str, Any], meant: list[object]
) -> None:
    assert list(MEANT[column](device, Needs(**needs))) == meant


# --- a way over direct outs ----------------------------------------------------------------

LINED = replace(DESK, line=8)


def way(shop: Catalogue, *names: str, **needs: Any) -> list[Fact]:
    asked = Needs(**needs)
    conflict = [Need(name, getattr(asked, name)) for name in names]
    return list(analogue_way(Probes(shop, Deadline(None)), asked, conflict))


def test_preamps_are_told_of_where_they_would_do() -> None:
    shop = catalogue(LINED, replace(LINED, id="b-lined"), replace(DESK, id="a-desk"))
    told = [Fact("analogue_way", "b-lined", 16)]
    assert way(shop, "mic", mic=12) == told, "of as many the first by id"
    assert way(shop, "spare", mic=8, spare=4) == told
    assert way(shop, "phantom", mic=12, phantom=12) == told
    assert way(shop, "no_phantom", mic=12, no_phantom=12) == told


def test_preamps_are_not_told_of_where_they_would_not_do() -> None:
    shop = catalogue(LINED)
    assert way(shop, "mic", mic=17) == [], "no more inputs for line"
    assert way(shop, "max_hosts", mic=12) == [], "where no input is in the way"
    there: dict[str, Any] = {"mic": 12, "owned": {"desk-8": 1}}
    assert way(shop, "mic", **there) != []
    for silent in ({"budget": 0}, {"owned_only": True}, {"require": ("desk-8",)}):
        (name,) = silent
        assert way(shop, "mic", name, **there, **silent) == []
    late = Probes(shop, Deadline(0.0))
    assert list(analogue_way(late, Needs(mic=12), [Need("mic", 12)])) == []


def test_preamps_that_cannot_help_are_not_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """26 numbers are there, and twice 26 with two hosts; or 18."""
    asked = list[int]()

    def noted(_: Probes, needs: Needs) -> bool:
        asked.append(needs.mic)
        return False

    monkeypatch.setattr(Probes, "possible", noted)
    shop = catalogue(LINED, replace(DESK, id="deaf", mic_line=0, mic=8))
    way(shop, "mic", mic=26)
    way(shop, "mic", mic=25, spare=1)
    way(shop, "mic", mic=52, max_hosts=2)
    assert asked == [26, 25, 52]
    way(shop, "mic", mic=27)
    way(shop, "mic", mic=25, spare=2)
    way(catalogue(replace(DESK, mic_line=0, mic=8)), "mic", mic=12)
    way(catalogue(PRE), "mic", mic=8)
    assert asked == [26, 25, 52]


@pytest.mark.parametrize(
    ("line_plug", "needs"),
    [
        ("jack", {"mic": 2, "phantom": 1, "no_phantom": 1}),
        ("jack", {"mic": 1, "spare": 1}),
        ("jack", {"mic": 2, "mains": 1}),
        ("xlr", {"mic": 2}),
        ("dsub", {"mic": 2, "host_to_rack_mm": 5000}),
    ],
)
def test_the_preamp_is_as_good_as_can_be(line_plug: Any, needs: dict[str, Any]) -> None:
    """Two inputs for line and none for microphones."""
    host = replace(DESK, mic_line=0, line=2, phantom_bank=0, line_plug=line_plug)
    assert way(catalogue(host), "mic", **needs) == [Fact("analogue_way", "desk-8", 2)]


# --- advice --------------------------------------------------------------------------------

FORTY = Needs(mic=40, phantom=30, no_phantom=4, line=3, budget=9)


class Total:
    """Stands in for questions: every rig costs 7."""

    def total(self, _: Needs) -> int:
        return 7


TOTAL: Any = Total()


def test_each_member_has_its_change_if_there_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    least = {"line": Setting("line", 2), "budget": None, "mic": None}
    monkeypatch.setattr(module, "least_change", lambda _, __, need: least[need.name])
    both = [Change((Setting("mic", 1), Setting("line", 1)), 5)]
    monkeypatch.setattr(module, "_together", lambda *_: both)
    line, budget, mic = (Need(name, getattr(FORTY, name)) for name in least)
    assert advice(TOTAL, FORTY, [mic, line, budget]) == (Change((Setting("line", 2),), 7),)
    assert advice(TOTAL, FORTY, [mic, budget]) == tuple(both)
    assert advice(TOTAL, FORTY, []) == ()


def test_fewer_microphones_say_what_becomes_of_48_v() -> None:
    assert module._parts(FORTY, Setting("mic", 20)) == [
        Setting("mic", 20),
        Setting("phantom", 16),
    ]
    assert module._parts(FORTY, Setting("mic", 3)) == [
        Setting("mic", 3),
        Setting("phantom", 0),
        Setting("no_phantom", 3),
    ]
    assert module._parts(FORTY, Setting("budget", 20)) == [Setting("budget", 20)]


@pytest.mark.parametrize("never", [None, "mic", "budget"])
def test_as_few_as_will_do_change_together(
    never: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some rig is left where microphones and the budget are given up, whatever else is."""
    asked = list[tuple[int, int | None, str, list[str]]]()

    def possible(_: object, __: Needs, given_up: list[Need]) -> bool:
        return {"mic", "budget"} <= {need.name for need in given_up}

    def least(_: object, now: Needs, need: Need, given_up: list[Need]) -> Setting | None:
        asked.append((now.mic, now.budget, need.name, [other.name for other in given_up]))
        return None if need.name == never else Setting(need.name, 5)

    monkeypatch.setattr(module, "possible", possible)
    monkeypatch.setattr(module, "least_change", least)
    told = module._together(TOTAL, FORTY)
    first: tuple[int, int, str, list[str]] = (40, 9, "mic", ["budget"])
    second: tuple[int, int, str, list[str]] = (5, 9, "budget", [])
    if first not in asked:
        first, second = (40, 9, "budget", ["mic"]), (40, 5, "mic", [])
    assert asked == ([first, second] if never != first[2] else [first])
    if never is not None:
        assert told == []
        return
    (change,) = told
    assert change.total == 7
    assert {s.name: s.now for s in change.settings} == {
        "mic": 5,
        "phantom": 1,
        "budget": 5,
    }


# --- blank cells, one by one -----------------------------------------------------------------


def cell(name: str, column: str, value: object) -> Filled:
    return Filled(column, value, Device(name, "", "expander"))


def found_alone(
    monkeypatch: pytest.MonkeyPatch, tries: list[list[Filled]], right: set[tuple[str, object]]
) -> tuple[list[tuple[str, object]], int]:
    """The cells that do alone, where one of these does; and how many questions it took."""
    asked = list[object]()

    def possible(_: object, __: object, filled: list[Filled]) -> bool:
        asked.append(filled)
        return any((one.device.id, one.value) in right for one in filled)

    monkeypatch.setattr(cells, "_possible", possible)
    found = cells._alone(TOTAL, Needs(), tries)
    return [(one.device.id, one.value) for one in found], len(asked)


def test_cells_that_do_alone_are_found_by_halves(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = [[cell(name, "optical_out", 1)] for name in "abcdefgh"]
    assert found_alone(monkeypatch, tries, set()) == ([], 1)
    one = found_alone(monkeypatch, tries, {("c", 1)})
    assert one == ([("c", 1)], 1 + 2 + 2 + 2)
    assert found_alone(monkeypatch, tries, {("a", 1), ("h", 1)})[0] == [("a", 1), ("h", 1)]
    assert found_alone(monkeypatch, [], {("a", 1)}) == ([], 0)


def test_of_values_the_first_that_does_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is meant last is the most; that it does is known from the first question."""
    tries = [[cell("a", "optical_out", value) for value in (1, 2, 3)]]
    assert found_alone(monkeypatch, tries, {("a", 2), ("a", 3)}) == ([("a", 2)], 3)
    assert found_alone(monkeypatch, tries, {("a", 3)}) == ([("a", 3)], 3)


DUMB = replace(PRE, id="dumb", optical_out=0, optical_in=0, line_out=0)


def told_of(
    monkeypatch: pytest.MonkeyPatch, *devices: Device, avoid: tuple[str, ...] = ()
) -> list[tuple[str, str]]:
    """Units and columns, where every cell would do."""
    monkeypatch.setattr(cells, "_possible", lambda *_: True)
    probes = Probes(catalogue(*devices), Deadline(None))
    found = cells._that_do(probes, Needs(avoid=avoid, out_line=1))
    return [(one.device.id, one.column) for one in found]


def test_of_units_that_lack_all_of_a_sort_every_cell_is_tried_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told = told_of(monkeypatch, DUMB, replace(DUMB, id="coaxial", coax_out=1, coax_in=1))
    assert ("dumb", "optical_out") in told
    assert ("dumb", "coax_in") in told
    assert ("coaxial", "optical_out") not in told
    assert ("coaxial", "line_out") in told
    assert {name for name, _ in told_of(monkeypatch, DUMB, PRE, avoid=("dumb",))} == {"pre-8"}


def test_where_no_unit_lacks_all_the_others_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    full = replace(
        PRE, coax_in=1, phantom_bank=8, phones=1, word_out=1, optical_stereo=1, direct_out=8
    )
    assert told_of(monkeypatch, full) == [("pre-8", "coax_out")]


def test_a_filled_cell_and_one_that_nothing_was_meant_by_are_not_tried(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    said = replace(DUMB, filled=frozenset(["optical_out", "coax_out"]))
    told = told_of(monkeypatch, said)
    assert not {("dumb", "optical_out"), ("dumb", "coax_out")} & set(told)
    assert ("dumb", "optical_in") in told
    assert ("dumb", "trunk_in") not in told, "there is no trunk"
    assert ("dumb", "clock_in") not in told, "there is the kind of a socket already"
    assert ("dumb", "phones") not in told, "nobody asks for headphones"


@pytest.mark.parametrize(
    ("conflict", "invented", "some"),
    [
        ([Need("mic", 16)], False, True),
        ([Need("mic", 16), Need("max_hosts", 1)], False, True),
        ([Need("mic", 16), Need("budget", 1)], False, False),
        ([Need("units", 1), Need("mic", 16)], False, False),
        ([], False, False),
        ([Need("mic", 16)], True, False),
    ],
)
def test_cells_are_looked_at_where_something_is_not_to_be_had(
    conflict: list[Need], invented: bool, some: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = [
        cell(name, "optical_out", value) for name, value in zip("abcd", "1234", strict=True)
    ]
    monkeypatch.setattr(cells, "_that_do", lambda *_: iter(every))
    monkeypatch.setattr(Probes, "total", lambda *_: 7)
    probes = Probes(replace(catalogue(DESK), invented=invented), Deadline(None))
    told = cells.blank_cells(probes, Needs(), conflict)
    first = [
        BlankCell(name, "optical_out", value, 7)
        for name, value in zip("abc", "123", strict=True)
    ]
    assert list(told) == (first if some else [])


def test_a_cell_with_several_kinds_is_told_as_it_is_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Probes, "total", lambda *_: 7)
    probes = Probes(catalogue(DESK), Deadline(None))
    told = cells._costed(probes, Needs(), cell("a", "clock_in", ("optical", "word")))
    assert told == BlankCell("a", "clock_in", "optical;word", 7)


# --- questions asked -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hosts", "hops", "asked"),
    [
        (1, 3, [(1, 3)]),
        (1, 9, [(1, 4), (1, 9)]),
        (2, 3, [(1, 3), (2, 3)]),
        (3, 9, [(1, 4), (2, 4), (3, 4), (3, 9)]),
        (9, 4, [(1, 4), (2, 4), (4, 4), (8, 4), (9, 4)]),
    ],
)
def test_few_hosts_and_short_chains_are_tried_first(
    hosts: int, hops: int, asked: list[tuple[int, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[int, int]] = []

    def noted(_: Probes, needs: Needs) -> bool:
        seen.append((needs.max_hosts, needs.max_hops))
        return len(seen) == stop

    monkeypatch.setattr(Probes, "_possible", noted)
    probes = Probes(catalogue(DESK), Deadline(None))
    needs = Needs(mic=8, max_hosts=hosts, max_hops=hops)
    for stop in (0, 1):
        seen.clear()
        assert probes.possible(needs) is bool(stop)
        assert seen == (asked[:1] if stop else asked)


def test_what_was_asked_is_not_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    probes = Probes(catalogue(DESK), Deadline(None))
    assert [probes.possible(Needs(mic=n)) for n in (8, 99)] == [True, False]
    monkeypatch.setattr(Search, "possible", None)
    assert [probes.possible(Needs(mic=n)) for n in (8, 99)] == [True, False]


def test_past_the_time_no_catalogue_is_narrowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(probing, "state", None)
    late = Probes(catalogue(DESK), Deadline(0.0))
    with pytest.raises(TimeUpError):
        late.possible(Needs(mic=8))
    with pytest.raises(TimeUpError):
        late.total(Needs(mic=8))


def test_a_search_that_ended_without_a_rig_has_proven_that_there_is_none() -> None:
    assert proven(Result("infeasible", 0, lambda _: 0)) is None
    with pytest.raises(TimeUpError):
        proven(NOTHING_YET)


@pytest.mark.parametrize(("limit", "given"), [(None, 20.0), (100.0, 20.0), (5.0, 5.0)])
def test_an_explanation_takes_20_seconds_at_most(
    limit: float | None, given: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[float | None] = []

    def nothing(probes: Probes, *_: object) -> tuple[()]:
        seen.append(probes.deadline.seconds)
        return ()

    monkeypatch.setattr(explain, "blank_cells", nothing)
    explain.explained(catalogue(PRE), Needs(mic=9), Deadline(limit))
    assert seen == [pytest.approx(given, abs=0.2)]


def test_the_need_of_clock_hops_is_given_up_last(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its long chains make large models."""
    seen: list[list[str]] = []
    conflict = Conflict(
        Probes(catalogue(), Deadline(None)), Needs(mic=8, max_hops=2, out_line=2)
    )
    monkeypatch.setattr(Conflict, "_impossible_without", lambda *_: False)
    monkeypatch.setattr(
        Conflict, "_give_up", lambda _, some: seen.append([need.name for need in some])
    )
    conflict.members()
    (order,) = seen
    assert order[-1] == "max_hops"
    assert len(order) > 1
