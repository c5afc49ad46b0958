"""Outputs: a host's line outputs count; an expander's as far as its host feeds them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring


def line_fed(wiring: Wiring) -> int:
    """Line outputs that something feeds."""
    sound = listen(wiring)
    own = sum(unit.device.line_out for unit in wiring.of_role("host"))
    away = [wiring.unit(link.to_unit).role == "expander" for link in wiring.links]
    return own + sum(n for n, to in zip(sound.heard, away, strict=True) if to) + sum(sound.back)


def most_phones(wiring: Wiring, lines: int) -> int:
    """The most headphone outputs: those of hosts, and of amplifiers that `lines` line outputs
    feed, each by as many as it takes.
    """
    best = Counter({0: sum(unit.device.phones for unit in wiring.of_role("host"))})
    for unit in wiring.of_role("headphones"):
        for used, phones in list(best.items()):
            more = used + unit.device.line_in
            if more <= lines:
                best[more] = max(best[more], phones + unit.device.phones)
    return max(best.values())


def check_outputs(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules line-outputs, phones."""
    fed = line_fed(wiring)
    if fed < needs.out_line:
        yield finding("line-outputs", fed=fed, asked=needs.out_line)
    phones = most_phones(wiring, fed - needs.out_line)
    if phones < needs.out_phones:
        yield finding("phones", count=phones, asked=needs.out_phones)
