"""The audit: every rule tested anew on a finished rig, knowing nothing of any solver.

Three questions, each containing the one before:

- `audit_wiring`: does a rig of units and links work at its rate? Cables may be unnamed.
- `audit_needs`: does it serve what is asked? Whether some assignment of sources exists.
- `audit`: is a complete answer right, with its inputs, their use, its money, and every
  figure that is shown with it?

An empty answer means sound. Where names or the rate are broken, nothing else is tested.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.audit.cables import check_cables, check_named, check_runs
from rigopt.rig.audit.cables import warnings as _cable_warnings
from rigopt.rig.audit.catalogue import check_catalogue
from rigopt.rig.audit.chains import check_chains, check_length, check_pieces_named
from rigopt.rig.audit.chains import warnings as _chain_warnings
from rigopt.rig.audit.channels import check_channels
from rigopt.rig.audit.clock import check_clock, check_stated, check_wish
from rigopt.rig.audit.demands import check_boxes, check_room, check_uses
from rigopt.rig.audit.figures import check_counts, check_figures
from rigopt.rig.audit.finding import Finding
from rigopt.rig.audit.inputs import check_inputs
from rigopt.rig.audit.limits import check_computer, check_required, check_size
from rigopt.rig.audit.lines import check_line_pieces, check_lines
from rigopt.rig.audit.money import check_orders, check_total
from rigopt.rig.audit.names import check_banks, check_names, check_roles
from rigopt.rig.audit.outputs import check_outputs
from rigopt.rig.audit.pieces import check_owned, check_pieces
from rigopt.rig.audit.prices import check_purchases
from rigopt.rig.audit.rates import check_known, check_rates
from rigopt.rig.audit.sockets import check_sockets
from rigopt.rig.audit.sold import check_sold
from rigopt.rig.audit.sources import check_sources
from rigopt.rig.audit.trees import check_trees
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.counts import item_counts
from rigopt.rig.figures import figures
from rigopt.rig.types import Link, Rig, Unit

__all__ = ["Finding", "audit", "audit_needs", "audit_wiring", "warnings"]

WIRING_CHECKS = (
    check_roles,
    check_banks,
    check_rates,
    check_sockets,
    check_channels,
    check_trees,
    check_clock,
    check_chains,
    check_cables,
    check_lines,
    check_line_pieces,
)
"""Rules of the trade, one function each, over units, links and the rate."""

NEEDS_CHECKS = (
    check_room,
    check_outputs,
    check_wish,
    check_length,
    check_runs,
    check_computer,
    check_size,
    check_required,
)
"""Rules of what is asked, over the same and the needs."""


def audit_wiring(
    units: Sequence[Unit], links: Sequence[Link], rate_hz: int, own_clocks: bool = False
) -> tuple[Finding, ...]:
    """What is wrong with a rig as it is wired."""
    return tuple(_wiring(Wiring(tuple(units), tuple(links), rate_hz, own_clocks)))


def audit_needs(
    units: Sequence[Unit], links: Sequence[Link], rate_hz: int, needs: Needs
) -> tuple[Finding, ...]:
    """What is wrong with it as it is wired, and against `needs`, money aside."""
    return tuple(_needs(Wiring(tuple(units), tuple(links), rate_hz, needs.own_clocks), needs))


def audit(
    rig: Rig, catalogue: Catalogue, needs: Needs, priced: Catalogue | None = None
) -> tuple[Finding, ...]:
    """Everything that is wrong with `rig` as an answer to `needs` from `catalogue`.

    `priced` is the same catalogue with the prices of the day, if they are others.
    """
    wiring = Wiring(rig.units, rig.links, rig.rate_hz, needs.own_clocks)
    broken = tuple(_broken(wiring))
    if broken:
        return broken
    wrong = tuple(_answer(rig, wiring, catalogue, needs))
    # Of a rig that is none, nothing follows.
    wrong = wrong or tuple(_figures(rig, catalogue, needs))
    return (*wrong, *_money(rig, priced or catalogue, needs))


def warnings(units: Sequence[Unit], links: Sequence[Link], rate_hz: int) -> tuple[Finding, ...]:
    """What keeps every rule and still deserves a second look."""
    wiring = Wiring(tuple(units), tuple(links), rate_hz)
    return (*_cable_warnings(wiring), *_chain_warnings(wiring))


def _broken(wiring: Wiring) -> Iterator[Finding]:
    yield from check_names(wiring)
    yield from check_known(wiring)


def _wiring(wiring: Wiring) -> Iterable[Finding]:
    broken = list(_broken(wiring))
    return broken or [found for check in WIRING_CHECKS for found in check(wiring)]


def _needs(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    yield from _wiring(wiring)
    if not any(_broken(wiring)):
        for check in NEEDS_CHECKS:
            yield from check(wiring, needs)


def _answer(rig: Rig, wiring: Wiring, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    yield from _needs(wiring, needs)
    yield from check_stated(wiring, rig.clock_hops)
    yield from check_named(wiring)
    yield from check_pieces_named(wiring)
    yield from check_inputs(wiring, rig.inputs)
    yield from check_uses(rig.inputs, needs)
    yield from check_boxes(wiring, rig.inputs)
    yield from check_sources(rig.inputs, needs, rig.split_pairs)
    yield from check_catalogue(wiring, catalogue)


def _figures(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    yield from check_figures(rig, figures(rig))
    yield from check_counts(rig, catalogue, needs, item_counts(rig, catalogue, needs))


def _money(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    yield from check_purchases(rig, catalogue, needs)
    yield from check_owned(rig, needs)
    yield from check_pieces(rig, catalogue, needs)
    yield from check_orders(rig, catalogue, needs)
    yield from check_sold(rig, catalogue, needs)
    yield from check_total(rig, catalogue, needs)
