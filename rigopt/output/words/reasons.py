"""Why there is no rig, in sentences."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from rigopt.answers.choice import BlankCell, Fact, Need, NeedName
from rigopt.answers.growth import OutOfReach
from rigopt.answers.outcome import Impossible, NotAsked, Outcome, OutOfTime
from rigopt.catalogue.columns import DEVICES
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.words.needs import noun, nouns, worth_saying
from rigopt.output.words.phrases import amount, count, khz, listed, metres

_SERVED: Final[tuple[NeedName, ...]] = (
    "mic",
    "phantom",
    "no_phantom",
    "line",
    "instrument",
    "out_line",
    "out_phones",
)
"""What a rig has to serve; every other need says how."""

_HOW: Final[dict[NeedName, str]] = {
    "rate_hz": "at",
    "max_hosts": "on",
    "budget": "within",
    "rack_units": "in",
    "sellers": "from",
}
"""The word before a need that is not served; before all others it is 'with'."""


def reasons(impossible: Impossible, currency: str, needs: Needs) -> tuple[str, ...]:
    """The conflict in one sentence, then the facts that explain it, one sentence each."""
    told = [_FACTS[fact.name](fact, needs) for fact in impossible.facts]
    if not impossible.conflict and not impossible.minimal:
        return (
            "No rig meets all of these needs together; the search ended before it was clear "
            "why.",
        )
    if not impossible.conflict:
        return tuple(told) or ("No unit of this catalogue works as a host.",)
    said = [_sentence(impossible.conflict, currency)]
    if not impossible.minimal:
        said.append(
            "Not all of this may stand in the way; the time was up before it was clear."
        )
    blanks = [_blank(cell, currency) for cell in impossible.blanks]
    return (*said, *(text for text in told if text), *blanks)


def _blank(cell: BlankCell, currency: str) -> str:
    """Which cell may be blank by mistake, and what the rig would cost."""
    lacks = next(row.lacks for row in DEVICES if row.name == cell.column)
    total = "" if cell.total is None else f" for {to_text(cell.total, currency)} {currency}"
    return (
        f"{cell.device} has {lacks}: is its cell {cell.column} blank by mistake? With "
        f"{cell.value} in it there is a rig{total}."
    )


STOPPED: Final = "not asked, because it was stopped."


def why(outcome: Outcome | NotAsked, currency: str, needs: Needs) -> str:
    """Why there is no rig, on one line; empty if there is one."""
    if isinstance(outcome, NotAsked):
        return STOPPED
    if isinstance(outcome, Impossible):
        return " ".join(map(_closed, reasons(outcome, currency, needs)))
    if isinstance(outcome, OutOfTime):
        return "no rig was found in the time, and it is not proven that there is none."
    return ""


def _closed(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")


def in_the_way(found: OutOfReach, currency: str) -> tuple[str, ...]:
    """Which stage is out of reach, and the reasons as far as they are its own."""
    obstacle = found.obstacle
    if obstacle is None:
        return ("The time was up before it was clear which stage is out of reach.",)
    title = obstacle.stage.title
    if obstacle.alone is not None:
        # Whatever is spent: the budgets are no reason then.
        needs = replace(obstacle.stage.needs, budget=None)
        return tuple(f"{title}: {told}" for told in reasons(obstacle.alone, currency, needs))
    if obstacle.money:
        return (f"{title}: the budgets of the stages until then are not enough for it.",)
    return (f"{title}: there is a rig for it, but not together with the stages before it.",)


def would_do(found: OutOfReach, currency: str) -> str:
    """With what the stage that is out of reach would have a rig by itself; '' if that is not
    known."""
    obstacle = found.obstacle
    if obstacle is None or obstacle.alone is None or not obstacle.alone.changes:
        return ""
    ways = []
    for change in obstacle.alone.changes:
        said = nouns(worth_saying(change.settings), currency)
        total = "" if change.total is None else f" ({amount(change.total, currency)})"
        ways.append(f"{said}{total}")
    return f"{obstacle.stage.title} would do by itself with {'; or with '.join(ways)}."


def _sentence(conflict: Sequence[Need], currency: str) -> str:
    served = [noun(n.name, n.value, currency) for n in conflict if n.name in _SERVED]
    parts = [f"serves {listed(served)}" if served else "works"]
    for name, word in _HOW.items():
        parts += [f"{word} {noun(name, n.value, currency)}" for n in conflict if n.name == name]
    unwanted = [str(need.value) for need in conflict if need.name == "avoid"]
    if any(need.name == "owned_only" for need in conflict):
        unwanted = ["anything"]
    if unwanted:
        parts.append(f"without buying {listed(unwanted, 'or')}")
    spoken = {*_SERVED, *_HOW, "avoid", "owned_only"}
    rest = [noun(n.name, n.value, currency) for n in conflict if n.name not in spoken]
    if rest:
        parts.append(f"with {listed(rest)}")
    return f"No rig {' '.join(parts)}."


def _rates(rates_hz: Sequence[int]) -> str:
    return f"{listed([khz(rate) for rate in rates_hz])} kHz"


def _at(needs: Needs) -> str:
    return f"At {khz(needs.rate_hz)} kHz"


def _optical(fact: Fact, needs: Needs) -> str:
    if not fact.number:
        return f"{_at(needs)} no host has a light-pipe input that works."
    return (
        f"{_at(needs)} one host has {count(fact.number, 'light-pipe input')} at most, of "
        f"{count(fact.each, 'channel')} each ({fact.item})."
    )


def _bank(fact: Fact, _: Needs) -> str:
    if not fact.number:
        return "No unit here has 48 V."
    if fact.number == 1:
        return ""
    return f"48 V is switched for at least {fact.number} inputs at once."


def _cable(fact: Fact, _: Needs) -> str:
    if not fact.number:
        return f"No {fact.item} cable can be had that is long enough for any of the runs."
    limit = f"; longer than {metres(fact.each)} does not work" if fact.each else ""
    return f"The longest {fact.item} cable to be had is {metres(fact.number)}{limit}."


_FACTS: Final[dict[str, Callable[[Fact, Needs], str]]] = {
    "no_host": lambda _fact, _needs: "No host is for sale or owned.",
    "no_host_at_rate": lambda fact, needs: (
        f"No host offers {khz(needs.rate_hz)} kHz, but {_rates(fact.rates_hz)}."
    ),
    "no_host_on_ports": lambda fact, needs: (
        f"The hosts at {khz(needs.rate_hz)} kHz connect by {listed(fact.ports, 'or')}."
    ),
    "most_inputs": lambda fact, needs: (
        f"{_at(needs)} one host shows the computer {count(fact.number, 'input')} at most "
        f"({fact.item})."
    ),
    "most_optical": _optical,
    "most_line_out": lambda fact, _needs: (
        f"One host has {count(fact.number, 'line output')} at most ({fact.item})."
    ),
    "most_phones": lambda fact, _needs: (
        f"One host has {count(fact.number, 'headphone output')} at most ({fact.item})."
    ),
    "amplifier": lambda fact, _needs: (
        f"A headphone amplifier has {fact.number} more at most, and takes "
        f"{count(fact.each, 'line output')} ({fact.item})."
    ),
    "analogue_way": lambda fact, needs: (
        f"{_at(needs)} preamps with direct outs could do it, with leads to inputs that take "
        f"line ({fact.item} has {fact.number}); this catalogue has none that do."
    ),
    "smallest_bank": _bank,
    "longest_cable": _cable,
    "no_master": lambda _fact, _needs: "Nothing here can be that clock master.",
    "not_had": lambda fact, _needs: f"{fact.item} is neither for sale nor owned.",
    "not_at_rate": lambda fact, _needs: f"{fact.item} offers {_rates(fact.rates_hz)}.",
}
