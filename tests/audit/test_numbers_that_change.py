"""What a host shows of a socket when another one speaks another format."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import SocketRef
from rigopt.facts import FORMATS, LIGHT_PIPE
from rigopt.optimiser.questions.repair.numbers import Numbers
from tests.world import DESK


def test_only_a_socket_of_several_formats_makes_room() -> None:
    """Eight of its own, two of coax, eight of each optical socket: 26, of which 20 are seen.

    With stereo in the first optical one there are 20 in all, whatever is in the coax.
    """
    host = replace(DESK, optical_in=2, optical_stereo=2, coax_in=1, max_in_1x=20)
    numbers = Numbers(host, 48_000)
    first, second = SocketRef("optical", "in", 1), SocketRef("optical", "in", 2)
    assert numbers.changing == (first, second)
    assert numbers.before(second) == 1
    light_pipe = FORMATS[LIGHT_PIPE]
    assert [numbers.seen(second, light_pipe, others) for others in (0, 1)] == [2, 8]
