"""Things to watch when this very rig is set up. Each line has a reason in the rig."""

from __future__ import annotations

import datetime

from rigopt.facts import FORMATS
from rigopt.output.facts.bill import OLD_DAYS, old
from rigopt.output.facts.cables import pieces
from rigopt.output.facts.clocks import chains, own_clocks
from rigopt.output.facts.optical import longer_than, set_by_hand
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.phrases import khz, labelled, listed, metres, runs
from rigopt.rig.types import Rig


def advice(rig: Rig, today: datetime.date | None = None) -> str:
    """The lines that apply, as a list; empty when none does. Without a day no price is old."""
    lines = (
        _long_optical(rig),
        _high_rate(rig),
        _optical_formats(rig),
        _terminated(rig),
        _several_hosts(rig),
        _phantom(rig),
        _old_prices(rig, today),
        _free(rig),
    )
    return "\n".join(paragraph(text, "- ") for text in lines if text)


def _long_optical(rig: Rig) -> str:
    sure = {one.numbers[0]: longer_than(one.first) for one in pieces(rig.links)}
    long = {number: length for number, length in sure.items() if length is not None}
    if not long:
        return ""
    which = f"Cable {runs(long)} is" if len(long) == 1 else f"Cables {runs(long)} are"
    return (
        f"{which} optical and longer than {metres(min(long.values()))}: up to 10 m may work, "
        "but only with good cable. Test before you rely on it, or move the units closer."
    )


def _high_rate(rig: Rig) -> str:
    if not set_by_hand(rig):
        return ""
    return (
        f"Set {khz(rig.rate_hz)} kHz by hand at both ends of every light-pipe: a receiver "
        "normally cannot tell the higher rates from the signal."
    )


def _optical_formats(rig: Rig) -> str:
    """Where optical sockets carry another format than the usual one."""
    spoken: dict[str, list[int]] = {}
    for one in pieces(rig.links):
        if one.first.kind == "optical":
            spoken.setdefault(one.first.format.id, []).append(one.numbers[0])
    usual = next(row.id for row in FORMATS.values() if row.socket == "optical")
    if list(spoken) in ([], [usual]):
        return ""
    told = [f"{name} for cable {runs(numbers)}" for name, numbers in spoken.items()]
    return f"Set the optical sockets at both ends to {listed(told)}."


def _terminated(rig: Rig) -> str:
    """Operating guides (restated): 75 ohm at the last word input of a chain, and only there."""
    ends = [chain[-1].to_unit for chain in chains(rig.links) if len(chain) > 1]
    if not ends:
        return ""
    return (
        f"Word clock through T-pieces: 75 ohm at {listed(ends)}, where a chain ends, and at no "
        "input before it."
    )


def _several_hosts(rig: Rig) -> str:
    hosts = sum(unit.role == "host" for unit in rig.units)
    if hosts < 2:
        return ""
    return (
        f"The computer has to join the {hosts} hosts into one aggregate device, in the "
        f"order shown, for the input numbers above to hold.{_drift(rig)}"
    )


def _drift(rig: Rig) -> str:
    """An OS maker's guide (text): drift correction unless a cable locks the host."""
    apart = own_clocks(rig)
    return f" Switch drift correction on for {listed(apart)}." if apart else ""


def _phantom(rig: Rig) -> str:
    """Practice of the trade; ribbon microphones are the ones at risk."""
    if not any(unit.phantom_banks_on for unit in rig.units):
        return ""
    return (
        "Switch 48 V off, and wait, before you plug or unplug a microphone. Ribbon "
        "microphones can be harmed: follow their makers' manuals."
    )


def _old_prices(rig: Rig, today: datetime.date | None) -> str:
    told = [
        f"{labelled(line.item, line.label)} at {line.seller} ({line.as_of})"
        for line in rig.purchases
        if today and old(line, today)
    ]
    if not told:
        return ""
    return (
        f"On {today} these prices are older than {OLD_DAYS} days: {', '.join(told)}. "
        "Ask again before you order."
    )


def _free(rig: Rig) -> str:
    """A price of 0 may be meant, but is also what people put for one that they do not know."""
    free = [
        labelled(line.item, line.label)
        for line in rig.purchases
        if line.known and not line.unit_price
    ]
    if not free:
        return ""
    return (
        f"At a price of 0: {', '.join(free)}. If the price is not known, leave the cell blank; "
        "then it is not for sale."
    )
