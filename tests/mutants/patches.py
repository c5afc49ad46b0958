"""Ways to break one rule of the optimiser, each for the time of one test."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Cable, Catalogue, Device, Seller
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.questions import plan as module
from rigopt.rig.sockets import BY_SOCKET

Patch = Callable[[pytest.MonkeyPatch], None]


def attribute(owner: object, name: str, instead: object) -> Patch:
    """Another function or constant in place of `owner.name`, which must be there.

    A seam that others use, not a private name: what is inside a module may change.
    """
    assert not name.startswith("_"), name
    return lambda monkeypatch: monkeypatch.setattr(owner, name, instead)


def item(owner: dict[Any, Any], key: object, instead: object) -> Patch:
    """Another value in place of `owner[key]`."""
    return lambda monkeypatch: monkeypatch.setitem(owner, key, instead)


def together(*patches: Patch) -> Patch:
    """All of these at once, where one alone is made good by another part."""

    def patch(monkeypatch: pytest.MonkeyPatch) -> None:
        for one in patches:
            one(monkeypatch)

    return patch


def without(rule: object) -> Patch:
    """The whole rule of a module dropped."""
    return attribute(rule, "add", lambda *_: None)


def asking(**changes: Any) -> Patch:
    """The optimiser answers another question than the one that was put.

    A change may be a value, or a function of the value that was asked for.
    """

    def changed(needs: Needs) -> Needs:
        values = {k: v(getattr(needs, k)) if callable(v) else v for k, v in changes.items()}
        return replace(needs, **values)

    before = module.state
    return attribute(module, "state", lambda shop, needs: before(shop, changed(needs)))


def taking_devices_for(change: Callable[[Device, Needs], Device]) -> Patch:
    """The optimiser takes every device for something else than it is."""
    before = module.state

    def state(shop: Catalogue, needs: Needs) -> Problem:
        devices = {key: change(device, needs) for key, device in shop.devices.items()}
        return before(replace(shop, devices=devices), needs)

    return attribute(module, "state", state)


def taking_sellers_for(change: Callable[[Seller], Seller]) -> Patch:
    """The optimiser takes every seller for something else than it is."""
    before = module.state

    def state(shop: Catalogue, needs: Needs) -> Problem:
        sellers = {key: change(seller) for key, seller in shop.sellers.items()}
        return before(replace(shop, sellers=sellers), needs)

    return attribute(module, "state", state)


def speaking(name: str, **changes: Any) -> Patch:
    """Sockets speak another format than the one of that name."""
    row = FORMATS[name]
    other = row._replace(**changes)
    rows = tuple(other if one == row else one for one in BY_SOCKET[row.socket])
    return together(item(FORMATS, name, other), item(BY_SOCKET, row.socket, rows))


class Seen:
    """An object with some attributes in the place of its own."""

    def __init__(self, seen: object, **instead: object) -> None:
        self._seen = seen
        self.__dict__.update(instead)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._seen, name)


class _Lax:
    """A model that takes no constraint of the form 'sum == 1'."""

    def __init__(self, model: cp_model.CpModel) -> None:
        self._model = model

    def add(self, constraint: Any) -> object:
        linear = isinstance(constraint, cp_model.BoundedLinearExpression)
        if linear and constraint.bounds.flattened_intervals() == [1, 1]:
            return None
        return self._model.add(constraint)

    def __getattr__(self, name: str) -> object:
        return getattr(self._model, name)


def without_ones(rule: Any) -> Patch:
    """A rule without its constraints 'exactly one'."""
    before = rule.add
    return attribute(rule, "add", lambda model, rig: before(_Lax(model), rig))


def taking_cables_for(change: Callable[[Cable], Cable]) -> Patch:
    """The optimiser takes every cable for something else than it is."""
    before = module.state

    def state(shop: Catalogue, needs: Needs) -> Problem:
        cables = {key: change(cable) for key, cable in shop.cables.items()}
        return before(replace(shop, cables=cables), needs)

    return attribute(module, "state", state)
