"""Each fact of links, numbers and clocks taken out of a question, to see that it matters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import BLOCKS, CHANNEL_COLUMNS, MANY, Catalogue, Device, SocketRef
from rigopt.needs.types import Needs
from tests.oracle.themes import Question, each

Change = Callable[[Catalogue, Needs], Question]


def without(**plain: Any) -> Change:
    """Some facts of every device as they were before there was a column for them."""

    def change(catalogue: Catalogue, needs: Needs) -> Question:
        return each(catalogue, lambda _: plain), needs

    change.__name__ = next(iter(plain))
    return change


def clock_in_by_kind(catalogue: Catalogue, needs: Needs) -> Question:
    """No single sockets for the clock."""

    def kinds(device: Device) -> dict[str, Any]:
        found = [e.kind if isinstance(e, SocketRef) else e for e in device.clock_in]
        return {"clock_in": tuple(dict.fromkeys(found))}

    return each(catalogue, kinds), needs


def simplex(catalogue: Catalogue, needs: Needs) -> Question:
    """Trunks that go one way."""
    rows = {form.id: form._replace(duplex=False) for form in catalogue.formats.values()}
    return replace(catalogue, formats=rows), needs


def lengths(catalogue: Catalogue, needs: Needs) -> Question:
    """Cables as long as one likes."""
    rows = {form.id: form._replace(max_mm=None) for form in catalogue.formats.values()}
    return replace(catalogue, formats=rows), needs


def free_fittings(catalogue: Catalogue, needs: Needs) -> Question:
    """Tees and terminators for nothing."""
    fittings = [c for c in catalogue.cables.values() if c.kind in ("tee", "terminator")]
    free = {c.id: replace(c, price=0) for c in fittings}
    return replace(catalogue, cables={**catalogue.cables, **free}), needs


def one_clock(catalogue: Catalogue, needs: Needs) -> Question:
    """All hosts on one clock."""
    return catalogue, replace(needs, own_clocks=False)


def no_chains(catalogue: Catalogue, needs: Needs) -> Question:
    """One word input on an output."""
    return catalogue, replace(needs, word_inputs=1)


def nothing_required(catalogue: Catalogue, needs: Needs) -> Question:
    """No unit that has to be there."""
    return catalogue, replace(needs, require=())


CHANGES: list[Change] = [
    without(either=()),
    without(rate_converter=()),
    without(word_end="switch"),
    without(input_order=BLOCKS),
    without(channel_order=CHANNEL_COLUMNS),
    without(phantom_bank=1),
    without(optical_1x=MANY),
    without(optical_stereo=0),
    without(coax_2x=MANY),
    without(coax_4x=MANY),
    without(analogue_2x=MANY),
    without(analogue_4x=MANY),
    without(max_in_1x=None),
    without(max_in_2x=None),
    without(max_in_4x=None),
    without(trunk=None, trunk_in=0, trunk_out=0),
    clock_in_by_kind,
    simplex,
    lengths,
    free_fittings,
    one_clock,
    no_chains,
    nothing_required,
]
