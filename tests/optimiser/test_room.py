"""What can still be hoped for while a list is seated: sums by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.needs.types import NO_PHANTOM, PHANTOM, Group
from rigopt.optimiser.decode.places import Block, Member, Seat
from rigopt.optimiser.decode.room import Room

MIC, LINE = Group("mic"), Group("line")
ONE, TWO = ("host-1", 1), ("host-1", 2)
SEATS = [
    Seat(1, "host-1", 1, "mic_line", ONE),
    Seat(2, "host-1", 2, "mic_line", ONE),
    Seat(3, "host-1", 3, "mic_line", TWO),
    Seat(4, "host-1", 4, "line", None),
]
WIDE = Room(SEATS, frozenset(), frozenset(), banks=2, moved=2, stray=2, wasted=2, even=2)


def block(*groups: Group, was: tuple[str, int] | None = None) -> Block:
    return tuple(Member(group, was) for group in groups)


def test_what_is_left_once_some_sit() -> None:
    on = WIDE.after([(block(PHANTOM), (0,))])
    assert on == replace(WIDE, on=frozenset([ONE]), taken=frozenset([0]))
    off = on.after([(block(NO_PHANTOM), (2,))])
    assert off == replace(on, off=frozenset([TWO]), taken=frozenset([0, 2]))
    # One that does not ask in a bank that is on; a line where a microphone could sit.
    assert on.after([(block(MIC), (1,))]) == replace(on, stray=1, taken=frozenset([0, 1]))
    line = on.after([(block(LINE), (1,))])
    assert line == replace(on, stray=1, wasted=1, taken=frozenset([0, 1]))
    assert WIDE.after([(block(LINE), (3,))]) == replace(WIDE, taken=frozenset([3]))
    assert WIDE.after([(block(PHANTOM), (3,))]) == replace(WIDE, taken=frozenset([3]))
    # A pair on channels 2 and 3, another on 1 and 2, and two that were elsewhere.
    assert WIDE.after([(block(MIC, MIC), (1, 2))]).even == 1
    assert WIDE.after([(block(MIC, MIC), (2, 1))]).even == 1
    assert WIDE.after([(block(MIC, MIC), (0, 1))]).even == 2
    was = block(MIC, MIC, was=("host-1", 2))
    assert WIDE.after([(was, (1, 2))]).moved == 1
    assert WIDE.after([(was, (0, 1)), (was, (2, 3))]).moved == 2 - 1 - 2


@pytest.mark.parametrize("what", ["moved", "stray", "wasted", "even"])
def test_nothing_more_may_be_spent_than_is_left(what: str) -> None:
    """On channel 2: a line that was elsewhere, in a bank that is on; a pair with it."""
    known = WIDE.after([(block(PHANTOM), (0,))])
    members = (Member(LINE, ("host-1", 4)), Member(MIC))
    take = members, (1, 2)
    assert known.has(take)
    assert replace(known, moved=1, stray=1, wasted=1, even=1).has(take)
    assert not replace(known, **{what: 0}).has(take)  # type: ignore[arg-type]


def test_a_seat_is_taken_once_and_a_bank_is_on_or_off() -> None:
    known = WIDE.after([(block(PHANTOM), (0,))])
    assert not known.has((block(MIC), (0,)))
    assert not known.has((block(MIC, MIC), (1, 0)))
    assert known.has((block(MIC, MIC), (1, 2)))
    assert not known.has((block(NO_PHANTOM), (1,)))
    assert known.has((block(NO_PHANTOM), (2,)))
    assert known.has((block(PHANTOM), (2,)))
    assert not replace(known, banks=1).has((block(PHANTOM), (2,)))
    assert replace(known, banks=1).has((block(PHANTOM), (1,)))
