"""A question as people ask it, in the trade's words: '24 mics at 48k, 8 condensers'.

It is read from left to right, phrase by phrase, each time the longest that is there. What is
no phrase is a fault, and so is what could mean two things: nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final, NamedTuple

from rigopt.catalogue.types import Catalogue
from rigopt.files.faults import Gathered, nearest
from rigopt.files.values import BadValueError, digits, tidy
from rigopt.needs.overrides import read_value
from rigopt.needs.table import ROWS
from rigopt.needs.types import Question
from rigopt.needs.words import AMONG, ANY_48_V, JOINS, MORE, NUMBERS, PATTERNS, VOCABULARY

KINDS: Final = ("phantom", "no_phantom", ANY_48_V)
"""Parts of all microphones."""

_WORD: Final = re.compile(r"(?:[^\s,;]|(?<=\d)[,;](?=\d))+")
_THEN: Final = re.compile(r"[\s,;]*\bthen\b[\s,;]*")


class _Said(NamedTuple):
    """One phrase: the need, its value as typed, its words, and what stands before them."""

    need: str
    value: object
    words: str
    joined: str


def read_question(question: Question, catalogue: Catalogue, faults: Gathered) -> dict[str, Any]:
    """What is asked, by the field names of `Needs`, as a needs file would say it."""
    try:
        text = digits(tidy(question.text)).casefold().rstrip(" .?!")
    except BadValueError as fault:
        faults.bad(fault, value=question.text)
        return {}
    if not text:
        faults.add("asks nothing; say what you need, such as '16 mics'")
        return {}
    parts = _THEN.split(text) if question.staged else [text]
    found: dict[str, Any] = {}
    stages = []
    for part in parts:
        said = _needs(list(_phrases(part, faults)), catalogue, faults)
        limit = said.pop("budget", None) if len(parts) > 1 else None
        found = {**found, **said}
        outlay = {} if limit is None else {"outlay": limit}
        stage = {**_with_all(found, faults), **outlay}
        stages.append(stage)
    return {"stages": stages} if len(parts) > 1 else stage


def _phrases(text: str, faults: Gathered) -> Iterator[_Said]:
    """The phrases in order; words that belong to none are noted."""
    at, unknown, joined = 0, "", ""
    while at < len(text):
        found = [(phrase, m) for phrase, p in PATTERNS if (m := p.match(text, at))]
        if found:
            phrase, match = max(found, key=lambda pair: pair[1].end())
            _note(unknown, text, faults)
            value = phrase.value if phrase.value is not None else match["v"]
            yield _Said(phrase.need, value, match[0], joined)
            at, unknown, joined = match.end(), "", ""
        elif join := JOINS.match(text, at):
            if join[0].strip():
                _note(unknown, text, faults)
                unknown = ""
            joined += join[0]
            at = join.end()
        else:
            word = _WORD.match(text, at)
            assert word, "what is no space, comma or semicolon is a word"
            unknown = f"{unknown} {word[0]}".strip()
            at = word.end()
    _note(unknown, text, faults)


def _note(unknown: str, text: str, faults: Gathered) -> None:
    """Note words that are not understood, with what may have been meant."""
    if not unknown:
        return
    problem = "is not understood"
    if unknown == text and " " not in text:
        problem += "; a file of needs ends in .toml, and there is none of this name"
    faults.add(problem, value=unknown, allowed=_meant(unknown))


def _meant(words: str) -> list[str]:
    """What is near to words that are not understood, if anything is: a limit that does not say
    so, or another last word."""
    limit = f"at most {words}"
    if any(pattern.fullmatch(limit) for _, pattern in PATTERNS):
        return [limit]
    last = words.rpartition(" ")[2]
    found = nearest(last, VOCABULARY)
    return [found] if found and found != last else []


def _needs(phrases: list[_Said], catalogue: Catalogue, faults: Gathered) -> dict[str, Any]:
    """The values of the phrases by need; what cannot be read or meant is noted."""
    found: dict[str, Any] = {}
    ports: list[object] = []
    for said in phrases:
        if problem := _two_meanings(said, found):
            faults.add(problem, value=said.words)
        elif said.need == "ports":
            ports.append(said.value)
        elif said.need in found:
            faults.add("is said twice", value=said.words)
        else:
            found[said.need] = _read(said, catalogue, faults)
    if ports:
        words = " ".join(map(str, ports))
        found["ports"] = _read(_Said("ports", ports, words, ""), catalogue, faults)
    return found


def _two_meanings(said: _Said, before: Mapping[str, Any]) -> str:
    """Why a phrase about microphone inputs could mean two things; '' if it cannot."""
    kinds = [kind for kind in KINDS if kind in before]
    if said.need in KINDS and "mic" in before and not kinds and MORE.search(said.joined):
        return (
            "could be some of the microphones before it or more of them; say "
            f"'of which {said.words}', or one number of microphones for all"
        )
    if said.need == "mic" and kinds and not said.words.endswith(("all", "total", "altogether")):
        return (
            "could be all microphones or others than those before it; say "
            f"'{said.words} in all', or put it first"
        )
    if said.need == "spare" and AMONG.search(said.joined):
        return (
            "could be some of the inputs before it or more of them; say how many microphones "
            f"there are, 'and {said.words}'"
        )
    return ""


def _read(said: _Said, catalogue: Catalogue, faults: Gathered) -> Any:
    row = ROWS["mic" if said.need == ANY_48_V else said.need]
    value = said.value
    if row.kind in ("count", "reach", "limit"):
        value = NUMBERS.get(str(value).replace(" ", "-"), value)
    elif row.kind == "money":
        value = re.sub("euros?$", "EUR", str(value)).upper()
    return read_value(row, value, said.words, catalogue, faults)


def _with_all(found: Mapping[str, Any], faults: Gathered) -> dict[str, Any]:
    """The needs, with all microphones counted where only their kinds are."""
    parts = [number for kind in KINDS if (number := found.get(kind)) is not None]
    said = {need: value for need, value in found.items() if need != ANY_48_V}
    if not parts:
        return said
    if found.get(ANY_48_V) and sum(parts) > (found.get("mic") or sum(parts)):
        problem = (
            f"all kinds together are {sum(parts)}, more than all {found['mic']} microphones"
        )
        faults.add(problem)
    return {"mic": sum(parts), **said}
