"""Names of sockets and cables as the steps say them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.output.words.phrases import count, listed, runs
from rigopt.rig.types import Link, Rig

Numbered = tuple[int, Link]
"""A cable with its number on the sheet, from 1."""


def numbered(rig: Rig, kind: str | None = None) -> list[Numbered]:
    """The cables with their numbers; of one kind if `kind` is given."""
    every = enumerate(rig.links, start=1)
    return [(number, link) for number, link in every if kind in (None, link.kind)]


def sender(link: Link) -> str:
    """'expander-1 optical out 1'."""
    return f"{link.from_unit} {link.kind} out {link.from_socket}"


def receiver(link: Link) -> str:
    """'host-1 optical in 1'."""
    return f"{link.to_unit} {link.kind} in {link.to_socket}"


def load(link: Link) -> str:
    """'8 channels and clock', '8 channels', 'clock alone'."""
    if "audio" not in link.carries:
        return "clock alone"
    clock = " and clock" if "clock" in link.carries else ""
    return count(link.channels, "channel") + clock


def sockets(kind: str, ways: Sequence[tuple[str, Iterable[int]]]) -> str:
    """'optical in 1–2 and optical out 1'; ways without a socket are left out."""
    said = [(way, set(numbers)) for way, numbers in ways]
    return listed([f"{kind} {way} {runs(numbers)}" for way, numbers in said if numbers])
