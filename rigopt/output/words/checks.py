"""Facts to check before anything is paid, in words to take to a shop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf
from typing import Final, NamedTuple

from rigopt.answers.checks import Check, Checks
from rigopt.catalogue.types import Catalogue
from rigopt.output.words.device import WORD_ENDS
from rigopt.output.words.phrases import (
    NOT_ALL,
    amount,
    count,
    device_labels,
    labelled,
    listed,
    together,
)
from rigopt.rig.types import Rig

NONE: Final = "No type is bought, so there is nothing to check."
ALL_ELSE: Final = (
    "Whatever else these rows say may be otherwise: what is bought does all the same."
)

_COUNTED: Final = {
    "mic_line_inst": "input{s} for microphone, line or instrument",
    "mic_line": "input{s} for microphone or line",
    "mic": "input{s} for microphone",
    "line_inst": "input{s} for line or instrument",
    "line": "line input{s}",
    "inst": "instrument input{s}",
    "line_out": "line output{s}",
    "direct_out": "direct out{s}",
    "phones": "headphone output{s}",
    "optical_in": "optical input{s}",
    "optical_out": "optical output{s}",
    "coax_in": "coax input{s}",
    "coax_out": "coax output{s}",
    "trunk_in": "trunk input{s}",
    "trunk_out": "trunk output{s}",
    "word_in": "word-clock input{s}",
    "word_out": "word-clock output{s}",
    "optical_stereo": "optical socket{s} that carry stereo",
}
_CLASSES: Final = {"1x": "44.1 and 48 kHz", "2x": "88.2 and 96 kHz", "4x": "176.4 and 192 kHz"}
_SAID: Final = {
    "optical": "light-pipe on {ways} at {rates}",
    "coax": "coax on {needed} socket{s} at {rates}",
    "analogue": "{needed} analogue input{s} converted at {rates}",
    "max_in": "{needed} input{s} that the computer sees at {rates}",
    "clock_in": "that it can lock to {now}",
    "rate_converter": "a rate converter on {now}",
    "internal_clock": "a clock of its own",
    "word_end": "{end}",
    "rates_khz": "{now} kHz",
    "role": "that it works as {other} too",
    "computer": "a {now} connection to the computer",
    "direct_plug": "direct outs on {now}",
    "line_plug": "line inputs on {now}",
    "line_in": "at most {needed} line output{s} to feed it",
    "di_phantom": "that it works without 48 V",
    "rack_units": "at most {needed} U",
    "mains": "at most {needed} mains plug{s}",
    "either": "{tried}, both at once",
}
_OTHER_ROLE: Final = {"host": "an expander", "expander": "a host"}


class Must(NamedTuple):
    """What a type must have, and what comes of it where it has not."""

    device: str
    facts: tuple[str, ...]
    otherwise: str


def musts(checks: Checks, total: int, currency: str) -> list[Must]:
    """The checks in few lines: of each type, facts of which the same comes are together.

    `total`: what the rig costs. What cannot be mended comes first, then what costs most.
    """
    groups: dict[tuple[str, str], list[str]] = {}
    for check in sorted(checks.found, key=_weight):
        key = check.device, _otherwise(check, total, currency)
        groups.setdefault(key, []).append(fact(check))
    return [
        Must(device, tuple(dict.fromkeys(facts)), otherwise)
        for (device, otherwise), facts in groups.items()
    ]


def check_lines(
    checks: Checks, rig: Rig, currency: str, labels: Mapping[str, str]
) -> list[str]:
    """All that there is to check before anything is paid, a sentence or two each."""
    if not any(line.kind == "device" for line in rig.purchases):
        return [NONE]
    told = [must_line(must, labels) for must in musts(checks, rig.total, currency)]
    return [*told, ALL_ELSE if checks.complete else NOT_ALL]


def checks_told(checks: Checks | None, rig: Rig, catalogue: Catalogue) -> list[str]:
    """The same with the labels of a catalogue; nothing where there are no checks."""
    labels = device_labels(catalogue)
    return [] if checks is None else check_lines(checks, rig, catalogue.currency, labels)


def must_line(must: Must, labels: Mapping[str, str]) -> str:
    """One of them as a sentence."""
    box = labelled(must.device, labels.get(must.device, ""))
    return f"{box} must have: {'; '.join(must.facts)}. Else {must.otherwise}."


def _weight(check: Check) -> tuple[object, ...]:
    return check.device, -inf if check.total is None else -check.total


def _otherwise(check: Check, total: int, currency: str) -> str:
    if check.total is None:
        return "there is no rig"
    more = check.total - total
    money = "another rig for the same money"
    if more:
        money = f"{amount(abs(more), currency)} {'more' if more > 0 else 'less'}"
    if not (check.less or check.more):
        return f"{money}, with other cables or settings"
    return f"{money}: {_mix(check.more)} instead of {_mix(check.less)}"


def _mix(devices: Iterable[tuple[str, int]]) -> str:
    return together(dict(devices)) or "nothing"


def fact(check: Check) -> str:
    """What the type must have: '2 optical inputs'."""
    plural = "" if check.needed == "1" else "s"
    if check.column in _COUNTED:
        return f"{check.needed} {_COUNTED[check.column].format(s=plural)}"
    if check.column == "phantom_bank":
        return _banks(check)
    stem, _, multiplier = check.column.rpartition("_")
    rates = _CLASSES.get(multiplier, "")
    said = _SAID[stem if rates else check.column]
    return said.format(
        needed=check.needed,
        s=plural,
        now=check.now,
        tried=listed(check.tried.split("/")),
        rates=rates,
        ways=_ways(check) if stem == "optical" else "",
        end=WORD_ENDS.get(check.now, ""),
        other=_OTHER_ROLE.get(check.tried, ""),
    )


def _ways(check: Check) -> str:
    """'2 optical inputs' of '2/1', if it is the inputs that there may be too few of."""
    needed, tried = check.needed.split("/"), check.tried.split("/")
    way = 0 if needed[0] != tried[0] else 1
    return count(int(needed[way]), f"optical {('input', 'output')[way]}")


def _banks(check: Check) -> str:
    if check.tried == "0":
        return "48 V on microphone inputs"
    sizes = check.needed.split(";")
    if sizes == ["1"]:
        return "a 48 V switch for each microphone input"
    return f"48 V in banks of {listed(sizes)} at most"
