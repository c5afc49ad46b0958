"""The one tiny world of the tests: boxes everybody knows by kind; variants by replacement.

Other folders keep a world of their own only where its names, labels or prices are what they
test. All data are invented.
"""

from __future__ import annotations

from typing import Any

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs, SourceLine
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig

BOTH = (44100, 48000, 88200, 96000)
ALL = (*BOTH, 176400, 192000)

DESK = Device(
    "desk-8",
    "8 preamps, one light-pipe pair",
    "host",
    30000,
    mic_line=8,
    phantom_bank=4,
    line_out=4,
    phones=2,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    coax_in=1,
    coax_out=1,
    clock_in=("optical", "coax"),
    rates_hz=BOTH,
    rack_units=1,
)
PRE = Device(
    "pre-8",
    "8 preamps to light-pipe",
    "expander",
    20000,
    mic_line=8,
    phantom_bank=8,
    line_out=8,
    optical_in=1,
    optical_out=1,
    optical_2x=1,
    clock_in=("optical",),
    rates_hz=BOTH,
    rack_units=1,
)
HUB = Device(
    "hub-4",
    "no preamps, four light-pipe pairs",
    "host",
    25000,
    optical_in=4,
    optical_out=4,
    optical_2x=4,
    clock_in=("optical",),
    rates_hz=BOTH,
    rack_units=1,
)
COAX = Cable("coax-1m", "coax 1 m", "coax", 1000, 700)
OPT = Cable("opt-1m", "optical 1 m", "optical", 1000, 600)
WORD = Cable("word-1m", "word clock 1 m", "word", 1000, 900)
CABLES = (COAX, OPT, WORD)


def catalogue(*devices: Device, cables: tuple[Cable, ...] = CABLES) -> Catalogue:
    """A catalogue of these."""
    return Catalogue(
        "tiny", "Tiny", "GBP", {d.id: d for d in devices}, {c.id: c for c in cables}
    )


def asked(sources: tuple[SourceLine, ...]) -> Needs:
    """Needs with these sources and their counts."""
    powers = [source.phantom for source in sources]
    return Needs(
        mic=len(sources),
        phantom=powers.count("on"),
        no_phantom=powers.count("off"),
        sources=sources,
    )


def outcome(devices: tuple[Device, ...], **needs: Any) -> Answered | Impossible:
    """How the question ends; a rig is audited before it is handed on."""
    cables = needs.pop("cables", CABLES)
    shop, wanted = catalogue(*devices, cables=cables), Needs(**needs)
    found = solve(shop, wanted)
    assert isinstance(found, Answered | Impossible)
    if isinstance(found, Answered):
        assert found.proven
        assert audit(found.rig, shop, wanted) == ()
    return found


def rig(*devices: Device, **needs: Any) -> Rig:
    """The cheapest rig."""
    found = outcome(devices, **needs)
    assert isinstance(found, Answered), found
    return found.rig


def impossible(*devices: Device, **needs: Any) -> bool:
    """Whether there is none."""
    return isinstance(outcome(devices, **needs), Impossible)


def numbers(found: Rig, unit: str) -> list[int]:
    """The computer inputs behind which `unit` stands."""
    return [line.computer_input for line in found.inputs if line.unit == unit]


def cables_of(found: Rig, kind: str = "optical") -> int:
    """Links of a kind."""
    return sum(link.kind == kind for link in found.links)
