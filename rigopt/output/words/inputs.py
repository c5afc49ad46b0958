"""The computer's inputs: what stands behind each, and what it is used for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from rigopt.needs.types import Needs, Phantom, SourceLine
from rigopt.output.facts.inputs import Empty, Lines, alike, box, empty, jack_only, lines, silent
from rigopt.output.facts.wants import wants
from rigopt.output.words.phrases import count, listed, plural, runs, span
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


ASKS: Final[dict[Phantom, str]] = {"on": "needs 48 V", "off": "never 48 V"}
"""What a microphone asks; nothing is said of one that takes either."""


def used_for(item: Input, want: Phantom = "any") -> str:
    """'mic', 'mic: Bass', 'spare (mic or line)', 'instrument: Bass, through di-1'.

    'mic (needs 48 V)' where `want` says what the microphone asks.
    """
    if item.use is None:
        return f"spare ({listed(item.accepts, 'or')})"
    said = f"{item.use}: {item.source}" if item.source else item.use
    if want in ASKS:
        said += f" ({ASKS[want]})"
    through = box(item)
    return f"{said}, through {through}" if through else said


def input_rows(
    inputs: Iterable[Input],
    known: Lines,
    told: Callable[[Input], str] = used_for,
) -> list[list[str]]:
    """Inputs in runs of which the same is `told`, as cells under `INPUT_HEADERS`.

    `known`: where channels go that leave by a direct out; as in 'preamp-1 1–4 > host-1 5–8'.
    """
    return [
        [
            span(run.first_input, run.last_input),
            way(example, known, run.last_channel - run.first_channel),
            "on" if example.phantom else "off",
            told(example),
        ]
        for run, example in alike(inputs, known, told)
    ]


def way(item: Input, known: Lines, more: int = 0) -> str:
    """'preamp-1 1 > host-1 5', or 'host-1 1–4' for an input and three `more` after it."""
    here = item.unit, item.channel
    places = [here, known[here]] if here in known else [here]
    return " > ".join(f"{unit} {span(first, first + more)}" for unit, first in places)


def jack_lines(inputs: Iterable[Input]) -> list[str]:
    """Where a line source or an instrument sits on 48 V; none where there is none."""
    found = [item.computer_input for item in inputs if jack_only(item)]
    if not found:
        return []
    which = "input" if len(found) == 1 else "inputs"
    return [
        f"48 V is on at {which} {runs(found)}, where no microphone is plugged in: "
        f"{JACK_ONLY} there."
    ]


JACK_ONLY: Final = "only a jack plug may go in"


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


def below(rig: Rig, sources: Sequence[SourceLine]) -> list[str]:
    """What is said under the list of inputs, beside what is spare."""
    told = [*empty_line(rig), *silent_lines(rig), *gave_way_lines(rig, sources)]
    return [*told, *jack_lines(rig.inputs)]


def input_table(rig: Rig, needs: Needs) -> list[list[str]]:
    """The rows of a whole rig, with what each microphone asks of 48 V."""
    return input_rows(rig.inputs, lines(rig.units, rig.links), uses(rig, needs))


def uses(rig: Rig, needs: Needs) -> Callable[[Input], str]:
    """What is told of an input of a rig."""
    asked = wants(rig.inputs, needs)
    return lambda item: used_for(item, asked.get(item.computer_input, "any"))


def empty_line(rig: Rig) -> list[str]:
    """The numbers on which nothing of the rig arrives, and why; none where there are none."""
    told = [f"{runs(one.numbers)} ({_behind(one)})" for one in empty(rig)]
    return [f"Nothing arrives on {listed(told)}."] if told and rig.inputs else []


def silent_lines(rig: Rig) -> list[str]:
    """The channels that do not reach the computer and that nothing else sits on."""
    found = list(silent(rig))
    if not found:
        return []
    told = [f"{plural('channel', numbers)} {runs(numbers)} of {u.name}" for u, numbers in found]
    one = sum(len(numbers) for _, numbers in found) == 1
    text = f"{listed(told)} {'does' if one else 'do'} not reach the computer"
    return [f"{text[0].upper()}{text[1:]}: nothing goes in there."]


def _behind(one: Empty) -> str:
    if one.socket is None:
        return f"blank on {one.host}"
    return f"{one.socket.kind} {one.socket.number} of {one.host}"


def gave_way_lines(rig: Rig, sources: Sequence[SourceLine]) -> list[str]:
    """Which wishes of the list gave way, a sentence each."""
    return [_GAVE_WAY[one.wish].format(listed(one.names)) for one in gave_way(rig, sources)]
