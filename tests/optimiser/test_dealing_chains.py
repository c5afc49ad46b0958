"""Who hangs on whose T-piece, where the model only counts chains: worked out by hand."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

from rigopt.catalogue.types import WordEnd
from rigopt.facts import WORD
from rigopt.optimiser.decode.chains import Listener, chains
from rigopt.optimiser.model.variables import RACK, Chain
from rigopt.optimiser.problem.signatures import INTERNAL, ClockState, Lock

HEARS = Lock("alone", WORD)
FIRST = ClockState(HEARS, 1, 0)
ALONE = Chain(1, 0, 0, False, "switch")
"""From the first host to an expander with a switch for its end."""


@dataclass(eq=False)
class Box:
    """A unit that listens to word clock; hosts have capital letters."""

    name: str
    end: WordEnd = "switch"
    state: ClockState | None = FIRST

    @property
    def role(self) -> str:
        return "host" if self.name.isupper() else "expander"

    @property
    def column(self) -> Any:
        return SimpleNamespace(device=SimpleNamespace(word_end=self.end))


def told(listener: Listener) -> str:
    """Such as `a>b T#`: b hangs on a, and has a T-piece and a terminator."""
    after = "" if listener.after is None else f"{listener.after.name}>"
    ends = " T" * listener.tee + "#" * listener.terminator
    return f"{after}{listener.box.name}{ends}"


def dealt(
    boxes: list[Box],
    counts: dict[Chain, int],
    followers: dict[tuple[Chain, bool], int] | None = None,
    inputs: int = 4,
) -> list[tuple[Chain, list[str]]]:
    problem: Any = SimpleNamespace(needs=SimpleNamespace(word_inputs=inputs))
    counted: Any = SimpleNamespace(chains=counts, followers=followers or {})
    found: Any = boxes
    return [(kind, list(map(told, one))) for kind, one in chains(problem, found, counted)]


def named(names: str, **more: Any) -> list[Box]:
    return [Box(name, **more) for name in names.split()]


def test_each_on_an_output_of_its_own() -> None:
    """The last of those that wait go first; where the end is open it has both pieces."""
    assert dealt(named("a b"), {ALONE: 2}) == [(ALONE, ["b"]), (ALONE, ["a"])]
    open_ended = ALONE._replace(end="none")
    boxes = [*named("a"), *named("b", end="none"), *named("c")]
    found = dealt(boxes, {ALONE: 2, open_ended: 1})
    assert found == [(ALONE, ["c"]), (ALONE, ["a"]), (open_ended, ["b T#"])]
    host = ALONE._replace(to_host=True)
    assert dealt(named("H a"), {ALONE: 1, host: 1}) == [(ALONE, ["a"]), (host, ["H"])]


def test_others_hang_on_t_pieces_before_the_last() -> None:
    found = dealt(named("a b c"), {ALONE: 1}, {(ALONE, False): 2})
    assert found == [(ALONE, ["a T", "a>b T", "b>c"])]
    fixed = ALONE._replace(end="fixed")
    boxes = [*named("f", end="fixed"), *named("a b"), *named("g", end="fixed")]
    found = dealt(boxes, {fixed: 2}, {(fixed, False): 2}, inputs=2)
    assert found == [(fixed, ["a T", "a>g"]), (fixed, ["b T", "b>f"])]


def test_a_chain_takes_so_many_and_the_next_the_rest() -> None:
    found = dealt(named("a b c d e"), {ALONE: 2}, {(ALONE, False): 3}, inputs=3)
    assert found == [(ALONE, ["a T", "a>b T", "b>e"]), (ALONE, ["c T", "c>d"])]


def test_those_like_the_sender_come_first() -> None:
    """So that one cable runs between a host and the rack."""
    boxes = named("a H b")
    both = {(ALONE, False): 1, (ALONE, True): 1}
    assert dealt(boxes, {ALONE: 1}, both) == [(ALONE, ["H T", "H>a T", "a>b"])]
    rack = Chain(1, 0, RACK, True, "switch")
    found = dealt(named("H a I"), {rack: 1}, {(rack, False): 1, (rack, True): 1})
    assert found == [(rack, ["a T", "a>H T", "H>I"])]


def test_each_detour_has_someone_to_go_round_by() -> None:
    """Of two chains each has one of the other role, whether these are dealt first or last."""
    rack = Chain(1, 0, RACK, False, "switch", detour=True)
    found = dealt(
        named("a b c d H I"), {rack: 2}, {(rack, False): 2, (rack, True): 2}, inputs=3
    )
    assert found == [(rack, ["a T", "a>H T", "H>d"]), (rack, ["b T", "b>I T", "I>c"])]
    host = Chain(1, 0, 0, True, "switch", detour=True)
    found = dealt(
        named("a b H I J K"), {host: 2}, {(host, False): 2, (host, True): 2}, inputs=3
    )
    assert found == [(host, ["H T", "H>a T", "a>K"]), (host, ["I T", "I>b T", "b>J"])]
    # One is as long as it may be, the other takes what is left.
    found = dealt(
        named("a b c H I J K"), {host: 2}, {(host, False): 3, (host, True): 2}, inputs=4
    )
    assert found == [(host, ["H T", "H>a T", "a>c T", "c>K"]), (host, ["I T", "I>b T", "b>J"])]


def test_hop_by_hop_and_tree_by_tree() -> None:
    """Who locks to something else, or needs no clock, is in no chain."""
    far, other = ALONE._replace(hop=2), ALONE._replace(tree=1)
    boxes = [
        *named("a", state=ClockState(HEARS, 2, 0)),
        *named("b", state=ClockState(HEARS, 1, 1)),
        *named("c"),
        *named("d", state=ClockState(Lock("alone", "adat"), 1, 0)),
        *named("e", state=ClockState(Lock("shared", WORD), 1, 0)),
        *named("f", state=ClockState(INTERNAL, 0, 0)),
        *named("g", state=None),
    ]
    found = dealt(boxes, {far: 1, other: 1, ALONE: 1})
    assert found == [(ALONE, ["c"]), (other, ["b"]), (far, ["a"])]
    more = named("m", state=ClockState(HEARS, 2, 0))
    found = dealt([*boxes, *more], {far: 1, other: 1, ALONE: 1}, {(far, False): 1})
    assert found == [(ALONE, ["c"]), (other, ["b"]), (far, ["a T", "a>m"])]


def test_each_chain_has_those_who_were_counted_in_its_kind() -> None:
    open_ended = ALONE._replace(end="none")
    boxes = [*named("a b c"), *named("d", end="none")]
    found = dealt(boxes, {ALONE: 1, open_ended: 1}, {(open_ended, False): 2})
    assert found == [(ALONE, ["c"]), (open_ended, ["a T", "a>b T", "b>d T#"])]
    # Who follows in one chain does not in the next.
    boxes = [*named("a b c"), *named("d", end="none")]
    both: dict[tuple[Chain, bool], int] = {(ALONE, False): 1, (open_ended, False): 1}
    found = dealt(boxes, {ALONE: 1, open_ended: 1}, both)
    assert found == [(ALONE, ["a T", "a>c"]), (open_ended, ["b T", "b>d T#"])]
    # Of the other role there are three, and of their own one.
    found = dealt(
        named("H I J a b c"), {ALONE: 2}, {(ALONE, False): 1, (ALONE, True): 3}, inputs=3
    )
    assert found == [(ALONE, ["H T", "H>a T", "a>c"]), (ALONE, ["I T", "I>J T", "J>b"])]


def test_a_host_more_follows_in_one_of_two_detours() -> None:
    """Each chain goes round by an expander; only one of them has a host more."""
    detour = ALONE._replace(to_host=True, detour=True)
    found = dealt(named("A B C a b"), {detour: 2}, {(detour, False): 2, (detour, True): 1})
    assert found == [(detour, ["A T", "A>a T", "a>C"]), (detour, ["b T", "b>B"])]
