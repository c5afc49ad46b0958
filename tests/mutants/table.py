"""Rule -> mutant -> the case that kills it.

The rules stand in the order of rules.md, one block each. A case is the smallest question
whose right answer is known by hand and is not the mutant's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from rigopt.catalogue.types import (
    BLOCKS,
    CHANNEL_COLUMNS,
    MANY,
    Blank,
    Cable,
    Device,
    Offer,
    Seller,
    SocketRef,
)
from rigopt.facts import RATE_MULTIPLIER, SOCKET_KINDS
from rigopt.needs.types import Group, SourceLine
from rigopt.optimiser.model import (
    cables,
    channels,
    clock,
    hosts,
    limits,
    model,
    money,
    outputs,
    pairs,
    sockets,
)
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem import (
    at_rate,
    columns,
    demands,
    dominance,
    problem,
    reach,
    signatures,
)
from rigopt.optimiser.problem.analogue import Face
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.questions import plan as solve
from rigopt.optimiser.search import pooled as search
from rigopt.optimiser.search import ties
from rigopt.rig import numbering
from rigopt.rig.numbering import VisibleInputs, visible_inputs
from tests.mutants.patches import (
    Patch,
    Seen,
    asking,
    attribute,
    item,
    speaking,
    taking_devices_for,
    taking_sellers_for,
    together,
    without,
    without_ones,
)
from tests.mutants.seen import Case
from tests.world import ALL, CABLES, DESK, HUB, PRE


@dataclass(frozen=True)
class Mutant:
    """A rule in short, what is broken in it, how, and the question that shows it."""

    rule: str
    broken: str
    patch: Patch
    case: Case


SLOW = replace(PRE, id="slow", rates_hz=(44100, 48000))
DRY = replace(DESK, phantom_bank=0)
LINES = replace(PRE, id="ad-8", mic_line=0, line=8, phantom_bank=0)
COAX_PRE = Device("pre-2", "", "expander", 5000, mic_line=2, phantom_bank=1, coax_out=1)
DEAF = replace(PRE, id="deaf", optical_in=0, clock_in=())
SHUT = replace(HUB, id="shut", optical_2x=1)
NARROW = replace(HUB, id="narrow", optical_in=2, optical_out=1, optical_2x=2)
WORD_PRE = replace(
    PRE, id="pre-w", optical_in=0, word_in=1, word_out=1, clock_in=("word",), line_out=0
)
WORD_HUB = replace(HUB, id="hub-w", optical_out=0, word_out=1, clock_in=())
WIDE = Device(
    "ad-16", "", "expander", 20000, mic_line=16, phantom_bank=1, optical_out=2, word_out=2
)
MIXED = replace(WIDE, id="mixed", mic_line=10, optical_out=1, coax_out=1)
SOLO = Device(
    "solo",
    "",
    "host",
    9000,
    mic_line=2,
    phantom_bank=1,
    optical_in=1,
    word_in=1,
    clock_in=("optical", "word"),
)
TRIO, SIX = (
    replace(SOLO, id="trio", mic_line=3),
    replace(SOLO, id="six", price=40000, mic_line=6),
)
THREE = replace(WIDE, id="ad-3", price=5000, mic_line=3, optical_out=1)
PAIRS = tuple(SourceLine(f"{p} {side}", pair=p) for p in "ABC" for side in ("left", "right"))
OFFERS = (Offer("desk-8", "a", 10000), Offer("pre-8", "b", 7000), Offer("pre-8", "a", 9000))
OPT = CABLES[1]
FREE = tuple(replace(cable, price=0) for cable in CABLES)
SHARED = replace(
    DESK, id="shared", either=((SocketRef("coax", "in", 1), SocketRef("optical", "in", 1)),)
)
ONE_WORD = replace(WORD_HUB, id="hub-1w", optical_in=3)
LISTENER = replace(WORD_PRE, id="pre-l", word_out=0)
TEE, END = Cable("tee", "", "tee", 0, 300), Cable("end", "", "terminator", 0, 200)
CHAINED = (*CABLES, TEE, END)
CONVERTER = replace(HUB, id="conv", rate_converter=("optical",))
LONE = replace(DESK, id="lone", optical_in=0, optical_out=0, coax_in=0, coax_out=0, clock_in=())


def _case(*devices: Device, right: dict[str, object] | None, **needs: Any) -> Case:
    market = {key: needs.pop(key) for key in ("cables", "offers") if key in needs}
    named = {offer.seller for offer in market.get("offers", ())}
    sold = tuple(Seller(name, "GBP", delivery=500) for name in sorted(named))
    return Case(devices, right, needs, **market, sellers=sold)


# --- mutants that need a line of code ------------------------------------------------------


_SOCKETS = sockets.add


def _one_host_a_slot(solver_model: Any, rig: RigVars) -> None:
    """The rule of the sockets as if hosts were never pooled."""
    apart: Any = Seen(rig, problem=Seen(rig.problem, per_slot=1))
    _SOCKETS(solver_model, apart)


def _every_channel(column: columns.SatelliteColumn) -> tuple[int, ...]:
    sends = column.wiring.format is not None
    return tuple(range(1, column.device.analogue + 1)) if sends else ()


def _nothing_cut(device: Device, rate_hz: int, spoken: Any) -> VisibleInputs:
    """Visible inputs of whole sockets only, at 1x."""
    seen = visible_inputs(device, rate_hz, spoken)
    whole = {ref: n if len(n) in (2, 8) else range(0) for ref, n in seen.sockets.items()}
    return seen._replace(sockets=whole)


def _no_gap(self: numbering.Span, socket: SocketRef) -> range:
    """Numbers that leave no room for stereo sockets with nothing in them."""
    start = self.before + len(self.visible.own) + 8 * (socket.number - 1)
    return range(start + 1, start + 9)


def _always_from_one(units: Any, links: Any, rate_hz: int) -> dict[str, numbering.Span]:
    del links
    hosts = [unit for unit in units if unit.role == "host"]
    return {u.name: numbering.Span(visible_inputs(u.device, rate_hz), 0) for u in hosts}


def _any_channel(kind: str, powered: bool, group: Group) -> bool:
    """A channel takes whatever is plugged into it."""
    del kind
    return group.phantom == "any" or (group.phantom == "on") == powered


_SERVES = demands.serves


def _dry_channels_are_none(kind: str, powered: bool, group: Group) -> bool:
    """Only 48 V will do for one that must not get it."""
    return _SERVES(kind, powered, group) and (group.phantom != "off" or powered)


def _others_off(kind: str, powered: bool, group: Group) -> bool:
    """Microphones that do not care sit only where 48 V is off."""
    return _SERVES(kind, powered, group) and not (group == Group("mic") and powered)


def _lines_off(kind: str, powered: bool, group: Group) -> bool:
    """Line sources sit only where 48 V is off."""
    return _SERVES(kind, powered, group) and not (group.kind == "line" and powered)


_SPLIT = vars(Face)["split"].func


def _own_switches(face: Face) -> tuple[Counter[Any], Mapping[Any, int]]:
    """Every channel has a switch of its own."""
    banks, outside = _SPLIT(face)
    alone: Counter[Any] = Counter()
    for bank, number in banks.items():
        for kind in bank:
            alone[kind,] += number
    return alone, outside


def _long_banks_only(face: Face) -> tuple[Counter[Any], Mapping[Any, int]]:
    """A last bank that is short is none."""
    banks, outside = _SPLIT(face)
    size = face.device.phantom_bank
    return Counter({bank: n for bank, n in banks.items() if len(bank) == size}), outside


def _one_by_one(wanted: Mapping[Any, int]) -> list[tuple[tuple[Any], int]]:
    """Each group by itself, as if no channel could serve two."""
    return [((group,), number) for group, number in wanted.items()]


def _outputs_anywhere(returns: object, satellite: DeviceAtRate) -> int:
    del returns
    return satellite.device.line_out


def _headphones_anywhere(solver_model: Any, rig: RigVars) -> None:
    needs = rig.problem.needs
    phones = [(count, column.device.phones) for column, count in rig.columns()]
    solver_model.add(outputs.total(phones) >= needs.out_phones)


_WEIGHTS = model.weights


def _swapped(one: int, other: int) -> Callable[..., model.Weights]:
    """Two of the weights of money, units, links, hops, arrivals and packs swapped."""

    def weights(*given: Any) -> model.Weights:
        found = list(_WEIGHTS(*given))
        found[one], found[other] = found[other], found[one]
        return model.Weights(*found)

    return weights


def _packs_before_hops(stated: problem.Problem) -> model.Weights:
    """The weights with packs in the place before hops."""
    found = _WEIGHTS(stated)
    hop = stated.max_arriving + 1
    return found._replace(hop=hop, missing=1, pack=hop * (stated.needs.max_hops + 1))


def _not_the_first(
    solver_model: Any, rig: RigVars, objective: Any, best: int, _: ties.Mix, deadline: Any
) -> ties.Mix:
    """Any of the equal mixes but the first."""
    trial = solver_model.clone()
    trial.add(ties.total(objective) <= best)
    trial.add(ties.total(rig.units_by_type["a-twin"]) == 0)
    return ties.mix_of(rig, ties.run(trial, deadline).value)


def _last_id(stated: problem.Problem, device: Device) -> tuple[int, list[int]]:
    return stated.price(device.id), [-ord(char) for char in device.id]


_PIECES = money.pieces


def _packs_of_more(rig: RigVars, name: str) -> tuple[Any, int]:
    bought, owned = _PIECES(rig, name)
    return [(var, factor + 1) for var, factor in bought], owned


def _nine_times(self: problem.Problem, name: str) -> int:
    return 9 * self.needs.owned.get(name, 0)


def _rates(device: Device, needs: Any) -> Device:
    return replace(device, rates_hz=(*device.rates_hz, needs.rate_hz))


def _no_dead_sockets(device: Device, needs: Any) -> Device:
    del needs
    return replace(device, optical_2x=device.optical_in, optical_4x=device.optical_in)


def _lockable(device: Device, needs: Any) -> Device:
    del needs
    return replace(device, clock_in=SOCKET_KINDS)


# --- the table -----------------------------------------------------------------------------

MUTANTS: tuple[Mutant, ...] = (
    # Rates
    Mutant(
        "every unit lists the rate",
        "rates are not looked at",
        taking_devices_for(_rates),
        _case(DESK, SLOW, right=None, mic=9, rate_hz=96000),
    ),
    Mutant(
        "48 and 44.1 are different rates",
        "44.1 will do for 48",
        taking_devices_for(_rates),
        _case(replace(DESK, rates_hz=(44100,)), right=None, mic=1, rate_hz=48000),
    ),
    Mutant(
        "m is 2 at 96 kHz",
        "m is 1",
        item(RATE_MULTIPLIER, 96000, 1),
        _case(DESK, PRE, right=None, mic=13, rate_hz=96000),
    ),
    Mutant(
        "m is 4 at 192 kHz",
        "m is 2",
        item(RATE_MULTIPLIER, 192000, 2),
        _case(
            replace(DESK, rates_hz=ALL, optical_4x=1),
            replace(PRE, rates_hz=ALL, optical_4x=1),
            right=None,
            mic=11,
            rate_hz=192000,
        ),
    ),
    Mutant(
        "an optical socket beyond optical_2x is dead",
        "it is live",
        taking_devices_for(_no_dead_sockets),
        _case(SHUT, PRE, right=None, mic=5, rate_hz=96000),
    ),
    Mutant(
        "an optical socket beyond optical_1x is dead at 1x",
        "it is live",
        taking_devices_for(lambda d, _: replace(d, optical_1x=MANY)),
        _case(replace(DESK, optical_1x=0), PRE, right=None, mic=9),
    ),
    Mutant(
        "a coax socket beyond coax_4x is dead at 4x",
        "it is live",
        taking_devices_for(lambda d, _: replace(d, coax_4x=MANY)),
        _case(
            replace(DESK, rates_hz=ALL),
            replace(COAX_PRE, coax_4x=1, rates_hz=ALL),
            right=None,
            mic=9,
            rate_hz=192000,
        ),
    ),
    Mutant(
        "of sockets of one group one works at a time",
        "all do",
        taking_devices_for(lambda d, _: replace(d, either=())),
        _case(SHARED, PRE, COAX_PRE, right=None, mic=17),
    ),
    Mutant(
        "an optical socket within optical_stereo can be stereo",
        "it cannot",
        taking_devices_for(lambda d, _: replace(d, optical_stereo=0)),
        _case(
            replace(HUB, optical_stereo=1),
            replace(PRE, mic_line=2, optical_1x=0, optical_stereo=1, clock_in=()),
            right={"links": 1},
            mic=2,
        ),
    ),
    # Channels
    Mutant(
        "analogue inputs beyond analogue_2x are not converted",
        "they are",
        taking_devices_for(lambda d, _: replace(d, analogue_2x=MANY)),
        _case(replace(DESK, analogue_2x=4), right=None, mic=5, rate_hz=96000),
    ),
    Mutant(
        "channels are numbered in channel_order",
        "microphones first",
        taking_devices_for(lambda d, _: replace(d, channel_order=CHANNEL_COLUMNS)),
        _case(
            HUB,
            replace(PRE, line=8, channel_order=("line", *CHANNEL_COLUMNS[:-2], "inst")),
            right=None,
            mic=1,
        ),
    ),
    Mutant(
        "blank inputs count",
        "they do not",
        taking_devices_for(lambda d, _: replace(d, input_order=BLOCKS)),
        _case(
            replace(DESK, input_order=(Blank(4, 4, 4), *BLOCKS), max_in_1x=8),
            right=None,
            mic=5,
        ),
    ),
    Mutant(
        "a light-pipe carries 8/m",
        "one more",
        speaking("light-pipe", channels=(9, 4, 2)),
        _case(replace(DESK, coax_in=0), replace(PRE, mic_line=9), right=None, mic=17),
    ),
    Mutant(
        "a light-pipe carries 8/m",
        "one fewer",
        speaking("light-pipe", channels=(7, 4, 2)),
        _case(DESK, PRE, right={"total": 50600, "links": 1}, mic=16),
    ),
    Mutant(
        "a stereo link carries 2",
        "3",
        speaking("coax", channels=(3, 3, 3)),
        _case(DESK, replace(COAX_PRE, mic_line=3), right=None, mic=11),
    ),
    Mutant(
        "the first min(channels, links x capacity) arrive",
        "all arrive",
        attribute(columns.SatelliteColumn, "arriving", property(_every_channel)),
        _case(DESK, replace(PRE, mic_line=16), right=None, mic=17),
    ),
    Mutant(
        "inputs above max_in do not reach the computer",
        "they do",
        taking_devices_for(lambda d, _: replace(d, max_in_1x=None)),
        _case(replace(DESK, max_in_1x=14), PRE, right=None, mic=13),
    ),
    Mutant(
        "max_in may cut a socket",
        "it shuts it",
        attribute(at_rate, "visible_inputs", _nothing_cut),
        _case(replace(DESK, max_in_1x=14), PRE, right={"total": 50600}, mic=14 - 2),
    ),
    Mutant(
        "stereo sockets are numbered before light-pipe",
        "after it",
        taking_devices_for(
            lambda d, _: replace(d, input_order=("analogue", "optical", "coax", "trunk"))
        ),
        _case(replace(DESK, max_in_1x=16), PRE, right=None, mic=15),
    ),
    Mutant(
        "sockets with nothing in them keep their numbers",
        "they do not",
        attribute(numbering.Span, "socket", _no_gap),
        _case(DESK, PRE, right={"numbers": [*range(1, 9), *range(11, 19)]}, mic=16),
    ),
    Mutant(
        "several hosts follow one another",
        "each begins at 1",
        attribute(numbering, "host_spans", _always_from_one),
        _case(
            replace(DESK, coax_in=0, optical_in=0, optical_2x=0),
            replace(DESK, id="timed", coax_in=0, optical_in=1, clock_in=("optical",)),
            right={"numbers": list(range(1, 17)), "units": 2},
            mic=16,
            max_hosts=2,
            max_hops=1,
        ),
    ),
    Mutant(
        "an expander sends to one host",
        "to several",
        together(
            attribute(problem.Problem, "apart", lambda self: self),
            attribute(sockets, "add", _one_host_a_slot),
        ),
        _case(SOLO, WIDE, right=None, mic=20, max_hosts=2),
    ),
    Mutant(
        "an expander sends in one format",
        "in both",
        taking_devices_for(
            lambda d, _: replace(d, optical_out=d.optical_out + d.coax_out, coax_out=0)
        ),
        _case(replace(HUB, coax_in=1), MIXED, right=None, mic=10),
    ),
    Mutant(
        "a pair sits side by side",
        "nobody looks",
        together(without(pairs), attribute(solve, "OTHER_MIXES", 0)),
        _case(TRIO, THREE, SIX, right={"total": 40000, "split": 0}, mic=6, sources=PAIRS),
    ),
    # Demands
    Mutant(
        "a channel accepts what its column says",
        "anything",
        attribute(demands, "serves", _any_channel),
        _case(DESK, LINES, right=None, mic=9),
    ),
    Mutant(
        "48 V is switched by the bank",
        "by the channel",
        attribute(Face, "split", property(_own_switches)),
        _case(DESK, right=None, mic=8, phantom=5, no_phantom=1),
    ),
    Mutant(
        "the last bank may be short",
        "a short bank is none",
        attribute(Face, "split", property(_long_banks_only)),
        _case(
            replace(DESK, mic_line=6), right={"total": 30000}, mic=6, phantom=4, no_phantom=2
        ),
    ),
    Mutant(
        "inputs beyond a list of banks have no 48 V",
        "they have",
        taking_devices_for(lambda d, _: replace(d, phantom_bank=4)),
        _case(replace(DESK, phantom_bank=(4,)), right=None, mic=5, phantom=5),
    ),
    Mutant(
        "one that needs 48 V gets it",
        "nobody looks",
        asking(phantom=0),
        _case(DRY, right=None, mic=1, phantom=1),
    ),
    Mutant(
        "one that must not get 48 V does not",
        "nobody looks",
        asking(no_phantom=0),
        _case(replace(DESK, phantom_bank=8), right=None, mic=2, phantom=1, no_phantom=1),
    ),
    Mutant(
        "a channel without 48 V suits one that must not get it",
        "it does not",
        attribute(demands, "serves", _dry_channels_are_none),
        _case(DRY, right={"total": 30000}, mic=8, no_phantom=8),
    ),
    Mutant(
        "other microphones sit on either",
        "only where it is off",
        attribute(demands, "serves", _others_off),
        _case(replace(DESK, phantom_bank=8), right={"total": 30000}, mic=8, phantom=1),
    ),
    Mutant(
        "line sources sit on either",
        "only where it is off",
        attribute(demands, "serves", _lines_off),
        _case(replace(DESK, phantom_bank=8), right={"total": 30000}, mic=4, phantom=4, line=4),
    ),
    Mutant(
        "each source takes a channel of its own",
        "microphones and lines share",
        attribute(channels, "subsets", _one_by_one),
        _case(DESK, right=None, mic=5, line=5),
    ),
    # Outputs
    Mutant(
        "line outputs are as many as asked",
        "nobody looks",
        without(outputs),
        _case(DESK, right=None, mic=1, out_line=5),
    ),
    Mutant(
        "an expander's outputs count as far as fed",
        "they always count",
        attribute(columns, "fed", _outputs_anywhere),
        _case(DESK, PRE, right={"total": 51200, "links": 2}, mic=16, out_line=12),
    ),
    Mutant(
        "a return feeds 8/m outputs",
        "8 at every rate",
        item(RATE_MULTIPLIER, 96000, 1),
        _case(DESK, PRE, right=None, mic=8, out_line=9, rate_hz=96000),
    ),
    Mutant(
        "headphone outputs count on hosts",
        "on all units",
        together(
            attribute(outputs, "add", _headphones_anywhere),
            attribute(reach, "PARTS", ()),
        ),
        _case(DESK, replace(PRE, phones=2), right=None, mic=16, out_phones=4),
    ),
    # Sockets
    Mutant(
        "each socket takes one cable",
        "as many as you like",
        without(sockets),
        _case(DESK, PRE, right=None, mic=17),
    ),
    Mutant(
        "a host's output takes one cable",
        "as many as you like",
        taking_devices_for(lambda d, _: replace(d, optical_out=d.optical_out + 1)),
        _case(NARROW, PRE, right=None, mic=16, master="host"),
    ),
    Mutant(
        "outputs go to inputs of the same kind",
        "stereo fits light-pipe",
        taking_devices_for(
            lambda d, _: replace(
                d,
                optical_out=d.optical_out + d.coax_out,
                optical_2x=1,
                coax_out=0,
            )
        ),
        _case(HUB, COAX_PRE, right=None, mic=1),
    ),
    # Clock
    Mutant(
        "exactly one unit is clock master",
        "any number",
        without_ones(clock),
        _case(DESK, DEAF, COAX_PRE, right=None, mic=17),
    ),
    Mutant(
        "the master has an internal clock",
        "it need not",
        attribute(signatures, "may_be_master", lambda *_, **__: True),
        _case(
            replace(DESK, internal_clock=False),
            replace(PRE, internal_clock=False),
            right=None,
            mic=9,
        ),
    ),
    Mutant(
        "the master is the one asked for",
        "any",
        asking(master="any"),
        _case(DESK, PRE, right={"total": 51200, "master": "host"}, mic=16, master="host"),
    ),
    Mutant(
        "a unit locks to the kinds in clock_in",
        "to any kind",
        taking_devices_for(_lockable),
        _case(HUB, replace(PRE, clock_in=()), right=None, mic=16),
    ),
    Mutant(
        "a unit locks to the one socket that clock_in names",
        "to any of the kind",
        taking_devices_for(lambda d, _: replace(d, clock_in=("optical",))),
        _case(
            HUB,
            replace(PRE, optical_in=2, clock_in=(SocketRef("optical", "in", 1),)),
            right={"total": 46200},
            mic=8,
            master="host",
        ),
    ),
    Mutant(
        "audio joins clocks",
        "every input converts",
        taking_devices_for(lambda d, _: replace(d, rate_converter=("optical", "coax"))),
        _case(HUB, DEAF, right=None, mic=8, master="host"),
    ),
    Mutant(
        "a converter stands between clocks",
        "none does",
        taking_devices_for(lambda d, _: replace(d, rate_converter=())),
        _case(CONVERTER, DEAF, right={"links": 1, "master": "host"}, mic=8, master="host"),
    ),
    Mutant(
        "hosts have one clock",
        "they need not",
        asking(own_clocks=True),
        _case(LONE, right=None, mic=9, max_hosts=2),
    ),
    Mutant(
        "with own_clocks hosts need no cable",
        "they do",
        asking(own_clocks=False),
        _case(LONE, right={"units": 2, "links": 0}, mic=9, max_hosts=2, own_clocks=True),
    ),
    Mutant(
        "a word output feeds word_inputs inputs",
        "one more",
        asking(word_inputs=lambda most: most + 1),
        _case(ONE_WORD, LISTENER, right=None, mic=24, word_inputs=2, cables=CHAINED),
    ),
    Mutant(
        "a fixed end is the last",
        "it may be anywhere",
        taking_devices_for(lambda d, _: replace(d, word_end="switch")),
        _case(
            ONE_WORD, replace(LISTENER, word_end="fixed"), right=None, mic=16, cables=CHAINED
        ),
    ),
    Mutant(
        "one end at least may be fixed",
        "none may",
        asking(word_inputs=1),
        _case(
            ONE_WORD,
            LISTENER,
            replace(LISTENER, id="fixed", word_end="fixed", price=19000),
            right={"units": 3, "links": 4},
            mic=16,
            cables=CHAINED,
        ),
    ),
    Mutant(
        "an open end takes a T-piece and a terminator",
        "it takes none",
        taking_devices_for(lambda d, _: replace(d, word_end="switch")),
        _case(
            ONE_WORD,
            replace(LISTENER, word_end="none"),
            right={"total": 25000 + 20000 + 600 + 900 + 500},
            mic=8,
            cables=CHAINED,
        ),
    ),
    Mutant(
        "every unit is within max_hops",
        "max_hops is one more",
        asking(max_hops=lambda hops: hops + 1),
        _case(WORD_HUB, WORD_PRE, right=None, mic=16, max_hops=1),
    ),
    Mutant(
        "every unit is within max_hops",
        "max_hops is one fewer",
        asking(max_hops=lambda hops: hops - 1),
        _case(WORD_HUB, WORD_PRE, right={"hops": 4, "units": 5}, mic=32, max_hops=4),
    ),
    Mutant(
        "a link is there for the clock",
        "the clock needs no link",
        without(clock),
        _case(DESK, PRE, right={"links": 2}, mic=16, master="host"),
    ),
    Mutant(
        "units of role clock carry no audio",
        "they do",
        taking_devices_for(
            lambda d, _: replace(d, role="expander") if d.role == "clock" else d
        ),
        _case(HUB, replace(PRE, role="clock"), right=None, mic=1),
    ),
    # Cables
    Mutant(
        "each link takes a piece",
        "no cable is bought",
        without(cables),
        _case(DESK, PRE, right={"total": 50600}, mic=16),
    ),
    Mutant(
        "optical cables are 10 m at most",
        "1 mm more",
        speaking("light-pipe", max_mm=10_001),
        _case(DESK, PRE, right=None, mic=9, cables=(replace(OPT, length_mm=10001),)),
    ),
    Mutant(
        "optical cables may be 10 m",
        "1 mm less",
        speaking("light-pipe", max_mm=9_999),
        _case(
            DESK, PRE, right={"total": 50600}, mic=9, cables=(replace(OPT, length_mm=10000),)
        ),
    ),
    Mutant(
        "stereo cables are 10 m at most",
        "1 mm more",
        speaking("coax", max_mm=10_001),
        _case(DESK, COAX_PRE, right=None, mic=9, cables=(Cable("c", "", "coax", 10001, 1),)),
    ),
    Mutant(
        "word cables are 30 m at most",
        "1 mm more",
        speaking("word", max_mm=30_001),
        _case(
            WORD_HUB,
            WORD_PRE,
            right=None,
            mic=8,
            cables=(OPT, Cable("w", "", "word", 30001, 1)),
        ),
    ),
    Mutant(
        "a piece is as long as its run",
        "1 mm short will do",
        asking(host_to_rack_mm=lambda run: run - 1),
        _case(DESK, PRE, right=None, mic=9, cables=(replace(OPT, length_mm=999),)),
    ),
    Mutant(
        "each of the two runs has its length",
        "all runs are the shorter one",
        asking(host_to_rack_mm=500),
        _case(
            DESK,
            PRE,
            right={"cables": ["opt-1m"]},
            mic=9,
            cables=(OPT, Cable("half", "", "optical", 500, 1)),
        ),
    ),
    Mutant(
        "pieces come in packs",
        "a piece more in each",
        attribute(cables, "pieces", _packs_of_more),
        _case(
            DESK, PRE, right={"total": 51200, "links": 2}, mic=16, master="host", cables=(OPT,)
        ),
    ),
    Mutant(
        "a price is for a pack",
        "for a piece",
        attribute(
            model.RigVars,
            "spent",
            lambda rig: [
                (var, factor * supply.price * supply.pack)
                for name, bought in rig.packs.items()
                for terms, supply in zip(bought, rig.problem.ways(name), strict=True)
                for var, factor in terms
            ],
        ),
        _case(
            DESK,
            PRE,
            right={"total": 50000 + 900},
            mic=16,
            master="host",
            cables=(OPT, Cable("two", "", "optical", 1000, 900, 2)),
        ),
    ),
    # Cheapest
    Mutant(
        "money comes first",
        "units do",
        attribute(model, "weights", _swapped(0, 1)),
        _case(
            HUB,
            PRE,
            replace(PRE, id="z-16", mic_line=16, optical_out=2, price=40001),
            right={"units": 3, "total": 65000},
            mic=16,
            cables=FREE,
        ),
    ),
    Mutant(
        "then units, then links",
        "links come before units",
        attribute(model, "weights", _swapped(1, 2)),
        _case(
            replace(HUB, coax_in=4, clock_in=("optical", "coax")),
            replace(PRE, id="four", mic_line=4, price=10000),
            replace(PRE, id="z-coax", optical_out=0, coax_out=4),
            right={"units": 2, "links": 4, "total": 45000},
            mic=8,
            cables=FREE,
        ),
    ),
    Mutant(
        "then links, then hops",
        "hops come before links",
        attribute(model, "weights", _swapped(2, 3)),
        _case(HUB, PRE, right={"hops": 2, "links": 3}, mic=16, cables=FREE),
    ),
    Mutant(
        "then hops, then packs",
        "packs come before hops",
        attribute(model, "weights", _packs_before_hops),
        _case(
            replace(WORD_HUB, word_out=3),
            WORD_PRE,
            right={"hops": 1, "links": 6},
            mic=24,
            cables=(
                FREE[1],
                Cable("long", "", "word", 1000, 0),
                Cable("short", "", "word", 500, 0, 2),
            ),
        ),
    ),
    Mutant(
        "equal rigs go by the order of ids",
        "the last id wins",
        attribute(dominance, "rank", _last_id),
        _case(
            HUB,
            PRE,
            replace(PRE, id="a-twin"),
            right={"types": ["hub-4", *2 * ["a-twin"]]},
            mic=16,
        ),
    ),
    Mutant(
        "equal rigs go by the order of ids",
        "another is taken",
        attribute(search, "first_mix", _not_the_first),
        _case(
            HUB,
            PRE,
            replace(PRE, id="a-twin"),
            replace(PRE, id="z-twin"),
            right={"types": ["hub-4", "a-twin"]},
            mic=8,
            owned={"a-twin": 1, "pre-8": 1, "z-twin": 1},
        ),
    ),
    # Limits
    Mutant(
        "rack units are limited",
        "nobody looks",
        asking(rack_units=None),
        _case(DESK, PRE, right=None, mic=16, rack_units=1),
    ),
    Mutant(
        "rack units are limited",
        "one more",
        asking(rack_units=lambda n: n + 1),
        _case(DESK, PRE, right=None, mic=16, rack_units=1),
    ),
    Mutant(
        "mains plugs are limited",
        "nobody looks",
        asking(mains=None),
        _case(DESK, PRE, right=None, mic=16, mains=1),
    ),
    Mutant(
        "units are limited",
        "nobody looks",
        asking(units=None),
        _case(DESK, PRE, right=None, mic=16, units=1),
    ),
    Mutant(
        "units are limited",
        "one fewer",
        asking(units=lambda n: n - 1),
        _case(DESK, PRE, right={"units": 2}, mic=16, units=2),
    ),
    Mutant(
        "the budget is kept",
        "nobody looks",
        asking(budget=None),
        _case(DESK, PRE, right=None, mic=16, budget=50599),
    ),
    Mutant(
        "the budget is kept",
        "one less",
        asking(budget=lambda n: n - 1),
        _case(DESK, PRE, right={"total": 50600}, mic=16, budget=50600),
    ),
    Mutant(
        "limits hold",
        "the rule is dropped",
        without(limits),
        _case(DESK, PRE, right=None, mic=16, rack_units=1, mains=1, units=1),
    ),
    # Sellers
    Mutant(
        "sellers are limited",
        "nobody looks",
        asking(sellers=None),
        _case(DESK, PRE, right={"total": 20100}, mic=16, offers=OFFERS, sellers=1),
    ),
    Mutant(
        "delivery is paid",
        "it is free",
        taking_sellers_for(lambda seller: replace(seller, delivery=0)),
        _case(DESK, PRE, right={"total": 18600}, mic=16, offers=OFFERS),
    ),
    # Owned, avoid, require
    Mutant(
        "what is owned costs nothing",
        "it is bought again",
        asking(owned={}),
        _case(DESK, PRE, right={"total": 20000}, mic=16, owned={"desk-8": 1, "opt-1m": 1}),
    ),
    Mutant(
        "no more is free than is owned",
        "any number is",
        attribute(problem.Problem, "owned", _nine_times),
        _case(HUB, PRE, right={"total": 25000 + 20000 + 1800}, mic=16, owned={"pre-8": 1}),
    ),
    Mutant(
        "what is avoided is not bought",
        "it is",
        asking(avoid=()),
        _case(DESK, PRE, right=None, mic=16, avoid=("pre-8",)),
    ),
    Mutant(
        "what is required is there",
        "nobody looks",
        asking(require=()),
        _case(DESK, PRE, right={"units": 2}, mic=8, require=("pre-8",)),
    ),
    Mutant(
        "what has no price is not for sale",
        "it is free",
        taking_devices_for(lambda d, _: replace(d, price=d.price or 0)),
        _case(DESK, replace(PRE, price=None), right=None, mic=16),
    ),
    # Hosts
    Mutant(
        "there are at most max_hosts hosts",
        "one more",
        asking(max_hosts=lambda n: n + 1),
        _case(DESK, PRE, right=None, mic=20),
    ),
    Mutant(
        "there is a host",
        "there need be none",
        without(hosts),
        _case(DESK, PRE, right={"total": 30000, "types": ["desk-8"]}),
    ),
    Mutant(
        "the computer has the port",
        "any port will do",
        asking(ports=("usb", "thunderbolt", "pcie", "network")),
        _case(replace(DESK, computer="thunderbolt"), right=None, mic=8, ports=("usb",)),
    ),
    Mutant(
        "hosts count what they have",
        "the needs for outputs are dropped",
        asking(out_line=0, out_phones=0),
        _case(DESK, right=None, mic=8, out_phones=3),
    ),
)
