"""Where the parts of a chart lie: hundredths across and pixels down, worked out by hand."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest

from rigopt.output.facts.steps import Flat
from rigopt.output.page.chart import Bar, bars, stairs
from rigopt.output.page.scale import scale

ONE, TWO = {"desk-8": 1}, {"desk-8": 2}


def found(pattern: str, text: str) -> list[tuple[str, ...]]:
    return [tuple(match.groups()) for match in re.finditer(pattern, text)]


@pytest.mark.parametrize(
    ("amounts", "marks"),
    [
        ([0], (0, 1)),
        ([1], (0, 1)),
        ([6], tuple(range(7))),
        ([7], (0, 2, 4, 6, 8)),
        ([13], (0, 5, 10, 15)),
        ([31], (0, 10, 20, 30, 40)),
        ([61], (0, 20, 40, 60, 80)),
        ([121], (0, 50, 100, 150)),
        ([-1, 5], tuple(range(-1, 6))),
        ([-1, 6], (-2, 0, 2, 4, 6)),
        ([-7], (-8, -6, -4, -2, 0)),
    ],
)
def test_a_scale_has_the_smallest_round_step(amounts: Sequence[int], marks: tuple[int]) -> None:
    """From nought on, six steps at most."""
    assert scale(amounts).marks == marks


def test_an_amount_lies_between_the_marks() -> None:
    assert [scale([-1, 6]).part(amount) for amount in (-2, 0, 6)] == [0, 0.25, 1]
    assert scale([120]).texts("GBP")[:2] == ["0.00", "0.20"]
    assert scale([600]).texts("GBP")[:2] == ["0", "1"]


FLATS = (
    Flat(4, 7, 10000, ONE, ONE, False),
    Flat(8, 9, 10000, TWO, TWO, True),
    Flat(12, 12, 24000, ONE, ONE, False),
    Flat(13, 13, 24100, ONE, ONE, False),
    Flat(14, 14, 10000, ONE, ONE, False),
)


def test_steps_lie_where_their_counts_and_prices_are() -> None:
    """11 counts from 4 to 14, each 9.09 wide; 250.00 GBP are 240 pixels."""
    told = stairs(FLATS, (4, 6, 8, 12, 13, 14), None, "GBP")
    line = (
        r'<line class="(step|moved)" x1="([\d.]+)%" x2="([\d.]+)%" y1="([\d.]+)" y2="([\d.]+)"'
    )
    assert found(line, told)[:10] == [
        ("step", "0", "36.36", "144", "144"),
        ("moved", "36.36", "36.36", "144", "240"),
        ("step", "36.36", "36.36", "144", "144"),
        ("step", "36.36", "54.55", "144", "144"),
        ("step", "72.73", "81.82", "9.6", "9.6"),
        ("step", "81.82", "81.82", "9.6", "8.64"),
        ("step", "81.82", "90.91", "8.64", "8.64"),
        ("step", "90.91", "90.91", "8.64", "144"),
        ("step", "90.91", "100", "144", "144"),
    ]
    assert found(r"<title>(.*)</title>", told)[1:3] == [
        ("8–9: 100.00 GBP, 2 desk-8",),
        ("12: 240.00 GBP, 1 desk-8",),
    ]


def test_an_amount_is_written_where_it_has_room() -> None:
    """Not at the left edge, nor less than 18 hundredths and 14 pixels beside another."""
    told = stairs(FLATS, (4, 6, 8, 12, 13, 14), None, "GBP")
    assert found(r'<text x="([\d.]+)%" dx="-5" y="([\d.]+)" dy="-4".*?>([\d.]+)<', told) == [
        ("36.36", "144", "100.00"),
        ("72.73", "9.6", "240.00"),
        ("90.91", "144", "100.00"),
    ]
    wide = tuple(Flat(n, n, 100 * n, ONE, ONE, False) for n in range(1, 101))
    shown = stairs(wide, (1, 100), None, "GBP")
    labels = found(r'<text x="([\d.]+)%" dx="-5"', shown)
    assert labels[:2] == [("18",), ("24",)]


def test_dots_and_ticks_stand_in_the_middle_of_their_counts() -> None:
    told = stairs(FLATS, (4, 6, 8, 10, 14), None, "GBP")
    assert found(r'<circle cx="([\d.]+)%" cy="([\d.]+)" r="3.5"/>\n', told) == [
        *(("4.55", "144"), ("22.73", "144"), ("40.91", "144"), ("95.45", "144")),
    ]
    many = stairs(FLATS, range(1, 41), None, "GBP")
    ticks = found(r'class="tick" x="([\d.]+)%" y="256" text-anchor="middle">(\d+)<', many)
    assert [int(mic) for _, mic in ticks] == [1, 5, 9, 13, 17, 21, 25, 29, 33, 40]
    assert (ticks[0][0], ticks[-1][0]) == ("1.25", "98.75")


def test_what_is_beyond_the_last_rig_is_shaded() -> None:
    told = stairs(FLATS[:1], (4, 8), 6, "GBP")
    assert '<rect class="none" x="40%" y="0" width="60%"' in told
    assert "4–7: 100.00 GBP; no rig from 6." in told
    assert "no rig: 6 and more" in told
    assert "another host from here on" not in told
    assert "another host from here on" in stairs(FLATS, (4, 8), None, "GBP")


def test_bars_begin_at_nought_or_at_the_least() -> None:
    """From -3 to 5 are 8 parts of 12.5 hundredths."""
    shown = (
        Bar("a", 500, "5.00"),
        Bar("b", None, "none"),
        Bar("c", -300, "-3.00"),
        Bar("d", 400, "1-4", 100),
    )
    told = bars(shown, "Bars")
    bar = r'<rect x="([\d.]+)%" y="1" width="([\d.]+)%"'
    row = rf'class="of">(.*?)<.*?(?:{bar}.*?)?<line x1="([\d.]+)%"'
    assert found(row, told) == [
        ("a", "37.5", "62.5", "37.5"),
        ("b", None, None, "37.5"),
        ("c", "0", "37.5", "37.5"),
        ("d", "50", "37.5", "37.5"),
    ]
    assert found(bar, bars((Bar("a", 0, "0"),), "T")) == [("0", "0")]
    below = bars((Bar("c", -300, "-3.00"),), "T")
    assert found(row, below) == [("c", "0", "99.67", "99.67")]
