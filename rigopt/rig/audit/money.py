"""Money: what is bought is what is used and not owned, at the catalogue's price.

Without extras, offers and sellers; `check_covered` says so where there are any.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.types import Purchase, Rig


def check_purchases(rig: Rig, catalogue: Catalogue) -> Iterator[Finding]:
    """Rules purchase-unknown, purchase-twice, quantity, price of each line."""
    lines = Counter((line.kind, line.item) for line in rig.purchases)
    for (_, item), count in lines.items():
        if count > 1:
            yield finding(
                "purchase-twice", "{item} is on {count} lines of the purchases",
                "make it one line", item=item, count=count,
            )  # fmt: skip
    for line in rig.purchases:
        found = _listed(line, catalogue)
        if found is None:
            yield finding(
                "purchase-unknown", "the purchase {item} is no {kind} of the catalogue",
                "leave it out", item=line.item, kind=line.kind,
            )  # fmt: skip
        else:
            yield from _check_price(line, found)


def check_units_bought(rig: Rig, needs: Needs) -> Iterator[Finding]:
    """Rules bought, owned: owned units are used first, and the rest is bought."""
    used = Counter(unit.device.id for unit in rig.units)
    flagged = Counter(unit.device.id for unit in rig.units if unit.owned)
    bought: Counter[str] = Counter()
    for line in rig.purchases:
        if line.kind == "device":
            bought[line.item] += line.quantity
    for device in dict.fromkeys([*used, *bought]):
        own = min(used[device], needs.owned.get(device, 0))
        if bought[device] != used[device] - own:
            yield finding(
                "bought", "{bought} of {device} are bought; {used} are used, {own} owned",
                "buy {right}", device=device, bought=bought[device], used=used[device],
                own=own, right=used[device] - own,
            )  # fmt: skip
        if flagged[device] != own:
            yield finding(
                "owned", "{said} of {device} are marked as owned; {own} are",
                "mark {own} as owned", device=device, said=flagged[device], own=own,
            )  # fmt: skip


def check_packs(rig: Rig, needs: Needs) -> Iterator[Finding]:
    """Rules packs-few, packs-many: packs cover what is used, and no pack is too many."""
    used = Counter(link.cable.id for link in rig.links if link.cable is not None)
    lines = [line for line in rig.purchases if line.kind == "cable"]
    pieces = Counter(needs.owned)
    for line in lines:
        pieces[line.item] += line.quantity * line.pack
    for cable, count in used.items():
        if pieces[cable] < count:
            yield finding(
                "packs-few", "{count} pieces of {cable} are used; {pieces} are there",
                "buy more packs of it", cable=cable, count=count, pieces=pieces[cable],
            )  # fmt: skip
    for line in lines:
        if pieces[line.item] - line.pack >= used[line.item]:
            yield finding(
                "packs-many", "{pieces} pieces of {cable} are there; {count} are used",
                "buy a pack less of it", cable=line.item, count=used[line.item],
                pieces=pieces[line.item],
            )  # fmt: skip


def check_total(rig: Rig, needs: Needs) -> Iterator[Finding]:
    """Rules total, budget, avoid."""
    paid = sum(line.quantity * line.unit_price for line in rig.purchases)
    if paid != rig.total:
        yield finding(
            "total", "the total is {stated} minor units; the purchases come to {paid}",
            "state {paid}", stated=rig.total, paid=paid,
        )  # fmt: skip
    if needs.budget is not None and paid > needs.budget:
        yield finding(
            "budget", "the purchases come to {paid} minor units; the budget is {budget}",
            "spend {over} less, or raise the budget", paid=paid, budget=needs.budget,
            over=paid - needs.budget,
        )  # fmt: skip
    for line in rig.purchases:
        if line.item in needs.avoid:
            yield finding(
                "avoid", "{item} is bought, and is to be avoided",
                "use another device, or take {item} off the list", item=line.item,
            )  # fmt: skip


def _listed(line: Purchase, catalogue: Catalogue) -> Device | Cable | None:
    if line.kind == "device":
        return catalogue.devices.get(line.item)
    return catalogue.cables.get(line.item) if line.kind == "cable" else None


def _check_price(line: Purchase, item: Device | Cable) -> Iterator[Finding]:
    pack = item.pack if isinstance(item, Cable) else 1
    if line.quantity < 1:
        yield finding(
            "quantity", "{quantity} packs of {item} are on the list of purchases",
            "leave the line out", item=line.item, quantity=line.quantity,
        )  # fmt: skip
    if item.price is None:
        yield finding(
            "not-for-sale", "{item} is bought, and the catalogue has no price for it",
            "use another, or one that is owned", item=line.item,
        )  # fmt: skip
    elif (line.unit_price, line.pack, line.seller) != (item.price, pack, None):
        yield finding(
            "price", "{item} is bought at {said} minor units for {said_pack};"
            " the catalogue asks {price} for {pack}",
            "put the catalogue's price, pack and seller", item=line.item,
            said=line.unit_price, said_pack=line.pack, price=item.price, pack=pack,
        )  # fmt: skip
