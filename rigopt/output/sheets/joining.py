"""Several hosts as one device of the computer."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.clocks import own_clocks, trees
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import khz, listed
from rigopt.rig.types import Rig, Unit


def join(rig: Rig) -> Iterator[Step]:
    """One device, its clock, and drift correction where no cable holds a host in step.

    An OS maker's guide (text): one rate, the most reliable clock as that of the device, and
    drift correction on the others unless a cable locks them.
    """
    hosts = [unit for unit in rig.units if unit.role == "host"]
    if len(hosts) < 2:
        return
    names = [unit.name for unit in hosts]
    apart = own_clocks(rig)
    lines = [
        f"Join {listed(names)} into one device, in this order, which is that of the inputs.",
        f"Name {_device(rig, hosts)} as the clock of that device.",
        *_drift(rig, names, apart),
        *_systems(names, apart),
        f"Only now open the recording program with that device, at {khz(rig.rate_hz)} kHz.",
    ]
    yield Step("Join the hosts on the computer", tuple(lines))


def _device(rig: Rig, hosts: list[Unit]) -> str:
    """The host that runs by its own clock, of those that the first goes with."""
    lead = hosts[0].name
    for master, others in trees(rig.units).items():
        if lead in others and any(unit.name == master for unit in hosts):
            return master
    return lead


def _drift(rig: Rig, names: list[str], apart: list[str]) -> Iterator[str]:
    clock = _device(rig, [unit for unit in rig.units if unit.role == "host"])
    if locked := [name for name in names if name not in (clock, *apart)]:
        yield f"Leave drift correction off for {listed(locked)}, which a cable keeps in step."
    if apart:
        them = "it" if len(apart) == 1 else "them"
        yield (
            f"Switch drift correction (resampling) on for {listed(apart)}: nothing else keeps "
            f"{them} in step."
        )


def _systems(names: list[str], apart: list[str]) -> Iterator[str]:
    """An OS maker's guide, `pcm_multi.c`, `pipewire-props.7.md` (text); driver guides."""
    yield "macOS: its audio set-up makes an aggregate device, with a box for drift correction."
    if apart:
        yield (
            "Linux: PipeWire resamples between clocks. ALSA's 'multi' does not, so it does not "
            "do here."
        )
        yield (
            "Windows: the system joins nothing, and a driver that joins units wants them on "
            "one clock: tie the clocks by a cable, or record by another system."
        )
        return
    yield (
        "Linux: ALSA's 'multi' joins them as they are. PipeWire resamples unless "
        f"{listed(names)} have the same clock.name: give them one."
    )
    yield (
        "Windows: the system joins nothing, and a recording program opens one driver. Ask "
        "whether one driver shows all of them, or take one that joins units on one clock."
    )
