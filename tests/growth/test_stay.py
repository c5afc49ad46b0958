"""Units keep their names from stage to stage, and their numbers where sockets allow."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.growth import Growth
from rigopt.catalogue.types import Cable
from rigopt.rig.step import Step
from tests.growth.world import DESK, PRE, grown, shop, stage

TWO = replace(DESK, optical_in=2, optical_out=2, optical_2x=2)
EARLY = replace(PRE, id="a-pre", rates_hz=(48_000,))
LATE = replace(PRE, id="z-pre")


def names(growth: Growth) -> list[dict[str, str]]:
    """The type of each unit by its name, stage by stage."""
    return [{unit.name: unit.device.id for unit in step.rig.units} for step in growth.steps]


def numbers(step: Step, unit: str) -> list[int]:
    """Where a unit is at the computer."""
    return [line.computer_input for line in step.rig.inputs if line.unit == unit]


def test_who_comes_later_is_named_later_and_takes_what_is_free() -> None:
    late = replace(LATE, price=None)
    found = grown(
        shop(devices=(TWO, EARLY, late)),
        stage(16, owned={"z-pre": 1}, avoid=("a-pre",)),
        stage(24, owned={"z-pre": 1}),
    ).together
    first, second = names(found)
    assert first == {"host-1": "desk", "expander-1": "z-pre"}
    assert second == {**first, "expander-2": "a-pre"}
    assert numbers(found.steps[0], "expander-1") == list(range(9, 17))
    assert numbers(found.steps[1], "expander-1") == list(range(9, 17))
    assert numbers(found.steps[1], "expander-2") == list(range(17, 25))


def test_who_stays_when_another_goes_keeps_its_name_and_socket() -> None:
    # At 96 kHz a socket counts four numbers; the first is left empty.
    found = grown(
        shop(
            devices=(TWO, EARLY, LATE),
        ),
        stage(24, owned={"a-pre": 1, "z-pre": 1}),
        stage(12, owned={"a-pre": 1, "z-pre": 1}, rate_hz=96_000),
        stage(24, owned={"a-pre": 1, "z-pre": 1}),
    ).together
    all_three = {"host-1": "desk", "expander-1": "a-pre", "expander-2": "z-pre"}
    assert names(found) == [all_three, {"host-1": "desk", "expander-2": "z-pre"}, all_three]
    assert numbers(found.steps[0], "expander-2") == list(range(17, 25))
    assert numbers(found.steps[1], "expander-2") == list(range(13, 17))
    assert numbers(found.steps[2], "expander-1") == list(range(9, 17))


def test_the_host_that_was_there_first_keeps_the_first_numbers() -> None:
    old = replace(DESK, id="z-desk", price=None)
    new = replace(DESK, id="a-desk", optical_in=0, optical_out=0, clock_in=("word",), word_in=1)
    new = replace(new, word_out=1)
    old = replace(old, word_in=1, word_out=1, clock_in=("optical", "word"))
    word = Cable("bnc", "word clock cable", "word", 2000, 500)
    base = shop(devices=(old, new, PRE))
    catalogue = replace(base, cables={**base.cables, "bnc": word})
    have = {"z-desk": 1, "pre": 1}
    found = grown(
        catalogue, stage(16, owned=have, max_hosts=2), stage(24, owned=have, max_hosts=2)
    ).together
    assert names(found) == [
        {"host-1": "z-desk", "expander-1": "pre"},
        {"host-1": "z-desk", "host-2": "a-desk", "expander-1": "pre"},
    ]
    for name in ("host-1", "expander-1"):
        assert numbers(found.steps[0], name) == numbers(found.steps[1], name)


def test_another_unit_never_gets_a_name_that_was_given() -> None:
    small = replace(DESK, id="small", price=None, optical_in=0, optical_out=0, clock_in=())
    catalogue, have = shop(devices=(small, DESK, PRE)), {"small": 1}
    steps = (
        stage(8, owned=have),
        stage(16, owned=have),
        stage(8, owned=have, require=("small",)),
    )
    found = grown(catalogue, *steps).together
    assert names(found) == [
        {"host-1": "small"},
        {"host-2": "desk", "expander-1": "pre"},
        {"host-1": "small"},
    ]


def test_a_unit_keeps_its_name_in_another_role() -> None:
    either = replace(DESK, id="either", role="either", price=None, phantom_bank=8)
    catalogue, have = shop(devices=(either, DESK)), {"either": 1}
    found = grown(
        catalogue, stage(8, owned=have), stage(16, owned=have, master="desk")
    ).together
    assert names(found) == [{"host-1": "either"}, {"host-1": "either", "host-2": "desk"}]
    roles = [{unit.name: unit.role for unit in step.rig.units} for step in found.steps]
    assert roles[1] == {"host-1": "expander", "host-2": "host"}
