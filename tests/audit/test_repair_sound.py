"""What a repair may choose among is every sound wiring of the units, and nothing else.

All ways to join the sockets of some units, with every clock setting, go past the audit, which
shares no rule with the repair's model; those that pass are held against all that the model
has.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import chain, combinations, permutations, product
from typing import NamedTuple

import pytest

from rigopt.catalogue.types import PLUGS, Device, SocketRef
from rigopt.catalogue.types import Cable as CatalogueCable
from rigopt.facts import ANALOGUE, FORMATS, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.model import build, solve
from rigopt.optimiser.questions.repair.read import read
from rigopt.optimiser.solver.run import Deadline, run
from rigopt.rig.audit import audit_needs
from rigopt.rig.banks import banks
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.sockets import Socket, sockets
from rigopt.rig.types import ClockSetting, Link, Unit, UnitRole
from rigopt.rig.wired import WiredRig, unburdened
from tests.rig.rig_builders import TICK
from tests.tiers import few
from tests.world import CABLES, DESK, PRE, catalogue

INTERNAL = ClockSetting("internal")
LINE = FORMATS[ANALOGUE]
End = tuple[str, str, int]


class Cable(NamedTuple):
    """A cable; `tee`: it begins at the T-piece of that word input."""

    row: Format
    start: End
    end: End
    tee: bool = False


Settings = tuple[ClockSetting | None, ...]
Banks = tuple[tuple[int, ...], ...]
Choice = tuple[frozenset[Cable], Settings, Banks]


def room(**devices: tuple[Device, UnitRole]) -> tuple[Unit, ...]:
    return tuple(
        Unit(name, device, role, INTERNAL if device.digital else None)
        for name, (device, role) in devices.items()
    )


# --- by the audit --------------------------------------------------------------------------


def ways(units: Sequence[Unit], rate_hz: int) -> Iterator[Cable]:
    """Every cable that sockets can take; a duplex one goes from the expander to the host."""
    live = {unit.name: sockets(unit.device, rate_hz) if unit.clock else () for unit in units}
    for one, other in permutations(units, 2):
        if one.device.has_direct_outs and other.role in ("host", "expander"):
            outs = range(1, one.device.direct_out + 1)
            for out, into in product(outs, other.device.taking("line")):
                yield Cable(LINE, (one.name, "line", out), (other.name, "line", into))
        for start, end in product(live[one.name], live[other.name]):
            for row in start.formats:
                if row in end.formats and end.ref.way == "in":
                    ends = (one.name, *start.ref[::2]), (other.name, *end.ref[::2])
                    yield from _between(row, one, start, other, ends)


def _between(
    row: Format, one: Unit, start: Socket, other: Unit, ends: tuple[End, End]
) -> Iterator[Cable]:
    if row.duplex:
        turned = (one.role, other.role) == ("host", "expander")
        if not turned and (one.role != other.role or one.name < other.name):
            yield Cable(row, *ends)
    elif start.ref.way == "out":
        yield Cable(row, *ends)
    elif row.id == "word":
        yield Cable(row, *ends, tee=True)


def settings_of(unit: Unit, cables: Sequence[Cable]) -> list[ClockSetting | None]:
    """Its own clock, and every socket with a cable in it; none if it has no cable."""
    ends = [x.end for x in cables] + [x.start for x in cables if x.row.duplex]
    into = [ClockSetting(kind, n) for name, kind, n in ends if name == unit.name]  # type: ignore[arg-type]
    digital = [x for x in cables if x.row != LINE]
    idle = unit.role != "host" and not any(unit.name in (x.end[0], x.start[0]) for x in digital)
    return [None] if idle else [INTERNAL, *into]


def sound(units: Sequence[Unit], needs: Needs) -> set[Choice]:
    """All that the audit has nothing against, where no socket has two cables."""
    every = list(ways(units, needs.rate_hz))
    chosen = chain.from_iterable(combinations(every, n) for n in range(len(every) + 1))
    apart = [cables for cables in chosen if _apart(cables)]
    return {
        (frozenset(cables), settings, on)
        for cables in apart
        for settings in product(*(settings_of(unit, cables) for unit in units))
        for on in product(*(banks_of(unit, needs) for unit in units))
        if _passes(units, cables, settings, on, needs)
    }


def banks_of(unit: Unit, needs: Needs) -> list[tuple[int, ...]]:
    """All ways to switch its 48 V, where that is asked for."""
    if not needs.phantom:
        return [()]
    there = banks(unit.device)
    return [on for n in range(len(there) + 1) for on in combinations(there, n)]


def _apart(cables: Sequence[Cable]) -> bool:
    """Whether each socket, and each T-piece, has one cable; whether each chain begins."""
    ends: list[object] = [("in", x.end) for x in cables]
    ends += [("tee" if x.tee else "in" if x.row.duplex else "out", x.start) for x in cables]
    return len(set(ends)) == len(ends) and all(_first(x, cables) for x in cables)


def _first(cable: Cable | None, cables: Sequence[Cable]) -> Cable | None:
    """The cable of a chain that leaves the output; None if there is none."""
    for _ in cables:
        if cable is not None and cable.tee:
            start = cable.start
            cable = next((x for x in cables if x.end == start), None)
    return cable if cable is not None and not cable.tee else None


def _passes(
    units: Sequence[Unit],
    cables: Sequence[Cable],
    settings: Settings,
    on: Banks,
    needs: Needs,
) -> bool:
    """Whether it does, whichever of the cables to hosts have no audio to carry."""
    first = {x: _first(x, cables) or x for x in cables}
    froms = {x.end: first[x].start[0] for x in cables}
    froms |= {x.start: x.end[0] for x in cables if x.row.duplex}
    there = [
        replace(unit, clock=clock and _from(unit, clock, froms), phantom_banks_on=switched)
        for unit, clock, switched in zip(units, settings, on, strict=True)
    ]
    hosts = {unit.name for unit in units if unit.role == "host"}
    coming = [x for x in cables if x.end[0] in hosts and x.row != LINE]
    silent = chain.from_iterable(combinations(coming, n) for n in range(len(coming) + 1))
    for mute in silent:
        wires = [
            Wire(
                x.row,
                first[x].start[0],
                first[x].start[2],
                x.end[0],
                x.end[2],
                audio=x not in mute,
                after=x.start[0] if x.tee else None,
            )
            for x in cables
        ]
        links = derive_links(there, wires, needs.rate_hz)
        if not audit_needs(there, links, needs.rate_hz, needs):
            return True
    return False


def _from(unit: Unit, clock: ClockSetting, froms: dict[End, str]) -> ClockSetting:
    if clock.socket is None:
        return clock
    return replace(clock, from_unit=froms.get((unit.name, clock.source, clock.socket)))


# --- by the model --------------------------------------------------------------------------


SHELF = (
    *CABLES,
    *(CatalogueCable(kind, "", kind, 1000, 1) for kind in ("net", "tee", "terminator")),
    *(CatalogueCable(plug, "", ANALOGUE, 1000, 1, ends=("jack", plug)) for plug in PLUGS),
)


def question(units: tuple[Unit, ...], needs: Needs) -> Problem:
    """Cables of every kind, one of each, and nothing else for sale."""
    shop = replace(catalogue(*(unit.device for unit in units), cables=SHELF), devices={})
    formats = {unit.device.trunk.id: unit.device.trunk for unit in units if unit.device.trunk}
    return state(replace(shop, formats={**FORMATS, **formats}), needs)


def modelled(units: tuple[Unit, ...], needs: Needs) -> dict[Choice, WiredRig]:
    """All that a repair may choose, as it is told: nothing is there, so all is added."""
    repair = build(Case(units, (), question(units, needs), judged=True), Deadline(None))
    states = [var for each in repair.states.values() for var in each]
    seen = [*repair.plug.values(), *repair.line.values(), *states]
    seen += repair.on.values() if needs.phantom else ()
    found: dict[Choice, WiredRig] = {}
    while (result := run(repair.model, Deadline(None))).found:
        mended = read(repair, result, proven=False, for_outputs=0)
        assert (mended.added, mended.moved, mended.removed) == (mended.rig.links, (), ())
        links = unburdened(mended.rig.units, mended.rig.links, needs.rate_hz)
        assert not audit_needs(mended.rig.units, links, needs.rate_hz, needs)
        found[_chosen(mended.rig, bool(needs.phantom))] = mended.rig
        repair.model.add_bool_or(~v if result.value(v) else v for v in seen)
    return found


def _chosen(rig: WiredRig, switched: bool) -> Choice:
    roles = {unit.name: unit.role for unit in rig.units}
    clocks = (u.clock and ClockSetting(u.clock.source, u.clock.socket) for u in rig.units)
    on = tuple(unit.phantom_banks_on if switched else () for unit in rig.units)
    return frozenset(_cable(link, rig.links, roles) for link in rig.links), tuple(clocks), on


def _cable(link: Link, links: Sequence[Link], roles: dict[str, UnitRole]) -> Cable:
    kind = "line" if link.kind == ANALOGUE else link.kind
    start, end = (link.from_unit, kind, link.from_socket), (link.to_unit, kind, link.to_socket)
    if link.after is not None:
        (before,) = (x for x in links if x.end[0] == link.after and x.kind == "word")
        return Cable(link.format, (link.after, kind, before.to_socket), end, tee=True)
    ends = ("expander", "host"), (roles[start[0]], roles[end[0]])
    turned = ends[0] == ends[1][::-1] or (ends[1][0] == ends[1][1] and start > end)
    return Cable(
        link.format, *((end, start) if link.format.duplex and turned else (start, end))
    )


# --- rooms ---------------------------------------------------------------------------------

LOOSE = Needs(max_hosts=9, max_hops=9)
HOST = replace(DESK, word_in=1, clock_in=("optical", "word"), coax_in=0, coax_out=0)
DEAF = replace(HOST, optical_out=0)
FOLLOWER = replace(PRE, word_in=1, clock_in=("optical", "word"))
BOX = replace(TICK, word_out=1)
TRUNK = Format("trunk", "trunk", "trunk", "net", (32, 16, 8), duplex=True)
TRUNKED = replace(
    HOST, optical_in=0, optical_out=0, trunk=TRUNK, trunk_in=1, clock_in=("trunk", "word")
)
STAGE = replace(TRUNKED, id="stage", role="expander")
PLAIN = replace(HOST, word_in=0, clock_in=("optical",))
CONVERTING = replace(PLAIN, rate_converter=("optical",))
TWO = replace(PRE, optical_in=0, optical_out=2, optical_2x=2, optical_stereo=1)
WIDE = replace(
    PLAIN,
    optical_in=2,
    optical_out=0,
    optical_2x=2,
    clock_in=(SocketRef("optical", "in", 2),),
)
LINED = replace(
    WIDE, mic_line=1, mic=0, line=1, phantom_bank=1, optical_in=0, optical_2x=0, line_plug="xlr"
)
PREAMP = Device("preamp", "", "preamp", 100, mic=2, phantom_bank=1, direct_out=2)

ROOMS: dict[str, tuple[tuple[Unit, ...], Needs]] = {
    "a chain of word inputs": (
        room(a=(HOST, "host"), b=(FOLLOWER, "expander"), c=(BOX, "clock")),
        LOOSE,
    ),
    "a short chain": (
        room(a=(DEAF, "host"), b=(FOLLOWER, "expander"), c=(BOX, "clock")),
        replace(LOOSE, word_inputs=1, max_hops=1, mic=9),
    ),
    "a master that is asked for": (
        room(a=(DEAF, "host"), b=(FOLLOWER, "expander"), c=(BOX, "clock")),
        replace(LOOSE, master="expander"),
    ),
    "a trunk both ways": (
        room(a=(TRUNKED, "host"), b=(STAGE, "expander"), c=(BOX, "clock")),
        LOOSE,
    ),
    "two hosts": (
        room(a=(PLAIN, "host"), b=(PLAIN, "host"), c=(replace(PRE, optical_out=1), "expander")),
        LOOSE,
    ),
    "two hosts on clocks of their own": (
        room(a=(PLAIN, "host"), b=(PLAIN, "host"), c=(PRE, "expander")),
        replace(LOOSE, own_clocks=True),
    ),
    "a converter at the host": (
        room(a=(CONVERTING, "host"), b=(PRE, "expander")),
        LOOSE,
    ),
    "converters with outputs": (
        room(a=(CONVERTING, "host"), b=(replace(PRE, rate_converter=("optical",)), "expander")),
        replace(LOOSE, out_line=9),
    ),
    "stereo beside light-pipe": (
        room(
            a=(replace(PLAIN, optical_stereo=1), "host"),
            b=(replace(PRE, optical_stereo=1), "expander"),
        ),
        replace(LOOSE, mic=9),
    ),
    "stereo into a host that is cut": (
        room(
            a=(replace(WIDE, optical_stereo=2, max_in_1x=18), "host"),
            b=(replace(TWO, optical_stereo=2, optical_2x=1), "expander"),
        ),
        replace(LOOSE, mic=13),
    ),
    "stereo alone moves inputs of its own": (
        room(
            a=(
                replace(
                    PLAIN, optical_stereo=1, max_in_1x=9, input_order=("optical", "analogue")
                ),
                "host",
            ),
            b=(replace(PRE, optical_stereo=1), "expander"),
        ),
        replace(LOOSE, mic=9),
    ),
    "coax and light-pipe": (
        room(
            a=(replace(DESK, optical_out=0), "host"),
            b=(replace(PRE, coax_in=1, coax_out=1, clock_in=("coax",)), "expander"),
        ),
        replace(LOOSE, out_line=5),
    ),
    "outputs by either of two hosts": (
        room(
            a=(replace(PLAIN, optical_in=0, coax_out=1), "host"),
            b=(
                replace(PLAIN, optical_in=0, coax_in=1, coax_out=1, clock_in=("coax",)),
                "host",
            ),
            c=(
                replace(PRE, optical_out=0, coax_in=1, clock_in=("optical", "coax")),
                "expander",
            ),
        ),
        replace(LOOSE, out_line=11),
    ),
    "outputs by the host that is sent to": (
        room(
            a=(replace(PLAIN, rate_converter=("optical",)), "host"),
            b=(replace(PLAIN, optical_in=0), "host"),
            c=(replace(PRE, rate_converter=("optical",), clock_in=()), "expander"),
        ),
        replace(LOOSE, own_clocks=True),
    ),
    "outputs that one cable feeds": (
        room(
            a=(replace(DESK, optical_in=0, coax_in=0), "host"),
            b=(
                replace(PRE, optical_out=0, coax_in=1, line_out=8, clock_in=("coax",)),
                "expander",
            ),
        ),
        LOOSE,
    ),
    "outputs beyond those of one cable": (
        room(
            a=(replace(DESK, optical_in=0, coax_in=0, optical_stereo=1), "host"),
            b=(
                replace(
                    PRE, optical_out=0, optical_stereo=1, coax_in=1, line_out=9, clock_in=()
                ),
                "expander",
            ),
        ),
        replace(LOOSE, own_clocks=True),
    ),
    "outputs by trunks from either of two hosts": (
        room(a=(TRUNKED, "host"), b=(TRUNKED, "host"), c=(STAGE, "expander")),
        replace(LOOSE, own_clocks=True),
    ),
    "ends of a chain": (
        room(
            a=(replace(DEAF, optical_in=0, word_end="none"), "host"),
            b=(
                replace(FOLLOWER, optical_in=0, optical_out=0, word_end="fixed"),
                "expander",
            ),
            c=(replace(FOLLOWER, optical_in=0, optical_out=0), "expander"),
            d=(BOX, "clock"),
        ),
        replace(LOOSE, word_inputs=2),
    ),
    "channels that come by the second light-pipe": (
        room(
            a=(replace(WIDE, phantom_bank=0), "host"),
            b=(replace(TWO, mic_line=0, mic=4, line=4, phantom_bank=2), "expander"),
        ),
        replace(LOOSE, rate_hz=96000, mic=4, phantom=3, line=9),
    ),
    "one host alone hears an expander": (
        room(
            a=(replace(PLAIN, optical_out=0), "host"),
            b=(replace(PLAIN, optical_out=0), "host"),
            c=(replace(TWO, mic_line=16), "expander"),
        ),
        replace(LOOSE, mic=32),
    ),
    "DI boxes": (
        room(
            a=(replace(PLAIN, optical_in=0, optical_out=0, inst=1, phantom_bank=4), "host"),
            b=(Device("active", "", "di", 100, inst=2, di_phantom=True), "di"),
            c=(Device("passive", "", "di", 100, inst=1), "di"),
        ),
        replace(LOOSE, mic=5, phantom=2, no_phantom=3, instrument=4),
    ),
    "more instruments than DI boxes hold": (
        room(
            a=(replace(PLAIN, optical_in=0, optical_out=0), "host"),
            b=(Device("passive", "", "di", 100, inst=1), "di"),
        ),
        replace(LOOSE, instrument=2),
    ),
    "a box for every instrument, and a microphone too many": (
        room(
            a=(replace(PLAIN, optical_in=0, optical_out=0), "host"),
            b=(Device("passive", "", "di", 100, inst=9), "di"),
        ),
        replace(LOOSE, mic=7, instrument=2),
    ),
    "too few outputs for headphones": (
        room(
            a=(PLAIN, "host"),
            d=(Device("ears", "", "headphones", 100, phones=4, line_in=3), "headphones"),
        ),
        replace(LOOSE, out_line=2, out_phones=3),
    ),
    "outputs by trunks": (
        room(a=(TRUNKED, "host"), b=(STAGE, "expander")),
        replace(LOOSE, out_line=5, own_clocks=True),
    ),
    "headphones": (
        room(
            a=(PLAIN, "host"),
            b=(PRE, "expander"),
            d=(Device("ears", "", "headphones", 100, phones=4, line_in=3), "headphones"),
        ),
        replace(LOOSE, out_line=4, out_phones=6),
    ),
    "48 V": (
        room(a=(replace(PLAIN, optical_out=0), "host"), b=(PRE, "expander")),
        replace(LOOSE, mic=12, phantom=6, no_phantom=3, line=1),
    ),
    "48 V on few": (
        room(a=(replace(PLAIN, optical_out=0, phantom_bank=(3, 2)), "host")),
        replace(LOOSE, mic=6, phantom=4, no_phantom=1, line=1),
    ),
    "direct outs": (
        room(a=(LINED, "host"), b=(PREAMP, "preamp")),
        replace(LOOSE, mic=2, phantom=1),
    ),
    "direct outs of an expander": (
        room(
            a=(replace(PLAIN, mic_line=1, line=1, optical_out=0, max_in_1x=2), "host"),
            b=(replace(PRE, mic_line=2, direct_out=1, optical_in=0, line_out=0), "expander"),
        ),
        LOOSE,
    ),
    "two light-pipes at 96 kHz": (
        room(a=(WIDE, "host"), b=(TWO, "expander")),
        replace(LOOSE, rate_hz=96000),
    ),
}


NONE = {
    "one host alone hears an expander",
    "more instruments than DI boxes hold",
    "a box for every instrument, and a microphone too many",
    "too few outputs for headphones",
}
"""Where there is no sound one."""


def told(choice: Choice) -> str:
    cables, settings, on = choice
    wires = sorted(f"{x.start} {'tee' if x.tee else '-'} {x.end}" for x in cables)
    clocks = [clock and (clock.source, clock.socket) for clock in settings]
    return f"{wires} {clocks} {on}"


@cache
def chosen(name: str) -> dict[Choice, WiredRig]:
    return modelled(*ROOMS[name])


SLOW = ("two hosts", "channels that come by the second light-pipe", "direct outs")


@pytest.mark.parametrize(
    "name", few(sorted(ROOMS, key=SLOW.__contains__), len(ROOMS) - len(SLOW))
)
def test_a_repair_may_choose_every_sound_wiring_and_no_other(name: str) -> None:
    units, needs = ROOMS[name]
    found, right = chosen(name).keys(), sound(units, needs)
    assert sorted(map(told, found - right)) == [], "chosen, and not sound"
    assert sorted(map(told, right - found)) == [], "sound, and not to be had"
    assert bool(right) != (name in NONE)


@pytest.mark.parametrize("name", [n for n in ROOMS if n not in (*NONE, *SLOW)][::3])
def test_what_is_sound_stays_as_it_is(name: str) -> None:
    """Of all wirings of a room, one with the most cables."""
    units, needs = ROOMS[name]
    found = chosen(name)
    rig = found[max(found, key=lambda choice: (len(choice[0]), told(choice)))]
    lines = tuple(link for link in rig.links if link.kind == ANALOGUE)
    links = tuple(link for link in rig.links if link.kind != ANALOGUE)
    case = Case(rig.units, links, question(units, needs), judged=True, lines=lines)
    again = read(*solve(case, Deadline(None)))
    assert (again.moved, again.added, again.removed, again.money) == ((), (), (), 0)
    assert again.rig.units == rig.units
    assert _chosen(again.rig, switched=True) == _chosen(rig, switched=True)
    assert again.proven
