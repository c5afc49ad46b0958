"""Where several links that are there anyway would do, the clock comes in on the lowest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rigopt.optimiser.decode.boxes import Box, End
from rigopt.optimiser.problem.columns import HostColumn

Way = tuple[Box, End, Box]
"""Who hears, at which end of a link, whom."""


def lock_to_lowest(ways: Sequence[Way]) -> None:
    """Lock each unit to the lowest socket, of the kind it is locked to, that would do.

    It has a link for audio from a unit that is as near to the same master; the sockets are
    dealt. A unit with a link for the clock alone stays locked to that.
    """
    heard: dict[str, list[tuple[End, Box]]] = {}
    for box, end, sender in ways:
        heard.setdefault(box.name, []).append((end, sender))
    for box, _, _ in ways:
        if box.clock is not None and not box.clock[0].alone:
            able = [box.clock, *_able(box, box.clock, heard[box.name])]
            box.clock = min(able, key=lambda way: way[0].number)


def _able(
    box: Box, clock: tuple[End, Box], heard: Sequence[tuple[End, Box]]
) -> Iterator[tuple[End, Box]]:
    column = box.column
    mode = column.sockets.mode if isinstance(column, HostColumn) else column.mode
    locking = {socket.ref for socket in mode if socket.locks}
    for end, sender in heard:
        state, mine = sender.state, box.state
        if (
            state is not None
            and mine is not None
            and (state.hop, state.tree) == (mine.hop - 1, mine.tree)
            and (end.row.socket, end.row.clock, end.alone) == (clock[0].row.socket, True, False)
            and end.socket in locking
        ):
            yield end, sender
