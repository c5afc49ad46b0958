"""Where one blank cell of the user's own rows is in the way of a rig, the reason names it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.answers.choice import BlankCell
from rigopt.answers.outcome import Answered, Impossible
from rigopt.api.ask import ask_plan
from rigopt.catalogue.columns import DEVICES
from rigopt.catalogue.rules import refilled
from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.blank_cells import MEANT, MOST
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline
from rigopt.output.words.reasons import reasons
from tests.world import ALL, DESK, HUB, OPT, PRE, catalogue

SIXTEEN = Needs(rate_hz=48000, mic=16)
LEAD = Cable("lead", "jack lead", "analogue", 1000, 300, ends=("jack", "jack"))


def blanks(shop: Catalogue, needs: Needs) -> tuple[BlankCell, ...]:
    outcome = ask_plan(shop, needs).outcome
    assert isinstance(outcome, Impossible)
    return outcome.blanks


def cost(shop: Catalogue, device: Device, needs: Needs) -> int:
    """What the cheapest rig costs with `device` in the place of the one of its id."""
    found = solve(replace(shop, devices={**shop.devices, device.id: device}), needs)
    assert isinstance(found, Answered)
    return found.rig.total


DUMB = replace(PRE, optical_out=0)
"""The box whose owner did not find the column for its output."""

CASES = {
    "way out": (catalogue(DESK, DUMB), SIXTEEN, ("pre-8", "optical_out", "1")),
    "way in": (
        catalogue(replace(DESK, optical_in=0, coax_in=0, clock_in=()), PRE),
        SIXTEEN,
        ("desk-8", "optical_in", "1"),
    ),
    "two sockets at 2x": (
        catalogue(replace(DESK, optical_in=2, optical_2x=2), DUMB),
        replace(
            SIXTEEN,
            rate_hz=96000,
            owned={"desk-8": 1, "pre-8": 1, OPT.id: 3},
            owned_only=True,
        ),
        ("pre-8", "optical_out", "2"),
    ),
    "clock": (
        catalogue(replace(DESK, clock_in=()), replace(PRE, clock_in=(), internal_clock=False)),
        SIXTEEN,
        ("pre-8", "clock_in", "optical"),
    ),
    "48 V": (
        catalogue(replace(DESK, phantom_bank=0)),
        replace(SIXTEEN, mic=8, phantom=4),
        ("desk-8", "phantom_bank", "8"),
    ),
    "48 V one by one": (
        catalogue(replace(DESK, phantom_bank=0)),
        replace(SIXTEEN, mic=8, phantom=4, no_phantom=4),
        ("desk-8", "phantom_bank", "1"),
    ),
    "phones": (
        catalogue(replace(DESK, phones=0)),
        replace(SIXTEEN, mic=8, out_phones=2),
        ("desk-8", "phones", "2"),
    ),
    "direct outs": (
        catalogue(
            replace(DESK, line=8, optical_in=0, coax_in=0, clock_in=(), rates_hz=ALL),
            Device("mypre", "preamp", "preamp", 9000, mic=8),
            cables=(LEAD,),
        ),
        replace(SIXTEEN, rate_hz=192000),
        ("mypre", "direct_out", "8"),
    ),
    "4x": (
        catalogue(
            replace(HUB, rates_hz=ALL),
            replace(PRE, rates_hz=ALL, optical_out=4, optical_in=4, optical_4x=4),
        ),
        replace(SIXTEEN, mic=8, rate_hz=192000),
        ("hub-4", "optical_4x", "4"),
    ),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_cell_is_named_with_what_the_rig_then_costs(
    case: tuple[Catalogue, Needs, tuple[str, str, str]],
) -> None:
    shop, needs, (device, column, value) = case
    found = blanks(shop, needs)
    assert (device, column, value) in {one[:3] for one in map(astuple, found)}
    for cell in found:
        meant = tuple(cell.value.split(";")) if cell.column == "clock_in" else int(cell.value)
        filled = refilled(shop.devices[cell.device], cell.column, meant)
        assert cell.total == cost(shop, filled, needs), cell


def astuple(cell: BlankCell) -> tuple[str, str, str]:
    return cell.device, cell.column, cell.value


def test_it_is_said_in_words() -> None:
    outcome = ask_plan(catalogue(DESK, DUMB), SIXTEEN).outcome
    assert isinstance(outcome, Impossible)
    said = reasons(outcome, "GBP", SIXTEEN)
    assert said[-1] == (
        "pre-8 has no optical output: is its cell optical_out blank by mistake? With 1 in it "
        "there is a rig for 506.00 GBP."
    )


def test_a_cell_that_says_0_is_no_slip() -> None:
    said = replace(DUMB, filled=frozenset(["optical_out"]))
    assert "optical_out" not in {cell.column for cell in blanks(catalogue(DESK, said), SIXTEEN)}


def test_nothing_is_said_where_no_single_cell_would_do() -> None:
    assert blanks(catalogue(DESK, DUMB), replace(SIXTEEN, mic=30)) == ()


def test_a_unit_that_has_another_way_out_is_told_only_if_no_other_unit_would_do() -> None:
    by_coax = replace(DUMB, id="pre-c", coax_out=1)
    shop = catalogue(DESK, DUMB, by_coax)
    assert {cell.device for cell in blanks(shop, SIXTEEN)} == {"pre-8"}
    assert {cell.device for cell in blanks(catalogue(DESK, by_coax), SIXTEEN)} == {"pre-c"}


def test_what_is_not_for_sale_is_not_told() -> None:
    assert blanks(catalogue(DESK, replace(DUMB, price=None)), SIXTEEN) == ()
    owned = replace(SIXTEEN, owned={"pre-8": 1})
    (cell,) = blanks(catalogue(DESK, replace(DUMB, price=None)), owned)
    assert cell.total == 30600


def test_money_and_size_in_the_way_are_no_blank_cell() -> None:
    shop = catalogue(DESK, PRE, replace(DUMB, id="cheap", price=100))
    assert blanks(shop, replace(SIXTEEN, budget=40000)) == ()
    assert blanks(shop, replace(SIXTEEN, units=1)) == ()


def test_the_demo_has_no_slips() -> None:
    assert blanks(replace(catalogue(DESK, DUMB), invented=True), SIXTEEN) == ()


def test_no_more_than_a_few_are_told() -> None:
    many = [replace(DUMB, id=f"pre-{n}") for n in range(9)]
    assert len(blanks(catalogue(DESK, *many), SIXTEEN)) == MOST


def test_nothing_is_claimed_when_the_time_is_up() -> None:
    found = explained(catalogue(DESK, DUMB), SIXTEEN, Deadline(0.0))
    assert found.blanks == ()


def test_every_column_that_may_be_blank_by_mistake_has_something_meant() -> None:
    assert MEANT.keys() == {column.name for column in DEVICES if column.lacks}
    nothing = Device("box", "box", "expander")
    for column in DEVICES:
        if column.lacks:
            assert not getattr(nothing, column.name), "blank means none"
