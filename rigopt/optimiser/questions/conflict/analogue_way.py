"""Whether preamps and leads that the catalogue does not have would make a rig possible.

It is asked with the best there could be: one preamp of as many channels as are asked for, each
with its own 48 V, and cables with every plug, long enough. What they would cost is not known,
so nothing is said where money is in the way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from rigopt.answers.choice import Fact, Need
from rigopt.catalogue.types import DSUB_WAYS, PLUGS, Cable, Catalogue, Device
from rigopt.facts import ANALOGUE
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError

IDEAL: Final = " ideal preamp"
"""No id in a catalogue begins with a space."""

_ABOUT: Final = frozenset(["mic", "phantom", "no_phantom", "spare"])
_SILENT: Final = frozenset(["budget", "owned_only", "sellers", "avoid", "require"])


def analogue_way(probes: Probes, needs: Needs, conflict: Sequence[Need]) -> Iterator[Fact]:
    """The fact that it would, if so."""
    names = {need.name for need in conflict}
    if not names & _ABOUT or names & _SILENT or probes.deadline.over:
        return
    hosts = state(probes.catalogue, needs).hosts
    lines = {host.id: len(host.device.taking("line")) for host in hosts}
    if not any(lines.values()):
        return
    if needs.mic + needs.spare > needs.max_hosts * max(host.visible.total for host in hosts):
        return  # a direct out takes a number that is there already
    try:
        would_do = Probes(_with_ideal(probes.catalogue, needs), probes.deadline).possible(needs)
    except TimeUpError:
        return
    if would_do:
        most = min(lines, key=lambda host: (-lines[host], host))
        yield Fact("analogue_way", most, lines[most])


def _with_ideal(catalogue: Catalogue, needs: Needs) -> Catalogue:
    channels = needs.mic + needs.spare
    preamp = Device(
        IDEAL, IDEAL, "preamp", 0, mic=channels, phantom_bank=1, direct_out=channels, mains=0
    )
    length = max(needs.host_to_rack_mm, needs.within_rack_mm)
    leads = {
        f"{IDEAL} {plug}": Cable(
            f"{IDEAL} {plug}",
            "",
            ANALOGUE,
            length,
            0,
            ends=("jack", plug),
            ways=DSUB_WAYS,
        )
        for plug in PLUGS
    }
    return replace(
        catalogue,
        devices={**catalogue.devices, IDEAL: preamp},
        cables={**catalogue.cables, **leads},
    )
