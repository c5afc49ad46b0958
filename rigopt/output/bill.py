"""What has to be bought, as text, with the total under the amounts."""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.layout import paragraph, table
from rigopt.rig.figures import Figures
from rigopt.rig.types import Purchase, Rig


def fees(rig: Rig) -> int:
    """Delivery and tax: what the total holds beyond the goods, in minor units."""
    return rig.total - sum(line.total for line in rig.purchases)


def bill_table(rig: Rig, catalogue: Catalogue) -> str:
    """Quantity, item, unit price and line total; sellers only where one is named."""
    if not rig.purchases and not rig.total:
        return "Nothing: everything in this rig is owned."
    sold = any(line.seller for line in rig.purchases)
    headers = ["Qty", "Item", "From", "Unit price", f"Total {catalogue.currency}"]
    rows = [_row(line, catalogue.currency) for line in rig.purchases]
    if fees(rig):
        rows.append(["", "Delivery and tax", "", "", to_text(fees(rig), catalogue.currency)])
    rows += [[], ["", "Total", "", "", to_text(rig.total, catalogue.currency)]]
    if not sold:
        headers, rows = _without_seller(headers), [_without_seller(row) for row in rows]
    return table(headers, rows, "Item|From", right=f"Qty|Unit price|{headers[-1]}")


def cable_lines(known: Figures, catalogue: Catalogue) -> list[str]:
    """Which cables come from what is owned, and what is left over from packs."""
    owned = [(cable.cable, cable.from_owned) for cable in known.cables if cable.from_owned]
    spare = [(cable.cable, cable.spare) for cable in known.cables if cable.spare]
    said = (("Owned and in use", owned), ("Left over from packs", spare))
    return [
        paragraph(f"{name}: {', '.join(_piece(*item, catalogue) for item in items)}.")
        for name, items in said
        if items
    ]


def remarks(line: Purchase) -> list[str]:
    """What a buyer must know beyond the label."""
    pack = [f"pack of {line.pack}"] if line.pack > 1 else []
    return [*pack, *([line.note] if line.note else [])]


def _piece(cable: str, number: int, catalogue: Catalogue) -> str:
    return f"{number} of {catalogue.cables[cable].label or cable}"


def _row(line: Purchase, currency: str) -> list[str]:
    item = line.label or line.item
    if said := remarks(line):
        item += f" ({', '.join(said)})"
    return [
        str(line.quantity),
        item,
        line.seller or "",
        to_text(line.unit_price, currency),
        to_text(line.total, currency),
    ]


def _without_seller(row: list[str]) -> list[str]:
    return [*row[:2], *row[3:]]
