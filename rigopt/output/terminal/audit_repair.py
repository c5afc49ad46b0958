"""A repair as text: what to buy, plug, move, take off and set. Nothing else changes."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import examine
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.wiring import clock_setting
from rigopt.output.words.phrases import INVENTED, count, khz, listed, priced, runs
from rigopt.output.words.repair import reasons
from rigopt.rig.types import Link, Unit
from rigopt.rig.wired import WiredRig


def repair_text(before: WiredRig, repair: Repaired | NoRepair, catalogue: Catalogue) -> str:
    """The heading and the steps, or the reasons why there are none."""
    if isinstance(repair, NoRepair):
        lines = ["NO REPAIR THAT KEEPS THE UNITS", "No such repair was found, because:"]
        return "\n".join([*lines, *(paragraph(reason, "- ") for reason in reasons(repair))])
    cost = priced(repair.money, catalogue) if repair.money else "nothing to buy"
    lines = [f"REPAIR: {cost}", *_steps(before, repair, catalogue)]
    if not repair.proven:
        lines.append(paragraph("The time was short: a cheaper repair may exist."))
    if repair.money and catalogue.invented:
        lines.append(paragraph(INVENTED))
    return "\n".join(lines)


def steps(before: WiredRig, repair: Repaired) -> list[tuple[str, str]]:
    """Every step as a verb and what to do, in the order in which to do it.

    A piece that gives way to another between the same sockets is replaced.
    """
    old = {_route(link): link for link in repair.removed}
    new = {_route(link): link for link in repair.added}
    return [
        *(("Take off", _cable(x)) for x in repair.removed if _route(x) not in new),
        *(("Move", f"{_cable(m.before)}; to {_link(m.after)}") for m in repair.moved),
        *(
            ("Replace", f"{_cable(old[_route(x)])}, by {_piece(x)}")
            for x in repair.added
            if _route(x) in old
        ),
        *(("Add", f"{_link(x)}: {_piece(x)}") for x in repair.added if _route(x) not in old),
        *_settings(before, repair.rig),
        *_seats(before, repair.rig),
    ]


def _steps(before: WiredRig, repair: Repaired, catalogue: Catalogue) -> list[str]:
    todo = [*_buy(repair, catalogue), *steps(before, repair)]
    if not todo:
        return [paragraph("Plug and set nothing: only what the file says has to change.")]
    return [paragraph(text, f"{verb}:".ljust(10)) for verb, text in todo]


def _buy(repair: Repaired, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """What to buy; then what each order comes to."""
    currencies = {order.seller: order.currency for order in repair.orders}
    for line in repair.purchases:
        currency = currencies.get(line.seller or "", catalogue.currency)
        said = [f"pack of {line.pack}"] if line.pack > 1 else []
        said += [line.note] if line.note else []
        yield (
            "Buy",
            f"{line.quantity} x {line.label or line.item}"
            f"{_brackets(said)}"
            f"{f' from {line.seller}' if line.seller else ''}, "
            f"{to_text(line.total, currency)} {currency}",
        )
    for order in repair.orders:
        parts = [("delivery", order.delivery), ("tax", order.tax)]
        more = [f"{name} {to_text(sum_, order.currency)}" for name, sum_ in parts if sum_]
        yield (
            "Order",
            f"{order.seller}, {', '.join([*more, 'in all'])} {priced(order.total, catalogue)}",
        )


def _brackets(said: list[str]) -> str:
    return f" ({', '.join(said)})" if said else ""


def _settings(before: WiredRig, after: WiredRig) -> Iterator[tuple[str, str]]:
    if before.rate_hz != after.rate_hz:
        yield "Set", f"every unit to {khz(after.rate_hz)} kHz"
    for old, new in zip(before.units, after.units, strict=True):
        if old.role != new.role:
            yield "Set", f"{new.name} up as {new.role}"
        if (old.clock.source, old.clock.socket) != (new.clock.source, new.clock.socket):
            yield "Set", f"the clock of {new.name}: {clock_setting(new)}"
        yield from _banks(old, new)


def _banks(old: Unit, new: Unit) -> Iterator[tuple[str, str]]:
    was, is_on = set(old.phantom_banks_on), set(new.phantom_banks_on)
    for state, banks in (("off", was - is_on), ("on", is_on - was)):
        if banks:
            noun = "bank" if len(banks) == 1 else "banks"
            yield "Switch", f"48 V {state} on {noun} {runs(banks)} of {new.name}"


def _seats(before: WiredRig, after: WiredRig) -> Iterator[tuple[str, str]]:
    """Named sources that have to be plugged in elsewhere than they were."""
    was = {
        item.source: (item.unit, item.channel)
        for item in examine(before, None).inputs
        if item.source is not None
    }
    for seat in after.seats:
        if seat.source is not None and was.get(seat.source) != (seat.unit, seat.channel):
            yield "Plug", f"{seat.source} into channel {seat.channel} of {seat.unit}"


def _cable(link: Link) -> str:
    """A cable that is there: where it is, and which piece, if that is known."""
    return f"{_route(link)}: {_piece(link)}" if link.cable else _route(link)


def _link(link: Link) -> str:
    """Where a cable goes, and what for."""
    loads = [
        *([count(link.channels, "channel")] if "audio" in link.carries else []),
        *(["clock"] if "clock" in link.carries else []),
    ]
    return f"{_route(link)}, for {listed(loads)}"


def _piece(link: Link) -> str:
    return (link.cable.label or link.cable.id) if link.cable else "the same"


def _route(link: Link) -> str:
    return (
        f"{link.kind} {link.from_unit} out {link.from_socket}"
        f" -> {link.to_unit} in {link.to_socket}"
    )
