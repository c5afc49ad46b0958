"""That every price that could count is known."""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.needs.types import Needs


def check_known(catalogue: Catalogue, needs: Needs) -> None:
    """Refuse a question in which something could be bought at a price nobody knows.

    Raises:
        InputError: When there is such a thing; it names the cell of each.
    """
    asked = [needs, *(stage.needs for stage in needs.stages)]
    faults = [
        fault
        for item, fault in catalogue.unknown.items()
        if any(_buyable(catalogue, one, item) for one in asked)
    ]
    if faults:
        raise InputError(faults)


def _buyable(catalogue: Catalogue, needs: Needs, item: str) -> bool:
    if needs.owned_only or item in needs.avoid:
        return False
    device = catalogue.devices.get(item)
    return device is None or device.may_stand(needs.rate_hz)
