"""A catalogue folder, read whole: every fault of its files is found before any is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Final, TypeVar

from rigopt import facts
from rigopt.catalogue import rules
from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.currencies import CODES, currency_code
from rigopt.catalogue.folder import (
    CABLES,
    DEVICES,
    EXTRAS,
    FORMATS,
    OFFERS,
    SELLERS,
    SOURCES,
    CurrencyOf,
    Folder,
    Table,
    is_workbook,
)
from rigopt.catalogue.rows import (
    CableRow,
    DeviceRow,
    ExtraRow,
    FormatRow,
    OfferRow,
    SellerRow,
    SourceRow,
)
from rigopt.catalogue.sources import source_lines
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer, Seller
from rigopt.errors import Fault, InputError
from rigopt.facts import Format
from rigopt.files.faults import Gathered
from rigopt.files.style import PLAIN, Style, style_of
from rigopt.files.text import place
from rigopt.files.values import BadValueError, escaped, label, listed, shown, tidy

UNKNOWN_PRICE: Final = (
    "nobody knows what it costs; 'rigopt prices' says which prices are worth looking up"
)

R = TypeVar("R", DeviceRow, CableRow, ExtraRow)

_HEAD: Final[dict[str, Callable[[object], str]]] = {
    "title": label,
    "currency": currency_code,
    "note": tidy,
}


def check_for_sale(folder: Path, catalogue: Catalogue, owned: Mapping[str, int]) -> None:
    """Refuse a catalogue of `folder` with which nobody can have a single device.

    Raises:
        InputError: When no device in it is for sale, and none is owned.
    """
    offered = {offer.item for offer in catalogue.offers}
    for device in catalogue.devices.values():
        if device.id in catalogue.unknown:
            return
        if device.price is not None or device.id in offered or owned.get(device.id):
            return
    sheets = is_workbook(folder)
    file = f"{place(folder)}, sheet devices" if sheets else place(folder / DEVICES)
    what = "sheet devices" if sheets else DEVICES
    problem = f"no device in {what} has a price; fill in the price column of {file}"
    raise InputError([Fault(file, problem, column="price")])


def opened(path: Path) -> Folder:
    """The files of a catalogue: in a folder, or the sheets of a workbook."""
    if not is_workbook(path):
        return Folder(path)
    # Here and not above: a folder does not wait for what only a workbook needs.
    from rigopt.catalogue.workbook import Workbook  # noqa: PLC0415

    return Workbook(path)


def style(path: Path) -> Style:
    """How the tables of a catalogue are written; a workbook says nothing of that."""
    if is_workbook(path):
        return PLAIN
    columns = COLUMNS[Path(DEVICES).stem]
    numbers = [column.name for column in columns if column.form in ("number", "money")]
    return style_of(path / DEVICES, [column.name for column in columns], numbers)


def read_folder(folder: Path, *, invented: bool = False, empty: bool = False) -> Catalogue:
    """The catalogue in `folder`, which may be a template without a single price.

    With `empty` it may be without a single device, too. A workbook is read as a folder with a
    file for each sheet.

    Raises:
        InputError: When anything is wrong with the folder or its files; it holds every
            fault found.
    """
    files = opened(folder)
    head = _read_head(files)
    currency = head.get("currency")
    formats = _formats(files)
    devices = _devices(files, formats, lambda _: currency, empty)
    cables = _cables(files, formats, lambda _: currency)
    extras = _extras(files, lambda _: currency)
    sellers = _sellers(files, currency)
    offers = _offers(files, sellers, currency)
    listed = files.table(SOURCES, SourceRow, lambda _: None)
    sources = source_lines(listed.rows, listed.faults)
    files.finish()
    folder_name = escaped(folder.resolve().name)
    return Catalogue(
        name=folder_name,
        title=head.get("title") or folder_name,
        currency=head["currency"],
        devices=devices,
        cables=cables,
        extras=extras,
        offers=offers,
        sellers=sellers,
        formats=formats,
        sources=sources,
        note=head.get("note", ""),
        invented=invented,
        unknown=files.unknown,
    )


def _read_head(files: Folder) -> dict[str, str]:
    """Title, currency and note of `catalog.toml`; those in error are left out."""
    faults, raw = files.head()
    head: dict[str, str] = {}
    if raw is not None and "currency" not in raw:
        faults.add("this is missing; give an ISO 4217 code", column="currency")
    for key, value in (raw or {}).items():
        if key not in _HEAD:
            column = escaped(shown(key))
            faults.add("there is no such key", column=column, value=key, allowed=_HEAD)
            continue
        try:
            head[key] = _HEAD[key](value)
        except BadValueError as fault:
            faults.bad(fault, column=key, value=value)
    return head


def _formats(files: Folder) -> dict[str, Format]:
    """The program's own formats, and the trunks of `formats.csv`."""
    table = files.table(FORMATS, FormatRow, lambda _: None)
    formats = dict(facts.FORMATS)
    for number, row in table.rows:
        taken = {name: found.cable for name, found in formats.items()}
        if _sound(table.faults, number, rules.trunk_problems(row, taken)):
            formats[row.id] = rules.trunk(row)
    return formats


def _sound(faults: Gathered, number: int, problems: Iterable[rules.Problem]) -> bool:
    """Note the problems of a row; whether there is none."""
    found = list(problems)
    for column, value, problem in found:
        faults.add(problem, row=number, column=column, value=value)
    return not found


def _devices(
    files: Folder, formats: Mapping[str, Format], currency_of: CurrencyOf, empty: bool
) -> dict[str, Device]:
    table = files.table(DEVICES, DeviceRow, currency_of)
    trunks = {name: row for name, row in formats.items() if row.socket == "trunk"}
    devices = {
        row.id: rules.device(row, trunks)
        for number, row in _priced(files, table)
        if _sound(table.faults, number, rules.problems(row, trunks))
    }
    if files.has(DEVICES) and not (devices or empty or table.faults):
        table.faults.add("there is no device in it; each takes a row under the header")
    return devices


def _cables(
    files: Folder, formats: Mapping[str, Format], currency_of: CurrencyOf
) -> dict[str, Cable]:
    table = files.table(CABLES, CableRow, currency_of)
    cables = {}
    plain = (facts.TEE, facts.TERMINATOR)
    kinds = list(dict.fromkeys([*(row.cable for row in formats.values()), *plain]))
    for number, row in _priced(files, table):
        if row.kind not in kinds:
            problem = "must be " + listed(kinds)
            table.faults.add(problem, row=number, column="kind", value=row.kind, allowed=kinds)
        else:
            _sound(table.faults, number, rules.cable_problems(row))
        price, least = rules.ends(row.price)
        cables[row.id] = Cable(
            row.id,
            row.label or row.id,
            row.kind,
            row.length_m or 0,
            price,
            row.pack,
            row.ends,
            rules.ways(row),
            least,
        )
    return cables


def _extras(files: Folder, currency_of: CurrencyOf) -> dict[str, Extra]:
    rows = _priced(files, files.table(EXTRAS, ExtraRow, currency_of))
    found = {}
    for _, row in rows:
        price, least = rules.ends(row.price)
        label = row.label or row.id
        found[row.id] = Extra(row.id, label, row.per, price, row.pack, row.each, least)
    return found


def _priced(files: Folder, table: Table[R]) -> list[tuple[int, R]]:
    """The rows; where their price is not known, the place of the cell is noted."""
    for number, row in table.rows:
        if row.price is not None and row.price.most is None:
            fault = Fault(table.faults.file, UNKNOWN_PRICE, number, "price", "?")
            files.unknown[row.id] = fault
    return table.rows


def _sellers(files: Folder, currency: str | None) -> dict[str, Seller]:
    """The sellers; one without a currency sells in the catalogue's.

    Where no currency is known there is a fault already, and the stand-in is never seen.
    """

    def currency_of(cells: Mapping[str, str]) -> str | None:
        own = cells.get("currency", currency)
        return own if own in CODES else None

    return {
        row.seller: Seller(
            row.seller,
            row.currency or currency or "",
            row.delivery,
            row.free_over,
            row.tax_percent,
        )
        for _, row in files.table(SELLERS, SellerRow, currency_of).rows
    }


def _offers(
    files: Folder, sellers: dict[str, Seller], currency: str | None
) -> tuple[Offer, ...]:
    """The offers that have a price.

    Without a `sellers.csv`, each seller that is named sells in the catalogue's currency
    and without fees, and is added to `sellers`.
    """
    free = not files.has(SELLERS)

    def currency_of(cells: Mapping[str, str]) -> str | None:
        seller = sellers.get(cells.get("seller", ""))
        return seller.currency or None if seller else currency if free else None

    table = files.table(OFFERS, OfferRow, currency_of)
    offers = []
    for number, row in table.rows:
        _check_item(files, row.item, number, table.faults)
        if free:
            sellers.setdefault(row.seller, Seller(row.seller, currency or ""))
        elif row.seller not in files.sellers:
            table.faults.add(
                f"there is no such seller in {SELLERS}",
                row=number,
                column="seller",
                value=row.seller,
                allowed=files.sellers,
            )
        if row.price is not None:
            offers.append(Offer(**dict(row)))
    return tuple(offers)


def _check_item(files: Folder, item: str, number: int, faults: Gathered) -> None:
    """Note an offer for what is not in the catalogue."""
    if item not in files.ids:
        faults.add(
            "there is no such device, cable or extra",
            row=number,
            column="item",
            value=item,
            allowed=files.ids,
        )
