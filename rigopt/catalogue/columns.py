"""What every column of the catalogue's tables means, in the words of a user.

One table for all that explains columns: the notes in a workbook, the page beside a catalogue
folder, and the reference. The rows stand in the order of the columns in `rows.py`, which says
what each of them may hold.
"""

from __future__ import annotations

import re
from typing import Final, Literal, NamedTuple, get_args

from rigopt.catalogue.rows import (
    PER,
    ROLES,
    CableRow,
    DeviceRow,
    ExtraRow,
    FormatRow,
    OfferRow,
    RowModel,
    SellerRow,
    SourceRow,
    required,
)
from rigopt.catalogue.types import COMPUTERS, PLUGS, SOURCES, Phantom, WordEnd
from rigopt.facts import FORMATS, TEE, TERMINATOR

Form = Literal["number", "money", "text", "day"]
"""How a spreadsheet keeps a cell. What could be taken for a date, such as 2/1, or for a
hundredth, such as 20 %, is text."""


class Column(NamedTuple):
    """One column; its default stands in brackets at the end of the meaning."""

    name: str
    meaning: str
    form: Form = "number"
    choices: tuple[str, ...] = ()
    """The words it may hold; none: anything that can be read."""
    others: bool = False
    """Whether other words than these may be right."""
    lacks: str = ""
    """What a unit lacks where the cell is blank, if that may well be by mistake."""

    @property
    def told(self) -> str:
        """The meaning, with the words that it may hold where these are not in it already."""
        untold = [word for word in self.choices if not re.search(rf"\b{word}\b", self.meaning)]
        if self.others or not untold:
            return self.meaning
        return f"{self.meaning}: {', '.join(self.choices)}"


YES_NO: Final = ("yes", "no")
CABLE_KINDS: Final = (*dict.fromkeys(row.cable for row in FORMATS.values()), TEE, TERMINATOR)

_ID: Final = Column("id", "short unique name", "text")
_LABEL: Final = Column("label", "what is printed (the id)", "text")
_NOTE: Final = Column("note", "free text", "text")
_PRICE: Final = Column("price", "price of one pack (blank: not for sale)", "money")
_PACK: Final = Column("pack", "pieces in a pack (1)")

_INPUTS: Final = "analogue inputs that take"

DEVICES: Final = (
    Column("id", "short unique name, used in questions and for what you own", "text"),
    _LABEL,
    Column(
        "role",
        "host: an interface that the computer sees. expander: adds channels to a host. "
        "either: a host that also runs stand-alone as an expander. clock: a word-clock "
        "generator or distributor. preamp: microphone channels that leave on line outputs. "
        "di: a DI box; inst is how many instruments it takes. headphones: a headphone "
        "amplifier",
        "text",
        ROLES,
    ),
    Column(
        "price",
        "in the catalogue's currency (blank: not for sale, used only if owned)",
        "money",
    ),
    Column("mic_line_inst", f"{_INPUTS} microphone, line or instrument (0)"),
    Column("mic_line", f"{_INPUTS} microphone or line (0)"),
    Column("mic", f"{_INPUTS} a microphone only (0)"),
    Column("line_inst", f"{_INPUTS} line or instrument (0)"),
    Column("line", f"{_INPUTS} line only (0)"),
    Column("inst", f"{_INPUTS} an instrument only (0)"),
    Column(
        "phantom_bank",
        "microphone inputs that share one 48 V switch: 1, 2, 4, 8 and so on; or the sizes of "
        "the banks in the order of the channels, such as 4;2;2, and inputs beyond them have "
        "no 48 V (0: no 48 V)",
        "text",
        lacks="no 48 V",
    ),
    Column("line_out", "analogue line outputs (0)", lacks="no line output"),
    Column(
        "direct_out",
        "direct outs: line outputs that each carry one microphone channel, the first that of "
        "the first, and that do not count in line_out (0)",
        lacks="no direct out",
    ),
    Column(
        "direct_plug",
        "plug of the direct outs; dsub has 8 channels a connector (jack)",
        "text",
        PLUGS,
    ),
    Column("line_plug", "plug of the inputs that take line (jack)", "text", PLUGS),
    Column("phones", "headphone outputs (0)", lacks="no headphone output"),
    Column("line_in", "of a headphone amplifier: the line outputs that feed it (2)"),
    Column(
        "di_phantom",
        "of a DI box: whether the microphone input that it is plugged into must have 48 V (no)",
        "text",
        YES_NO,
    ),
    Column("optical_in", "optical input sockets (0)", lacks="no optical input"),
    Column("optical_out", "optical output sockets (0)", lacks="no optical output"),
    Column(
        "optical_1x",
        "of these, counted from socket 1, how many carry a light-pipe of their own at 32, 44.1 "
        "and 48 kHz; each way, or in/out such as 2/1 (all)",
        "text",
    ),
    Column(
        "optical_2x",
        "the same at 88.2 and 96 kHz; it may be more than optical_1x (all, if rates_khz has "
        "such a rate; none each way where optical_1x has none)",
        "text",
    ),
    Column(
        "optical_4x",
        "the same at 176.4 and 192 kHz; many units switch it off there (0)",
        "text",
        lacks="no optical socket that works at 176.4 or 192 kHz",
    ),
    Column(
        "optical_stereo",
        "of these, how many can carry two-channel stereo instead, each way, up to 96 kHz (0)",
        lacks="no optical socket for two-channel stereo",
    ),
    Column("coax_in", "stereo coaxial input sockets (0)", lacks="no coax input"),
    Column("coax_out", "stereo coaxial output sockets (0)", lacks="no coax output"),
    Column("coax_2x", "of these, how many work at 88.2 and 96 kHz, each way (all)"),
    Column(
        "coax_4x",
        "the same at 176.4 and 192 kHz (0)",
        lacks="no coax socket that works at 176.4 or 192 kHz",
    ),
    Column("trunk", "id of the format that its trunk sockets speak (none)", "text"),
    Column(
        "trunk_in",
        "trunk input sockets; of a duplex format, all of its sockets (0)",
        lacks="no trunk input",
    ),
    Column(
        "trunk_out",
        "trunk output sockets; blank for a duplex format (0)",
        lacks="no trunk output",
    ),
    Column("word_in", "word-clock input sockets (0)"),
    Column("word_out", "word-clock output sockets (0)", lacks="no word clock output"),
    Column(
        "clock_in",
        "what it can lock to: optical, coax, word, trunk, or one socket such as optical 1, "
        "separated by ; (none)",
        "text",
        lacks="no input that it can lock to",
    ),
    Column(
        "rate_converter",
        "kinds of input sockets with a sample-rate converter: optical, coax, trunk, "
        "separated by ; (none)",
        "text",
    ),
    Column(
        "either",
        "sockets of which only one works at a time, such as coax in 1/optical in 1; groups "
        "are separated by ; (none)",
        "text",
    ),
    Column(
        "word_end",
        "the 75-ohm end of the word input: switch if it can be switched, fixed if it is always "
        "on, none if there is none (switch)",
        "text",
        get_args(WordEnd),
    ),
    Column("internal_clock", "whether it has a clock of its own (yes)", "text", YES_NO),
    Column("rates_khz", "sample rates in kHz, separated by ; (44.1;48)", "text"),
    Column("computer", "of a host: how the computer sees it (usb)", "text", COMPUTERS),
    Column("max_in_1x", "inputs the computer can see at 32, 44.1 and 48 kHz (all)"),
    Column("max_in_2x", "inputs the computer can see at 88.2 and 96 kHz (all)"),
    Column("max_in_4x", "inputs the computer can see at 176.4 and 192 kHz (all)"),
    Column(
        "input_order",
        "blocks of input numbers at the computer, separated by ;: analogue, coax, optical, "
        "trunk, and blank 2 or, for the three classes of rate, blank 2/2/0 for numbers on "
        "which nothing comes from outside, such as loopback; blocks not named come last "
        "(analogue;coax;optical;trunk)",
        "text",
    ),
    Column(
        "channel_order",
        "the columns from mic_line_inst to inst in the order of their channel numbers, such as "
        "line;mic_line; those not named follow (as they stand here)",
        "text",
    ),
    Column("analogue_2x", "analogue inputs, from channel 1, at 88.2 and 96 kHz (all)"),
    Column("analogue_4x", "the same at 176.4 and 192 kHz (all)"),
    Column("rack_units", "height in rack units; 0 stands on a table (0)"),
    Column("watts", "power it takes (0)"),
    Column("mains", "mains plugs it needs; 0 if the computer powers it (1)"),
    _NOTE,
)

CABLES: Final = (
    _ID,
    _LABEL,
    Column(
        "kind",
        "optical, coax, word or analogue; tee or terminator, for word clock; or the cable of a "
        "format",
        "text",
        CABLE_KINDS,
        others=True,
    ),
    Column("length_m", "length in metres; blank for a tee and a terminator"),
    _PRICE._replace(meaning="price of one pack (blank: not for sale, used only if owned)"),
    _PACK,
    Column(
        "ends",
        "of an analogue cable: the plug at the direct outs, then the one at the inputs, such "
        "as jack-jack or dsub-jack",
        "text",
    ),
    Column("ways", "channels in one piece of it (1; with a D-sub at either end 8)"),
)

FORMATS_OF_TRUNKS: Final = (
    Column("id", "short name, which the column trunk of a device uses", "text"),
    _LABEL,
    Column("cable", "a kind of cable of its own, which the column kind of cables uses", "text"),
    Column("channels_1x", "channels of one link at 32, 44.1 and 48 kHz (0: dead there)"),
    Column("channels_2x", "the same at 88.2 and 96 kHz (0)"),
    Column("channels_4x", "the same at 176.4 and 192 kHz (0)"),
    Column("clock", "whether a unit can lock to it (yes)", "text", YES_NO),
    Column("duplex", "whether one cable carries audio both ways (no)", "text", YES_NO),
    Column("max_m", "the longest cable in metres (no limit)"),
    Column("note", "where these numbers are from", "text"),
)

OFFERS: Final = (
    Column("item", "id of a device, cable or extra", "text"),
    Column("seller", "who sells it", "text"),
    _PRICE._replace(
        meaning="price of one pack before tax, in the seller's currency (blank: no offer)"
    ),
    _PACK,
    Column("stock", "how many packs there are (no end of them)"),
    Column(
        "condition",
        "blank or new is new; any other word, such as used, is not (blank)",
        "text",
        ("new", "used"),
        others=True,
    ),
    Column("as_of", "day of the price, such as 2025-03-31 (unknown)", "day"),
)

SELLERS: Final = (
    Column("seller", "the name that offers use", "text"),
    Column("currency", "ISO 4217 code (the catalogue's)", "text"),
    Column("delivery", "fee for an order, whatever is in it (0)", "money"),
    Column(
        "free_over",
        "no fee once the goods of an order, before tax, reach this (never)",
        "money",
    ),
    Column("tax_percent", "added to goods and delivery (0)", "text"),
)

EXTRAS: Final = (
    _ID,
    _LABEL,
    _PRICE,
    _PACK,
    Column(
        "per",
        "one for each mic (microphones in use at once), source (all sources), unit, "
        "rack_unit or mains (plugs) of the rig, or for the rig",
        "text",
        PER,
    ),
    Column("each", "how many pieces for each of these (1)"),
)

SOURCES_LISTED: Final = (
    Column("name", "what stands on the input list", "text"),
    Column("kind", "what it is (mic)", "text", SOURCES),
    Column(
        "phantom",
        "of a microphone: on needs 48 V, off must not get it, any takes either (any)",
        "text",
        get_args(Phantom),
    ),
    Column("pair", "the same word on two rows: these sit side by side on one unit", "text"),
    Column("note", "free text, which the input list repeats", "text"),
)

COLUMNS: Final[dict[str, tuple[Column, ...]]] = {
    "devices": DEVICES,
    "cables": CABLES,
    "formats": FORMATS_OF_TRUNKS,
    "offers": OFFERS,
    "sellers": SELLERS,
    "extras": EXTRAS,
    "sources": SOURCES_LISTED,
}
"""The columns of each table, by its name: that of its file without `.csv`, and of its sheet."""

_ROWS: Final[dict[str, type[RowModel]]] = {
    "devices": DeviceRow,
    "cables": CableRow,
    "formats": FormatRow,
    "offers": OfferRow,
    "sellers": SellerRow,
    "extras": ExtraRow,
    "sources": SourceRow,
}


def needed(table: str) -> list[str]:
    """The columns of a table that may not be blank."""
    return required(_ROWS[table])
