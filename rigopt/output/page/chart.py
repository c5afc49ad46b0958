"""Pictures of prices for a page, drawn by matplotlib as SVG.

The colours are those of the page's style sheet, so they follow it into the dark. The same
numbers give the same bytes: ids come from a fixed salt, and nothing says when it was made.
"""

from __future__ import annotations

import io
import logging
import threading
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Final

from rigopt.money import decimals

if TYPE_CHECKING:
    from matplotlib.axes import Axes


_VARIABLES: Final = {
    "#010101": "var(--ink)",
    "#020202": "var(--rule)",
    "#030303": "var(--sound)",
    "#040404": "var(--tick)",
}
"""Colours that stand in for variables of the style sheet."""

_DRAWING: Final = threading.Lock()

_INK, _RULE, _SOUND, _TICK = _VARIABLES

_SETTINGS: Final[dict[Any, Any]] = {
    "svg.hashsalt": "rigopt",
    "svg.fonttype": "none",
    "font.size": 11,
    "text.color": _INK,
    "axes.labelcolor": _INK,
    "axes.edgecolor": _RULE,
    "xtick.color": _INK,
    "ytick.color": _INK,
    "grid.color": _RULE,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
}


def curve_svg(
    counts: Sequence[int], totals: Sequence[int], changes: Sequence[int], currency: str
) -> str:
    """Totals (minor units) against counts; a dashed line at each count with another host."""

    def draw(axes: Axes) -> None:
        axes.plot(counts, _whole(totals, currency), color=_SOUND, marker="o")
        for count in changes:
            axes.axvline(count, color=_TICK, linestyle="--", linewidth=1)
        axes.set_xticks(counts)
        axes.set_xlabel("Microphones")
        axes.set_ylabel(f"Total, {currency}")
        axes.set_ylim(bottom=None if min(totals) < 0 else 0)
        axes.grid(axis="y")

    label = f"Line: total in {currency} against the number of microphones."
    if changes:
        label += " Dashed: another host than before."
    return _svg(draw, 3.8, label)


def bars_svg(names: Sequence[str], totals: Sequence[int | None], currency: str) -> str:
    """A bar for each total (minor units); None leaves its place empty."""

    def draw(axes: Axes) -> None:
        places = range(len(names))
        shown = [total or 0 for total in totals]
        axes.barh(places, _whole(shown, currency), color=_SOUND)
        axes.set_yticks(places, names)
        axes.invert_yaxis()
        axes.set_xlim(left=None if min(shown) < 0 else 0)
        axes.set_xlabel(f"Total, {currency}")
        axes.grid(axis="x")

    return _svg(draw, 1.2 + 0.4 * len(names), f"Bars: total of each column in {currency}.")


def _whole(totals: Sequence[int], currency: str) -> list[float]:
    """Amounts in whole units, exact enough to be drawn."""
    return [total / 10 ** decimals(currency) for total in totals]


def _svg(draw: Callable[[Axes], None], height: float, label: str) -> str:
    """The SVG element that `draw` fills; `height` in inches, at 72 points each."""
    # On a new machine it would tell standard error that it looks for fonts.
    log = logging.getLogger("matplotlib")
    # Its settings are the process's own: one picture at a time, and all is as it was after.
    with _DRAWING:
        level = log.level
        log.setLevel(logging.ERROR)
        try:
            text = _drawn(draw, height)
        finally:
            log.setLevel(level)
    for colour, variable in _VARIABLES.items():
        text = text.replace(colour, variable)
    return text[text.index("<svg") :].replace(
        "<svg ", f'<svg class="chart" role="img" aria-label="{label}" ', 1
    )


def _drawn(draw: Callable[[Axes], None], height: float) -> str:
    # Here and not above: it takes a second, and only pages need it.
    import matplotlib  # noqa: PLC0415
    from matplotlib.backends.backend_svg import FigureCanvasSVG  # noqa: PLC0415
    from matplotlib.figure import Figure  # noqa: PLC0415

    out = io.StringIO()
    with matplotlib.rc_context():
        matplotlib.rcdefaults()  # whatever the user has set for other work
        matplotlib.rcParams.update(_SETTINGS)
        figure = Figure(figsize=(8, height), layout="tight")
        draw(FigureCanvasSVG(figure).figure.subplots())
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(out, format="svg", transparent=True, metadata=nothing)
    return out.getvalue()
