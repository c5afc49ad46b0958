"""What each column of the catalogue's tables holds, its default and its limits.

A row model takes the cells that are not blank; blank means the default. Money is parsed
in the currency that the validation context names: `{"currency": "GBP"}`.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Annotated, ClassVar, Final, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, PlainValidator, ValidationError, ValidationInfo

from rigopt.catalogue import cells
from rigopt.catalogue.currencies import currency_code
from rigopt.catalogue.types import (
    BLOCKS,
    CHANNEL_COLUMNS,
    COMPUTERS,
    MANY,
    PLUGS,
    SOURCES,
    Block,
    Catalogue,
    Computer,
    InOut,
    Per,
    Phantom,
    Plug,
    Role,
    SocketRef,
    Source,
    WordEnd,
)
from rigopt.facts import SocketKind
from rigopt.files import amounts, values
from rigopt.files.amounts import CATALOGUE
from rigopt.files.faults import Gathered
from rigopt.files.models import note, whole, word

ROLES: Final[tuple[Role, ...]] = get_args(Role)
PER: Final[tuple[Per, ...]] = get_args(Per)

MOST_CHANNELS: Final = 1_000
MOST_SOCKETS: Final = 100
MOST_PIECES: Final = 1_000_000
MOST_WATTS: Final = 100_000
LONGEST_CABLE_M: Final = 1_000


def _money(value: object, info: ValidationInfo) -> int:
    context = info.context or {}
    return amounts.amount(value, context.get("currency"), context.get("key", CATALOGUE))


def _span(value: object, info: ValidationInfo) -> amounts.Span:
    return amounts.span(value, (info.context or {}).get("currency"))


def _all_or_whole(value: object) -> int | None:
    """A limit of inputs; 'all' is none."""
    if str(value).casefold() == "all":
        return None
    return amounts.whole(value, MOST_PIECES)


SELLERS: Final = "currency of its seller in sellers.csv, or else in catalog.toml"

Id = Annotated[str, PlainValidator(values.short_id)]
Label = Annotated[str, PlainValidator(values.label)]
Name = Annotated[str, PlainValidator(values.name)]
Note = Annotated[str, PlainValidator(values.tidy)]
Channels = Annotated[int, whole(MOST_CHANNELS)]
Sockets = Annotated[int, whole(MOST_SOCKETS)]
Pieces = Annotated[int, whole(MOST_PIECES, least=1)]
Money = Annotated[int, PlainValidator(_money)]
Price = Annotated[amounts.Span, PlainValidator(_span)]
MaxIn = Annotated[int | None, PlainValidator(_all_or_whole)]
EachWay = Annotated[int | InOut, PlainValidator(cells.in_out)]
Length = Annotated[
    int, PlainValidator(lambda value: amounts.millimetres(value, LONGEST_CABLE_M, 1))
]
YesNo = Annotated[bool, PlainValidator(values.yes)]


class RowModel(BaseModel):
    """Base of the rows. `currency_key`: what says which currency its money is in."""

    model_config = ConfigDict(frozen=True, defer_build=True)
    currency_key: ClassVar[str] = CATALOGUE


class DeviceRow(RowModel):
    """A row of `devices.csv`."""

    id: Id
    label: Label = ""
    role: Annotated[Role, word(ROLES)]
    price: Price | None = None
    mic_line_inst: Channels = 0
    mic_line: Channels = 0
    mic: Channels = 0
    line_inst: Channels = 0
    line: Channels = 0
    inst: Channels = 0
    phantom_bank: Annotated[int | tuple[int, ...], PlainValidator(cells.banks)] = 0
    line_out: Channels = 0
    direct_out: Channels = 0
    direct_plug: Annotated[Plug, word(PLUGS)] = "jack"
    line_plug: Annotated[Plug, word(PLUGS)] = "jack"
    phones: Channels = 0
    line_in: Annotated[int, whole(MOST_CHANNELS, least=1)] = 2
    di_phantom: YesNo = False
    optical_in: Sockets = 0
    optical_out: Sockets = 0
    optical_1x: EachWay | None = None
    optical_2x: EachWay | None = None
    optical_4x: EachWay = 0
    optical_stereo: Sockets = 0
    coax_in: Sockets = 0
    coax_out: Sockets = 0
    coax_2x: Sockets = MANY
    coax_4x: Sockets = 0
    trunk: Annotated[str, PlainValidator(values.short_id)] = ""
    trunk_in: Sockets = 0
    trunk_out: Sockets = 0
    word_in: Sockets = 0
    word_out: Sockets = 0
    clock_in: Annotated[
        tuple[SocketKind | SocketRef, ...], PlainValidator(cells.clock_inputs)
    ] = ()
    rate_converter: Annotated[tuple[SocketKind, ...], PlainValidator(cells.some_kinds)] = ()
    either: Annotated[tuple[tuple[SocketRef, ...], ...], PlainValidator(cells.either)] = ()
    word_end: Annotated[WordEnd, word(get_args(WordEnd))] = "switch"
    internal_clock: YesNo = True
    rates_khz: Annotated[tuple[int, ...], PlainValidator(values.rates)] = (44100, 48000)
    computer: Annotated[Computer, word(COMPUTERS)] = "usb"
    max_in_1x: MaxIn = None
    max_in_2x: MaxIn = None
    max_in_4x: MaxIn = None
    input_order: Annotated[tuple[Block, ...], PlainValidator(cells.input_order)] = BLOCKS
    channel_order: Annotated[tuple[str, ...], PlainValidator(cells.channel_order)] = (
        CHANNEL_COLUMNS
    )
    analogue_2x: Channels = MANY
    analogue_4x: Channels = MANY
    rack_units: Annotated[int, whole(MOST_SOCKETS, unit="U")] = 0
    watts: Annotated[
        Decimal, PlainValidator(lambda value: amounts.fraction(value, MOST_WATTS, "W"))
    ] = Decimal(0)
    mains: Sockets = 1
    note: Note = ""


class CableRow(RowModel):
    """A row of `cables.csv`."""

    id: Id
    label: Label = ""
    kind: Annotated[str, PlainValidator(lambda value: values.name(value).casefold())]
    length_m: Length | None = None
    """In millimetres once read; T-pieces and terminators have none."""
    price: Price | None = None
    pack: Pieces = 1
    ends: Annotated[tuple[Plug, Plug] | None, PlainValidator(cells.ends)] = None
    ways: Annotated[int | None, whole(MOST_CHANNELS, least=1)] = None


class FormatRow(RowModel):
    """A row of `formats.csv`: a digital link of many channels on one cable."""

    id: Id
    label: Label = ""
    cable: Annotated[str, PlainValidator(lambda value: values.short_id(value).casefold())]
    channels_1x: Channels = 0
    channels_2x: Channels = 0
    channels_4x: Channels = 0
    clock: YesNo = True
    duplex: YesNo = False
    max_m: Length | None = None
    """In millimetres once read; blank is without limit."""
    note: Note = ""
    """Where its numbers are from."""


class ExtraRow(RowModel):
    """A row of `extras.csv`."""

    id: Id
    label: Label = ""
    price: Price | None = None
    pack: Pieces = 1
    per: Annotated[Per, word(PER)]
    each: Pieces = 1


class OfferRow(RowModel):
    """A row of `offers.csv`; its price is in the seller's currency."""

    currency_key = SELLERS

    item: Id
    seller: Name
    price: Money | None = None
    pack: Pieces = 1
    stock: Annotated[int | None, whole(MOST_PIECES)] = None
    condition: Label = ""
    as_of: Annotated[datetime.date | None, PlainValidator(values.day)] = None


class SellerRow(RowModel):
    """A row of `sellers.csv`; money in the seller's own currency."""

    currency_key = SELLERS

    seller: Name
    currency: Annotated[str | None, PlainValidator(currency_code)] = None
    delivery: Money = 0
    free_over: Money | None = None
    tax_percent: Annotated[
        Decimal, PlainValidator(lambda value: amounts.fraction(value, 100, "%"))
    ] = Decimal(0)


class SourceRow(RowModel):
    """A row of `sources.csv`, and a `[[source]]` of a needs file."""

    name: Name
    kind: Annotated[Source, word(SOURCES)] = "mic"
    phantom: Annotated[Phantom, word(get_args(Phantom))] = "any"
    pair: Label = ""
    note: Note = ""


R = TypeVar("R", bound=RowModel)


def from_catalogue(read: Callable[[object, Catalogue], object]) -> PlainValidator:
    """A validator for other files: `read` has the catalogue of the validation context."""

    def find(value: object, info: ValidationInfo) -> object:
        return read(value, (info.context or {})["catalogue"])

    return PlainValidator(find)


def required(model: type[RowModel]) -> list[str]:
    """The columns that have no default."""
    return [name for name, field in model.model_fields.items() if field.is_required()]


def parse_row(
    model: type[R],
    number: int,
    cells: Mapping[str, str],
    currency: str | None,
    faults: Gathered,
) -> R | None:
    """The row, or None and every fault of its cells."""
    context = {"currency": currency, "key": model.currency_key}
    try:
        return model.model_validate(cells, context=context)
    except ValidationError as error:
        note(error.errors(include_url=False), model, faults, row=number)
        return None
