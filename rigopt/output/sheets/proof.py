"""A take that proves every channel, every number and every clock, with the monitors off."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.inputs import in_use, microphones
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import listed, plural, span
from rigopt.rig.folding import Run, fold
from rigopt.rig.types import Input, Rig


def prove(rig: Rig) -> Iterator[Step]:
    """A source at a time, then a tone for long enough (common practice, no source).

    Two clocks 10 ppm apart slip 1728 samples an hour at 48 kHz, 144 in five minutes: a
    short take may miss it (AES11-2009 cl. 5.2, restated, and arithmetic).
    """
    used = in_use(rig)
    if not used:
        return
    tap = ", such as a light tap beside a microphone," if microphones(rig) else ""
    lines = [
        f"The monitors stay off. Make a sound into one source after the other{tap} and see at "
        "which number of the recording program it comes. Drivers differ: where a number is "
        "another, note that one."
    ]
    lines += _named(used)
    lines += [_run(run) for run in fold(item for item in used if not item.source)]
    lines += [_tone(rig, used), *_together(rig, used)]
    yield Step("Prove it with a take", tuple(lines))


def _tone(rig: Rig, used: list[Input]) -> str:
    """A tone through every unit with a clock: a tick is heard in it better than in music."""
    through = {
        unit.name: number
        for unit in rig.units
        if unit.clock is not None
        for number in [_first(used, unit.name) or _first(rig.inputs, unit.name)]
        if number is not None
    }
    numbers = sorted(set(through.values()))
    into = f"{plural('input', numbers)} {listed([str(number) for number in numbers])}"
    by = f", which {listed(list(through))} bring" if len(through) > 1 else ""
    several = len(used) > 1
    every = "all inputs" if several else "it"
    long = ", and every track of the same length" if several else ""
    return (
        f"Play a steady tone into {into}{by}, and record {every} for 5 minutes: no tick, no "
        f"gap{long}."
    )


def _together(rig: Rig, used: list[Input]) -> Iterator[str]:
    """Whether what two hosts record stays where it lies (common practice, no source)."""
    names = [unit.name for unit in rig.units]
    ends = [(name, _of_host(used, name) or _of_host(rig.inputs, name)) for name in names]
    found = [(name, number) for name, number in ends if number is not None]
    if len(found) > 1:
        told = listed([f"{number} ({name})" for name, number in found])
        yield (
            f"Let one sharp sound, such as a clap, reach inputs {told} at once, at the "
            "beginning and at the end of the take, and compare where it lies. A few samples "
            "apart is right, if it is the same number both times."
        )


def _first(inputs: tuple[Input, ...] | list[Input], unit: str) -> int | None:
    """The first input whose sound passes a unit."""
    return next((item.computer_input for item in inputs if unit in item.path), None)


def _of_host(inputs: tuple[Input, ...] | list[Input], host: str) -> int | None:
    """The first input that a host brings to the computer."""
    return next((item.computer_input for item in inputs if item.path[-1:] == (host,)), None)


def _named(used: list[Input]) -> Iterator[str]:
    """The names that the computer's inputs of each unit have to show."""
    named = [item for item in used if item.source]
    for name in dict.fromkeys(item.unit for item in named):
        told = [f"{x.computer_input} {x.source}" for x in named if x.unit == name]
        yield f"{plural('Input', told)} of {name}: {'; '.join(told)}."


def _run(run: Run) -> str:
    row = range(run.first_channel, run.last_channel + 1)
    channels = f"{plural('channel', row)} {span(run.first_channel, run.last_channel)}"
    inputs = f"{plural('input', row)} {span(run.first_input, run.last_input)}"
    return f"{run.unit} {channels}: {inputs}."
