"""The first lines of an answer: its title, what was asked, what it costs, how sure that is."""

from __future__ import annotations

from wcwidth import width

from rigopt.answers.outcome import Answered
from rigopt.catalogue.ends import has_ranges
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.layout import cut, paragraph
from rigopt.output.words.answer import asked, chosen, heading, price, proof, size, titled
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.regret import UPPER_ENDS
from rigopt.rig.figures import Figures


def head(answer: Answered, catalogue: Catalogue, needs: Needs, known: Figures) -> str:
    """Title, demand, price and proof, each on lines of its own."""
    lines = [
        question(needs, heading(answer), catalogue.currency),
        *([line("Choice", said)] if (said := chosen(answer, catalogue)) else []),
        line("Total", price(answer, catalogue, known)),
        line("Proof", proof(answer, catalogue)),
        line("Size", size(known)),
    ]
    ranges = range_notes(catalogue) if answer.regret is None else []
    return "\n".join([*lines, *notes(catalogue), *ranges])


def question(needs: Needs, otherwise: str, currency: str) -> str:
    """The title of the needs, or what else it is called, and what is asked for."""
    return "\n".join([title(titled(needs, otherwise)), line("Asked", asked(needs, currency))])


def title(text: str) -> str:
    """A title, underlined."""
    lines = cut(text)
    return "\n".join([*lines, "=" * max(map(width, lines))])


def line(name: str, text: str) -> str:
    """A name in a column of its own, and what is to be said to it."""
    return paragraph(text, f"{name}:".ljust(8))


def notes(catalogue: Catalogue) -> list[str]:
    """What has to be said of the catalogue with every answer."""
    return [line("Note", INVENTED)] if catalogue.invented else []


def range_notes(catalogue: Catalogue) -> list[str]:
    """What has to be said besides where ranges count at their upper ends."""
    return [line("Note", UPPER_ENDS)] if has_ranges(catalogue) else []
