"""In which order the units are switched on, and off again when the session ends."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.clocks import from_master, trees
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import listed
from rigopt.rig.types import Rig, Unit


def on(rig: Rig) -> Step:
    """The master first, then along the clock (common practice, no source).

    Some units bring 48 V back at power-up (Linux kernel sound/usb; a panel's manual, text).
    """
    own = _own(rig)
    clocked = sum(unit.clock is not None for unit in rig.units)
    said = [_mastered(rig, name) for name in own] if clocked > 1 else own
    lines = ["Plug in the mains. Leave the monitors off." if own else "Leave the monitors off."]
    if own:
        order = "in this order: " if len(said) > 1 else ""
        lines.append(f"Switch on {order}{listed(said)}; then {_computer(rig)}.")
    else:
        lines.append(f"Switch on {_computer(rig)}.")
    if able := [unit.name for unit in rig.units if unit.device.bank_channels]:
        lines.append(
            f"Look at the 48 V lamps of {listed(able)} now: some units bring 48 V back when "
            "they are switched on. Switch off any that is on."
        )
    danger = (cautions.EARTH, cautions.strips(rig), cautions.RCD, cautions.LEADS) if own else ()
    return Step("Switch on", tuple(lines), danger)


def end(rig: Rig) -> Step:
    """All the way back (common practice, no source)."""
    lines = ["Switch off the monitors first, and turn down headphones and every gain."]
    if rig.inputs:
        lines += _unplug(rig)
    own = _own(rig)
    then = f"; then {listed(own[::-1])}" if own else ""
    lines.append(f"Close the recording program. Switch off {_computer(rig)}{then}.")
    return Step("At the end of the session", tuple(lines))


def _unplug(rig: Rig) -> Iterator[str]:
    if on := [unit.name for unit in rig.units if unit.phantom_banks_on]:
        yield (
            f"Switch 48 V off on {listed(on)}, and wait as the manuals say, a minute if they "
            "do not."
        )
        yield "Only then unplug the sources."
    else:
        yield "Now the sources may be unplugged."


def _computer(rig: Rig) -> str:
    fed = [unit.name for unit in rig.units if _bus_powered(unit)]
    return f"the computer, which powers {listed(fed)}" if fed else "the computer"


def _own(rig: Rig) -> list[str]:
    """The units that are switched on, in that order."""
    return [u.name for u in from_master(rig.units) if not _bus_powered(u) and _switched(u)]


def _bus_powered(unit: Unit) -> bool:
    """Whether the computer feeds it: a host without a mains plug of its own."""
    return unit.role == "host" and unit.device.mains == 0


def _switched(unit: Unit) -> bool:
    """Whether it has a mains switch; a DI box, say, may live on 48 V or nothing at all."""
    return unit.device.mains > 0 or unit.clock is not None


def _mastered(rig: Rig, name: str) -> str:
    """'host-1 (the clock master)' for a master."""
    groups = trees(rig.units)
    if name not in groups:
        return name
    return f"{name} ({'the' if len(groups) == 1 else 'a'} clock master)"
