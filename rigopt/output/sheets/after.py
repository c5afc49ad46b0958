"""Steps once every unit is in step: sources, 48 V, monitors, and a take that proves it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from rigopt.output.facts.inputs import box, jack_only
from rigopt.output.sheets import cautions
from rigopt.output.sheets.analogue import amplifiers, boxes
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered
from rigopt.output.words.inputs import jack_lines
from rigopt.output.words.phrases import count, runs, sources, span
from rigopt.output.words.wiring import end_socket, start_socket, switch_each
from rigopt.rig.banks import bank_channels, powered
from rigopt.rig.folding import Run, fold
from rigopt.rig.links import rank
from rigopt.rig.types import Input, Link, Rig, Unit


def patch(rig: Rig) -> Iterator[Step]:
    """Every source in its channel, 48 V still off."""
    lines = []
    used = sorted(_used(rig), key=lambda item: [u.name for u in rig.units].index(item.unit))
    for name, group in groupby(used, key=lambda item: item.unit):
        lines.append(f"{name}: {_plugs(list(group))}.")
    lines += boxes(rig)
    if lines and any(bank_channels(unit.device) for unit in rig.units):
        title = "Plug in the sources, 48 V off"
        said = (*lines, *jack_lines(rig.inputs))
        jacks = [cautions.JACKS] if any(map(jack_only, rig.inputs)) else []
        yield Step(title, said, (cautions.PHANTOM, *jacks))
    elif lines:
        yield Step("Plug in the sources", tuple(lines))


def phantom(rig: Rig) -> Iterator[Step]:
    """The banks that are on, and no other."""
    on = [unit for unit in rig.units if unit.phantom_banks_on]
    if not on:
        return
    lines = ["Do this once all microphones are plugged in and every level is down."]
    lines += [_banks(unit) for unit in on]
    lines.append("Leave every other 48 V switch off. Wait until the microphones settle.")
    yield Step("Switch on 48 V", tuple(lines))


def monitor(rig: Rig) -> Step:
    """Loudspeakers last; which expander's outputs get audio from its host."""
    lines = ["Switch on the monitors last. Bring levels up slowly, from silence."]
    lines += [line for unit in rig.units for line in _fed(rig, unit)]
    lines += amplifiers(rig)
    return Step("Monitors on", tuple(lines), (cautions.HEARING,))


def prove(rig: Rig) -> Iterator[Step]:
    """A source at a time, then all at once for a minute (common practice, no source)."""
    used = _used(rig)
    if not used:
        return
    lines = [
        "Make a sound into one source after the other, such as a light tap beside the "
        "microphone, and read its number in the recording program:"
    ]
    lines += [_numbers(item) for item in used if item.source]
    lines += [_run(run) for run in fold(item for item in used if not item.source)]
    inputs = "the input" if len(used) == 1 else f"all {len(used)} inputs"
    lines.append(f"Record one minute of {inputs} and listen to each: no ticks, no gaps.")
    yield Step("Prove it with a take", tuple(lines))


def _used(rig: Rig) -> list[Input]:
    """The inputs in use, or all of them where no use is stated."""
    return [item for item in rig.inputs if item.use] or list(rig.inputs)


def _plugs(items: Sequence[Input]) -> str:
    """'Bass on channel 1' for each name, '8 microphones on channels 1–8' for the rest.

    'Bass through di-1 on channel 1' where a DI box stands between.
    """
    named = [
        f"{item.source}{_through(box(item))} on channel {item.channel}"
        for item in items
        if item.source
    ]
    rest = [item for item in items if not item.source]
    for use, between in dict.fromkeys((item.use, box(item)) for item in rest):
        channels = [x.channel for x in rest if (x.use, box(x)) == (use, between)]
        what = sources(len(channels), use) if use else count(len(channels), "source")
        where = f"{_word('channel', channels)} {runs(channels)}"
        named.append(f"{what}{_through(between)} on {where}")
    return ", ".join(named)


def _through(between: str | None) -> str:
    return f" through {between}" if between else ""


def _banks(unit: Unit) -> str:
    on, channels = unit.phantom_banks_on, powered(unit)
    each = f"{_word('channel', channels)} {runs(channels)}"
    if switch_each(unit):
        return f"{unit.name}: on for {each}."
    return f"{unit.name}: {_word('bank', on)} {runs(on)}, {each}."


def _word(noun: str, numbers: Sequence[int]) -> str:
    return noun if len(numbers) == 1 else f"{noun}s"


def _fed(rig: Rig, unit: Unit) -> Iterator[str]:
    """Cables from a host to an expander feed its line outputs in turn."""
    if unit.role != "expander":
        return
    into = [
        (rank(link.format), socket, number, link, channels)
        for number, link in numbered(rig)
        for socket, channels in [_feeds(link, unit.name)]
        if channels
    ]
    first = 1
    for _, _, number, link, channels in sorted(into, key=lambda one: one[:3]):
        yield _outputs(unit.name, number, link, range(first, first + channels))
        first += channels


def _feeds(link: Link, name: str) -> tuple[int, int]:
    """The socket of a unit through which a link feeds its line outputs, and how many."""
    if link.from_unit == name:
        return link.from_socket, link.back
    return link.to_socket, link.channels if link.to_unit == name else 0


def _outputs(name: str, number: int, link: Link, outs: range) -> str:
    back = link.from_unit == name
    socket, host = (start_socket, link.to_unit) if back else (end_socket, link.from_unit)
    return (
        f"{name}: line {_word('output', outs)} {span(outs.start, outs.stop - 1)} "
        f"by {socket(link)}, cable {number} from {host}."
    )


def _numbers(item: Input) -> str:
    where = f"channel {item.channel} of {item.unit}"
    return f"{item.source}, {where}: input {item.computer_input}."


def _run(run: Run) -> str:
    row = range(run.first_channel, run.last_channel + 1)
    channels = f"{_word('channel', row)} {span(run.first_channel, run.last_channel)}"
    inputs = f"{_word('input', row)} {span(run.first_input, run.last_input)}"
    return f"{run.unit} {channels}: {inputs}."
