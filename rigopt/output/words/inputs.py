"""The computer's inputs: what stands behind each, and what it is used for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from rigopt.needs.types import SourceLine
from rigopt.output.facts.inputs import Empty, alike, empty
from rigopt.output.words.phrases import count, listed, runs, span
from rigopt.rig.figures import Figures
from rigopt.rig.types import Input, Rig
from rigopt.rig.wishes import Wish, gave_way

INPUT_HEADERS: Final = ("Computer", "Unit and channel", "48 V", "For")
NO_INPUT: Final = "None: this rig brings no input to the computer."

_A: Final = {"mic": "a microphone", "line": "a line source", "instrument": "an instrument"}

_GAVE_WAY: Final[dict[Wish, str]] = {
    "pair": "No two free channels in a row would do for {}: not side by side.",
    "odd": "On an even channel first: {}.",
    "order": "Out of the list's order, as 48 V, kinds of channel and pairs come first: {}.",
}


def used_for(item: Input) -> str:
    """'mic', 'mic: Bass', or 'spare (mic or line)'."""
    if item.use is None:
        return f"spare ({listed(item.accepts, 'or')})"
    return f"{item.use}: {item.source}" if item.source else item.use


def input_rows(
    inputs: Iterable[Input], told: Callable[[Input], str] = used_for
) -> list[list[str]]:
    """Inputs in runs of which the same is `told`, as cells under `INPUT_HEADERS`."""
    return [
        [
            span(run.first_input, run.last_input),
            f"{run.unit} {span(run.first_channel, run.last_channel)}",
            "on" if example.phantom else "off",
            told(example),
        ]
        for run, example in alike(inputs)
    ]


def spare(known: Figures) -> str:
    """How many inputs are left over, and what they would take."""
    if not known.spare:
        return "No input is left over."
    text = f"{count(known.spare, 'input')} spare"
    kinds = [kind for kind in known.kinds if kind.spare]
    if all(kind.spare == known.spare for kind in kinds):
        which = "it" if known.spare == 1 else "each"
        return f"{text}: {which} takes {listed([_A[kind.kind] for kind in kinds], 'or')}."
    takes = "; ".join(f"{_A[kind.kind]}: {kind.spare}" for kind in kinds)
    return f"{text}. Free for {takes}."


def empty_line(rig: Rig) -> list[str]:
    """The numbers on which nothing of the rig arrives, and why; none where there are none."""
    told = [f"{runs(one.numbers)} ({_behind(one)})" for one in empty(rig)]
    return [f"Nothing arrives on {listed(told)}."] if told and rig.inputs else []


def _behind(one: Empty) -> str:
    if one.socket is None:
        return f"blank on {one.host}"
    return f"{one.socket.kind} {one.socket.number} of {one.host}"


def gave_way_lines(rig: Rig, sources: Sequence[SourceLine]) -> list[str]:
    """Which wishes of the list gave way, a sentence each."""
    return [_GAVE_WAY[one.wish].format(listed(one.names)) for one in gave_way(rig, sources)]
