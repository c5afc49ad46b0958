"""One small question asked, and what is seen of the answer."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Cable, Catalogue, Device, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.questions import plan as module
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig
from tests.world import CABLES, catalogue


@dataclass(frozen=True)
class Case:
    """A question; `right` is what is known of its answer: None for 'there is none'.

    Of a rig, `right` names the money, units, links, hops, or the types in it, in any
    selection: what the rule decides.
    """

    devices: tuple[Device, ...]
    right: dict[str, object] | None
    needs: dict[str, Any] = field(default_factory=dict)
    cables: tuple[Cable, ...] = CABLES
    offers: tuple[Offer, ...] = ()
    sellers: tuple[Seller, ...] = ()

    @property
    def shop(self) -> Catalogue:
        """The catalogue of the question."""
        plain = catalogue(*self.devices, cables=self.cables)
        sellers = {seller.id: seller for seller in self.sellers}
        return replace(plain, offers=self.offers, sellers=sellers)

    def ask(self) -> dict[str, object] | None:
        """The answer of the program as it is just now, with what the audit finds in it."""
        wanted = Needs(**self.needs)
        found = module.solve(self.shop, wanted)
        if not isinstance(found, Answered):
            return None
        return _facts(_with_true_devices(found.rig, self.shop), self.shop, wanted)

    def answered(self) -> bool:
        """Whether the answer is the right one, and sound."""
        found = self.ask()
        if found is None or self.right is None:
            return found is self.right
        return not found["findings"] and all(found[key] == v for key, v in self.right.items())


def _facts(rig: Rig, shop: Catalogue, wanted: Needs) -> dict[str, object]:
    return {
        "total": rig.total,
        "units": len(rig.units),
        "links": len(rig.links),
        "hops": rig.clock_hops,
        "types": [unit.device.id for unit in rig.units],
        "master": rig.master.role,
        "cables": sorted(link.cable.id for link in rig.links if link.cable),
        "numbers": [item.computer_input for item in rig.inputs],
        "split": len(rig.split_pairs),
        "findings": [found.rule for found in audit(rig, shop, wanted)],
    }


def _with_true_devices(rig: Rig, shop: Catalogue) -> Rig:
    """The rig with the boxes that really stand there, whatever a mutant took them for."""
    return replace(
        rig,
        units=tuple(replace(unit, device=shop.devices[unit.device.id]) for unit in rig.units),
    )
