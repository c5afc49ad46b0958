"""What to look at first when something is wrong. Only what this rig can suffer from."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.cables import is_line
from rigopt.output.facts.clocks import crossing, own_clocks, trees
from rigopt.output.facts.optical import set_by_hand
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered
from rigopt.output.words.phrases import khz, listed
from rigopt.rig.types import Rig


def trouble(rig: Rig) -> Step:
    """Lock, ticks, silence and wrong numbers (common practice, no source)."""
    lines = [
        *_lock(rig),
        _ticks(rig),
        *_high_rate(rig),
        _silence(rig),
        *_distorted(rig),
        *_number(rig),
    ]
    return Step("If something is wrong", tuple(lines))


def _lock(rig: Rig) -> Iterator[str]:
    if not numbered(rig):
        return
    cause = "its plug, that it is in the sockets named above, the rate at its other end"
    if numbered(rig, "optical"):
        cause += ", and that both optical sockets are set to the same format, as above"
    yield f"No lock: look at the cable of that socket: {cause}."


def _ticks(rig: Rig) -> str:
    """Two free-running clocks slip against each other (AES11-2009 cl. 5.2; restated)."""
    buffer = "a longer buffer in the recording program"
    if sum(unit.clock is not None for unit in rig.units) == 1:
        return f"Ticks or gaps: try {buffer}."
    masters = list(trees(rig.units))
    return (
        f"Ticks every few seconds or minutes: two clocks run free. Only {listed(masters)} may "
        f"be on {'its' if len(masters) == 1 else 'their'} internal clock; every other unit is "
        f"set as above and synchronous. {_joined(rig)}If they stay, try {buffer}."
    )


def _joined(rig: Rig) -> str:
    """What has to be on where clocks are joined by resampling."""
    said = []
    if apart := own_clocks(rig):
        said.append(f"Drift correction has to be on for {listed(apart)}. ")
    if crossing(rig):
        said.append("The sample-rate converters named above have to be on. ")
    return "".join(said)


def _high_rate(rig: Rig) -> Iterator[str]:
    """A receiver at another rate class splits the channels otherwise (lib_xua, text)."""
    if set_by_hand(rig):
        yield (
            f"Channels doubled, scrambled or missing: one end of an optical cable is not "
            f"set to {khz(rig.rate_hz)} kHz."
        )


def _silence(rig: Rig) -> str:
    text = "Silence: look at the microphone cable, the gain, and the input that is armed"
    if any(unit.phantom_banks_on for unit in rig.units):
        text += "; a condenser microphone needs its 48 V bank on"
    if numbered(rig):
        text += "; if all channels of a cable are silent, look at its lock"
    return f"{text}."


def _distorted(rig: Rig) -> Iterator[str]:
    if any(map(is_line, rig.links)):
        yield (
            "Distorted although the recording is not full: an analogue line is too hot for "
            "its input, or the preamp itself clips; turn the preamp down, as above."
        )


def _number(rig: Rig) -> Iterator[str]:
    hosts = [unit.name for unit in rig.units if unit.role == "host"]
    socket = "a cable is in another socket than this sheet says, or " if rig.links else ""
    yield (
        f"A wrong input number: {socket}the driver counts otherwise, for example with mixes or "
        "loopback before the inputs. Go by what you heard in the take."
    )
    if len(hosts) > 1:
        yield (
            "Numbers off by the inputs of a whole host: the computer joins the hosts in "
            f"another order than {listed(hosts)}."
        )
