"""The rows of the page's tables, as texts; the template sets them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.facts.bill import baskets, paid
from rigopt.output.words.answer import cables
from rigopt.output.words.bill import line_total, remarks, unit_price
from rigopt.output.words.phrases import amount, between, count, entry, plain, priced, tenth
from rigopt.output.words.wiring import banks, clock_setting, clockless
from rigopt.rig.figures import Figures
from rigopt.rig.types import Order, Purchase, Rig, Sale

Row = tuple[str, ...]

HEARD_LATE: Final = (
    "what you hear of yourself through the computer, by two buffers and what converters take"
)
"""What buffers mean to a player: one is filled on the way in, and one on the way out."""


@dataclass(frozen=True, slots=True)
class Bill:
    """What to buy. A line is quantity, item, remark, seller, unit price and total."""

    lines: tuple[Row, ...]
    sold: bool
    """Whether any seller has a name."""
    fees: tuple[tuple[str, str], ...]
    """What each order adds, and how much: delivery and tax, or all of it if the goods are
    in another currency."""
    sales: tuple[Row, ...]
    """What to sell: quantity, item, unit price and total, which comes off."""
    total: str


def bill(rig: Rig, catalogue: Catalogue) -> Bill:
    """The purchases and sales with their total."""
    currency = catalogue.currency
    return Bill(
        tuple(
            _line(line, basket.currency, currency)
            for basket in baskets(rig, currency)
            for line in basket.lines
        ),
        any(line.seller for line in rig.purchases),
        tuple(row for order in rig.orders if (row := _fees(order, currency))),
        tuple(_sale(line, currency) for line in rig.to_sell),
        between(rig.total_from, rig.total, currency),
    )


def _fees(order: Order, currency: str) -> tuple[str, str] | None:
    if order.currency != currency:
        whole = amount(paid(order), order.currency)
        return f"{order.seller}: {whole} with delivery and tax", to_text(order.total, currency)
    if order.total == order.goods:
        return None
    name = f"{order.seller}: delivery and tax"
    return name, to_text(order.total - order.goods, currency)


def setting_rows(rig: Rig) -> list[Row]:
    """Unit, device, clock setting, and the banks of 48 V to turn on, where there are any."""
    return [
        (
            unit.name,
            entry(unit.device.id, unit.device.label),
            "–" if clockless(unit) else clock_setting(unit),
            banks(unit),
        )
        for unit in rig.units
        if not clockless(unit) or unit.device.bank_channels
    ]


def figure_rows(known: Figures, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Every derived figure that says something of this rig: its name, and what it is."""
    rows = [
        (
            "Inputs",
            f"{known.inputs} reach the computer: {known.used} in use, {known.spare} spare",
        ),
        ("Price of a microphone input", _each(known, catalogue)),
        ("Line outputs fed", str(known.line_fed)),
        ("Headphone outputs", str(known.phones)),
        (
            "Boxes and cables",
            f"{count(known.units, 'unit')}, {cables(known.links, known.leads)}",
        ),
        ("Clock", f"{count(known.clock_hops, 'cable')} from the master to the farthest unit"),
        (
            "Rack",
            f"{known.rack_units} U, {plain(known.rack_mm)} mm" if known.rack_units else "",
        ),
        ("Power", f"{plain(known.watts)} W, {count(known.mains, 'mains plug')}"),
        ("48 V", _phantom(known)),
        (
            "Recording, 24 bit",
            f"{tenth(known.recording_gb_hour_used)} GB an hour for the inputs in use, "
            f"{tenth(known.recording_gb_hour_all)} GB for all",
        ),
        ("One buffer", ", ".join(f"{d.samples} samples {d.ms} ms" for d in known.delays)),
        ("Heard late", HEARD_LATE),
    ]
    return [(name, text) for name, text in rows if text]


def _line(line: Purchase, paid_in: str, currency: str) -> Row:
    code = "" if paid_in == currency else f" {paid_in}"
    return (
        str(line.quantity),
        entry(line.item, line.label),
        ", ".join(remarks(line)),
        line.seller or "",
        unit_price(line, paid_in) + code,
        line_total(line, paid_in) + code,
    )


def _sale(line: Sale, currency: str) -> Row:
    return (
        str(line.quantity),
        entry(line.item, line.label),
        to_text(line.unit_price, currency),
        to_text(-line.total, currency),
    )


def _each(known: Figures, catalogue: Catalogue) -> str:
    each = known.price_per_mic
    return "" if each is None or each < 0 else priced(each, catalogue)


def _phantom(known: Figures) -> str:
    if not known.phantom_channels:
        return ""
    return (
        f"{count(known.phantom_channels, 'channel')} switched on: "
        f"at most {known.phantom_ma} mA, {plain(known.phantom_watts)} W"
    )
