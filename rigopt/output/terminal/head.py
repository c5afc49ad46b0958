"""The first lines of an answer: what was asked, what it costs, how sure that is."""

from __future__ import annotations

from wcwidth import width

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.layout import cut, paragraph
from rigopt.output.words.phrases import INVENTED, count, khz, priced, sources
from rigopt.rig.figures import Figures


def head(answer: Answered, catalogue: Catalogue, needs: Needs, known: Figures) -> str:
    """Title, demand, price and proof, each on lines of its own."""
    lines = [
        question(needs, "The cheapest rig"),
        _line("Total", price(answer, catalogue, known)),
        _line("Proof", proof(answer, catalogue)),
        _line("Size", _size(known)),
    ]
    return "\n".join([*lines, *notes(catalogue)])


def question(needs: Needs, plain: str) -> str:
    """The title of the needs, or the `plain` one, underlined, and what is asked for."""
    lines = cut(needs.title if needs.title.strip() else plain)
    return "\n".join([*lines, "=" * max(map(width, lines)), _line("Asked", asked(needs))])


def notes(catalogue: Catalogue) -> list[str]:
    """What has to be said of the catalogue with every answer."""
    return [_line("Note", INVENTED)] if catalogue.invented else []


def _line(name: str, text: str) -> str:
    return paragraph(text, f"{name}:".ljust(8))


def asked(needs: Needs) -> str:
    """Rate, sources and outputs that were asked for."""
    kinds = (("mic", needs.mic), ("line", needs.line), ("instrument", needs.instrument))
    wanted = [sources(number, kind) + _powered(needs, kind) for kind, number in kinds if number]
    if needs.out_line:
        wanted.append(count(needs.out_line, "line output"))
    if needs.out_phones:
        wanted.append(count(needs.out_phones, "headphone output"))
    return f"{khz(needs.rate_hz)} kHz, {', '.join(wanted) or 'no source'}"


def _powered(needs: Needs, kind: str) -> str:
    parts = [
        text
        for number, text in (
            (needs.phantom, f"{needs.phantom} with 48 V"),
            (needs.no_phantom, f"{needs.no_phantom} kept off 48 V"),
        )
        if number
    ]
    return f" ({', '.join(parts)})" if kind == "mic" and parts else ""


def price(answer: Answered, catalogue: Catalogue, known: Figures) -> str:
    """The total, and what each input that takes a microphone comes to."""
    text = priced(answer.rig.total, catalogue)
    if known.price_per_mic is not None:
        able = sum("mic" in item.accepts for item in answer.rig.inputs)
        each = priced(known.price_per_mic, catalogue)
        text += f"; {each} for each of {count(able, 'microphone input')}"
    return text


def proof(answer: Answered, catalogue: Catalogue) -> str:
    """How sure it is that nothing costs less."""
    if answer.proven:
        return "complete; no rig from this catalogue costs less."
    if answer.bound == answer.rig.total:
        return (
            "none yet; no rig costs less, but one with fewer units or cables for the same "
            "money may be left."
        )
    gap = priced(answer.rig.total - answer.bound, catalogue)
    least = priced(answer.bound, catalogue)
    return (
        f"none yet; this is the best found in the time. No rig costs less than {least}, "
        f"so at most {gap} could still be saved."
    )


def _size(known: Figures) -> str:
    parts = [count(known.units, "unit"), count(known.links, "digital cable")]
    if known.rack_units:
        parts.append(f"{known.rack_units} U of rack")
    if known.mains:
        parts.append(count(known.mains, "mains plug"))
    if known.watts:
        parts.append(f"{known.watts.normalize():f} W")
    return ", ".join(parts)
