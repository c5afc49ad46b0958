"""Units, links, inputs and purchases of rigs as tables of pandas, keyed as in the JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Final, NamedTuple

from rigopt.output.data.json_parts import (
    Json,
    input_json,
    link_json,
    purchases_json,
    unit_json,
)
from rigopt.rig.types import Rig

if TYPE_CHECKING:
    import pandas as pd


class Shown(NamedTuple):
    """A rig, the currency of its catalogue, and what tells it from others beside it."""

    rig: Rig
    currency: str
    which: object = None


Rows = Callable[[Shown], list[Json]]


def units(shown: Shown) -> list[Json]:
    """A row for each box."""
    return [unit_json(unit) for unit in shown.rig.units]


def links(shown: Shown) -> list[Json]:
    """A row for each digital cable, and for each way of an analogue one."""
    return [link_json(link) for link in shown.rig.links]


def inputs(shown: Shown) -> list[Json]:
    """A row for each input of the computer that has a channel behind it."""
    return [input_json(item) for item in shown.rig.inputs]


def purchases(shown: Shown) -> list[Json]:
    """A row for each thing to buy; money as `Decimal`, in the seller's currency."""
    rows = purchases_json(shown.rig.purchases, shown.rig.orders, shown.currency)
    money = ("unit_price", "total")
    return [{**row, **{key: _upper(row[key]) for key in money}} for row in rows]


COLUMNS: Final[dict[Rows, tuple[str, ...]]] = {
    units: ("name", "device", "role", "owned", "clock", "phantom_banks_on"),
    links: (
        *("kind", "format", "from", "from_socket", "to", "to_socket"),
        *("channels", "carries", "back", "cable", "after", "tee", "terminator", "piece"),
    ),
    inputs: (
        *("computer_input", "unit", "channel", "accepts"),
        *("phantom", "use", "source", "path"),
    ),
    purchases: (
        *("item", "kind", "seller", "quantity"),
        *("unit_price", "total", "currency"),
    ),
}
"""What a table has even where there is no rig."""


def _upper(amount: object) -> Decimal | None:
    """An amount, or the upper end of one that is a range; None where nobody knows it."""
    return None if amount is None else Decimal(str(amount).rpartition("-")[2])


def frame(rows: Rows, rigs: Sequence[Shown], label: str = "") -> pd.DataFrame:
    """The rows of all `rigs`; a first column `label`, if any, says of which each is."""
    # Here and not above, so that only who asks for a table waits for it.
    import pandas as pd  # noqa: PLC0415

    first = [label] if label else []
    found = [
        {**dict.fromkeys(first, shown.which), **row} for shown in rigs for row in rows(shown)
    ]
    return pd.DataFrame(found, columns=[*first, *COLUMNS[rows]])
