"""Rule -> mutant -> case, of analogue lines, DI boxes, headphone amplifiers, spare inputs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Cable, Device
from rigopt.optimiser.model import channels, di, leads
from rigopt.optimiser.problem.analogue import Cell, Face, Tap
from tests.mutants.patches import (
    Patch,
    asking,
    attribute,
    taking_cables_for,
    taking_devices_for,
    without,
)
from tests.mutants.seen import Case
from tests.mutants.table import Mutant
from tests.world import BOTH, CABLES, DESK, PRE

LINED = replace(DESK, id="lined", line=4)
PREAMP = Device("preamp-4", "", "preamp", 9000, mic=4, phantom_bank=4, direct_out=4)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
LOOM = Cable("loom", "", "analogue", 1000, 1500, ends=("jack", "jack"), ways=4)
XLR = Cable("jack-xlr", "", "analogue", 1000, 600, ends=("jack", "xlr"))
COMB = Cable("comb", "", "analogue", 1000, 3000, ends=("dsub", "jack"), ways=8)
BIG = replace(PREAMP, id="big", mic=9, phantom_bank=9, direct_out=9, direct_plug="dsub")
WIDE = replace(DESK, id="wide", mic_line=0, line=9, phantom_bank=0)
PLUGGED = Device(
    "plugged", "", "host", 20000, mic_line=4, phantom_bank=4, line_plug="xlr", rates_hz=BOTH
)
BOX = Device("box", "", "di", 2000, inst=1, di_phantom=True)
EARS = Device("ears", "", "headphones", 5000, phones=4, line_in=2)


def _case(*devices: Device, right: dict[str, object] | None, **needs: Any) -> Case:
    more = needs.pop("cables", (LEAD,))
    return Case(devices, right, needs, cables=(*CABLES, *more))


def _of_preamps(**changes: Any) -> Patch:
    """Preamps are taken for something else."""
    return taking_devices_for(lambda d, _: replace(d, **changes) if d.role == "preamp" else d)


def _with_taps(face: Face) -> tuple[Counter[Any], Counter[Cell]]:
    """Direct outs arrive whether a line takes them or not."""
    banks, single = _SPLIT(face)

    def bare(cell: Cell) -> Cell:
        return (cell[0], None) if isinstance(cell[1], Tap) else cell

    return (
        Counter({tuple(map(bare, bank)): n for bank, n in banks.items()}),
        Counter({bare(cell): n for cell, n in single.items()}),
    )


_SPLIT = vars(Face)["split"].func

LINES = (
    Mutant(
        "a direct out reaches an input over a piece of cable",
        "without one",
        without(leads),
        _case(LINED, PREAMP, right={"total": 41000, "links": 4}, mic=12),
    ),
    Mutant(
        "a direct out occupies an input",
        "its channel arrives of itself",
        attribute(Face, "split", property(_with_taps)),
        _case(LINED, PREAMP, right={"total": 41000}, mic=12),
    ),
    Mutant(
        "direct outs are as many as there are",
        "every channel has one",
        taking_devices_for(lambda d, _: replace(d, direct_out=d.mic_capable)),
        _case(LINED, replace(PREAMP, direct_out=2), right={"total": 50000}, mic=12),
    ),
    Mutant(
        "a direct out goes into an input that takes line",
        "into any",
        taking_devices_for(lambda d, _: replace(d, line=d.line + d.inst, inst=0)),
        _case(replace(DESK, inst=4), PREAMP, right=None, mic=12),
    ),
    Mutant(
        "a preamp needs no rate",
        "it needs one",
        attribute(
            Device, "has_direct_outs", property(lambda d: d.direct_out > 0 and bool(d.rates_hz))
        ),
        _case(LINED, replace(PREAMP, rates_hz=()), right={"total": 41000}, mic=12),
    ),
    Mutant(
        "a digital expander may be used by its direct outs alone",
        "only what is analogue may",
        taking_devices_for(lambda d, _: replace(d, direct_out=0) if d.digital else d),
        _case(
            LINED,
            replace(PRE, direct_out=8, rates_hz=(44100,)),
            right={"total": 30000 + 20000 + 4 * 500},
            mic=12,
        ),
    ),
    Mutant(
        "plugs fit",
        "any plug will do",
        taking_devices_for(lambda d, _: replace(d, line_plug="jack")),
        _case(replace(LINED, line_plug="xlr"), PREAMP, right=None, mic=12),
    ),
    Mutant(
        "a direct out finds the bank of an XLR off",
        "it need not",
        attribute(channels, "needs_off", lambda _: False),
        _case(
            PLUGGED,
            replace(PREAMP, phantom_bank=0),
            right=None,
            mic=4,
            phantom=2,
            no_phantom=2,
            cables=(XLR,),
        ),
    ),
    Mutant(
        "a piece has so many ways",
        "one more",
        taking_cables_for(lambda c: replace(c, ways=c.ways + 1) if c.ways == 4 else c),
        _case(
            replace(LINED, line=5),
            replace(PREAMP, mic=5, direct_out=5),
            right={"total": 30000 + 9000 + 1500 + 500},
            mic=13,
            cables=(LEAD, LOOM),
        ),
    ),
    Mutant(
        "leads are as long as their run",
        "shorter",
        taking_cables_for(lambda c: replace(c, length_mm=9000)),
        _case(LINED, PREAMP, right=None, mic=12, host_to_rack_mm=2000),
    ),
    Mutant(
        "a D-sub connector has 8 channels",
        "16",
        taking_cables_for(lambda c: replace(c, ways=16) if c.ways == 8 else c),
        _case(WIDE, BIG, right={"total": 30000 + 9000 + 6000}, mic=9, cables=(COMB,)),
    ),
    Mutant(
        "48 V is the preamp's own",
        "every channel has it",
        _of_preamps(phantom_bank=4),
        _case(LINED, replace(PREAMP, phantom_bank=0), right=None, mic=12, phantom=12),
    ),
    Mutant(
        "an instrument may be in a DI box",
        "it may not",
        without(di),
        _case(DESK, BOX, right={"total": 32000}, mic=4, instrument=1),
    ),
    Mutant(
        "a DI box takes so many",
        "one more",
        taking_devices_for(lambda d, _: replace(d, inst=2 * d.inst)),
        _case(DESK, BOX, right={"total": 34000}, mic=4, instrument=2),
    ),
    Mutant(
        "an active DI box needs 48 V",
        "it does not",
        taking_devices_for(lambda d, _: replace(d, di_phantom=False)),
        _case(replace(DESK, phantom_bank=0), BOX, right=None, mic=4, instrument=1),
    ),
    Mutant(
        "line outputs that feed an amplifier do not count",
        "they do",
        taking_devices_for(lambda d, _: replace(d, line_in=0)),
        _case(DESK, EARS, right=None, mic=1, out_phones=6, out_line=3),
    ),
    Mutant(
        "an amplifier has so many outputs",
        "one more",
        taking_devices_for(lambda d, _: replace(d, phones=d.phones + 1)),
        _case(DESK, EARS, right={"total": 40000}, mic=1, out_phones=7),
    ),
    Mutant(
        "spare inputs are kept free",
        "they are not",
        asking(spare=0),
        _case(LINED, PREAMP, right={"total": 41000}, mic=10, spare=2),
    ),
)
