"""The rules that a wired rig is tested against, in a sentence each, with their source."""

from __future__ import annotations

from string import Formatter
from typing import Final

from rigopt.output.words import findings
from rigopt.rig.audit.finding import Finding

_SOCKET: Final = "A socket takes one cable, of its own kind, and must work at the rate."
_DEAD: Final = (
    "At each class of rates only as many sockets work as the data sheet says; the others "
    "carry neither audio nor clock."
)
_CLOCK: Final = (
    "Each unit runs on its internal clock, or is locked to a socket with a cable from a "
    "chain that ends in one that does."
)
_TREE: Final = (
    "Units joined by audio have one clock, unless a converter stands before the input; so "
    "have all hosts, unless the computer resamples between them (follows from AES11)."
)
_CHAIN: Final = (
    "A word output feeds one input, or several in a chain of T-pieces, each locked to it; a "
    "fixed 75-ohm end is the last, and the last has an end."
)
_CARRIES: Final = "What the file says of a cable must be what the cable does."
_AUDIO: Final = "An expander sends to one host, in one format."
_CABLE: Final = "A piece reaches, and is no longer than its kind works (common practice)."
_LIST: Final = "Each source sits on an input that takes it and has its 48 V as needed."
_PHANTOM: Final = "48 V is switched for whole banks (P48: IEC 61938)."
_ROLE: Final = "A unit plays a role that its device can play; one at least is a host."

_LINE: Final = (
    "A direct out feeds one input that takes line, on another unit, by a cable whose plugs fit."
)
_LOOM: Final = "The ways of one cable leave one unit, and its plugs fit all of them."
_BOX: Final = "A DI box stands before a microphone input, with 48 V there if it needs that."
_NAME: Final = "Each unit has a name of its own, and cables join units that are there."
_NEED: Final = "The rig does what is asked of it."

RULES: Final[dict[str, str]] = {
    "role": _ROLE,
    "no-host": _ROLE,
    "bank-missing": _PHANTOM,
    "rate": "Every unit runs at the rate; 44.1 and 48 kHz are different rates.",
    "socket-missing": _SOCKET,
    "socket-taken": _SOCKET,
    "socket-dead": _DEAD,
    "socket-format": "A link is of one format, which both its sockets speak at the rate.",
    "socket-either": "Of sockets that share a receiver or a driver one works at a time.",
    "two-hosts": _AUDIO,
    "clock-audio": "Units of role clock carry no audio.",
    **dict.fromkeys(("channels", "carries-audio", "carries-clock"), _CARRIES),
    "duplex-start": "A cable with audio both ways is listed from the expander to the host.",
    "carries-nothing": "A cable is there for audio, for clock, or for both.",
    **dict.fromkeys(("clock-master", "clock-link", "clock-loop", "clock-none"), _CLOCK),
    **dict.fromkeys(("clock-tree", "clock-hosts"), _TREE),
    "clock-format": "A unit locks to a cable whose format carries clock.",
    **dict.fromkeys(("chain-start", "chain-end", "chain-lock", "piece-extra"), _CHAIN),
    "open-end": _CHAIN,
    "clock-internal": "The clock master has a clock of its own.",
    "clock-kind": "A unit locks to the kinds of socket that its data sheet lists.",
    **dict.fromkeys(("cable-kind", "cable-long", "cable-short"), _CABLE),
    **dict.fromkeys(("input-channel", "input-extra", "input-order", "use", "pair"), _LIST),
    **dict.fromkeys(("source-unknown", "source-places", "source-use"), _LIST),
    **dict.fromkeys(("input-phantom", "source-phantom"), _PHANTOM),
    **dict.fromkeys(("name-twice", "unit-unknown"), _NAME),
    "rate-unknown": "The rate belongs to a class of rates (AES5).",
    **dict.fromkeys(("line-out", "line-in", "line-self", "line-twice", "line-idle"), _LINE),
    **dict.fromkeys(("line-needless", "line-bank", "line-channels"), _LINE),
    **dict.fromkeys(("preamp-linked", "input-path"), _LINE),
    **dict.fromkeys(("piece-units", "piece-differs", "piece-plugs"), _LOOM),
    **dict.fromkeys(("piece-ways", "piece-places", "connector-taken"), _LOOM),
    **dict.fromkeys(("di-missing", "di-phantom"), _BOX),
}
"""All other rules are those of what is asked."""


def rule(found: Finding) -> str:
    """The rule that a finding breaks, as a sentence."""
    return RULES.get(found.rule, _NEED)


def sentence(found: Finding) -> str:
    """What a finding says, with a capital and a full stop.

    A name that it begins with stays as it is.
    """
    return _sentence(findings.says(found), findings.sentence_of(found).says)


def change(found: Finding) -> str:
    """The smallest change, as a sentence."""
    return _sentence(findings.change(found), findings.sentence_of(found).change)


def _sentence(text: str, template: str) -> str:
    """`text`, which `template` was filled in for; a name that it begins with stays as it is.

    A cure is no name, but a verb.
    """
    literal, fact, *_ = next(iter(Formatter().parse(template)))
    start = text[:1].upper() if literal or fact == "cure" else text[:1]
    return f"{start}{text[1:].rstrip('.')}."
