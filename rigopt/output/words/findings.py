"""Findings of the audit in words.

Text from a file never reaches a reader raw: what cannot be printed is spelt out.
"""

from __future__ import annotations

from typing import Final

from rigopt.output.words.answer_faults import ANSWER_FAULTS
from rigopt.output.words.sentence import Sentence
from rigopt.output.words.wiring_faults import WIRING_FAULTS
from rigopt.rig.audit.finding import Finding, Remedy
from rigopt.rig.audit.wiring import format_name

SENTENCES: Final = WIRING_FAULTS | ANSWER_FAULTS
"""By rule, and by rule and case where a rule can be broken in several ways."""

REMEDIES: Final = {
    "internal": "set {unit} to its internal clock",
    "lock": "lock {unit} to {kind} {into}{socket}, where the cable from {sender} is",
    "plug": "plug the {kind} cable that is missing from {sender} {out}{output} into {unit} "
    "{into}{socket}",
    "plug and lock": "plug {a} {kind} cable from {sender} {out}{output} into {unit} "
    "{into}{socket}, and lock {unit} to it",
}


def sentence_of(found: Finding) -> Sentence:
    """What is said of its rule in its case; a stage that it is of comes before it."""
    sentence = SENTENCES[f"{found.rule} {found.case}".strip()]
    staged = any(name == "stage" for name, _ in found.facts)
    return sentence._replace(says="{stage}: " + sentence.says) if staged else sentence


def says(found: Finding) -> str:
    """What is wrong."""
    return _filled(sentence_of(found).says, facts(found))


def change(found: Finding) -> str:
    """The smallest change that mends it."""
    for _, fact in found.facts:
        if isinstance(fact, tuple) and fact:
            return _visible(_steps(fact))
    return _filled(sentence_of(found).change, facts(found))


def facts(found: Finding) -> dict[str, str | int]:
    """The facts by name; remedies in words, or what there is to say where none is known."""
    unknown = sentence_of(found).change
    return {
        name: _steps(fact) or unknown if isinstance(fact, tuple) else fact
        for name, fact in found.facts
    }


def _steps(steps: tuple[Remedy, ...]) -> str:
    return " and ".join(map(_step, steps))


def _step(step: Remedy) -> str:
    words = {"unit": step.unit}
    if step.row is not None:
        kind = format_name(step.row)
        out, into = ("", "") if step.row.duplex else ("out ", "in ")
        article = "an" if kind.startswith("o") else "a"
        words |= {"a": article, "kind": kind, "out": out, "into": into, "sender": step.sender}
        words |= {"socket": str(step.socket), "output": str(step.output)}
    return REMEDIES[step.how].format(**words)


def _filled(template: str, told: dict[str, str | int]) -> str:
    return template.format(**{name: _visible(str(fact)) for name, fact in told.items()})


def _visible(text: str) -> str:
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)
