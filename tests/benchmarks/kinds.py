"""Catalogues with one kind of row added to plain light-pipe, and a question that may use it."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from rigopt.catalogue.types import Cable, Catalogue, Device, SocketRef
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from tests.benchmarks.analogue_rows import di_box, leads
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rich import CABLES, MULTI, STAGE, classes, trunks

Change = Callable[[random.Random, Device], Mapping[str, Any] | Device]


def _direct(plug: str) -> Change:
    def change(draw: random.Random, box: Device) -> Mapping[str, Any]:
        more = draw.choice((0, 8)) if box.may_host else 0
        outs = box.mic_capable if not box.may_host and draw.random() < 0.4 else 0
        price = (box.price or 0) + 400 * more - 300 * outs
        plugs = {"direct_plug": plug, "line_plug": plug}
        return {**plugs, "line": box.line + more, "direct_out": outs, "price": price}

    return change


def _di(draw: random.Random, box: Device) -> Mapping[str, Any] | Device:
    return di_box(draw, box) if box.role == "expander" and draw.random() < 0.2 else {}


def _either(draw: random.Random, box: Device) -> Mapping[str, Any]:
    if not (box.optical_in and box.may_host) or draw.random() < 0.5:
        return {}
    group = (SocketRef("optical", "in", 1), SocketRef("coax", "in", 1))
    return {"coax_in": max(1, box.coax_in), "either": (group,)}


def _chained(draw: random.Random, box: Device) -> Mapping[str, Any]:
    locks = (*dict.fromkeys((*box.clock_in, "word")),)
    return {
        "word_in": 1,
        "clock_in": locks,
        "word_end": draw.choice(("switch", "fixed", "none")),
    }


def _converting(draw: random.Random, box: Device) -> Mapping[str, Any]:
    return {"rate_converter": ("optical",)} if box.optical_in and draw.random() < 0.3 else {}


def _by(ways: Callable[[Cable], bool]) -> Iterable[Cable]:
    return (lead for lead in leads() if ways(lead))


@dataclass(frozen=True)
class Kind:
    """How boxes change, what cables come, and what is asked beside 24 microphones."""

    change: Change
    cables: Iterable[Cable] = ()
    asked: Mapping[str, Any] | None = None


KINDS: Final[dict[str, Kind]] = {
    "light-pipe alone": Kind(lambda _, __: {}),
    "direct outs": Kind(_direct("jack"), tuple(_by(lambda lead: lead.ways == 1))),
    "looms": Kind(_direct("dsub"), tuple(_by(lambda lead: lead.ways != 1))),
    "DI boxes": Kind(_di, asked={"instrument": 4}),
    "trunks": Kind(trunks, CABLES),
    "either-sockets": Kind(_either),
    "word chains": Kind(_chained, CABLES, {"master": "clock"}),
    "converters": Kind(_converting, asked={"own_clocks": True, "max_hosts": 2}),
    "classes": Kind(lambda draw, box: {} if box.role == "clock" else classes(draw, box)),
}


def shop_of(kind: Kind, seed: int, types: int) -> Catalogue:
    """A random catalogue of `types`, changed."""
    draw, plain = random.Random(seed), catalogue(seed, types)
    devices = {name: _changed(kind, draw, box) for name, box in plain.devices.items()}
    cables = {cable.id: cable for cable in (*plain.cables.values(), *kind.cables)}
    formats = {**FORMATS, MULTI.id: MULTI, STAGE.id: STAGE}
    return replace(plain, devices=devices, cables=cables, formats=formats)


def _changed(kind: Kind, draw: random.Random, box: Device) -> Device:
    if box.role == "clock":
        return box
    change = kind.change(draw, box)
    return change if isinstance(change, Device) else replace(box, **change)


def needs_of(kind: Kind) -> Needs:
    """24 microphones, a third with 48 V, and what the kind is for."""
    asked: dict[str, Any] = {"mic": 24, "phantom": 8, **(kind.asked or {})}
    return Needs(**asked)
