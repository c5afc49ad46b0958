"""Rigs with links of every kind: a trunk both ways, a chain of word inputs, several clocks."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Cable, Device, SocketRef
from rigopt.facts import Format
from rigopt.rig.links import Wire
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.sheets.rigs import BNC, DESK, INTERNAL, OPT, PRE, TICK, made
from tests.wires import wire

STAGE_LINK = Format(
    "stage-link", "trunk", "Stage-box link", "network", (48, 24, 12), duplex=True
)
NET = Cable("net-20m", "Network lead, 20 m", "network", 20_000)
TEE = Cable("tee", "T-piece", "tee", 0)
END = Cable("end", "75-ohm plug", "terminator", 0)
MIXER = Device(
    "mixer",
    "Stage mixer",
    "host",
    mic_line=16,
    trunk=STAGE_LINK,
    trunk_in=2,
    clock_in=("trunk",),
)
STAGE = Device(
    "stage",
    "Stage box",
    "expander",
    mic_line=16,
    phantom_bank=(4, 4),
    line_out=8,
    trunk=STAGE_LINK,
    trunk_in=1,
    clock_in=("trunk",),
)


def trunked() -> Rig:
    """A stage box whose one cable brings 16 channels, takes 8 back, and its clock too."""
    units = [
        Unit("host-1", MIXER, "host", INTERNAL),
        Unit("expander-1", STAGE, "expander", ClockSetting("trunk", 1, "host-1"), False, (2,)),
    ]
    return made(units, [wire(STAGE_LINK, "expander-1", 1, "host-1", 2, NET)])


def chained(last: str = "switch") -> Rig:
    """A generator, and three expanders on one of its outputs; `last`: the end of the third."""
    third = replace(PRE, word_end=last)  # type: ignore[arg-type]
    lock = ClockSetting("word", 1, "clock-1")
    names = ("expander-1", "expander-2", "expander-3")
    units = [
        Unit("host-1", DESK, "host", ClockSetting("optical", 1, "expander-1")),
        *(Unit(name, PRE if name != names[2] else third, "expander", lock) for name in names),
        Unit("clock-1", TICK, "clock", INTERNAL),
    ]
    wires = [wire("optical", name, 1, "host-1", i, OPT) for i, name in enumerate(names, 1)]
    wires += [
        _word("expander-1", None, TEE),
        _word("expander-2", "expander-1", TEE),
        _word("expander-3", "expander-2", TEE if last == "none" else None),
    ]
    if last == "none":
        wires[-1] = replace(wires[-1], terminator=END)
    return made(units, wires)


def _word(to: str, after: str | None, tee: Cable | None) -> Wire:
    return wire("word", "clock-1", 1, to, 1, BNC, after=after, tee=tee)


def apart() -> Rig:
    """Two hosts on clocks of their own, the second with an expander."""
    units = [
        Unit("host-1", DESK, "host", INTERNAL),
        Unit("host-2", DESK, "host", ClockSetting("optical", 1, "expander-1")),
        Unit("expander-1", PRE, "expander", INTERNAL),
    ]
    return made(units, [wire("optical", "expander-1", 1, "host-2", 1, OPT)])


def converted() -> Rig:
    """An expander on its own clock into an input with a rate converter."""
    host = replace(DESK, rate_converter=("optical",))
    units = [
        Unit("host-1", host, "host", INTERNAL),
        Unit("expander-1", PRE, "expander", INTERNAL),
    ]
    return made(units, [wire("optical", "expander-1", 1, "host-1", 2, OPT)])


def stereo() -> Rig:
    """Two-channel stereo on an optical input that shares its receiver with coax."""
    group = (SocketRef("coax", "in", 1), SocketRef("optical", "in", 1))
    host = replace(DESK, optical_stereo=1, either=(group,))
    pair = Device(
        "pair", "Two preamps", "expander", mic_line=2, optical_out=1, optical_stereo=1
    )
    units = [
        Unit("host-1", host, "host", ClockSetting("optical", 1, "expander-1")),
        Unit("expander-1", pair, "expander", INTERNAL),
    ]
    return made(units, [wire("stereo", "expander-1", 1, "host-1", 1, OPT)])
