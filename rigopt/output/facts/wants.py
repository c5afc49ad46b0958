"""What the microphone on each input asks of 48 V: a condenser needs it, a ribbon must not."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.needs.types import Needs, Phantom
from rigopt.output.facts.inputs import box
from rigopt.rig.types import Input


def wants(inputs: Iterable[Input], needs: Needs) -> dict[int, Phantom]:
    """By the computer's input, for each that a microphone is on.

    By its name on the list of sources; without names, the lowest inputs with 48 V are for
    those that need it, the lowest without for those that must not get it.
    """
    mics = [item for item in inputs if item.use == "mic" and box(item) is None]
    if needs.sources:
        listed: dict[str | None, Phantom] = {x.name: x.phantom for x in needs.sources}
        return {x.computer_input: listed.get(x.source, "any") for x in mics}
    found: dict[int, Phantom] = {item.computer_input: "any" for item in mics}
    on = [item.computer_input for item in mics if item.phantom]
    off = [item.computer_input for item in mics if not item.phantom]
    found |= dict.fromkeys(on[: needs.phantom], "on")
    return found | dict.fromkeys(off[: needs.no_phantom], "off")
