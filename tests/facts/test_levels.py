"""Levels of analogue lines: figures of the outside world beside our arithmetic."""

from __future__ import annotations

import re
from math import log10, sqrt

import pytest

from rigopt.output.terminal.about import as_text, page
from rigopt.rig import levels


def test_0_dbv_in_dbu() -> None:
    # 0 dBu is 1 mW into 600 ohm, 0.6 V squared: 10 log10(1 / 0.6).
    assert levels.dbu(0) == pytest.approx(2.218, abs=0.0005)
    assert levels.dbu(0) == pytest.approx(-20 * log10(sqrt(0.6)))


def test_the_studio_level_over_the_consumer_level() -> None:
    # 11.78 dB; 11.79 only with 0.775 V for 0 dBu.
    assert levels.over_consumer() == pytest.approx(11.78, abs=0.005)
    rounded = 4 - (-10 + 20 * log10(1 / 0.775))
    assert rounded == pytest.approx(11.79, abs=0.005)


def test_full_scale() -> None:
    # EBU R68: -18 dBFS is 0 dBu. SMPTE RP155: -20 dBFS is +4 dBu (both restated).
    assert levels.full_scale(levels.EBU_R68) == 18
    assert levels.full_scale(levels.SMPTE_RP155) == 24


def test_what_is_too_much() -> None:
    # Full scales of an open PCIe driver's controls: +24 into +13 clips by 11 dB.
    assert levels.clips_by(24, 13) == 11
    assert levels.clips_by(13, 13) == levels.clips_by(4, 13) == 0


@pytest.mark.parametrize(
    ("source", "load", "left"),
    # A load of ten times the source (restated); the others: own arithmetic.
    [(1, 10, -0.83), (600, 10_000, -0.51), (100_000, 10_000, -20.8), (100_000, 1e6, -0.83)],
)
def test_a_load(source: float, load: float, left: float) -> None:
    assert levels.loading(source, load) == pytest.approx(left, abs=0.05)


@pytest.mark.parametrize(("ratio", "left"), [(10, -20), (12, -21.6)])
def test_a_transformer(ratio: float, left: float) -> None:
    # Turns of usual DI boxes: own arithmetic.
    assert levels.through_transformer(ratio) == pytest.approx(left, abs=0.05)


@pytest.mark.parametrize(
    ("said", "figure"),
    # The figures that the page on rules states, from what they follow from: see above.
    [
        (r"full at \+(\d+) dBu .*? R68", 0 + 18),
        (r"at \+(\d+) dBu by SMPTE RP155", 4 + 20),
        (r"\+24 dBu into .*? \+13 clips by (\d+) dB", 24 - 13),
        (r"0 dBV is ([\d.]+) dBu", 10 * log10(1 / 0.6)),
        (r"\+4 dBu lies ([\d.]+) dB above .10 dBV", 4 - (-10 + 10 * log10(1 / 0.6))),
        (r"ten times the ohms of the output takes ([\d.]+) dB", 20 * log10(11 / 10)),
    ],
)
def test_what_the_page_states(said: str, figure: float) -> None:
    text = " ".join(as_text(page("rules")).split())
    found = re.search(said, text)
    assert found, said
    told = found[1]
    decimals = len(told.partition(".")[2])
    assert float(told) == round(figure, decimals)
