"""Outputs: a host's line outputs count; an expander's as far as its host feeds them."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.wiring import Wiring


def line_fed(wiring: Wiring) -> int:
    """Line outputs that something feeds."""
    names = {unit.name for unit in wiring.of_role("expander")}
    heard = listen(wiring).heard
    fed = sum(n for link, n in zip(wiring.links, heard, strict=True) if link.to_unit in names)
    return fed + sum(unit.device.line_out for unit in wiring.of_role("host"))


def check_outputs(wiring: Wiring, needs: Needs) -> Iterator[Finding]:
    """Rules line-outputs, phones."""
    fed = line_fed(wiring)
    if fed < needs.out_line:
        yield finding("line-outputs", fed=fed, asked=needs.out_line)
    phones = sum(unit.device.phones for unit in wiring.of_role("host"))
    if phones < needs.out_phones:
        yield finding("phones", count=phones, asked=needs.out_phones)
