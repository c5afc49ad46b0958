"""Cells of `devices.csv` that hold more than one word or number, as a data sheet says it."""

from __future__ import annotations

from typing import Final, Literal

from rigopt.catalogue.types import (
    BLOCKS,
    CHANNEL_COLUMNS,
    PLUGS,
    Blank,
    Block,
    InOut,
    Plug,
    SocketRef,
)
from rigopt.facts import SOCKET_KINDS, SocketKind
from rigopt.files import amounts, values
from rigopt.files.values import BadValueError

MOST: Final = 1_000
"""The largest number of sockets, inputs or channels that any of these cells may say."""

Way = Literal["in", "out"]
WAYS: Final[tuple[Way, ...]] = ("in", "out")
_SOCKETS: Final[dict[str, tuple[SocketKind, Way]]] = {
    **{f"{kind} {way}": (kind, way) for kind in SOCKET_KINDS for way in WAYS},
    "trunk": ("trunk", "in"),
}
"""What may stand before the number of a socket."""


def in_out(value: object) -> int | InOut:
    """A number of sockets each way, or `inputs/outputs`.

    Raises:
        BadValueError: When it is neither.
    """
    parts = values.tidy(value).split("/")
    if len(parts) == 1:
        return amounts.whole(value, MOST)
    if len(parts) > 2:
        raise BadValueError("must be a number, or inputs/outputs such as 2/1")
    inputs, outputs = (amounts.whole(part, MOST) for part in parts)
    return InOut(inputs, outputs)


def ends(value: object) -> tuple[Plug, Plug]:
    """The plugs of an analogue cable, such as `jack-xlr`: that at the direct outs first.

    Raises:
        BadValueError: When it is not two plugs.
    """
    parts = [part.strip() for part in values.tidy(value).split("-")]
    try:
        one, other = (values.one_of(PLUGS, part) for part in parts)
    except (BadValueError, ValueError):
        problem = f"must be two of {', '.join(PLUGS)}, such as 'jack-xlr': that at the direct"
        raise BadValueError(f"{problem} outs first") from None
    return one, other


def banks(value: object) -> int | tuple[int, ...]:
    """Microphone inputs to a 48 V switch, or the sizes of the banks one after another.

    Raises:
        BadValueError: When a part is no whole number, or a bank in a list is empty.
    """
    parts = values.pieces(value)
    if len(parts) < 2:
        return amounts.whole(value, MOST)
    return tuple(amounts.whole(part, MOST, least=1) for part in parts)


def clock_inputs(value: object) -> tuple[SocketKind | SocketRef, ...]:
    """What a unit can lock to: kinds of socket, or single ones such as `optical 1`.

    Raises:
        BadValueError: When a part is neither.
    """
    found = [_clock_input(part) for part in dict.fromkeys(_listed(value))]
    kinds = [kind for kind in SOCKET_KINDS if kind in found]
    # A kind says all of its sockets, so that naming one of them adds nothing.
    single = {ref for ref in found if isinstance(ref, SocketRef) and ref.kind not in kinds}
    return (*kinds, *sorted(single))


def _clock_input(part: str) -> SocketKind | SocketRef:
    kind, _, number = part.rpartition(" ")
    if number.isdecimal():
        return SocketRef(_kind(kind, part), "in", amounts.whole(number, MOST, least=1))
    return _kind(part, part)


def _kind(word: str, part: str) -> SocketKind:
    try:
        return values.one_of(SOCKET_KINDS, word)
    except BadValueError as fault:
        allowed = ", ".join(SOCKET_KINDS)
        problem = f"must be some of {allowed}, or single sockets such as 'optical 1'"
        raise BadValueError(f"{problem}, separated by ';'", fault.allowed, part) from None


def some_kinds(value: object) -> tuple[SocketKind, ...]:
    """Kinds of socket with audio, such as `optical;coax`.

    Raises:
        BadValueError: When a part is none.
    """
    return values.some_of(tuple(kind for kind in SOCKET_KINDS if kind != "word"), value)


def either(value: object) -> tuple[tuple[SocketRef, ...], ...]:
    """Groups of sockets of which one works at a time: `coax in 1/optical in 1; ...`.

    A socket of a duplex trunk may be written `trunk 1`.

    Raises:
        BadValueError: When a part names no socket, or a group less than two different ones.
    """
    return tuple(_group(part) for part in _listed(value))


def _group(part: str) -> tuple[SocketRef, ...]:
    refs = [_socket(name.strip(), part) for name in part.split("/")]
    if len(set(refs)) < 2 or len(set(refs)) < len(refs):
        problem = "must name two or more different sockets, such as 'coax in 1/optical in 1'"
        raise BadValueError(problem, piece=part)
    return tuple(refs)


def _socket(name: str, part: str) -> SocketRef:
    start, _, number = " ".join(name.casefold().split()).rpartition(" ")
    if start not in _SOCKETS or not number.isdecimal():
        problem = (
            "must be sockets such as 'coax in 1/optical in 1', groups separated by ';', of "
            f"the kinds {', '.join(SOCKET_KINDS)}"
        )
        raise BadValueError(problem, piece=name or part)
    return SocketRef(*_SOCKETS[start], amounts.whole(number, MOST, least=1))


def input_order(value: object) -> tuple[Block, ...]:
    """The blocks of a host's input numbers; those not named come last, in the usual order.

    Raises:
        BadValueError: When a part is no block, or a block but `blank` is named twice.
    """
    found: list[Block] = []
    for part in values.pieces(value):
        block = _block(part)
        if block in found and not isinstance(block, Blank):
            raise BadValueError("names a block twice", piece=part)
        found.append(block)
    return (*found, *(block for block in BLOCKS if block not in found))


def _block(part: str) -> Block:
    for block in BLOCKS:
        if part.casefold() == block:
            return block
    word, _, numbers = part.partition(" ")
    parts = numbers.split("/")
    if word.casefold() == "blank" and numbers and len(parts) in (1, 3):
        one, *rest = (amounts.whole(number, MOST) for number in parts)
        return Blank(one, *rest) if rest else Blank(one, one, one)
    names = ("analogue", "coax", "optical", "trunk")
    problem = f"must be some of {', '.join(names)}, 'blank 2' or 'blank 2/2/0' (1x/2x/4x)"
    raise BadValueError(f"{problem}, separated by ';'", (*names, "blank"), part)


def channel_order(value: object) -> tuple[str, ...]:
    """The analogue input columns in the order of their numbers; the rest follow as usual.

    Raises:
        BadValueError: When a part is no such column, or is named twice.
    """
    found: list[str] = []
    for part in values.pieces(value):
        try:
            column = values.one_of(CHANNEL_COLUMNS, part)
        except BadValueError as fault:
            problem = f"must be some of {', '.join(CHANNEL_COLUMNS)}, separated by ';'"
            raise BadValueError(problem, fault.allowed, part) from None
        if column in found:
            raise BadValueError("names a column twice", piece=part)
        found.append(column)
    return (*found, *(column for column in CHANNEL_COLUMNS if column not in found))


def _listed(value: object) -> list[str]:
    """The parts of a cell; 'none' is none."""
    parts = values.pieces(value)
    return [] if [part.casefold() for part in parts] == ["none"] else parts
