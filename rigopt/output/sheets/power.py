"""In which order the units are switched on."""

from __future__ import annotations

from rigopt.output.facts.clocks import trees
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import listed
from rigopt.output.words.wiring import clockless
from rigopt.rig.types import Rig, Unit


def power(rig: Rig) -> Step:
    """The master first, then along the clock; monitors last (common practice, no source)."""
    order = _from_master(rig)
    fed = [name for name in order if _bus_powered(rig.unit(name))]
    own = [name for name in order if name not in fed and _switched(rig.unit(name))]
    clocked = sum(unit.clock is not None for unit in rig.units)
    said = [_mastered(rig, name) for name in own] if clocked > 1 else own
    powers = f", which powers {listed(fed)}" if fed else ""
    last = f"then the computer{powers}" if own else f"the computer{powers}"
    text = f"Switch on, in this order: {listed(said)}; {last}." if own else f"Switch on {last}."
    mains = "Plug in the mains. Leave the monitors off." if own else "Leave the monitors off."
    danger = (cautions.EARTH, cautions.strips(rig)) if own else ()
    return Step("Switch on", (mains, text), danger)


def _bus_powered(unit: Unit) -> bool:
    """Whether the computer feeds it: a host without a mains plug of its own."""
    return unit.role == "host" and unit.device.mains == 0


def _switched(unit: Unit) -> bool:
    """Whether it has a mains switch; a DI box, say, may live on 48 V or nothing at all."""
    return unit.device.mains > 0 or not clockless(unit)


def _mastered(rig: Rig, name: str) -> str:
    """'host-1 (the clock master)' for a master."""
    groups = trees(rig.units)
    if name not in groups:
        return name
    return f"{name} ({'the' if len(groups) == 1 else 'a'} clock master)"


def _from_master(rig: Rig) -> list[str]:
    """The names of the units, each after the one that it takes its clock from."""
    clocks = {unit.name: unit.clock for unit in rig.units}
    order = [name for name, clock in clocks.items() if clock and clock.source == "internal"]
    for name in order:
        order += [other for other, clock in clocks.items() if clock and clock.from_unit == name]
    return order + [name for name, clock in clocks.items() if clock is None]
