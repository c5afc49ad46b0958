"""What was asked, what it costs, and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from rigopt.answers.outcome import Answered, Opinion
from rigopt.catalogue.ends import has_ranges
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs
from rigopt.output.words.needs import noun
from rigopt.output.words.phrases import between, count, khz, listed, plain, priced, sources
from rigopt.rig.figures import Figures

TITLE: Final = "The cheapest rig"
SAFEST: Final = "The rig with the least regret"
"""Where prices are ranges, and it is not the cheapest whatever they are."""


def heading(answer: Answered) -> str:
    """What an answer is called where the needs have no title."""
    if answer.alternative:
        return f"Alternative {answer.alternative.number}"
    return SAFEST if answer.regret and answer.regret.most else TITLE


def chosen(answer: Answered, catalogue: Catalogue) -> str:
    """Which alternative it is, and how it differs from the cheapest; '' for the cheapest."""
    if answer.alternative is None:
        return ""
    differs = answer.alternative.difference
    money, more = differs.money, "as dear as"
    if money:
        # At upper ends it may cost less than the rig with the least regret.
        than = "more than" if money > 0 else "less than"
        more = f"{priced(abs(money), catalogue)} {than}"
    parts = [
        f"{word} {listed([f'{number} {item}' for item, number in devices])}"
        for word, devices in (("with", differs.more), ("without", differs.less))
        if devices
    ]
    return (
        f"alternative {answer.alternative.number}, {more} {_first(catalogue)}: "
        f"{', '.join(parts)}."
    )


def _first(catalogue: Catalogue) -> str:
    """The rig beside which alternatives are."""
    return "the rig with the least regret" if has_ranges(catalogue) else "the cheapest rig"


def titled(needs: Needs, otherwise: str) -> str:
    """The title of the needs, or what else it is called."""
    return needs.title if needs.title.strip() else otherwise


def asked(needs: Needs, currency: str, fewest: int | None = None) -> str:
    """Every need that is not at its default: rate and sources, outputs, then all others.

    `currency` is the catalogue's. `fewest`: asked for from so many microphones up.
    """
    wanted = [_microphones(needs, fewest or needs.mic)] if needs.mic else []
    kinds = (("line", needs.line), ("instrument", needs.instrument))
    wanted += [sources(number, kind) for kind, number in kinds if number]
    if needs.out_line:
        wanted.append(count(needs.out_line, "line output"))
    if needs.out_phones:
        wanted.append(count(needs.out_phones, "headphone output"))
    wanted = wanted or ["no source"]
    said = "; ".join([", ".join(wanted), *_besides(needs, currency)])
    return f"{khz(needs.rate_hz)} kHz, {said}"


_TOLD: Final = frozenset(
    ("rate_hz", "mic", "phantom", "no_phantom", "line", "instrument", "out_line", "out_phones")
)
"""Needs that are said first, in words of their own."""


def _besides(needs: Needs, currency: str) -> Iterator[str]:
    """Needs that say how the rest is to be met, as far as they are not at their defaults."""
    usual = Needs()
    for row in TABLE:
        if row.name in _TOLD:
            continue
        if row.kind == "pairs":
            if pairs := len({source.pair for source in needs.sources if source.pair}):
                yield noun(row.name, pairs, currency)
        elif (value := getattr(needs, row.name)) != getattr(usual, row.name):
            named = _NAMED.get(row.name)
            yield named(needs, currency) if named else noun(row.name, value, currency)


def _owned(needs: Needs, currency: str) -> str:
    """What is owned, and what it is sold for."""
    parts = []
    for item, pieces in needs.owned.items():
        price = needs.resale.get(item)
        more = "" if price is None else f" (sold at {to_text(price, currency)} if not used)"
        parts.append(f"{pieces} {item}{more}")
    return f"owned: {listed(parts)}"


_NAMED: Final[dict[str, Callable[[Needs, str], str]]] = {
    "owned": _owned,
    "exchange": lambda needs, currency: listed(
        [f"1 {currency} buys {rate} {code}" for code, rate in needs.exchange.items()]
    ),
}
"""Needs that are names with numbers."""


def _microphones(needs: Needs, fewest: int) -> str:
    text = f"{fewest} to " if fewest < needs.mic else ""
    text += sources(needs.mic, "mic")
    wishes = ((needs.phantom, "with 48 V"), (needs.no_phantom, "kept off 48 V"))
    said = ", ".join(f"{number} {wish}" for number, wish in wishes if number)
    return f"{text} ({said})" if said else text


def price(answer: Answered, catalogue: Catalogue, known: Figures) -> str:
    """The total, and what each input that takes a microphone comes to, if that is anything."""
    rig, each = answer.rig, known.price_per_mic
    text = f"{between(rig.total_from, rig.total, catalogue.currency)} {catalogue.currency}"
    if unknown := sorted(line.item for line in rig.purchases if not line.known):
        return f"{text} and the price of {listed(unknown)}"
    # Where more is sold than bought, there is no price of an input.
    if each is not None and each > 0:
        able = sum("mic" in item.accepts for item in rig.inputs)
        most = "up to " if rig.total_from < rig.total else ""
        text += (
            f"; {most}{priced(each, catalogue)} for each of {count(able, 'microphone input')}"
        )
    return text


SECOND: Final[dict[Opinion, str]] = {
    "agrees": "solver of another kind agrees.",
    "disagrees": "solver of another kind disagrees: please report it, with these files.",
    "no opinion": "solver of another kind came to no opinion in the time.",
}
"""What a second opinion says, after 'a'."""


def heard(text: str, second: Opinion | None) -> str:
    """`text`, and the second opinion where there is one."""
    return text if second is None else f"{text} A {SECOND[second]}"


def proof(answer: Answered, catalogue: Catalogue) -> str:
    """How sure it is that nothing costs less."""
    bought = bool(answer.rig.purchases)
    text = _proof(answer, catalogue) + (filled_up(catalogue) if bought else "")
    return heard(text, answer.second)


def filled_up(catalogue: Catalogue) -> str:
    """A sentence more where something may be bought only to get free delivery.

    What is not at the rate, or too short for every run, is never among that; what no other
    box has a socket for may be.
    """
    sellers = catalogue.sellers.values()
    limited = any(one.delivery and one.free_over for one in sellers)
    return (
        " Orders are filled up only with what suits the rate and the runs." if limited else ""
    )


def _proof(answer: Answered, catalogue: Catalogue) -> str:
    if answer.regret is not None:
        # Here and not above, so that a plain answer does not wait for it.
        from rigopt.output.words.regret import regret_proof  # noqa: PLC0415

        return regret_proof(answer.proven, answer.regret, catalogue.currency)
    if answer.alternative is not None:
        return _place(answer.alternative.number, catalogue)
    if answer.proven:
        return "complete; no rig of this catalogue costs less."
    if answer.bound == answer.rig.total:
        return (
            "none yet; no rig of this catalogue costs less, but one with fewer units or cables "
            "for the same money may be left."
        )
    gap = priced(answer.rig.total - answer.bound, catalogue)
    least = priced(answer.bound, catalogue)
    return (
        f"none yet; this is the best found in the time. No rig of this catalogue costs less "
        f"than {least}, so at most {gap} could still be saved."
    )


def _place(number: int, catalogue: Catalogue) -> str:
    others = f" and {count(number - 1, 'other alternative')}" if number > 1 else ""
    before = f"{'come' if others else 'comes'} before it"
    if has_ranges(catalogue):
        before = "may cost less at these prices"
    return (
        f"complete; only {_first(catalogue)}{others} {before}. A mix of devices that only adds "
        "to a cheaper one is left out."
    )


def cables(digital: int, analogue: int) -> str:
    """'3 digital cables', and the pieces of analogue cable if there are any."""
    leads = f", {count(analogue, 'analogue cable')}" if analogue else ""
    return count(digital, "digital cable") + leads


def size(known: Figures) -> str:
    """Units, cables, height, plugs and power, as far as there are any."""
    parts = [count(known.units, "unit"), cables(known.links, known.leads)]
    if known.rack_units:
        parts.append(f"{known.rack_units} U of rack")
    if known.mains:
        parts.append(count(known.mains, "mains plug"))
    if known.watts:
        parts.append(f"{plain(known.watts)} W")
    return ", ".join(parts)
