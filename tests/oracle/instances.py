"""Small random catalogues and needs that touch every rule; all data are invented.

One description serves two makers of choices: a seeded generator, `instance(seed)`, and
hypothesis, `catalogues()` and `needs_for(catalogue)`. Every needs has `units` set, which
makes the enumeration of `brute.py` complete.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Protocol, TypeVar

from hypothesis import strategies as st

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.facts import SocketKind
from rigopt.needs.types import Needs

T = TypeVar("T")

PORTS = ("usb", "thunderbolt", "pcie", "network")
KINDS: tuple[SocketKind, ...] = ("optical", "coax", "word")
"""Sockets that need no row in a table of formats."""

LENGTHS_MM = {
    "optical": (500, 1000, 1500, 3000, 5000, 10_000, 12_000),
    "coax": (500, 1000, 2000, 3000, 10_000, 12_000),
    "word": (500, 1000, 3000, 10_000, 30_000, 35_000),
}


class Chooser(Protocol):
    """A maker of choices; the first item and the least number are the plainest."""

    def number(self, least: int, most: int) -> int: ...

    def pick(self, items: Sequence[T]) -> T: ...


class Seeded:
    """Choices by a seeded generator."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def number(self, least: int, most: int) -> int:
        return self.random.randint(least, most)

    def pick(self, items: Sequence[T]) -> T:
        return self.random.choice(items)


class Drawn:
    """Choices by hypothesis, so that it can shrink them."""

    def __init__(self, draw: Any) -> None:
        self.draw = draw

    def number(self, least: int, most: int) -> int:
        return int(self.draw(st.integers(least, most)))

    def pick(self, items: Sequence[T]) -> T:
        return self.draw(st.sampled_from(items))


def rarely(choose: Chooser, times: int = 6) -> bool:
    """True about once in `times`; False is the plainest."""
    return choose.number(1, times) == times


def instance(seed: int, *, extras: bool = False) -> tuple[Catalogue, Needs]:
    """The small catalogue and needs of a seed; `extras` adds things bought by the count."""
    choose = Seeded(seed)
    catalogue = some_catalogue(choose, extras=extras)
    return catalogue, some_needs(choose, catalogue)


def middling(seed: int) -> tuple[Catalogue, Needs]:
    """A larger rig than enumeration likes, of up to 10 units."""
    choose = Seeded(seed)
    catalogue = some_catalogue(choose)
    return catalogue, some_needs(choose, catalogue, most_units=10)


@st.composite
def catalogues(draw: Any) -> Catalogue:
    """Any small catalogue."""
    return some_catalogue(Drawn(draw), extras=draw(st.booleans()))


@st.composite
def needs_for(draw: Any, catalogue: Catalogue) -> Needs:
    """Any small needs for a catalogue."""
    return some_needs(Drawn(draw), catalogue)


# --- catalogues ------------------------------------------------------------------


def some_catalogue(choose: Chooser, *, extras: bool = False) -> Catalogue:
    """Three to five devices and two to seven cables."""
    roles = [choose.pick(("host", "host", "either")), choose.pick(("expander", "either"))]
    roles += [
        choose.pick(("expander", "host", "clock", "either", "expander"))
        for _ in range(choose.number(1, 3))
    ]
    devices = [some_device(choose, f"{role}-{i}", role) for i, role in enumerate(roles)]
    if not rarely(choose, 4):
        devices[:2] = match(choose, *devices[:2])
    cables = some_cables(choose)
    counted = some_extras(choose) if extras else []
    return Catalogue(
        name="random",
        title="Random",
        currency="GBP",
        devices={device.id: device for device in devices},
        cables={cable.id: cable for cable in cables},
        extras={extra.id: extra for extra in counted},
    )


def match(choose: Chooser, host: Device, expander: Device) -> list[Device]:
    """The two with what it takes to be joined by light-pipe at any rate, either way."""
    common: dict[str, Any] = {"rates_hz": (44_100, 48_000, 96_000, 192_000)}
    common |= {"clock_in": ("optical", "coax", "word"), "internal_clock": True}
    ins, outs = choose.pick((2, 1, 4)), choose.pick((2, 1))
    sockets: dict[str, Any] = {"optical_2x": 4, "optical_4x": 4, "optical_out": outs}
    return [
        replace(host, **common, **sockets, optical_in=ins, computer="usb"),
        replace(expander, **common, **sockets, optical_in=1),
    ]


def some_price(choose: Chooser) -> int | None:
    """Round prices often, so that ties happen; none now and then."""
    if rarely(choose, 25):
        return None
    if rarely(choose, 3):
        return choose.number(1, 60_000)
    return 5000 * choose.number(0 if rarely(choose) else 1, 8)


def some_device(choose: Chooser, device_id: str, role: str) -> Device:
    """A device of a role, with sockets that suit it most of the time."""
    values: dict[str, Any] = {"id": device_id, "label": device_id, "role": role}
    values |= {"price": some_price(choose), "mains": choose.pick((1, 1, 1, 0, 2))}
    values |= {"rack_units": choose.number(0, 2), "rates_hz": some_rates(choose)}
    values |= {"internal_clock": not rarely(choose, 8)}
    values |= clock_sockets(choose) if role == "clock" else audio_parts(choose, role)
    kinds = [kind for kind in KINDS if values.get(f"{kind}_in", 0)]
    if role != "clock" or rarely(choose, 2):
        values["clock_in"] = tuple(kind for kind in kinds if not rarely(choose, 8))
    if rarely(choose, 20):
        values["clock_in"] = ()
    return Device(**values)


def some_rates(choose: Chooser) -> tuple[int, ...]:
    """Mostly all of the rates."""
    rates = (44_100, 48_000, 96_000, 192_000)
    return tuple(rate for rate in rates if not rarely(choose, 20)) or (48_000,)


def clock_sockets(choose: Chooser) -> dict[str, Any]:
    """Sockets of a word-clock box; a few have others too, which carry clock alone."""
    sockets = {"word_out": choose.number(1, 4), "word_in": choose.number(0, 1)}
    if rarely(choose, 4):
        sockets |= {"coax_out": 1, "optical_out": 1, "optical_2x": 1}
    return sockets


def audio_parts(choose: Chooser, role: str) -> dict[str, Any]:
    """Channels, outputs and sockets of a host or an expander."""
    hosting = role in ("host", "either")
    parts: dict[str, Any] = {
        "mic_line_inst": choose.pick((0, 0, 1, 2)),
        "mic_line": choose.pick((4, 2, 8, 4, 3, 10) if role != "host" else (0, 2, 4, 1)),
        "mic": choose.pick((0, 0, 0, 2)),
        "line_inst": choose.pick((0, 0, 1)),
        "line": choose.pick((0, 0, 2)),
        "inst": choose.pick((0, 0, 0, 1)),
        "phantom_bank": choose.pick((1, 8, 4, 2, 8, 4, 0)),
        "line_out": choose.pick((0, 2, 4) if hosting else (0, 0, 2, 8)),
        "phones": choose.pick((1, 2, 0)) if hosting else 0,
        "optical_in": choose.pick((2, 1, 4, 0, 2) if hosting else (1, 1, 2, 0)),
        "optical_out": choose.pick((1, 2, 0) if role == "host" else (1, 2, 2, 4)),
        "coax_in": choose.pick((0, 1, 2)),
        "coax_out": choose.pick((0, 1, 2)),
        "word_in": choose.pick((0, 1, 1)),
        "word_out": choose.pick((0, 1, 2)),
        "computer": choose.pick(("usb", "usb", "thunderbolt", "pcie")),
    }
    most = max(parts["optical_in"], parts["optical_out"])
    parts["optical_2x"] = most if not rarely(choose, 4) else choose.number(0, most)
    parts["optical_4x"] = parts["optical_2x"] if not rarely(choose, 3) else 0
    if hosting:
        for rate_class in ("1x", "2x", "4x"):
            if rarely(choose, 4):
                parts[f"max_in_{rate_class}"] = choose.number(4, 20)
    return parts


def some_cables(choose: Chooser) -> list[Cable]:
    """Mostly one of each kind that fits, and a few more of any sort."""
    kinds = [kind for kind in KINDS if not rarely(choose, 20)]
    sure = [(kind, choose.pick((3000, 10_000))) for kind in kinds]
    more = [choose.pick(KINDS) for _ in range(choose.number(0, 4))]
    other = [(kind, choose.pick(LENGTHS_MM[kind])) for kind in more]
    return [
        Cable(
            id=f"cable-{i}",
            label=f"cable-{i}",
            kind=kind,
            length_mm=length,
            price=None if rarely(choose, 12) else choose.pick((500, 0, 400, 1000, 1234, 2500)),
            pack=choose.pick((1, 1, 2, 3)),
        )
        for i, (kind, length) in enumerate(sure + other)
    ]


def some_extras(choose: Chooser) -> list[Extra]:
    """One to three things bought by the count."""
    return [
        Extra(
            id=f"extra-{i}",
            label=f"extra-{i}",
            per=choose.pick(("mic", "source", "unit", "rack_unit", "mains", "rig")),
            price=choose.pick((500, 0, 3000, 9000)),
            pack=choose.number(1, 3),
            each=choose.number(1, 2),
        )
        for i in range(choose.number(1, 3))
    ]


# --- needs -----------------------------------------------------------------------


def some_needs(choose: Chooser, catalogue: Catalogue, most_units: int = 5) -> Needs:
    """Needs of a few sources, with every sort of limit and wish."""
    mic = choose.pick((6, 4, 8, 10, 12, 5, 16, 2, 7, 0)) * (3 if most_units > 5 else 1)
    phantom = choose.number(0, mic) if not rarely(choose, 3) else 0
    no_phantom = choose.number(0, mic - phantom) if rarely(choose, 3) else 0
    devices = tuple(catalogue.devices)
    avoid = tuple(d for d in devices if rarely(choose, 20))
    require = tuple(d for d in devices if d not in avoid and rarely(choose, 15))
    return Needs(
        rate_hz=choose.pick((48_000, 48_000, 44_100, 96_000, 96_000, 192_000)),
        mic=mic,
        phantom=phantom,
        no_phantom=no_phantom,
        line=choose.pick((0, 0, 0, 0, 1, 3)),
        instrument=choose.pick((0, 0, 0, 0, 0, 1, 2)),
        out_line=choose.pick((0, 0, 2, 0, 4, 8)),
        out_phones=choose.pick((0, 0, 0, 1, 2)),
        master=some_master(choose, devices),
        max_hops=choose.pick((3, 3, 2, 1)),
        ports=PORTS if not rarely(choose, 4) else PORTS[: choose.number(1, 3)],
        max_hosts=choose.pick((1, 2, 1, 2, 3)),
        host_to_rack_mm=choose.pick((1000, 500, 3000, 6000, 2500)),
        within_rack_mm=choose.pick((500, 1000, 3000)),
        budget=choose.number(3000, 200_000) if rarely(choose) else None,
        rack_units=choose.number(1, 6) if rarely(choose) else None,
        mains=choose.number(1, 5) if rarely(choose) else None,
        units=choose.number(max(3, most_units - 2), most_units),
        owned=some_owned(choose, catalogue),
        avoid=avoid,
        require=require,
    )


def some_master(choose: Chooser, devices: tuple[str, ...]) -> str:
    """Mostly any."""
    if rarely(choose, 4):
        return choose.pick(("host", "expander", "clock", *devices))
    return "any"


def some_owned(choose: Chooser, catalogue: Catalogue) -> dict[str, int]:
    """A few devices and cables that are there already."""
    items = (*catalogue.devices, *catalogue.cables)
    return {item: choose.number(1, 2) for item in items if rarely(choose, 10)}
