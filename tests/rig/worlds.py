"""Random small catalogues with every kind of row, and needs for them. All data are invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Any

from rigopt.catalogue.types import (
    BLOCKS,
    CHANNEL_COLUMNS,
    MANY,
    Blank,
    Cable,
    Catalogue,
    Device,
    InOut,
    SocketRef,
)
from rigopt.facts import FORMATS, Format
from rigopt.facts import SOCKET_KINDS as KINDS
from rigopt.needs.types import Needs

SIMPLEX = Format("trunk-16", "trunk", "trunk of 16", "t16", (16, 8, 4), max_mm=50_000)
DUPLEX = Format("both-12", "trunk", "both ways", "b12", (12, 6, 0), duplex=True)
MUTE = Format("still-8", "trunk", "without clock", "s8", (8, 4, 2), clock=False)
TRUNKS = (SIMPLEX, DUPLEX, MUTE)
LEANINGS = ("anything", "word", "stereo", "trunk", "clocks")
RATES = (48_000, 96_000, 192_000)


def instance(seed: int) -> tuple[Catalogue, Needs]:
    """The catalogue and needs of a seed."""
    return _World(seed).make()


class _World:
    """Choices by a seeded generator. `leaning`: what most of its boxes are about."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.leaning = LEANINGS[seed % len(LEANINGS)]

    def rarely(self, times: int = 4) -> bool:
        return self.random.randrange(times) == 0

    def number(self, least: int, most: int) -> int:
        return self.random.randint(least, most)

    def pick(self, *items: Any) -> Any:
        return self.random.choice(items)

    def make(self) -> tuple[Catalogue, Needs]:
        roles = ["host", self.pick("host", "either"), "expander"]
        roles += [self.pick("expander", "either")]
        roles += [self.pick("expander", "clock", "clock")] * self.number(0, 2)
        trunk = DUPLEX if self.leaning == "trunk" else self.pick(*TRUNKS)
        devices = [self.device(f"{role}-{n}", role, trunk) for n, role in enumerate(roles)]
        cables = self.cables()
        catalogue = Catalogue(
            "random",
            "Random",
            "GBP",
            {device.id: device for device in devices},
            {cable.id: cable for cable in cables},
            formats={**FORMATS, **{row.id: row for row in TRUNKS}},
        )
        return catalogue, self.needs(catalogue)

    def device(self, name: str, role: Any, trunk: Format) -> Device:
        clock = role == "clock"
        hosting = role in ("host", "either")
        sockets: dict[str, Any] = {
            "optical_in": self.number(0, 3 if hosting else 2) * (not clock),
            "optical_out": self.number(0, 2) * (not clock or self.rarely()),
            "coax_in": self.number(0, 2) * (not clock),
            "coax_out": self.number(0, 2) * (not clock or self.rarely()),
            "word_in": self.number(0, 1),
            "word_out": self.number(1, 2) if clock else self.number(0, 2) * self.rarely(2),
        }
        row = trunk if self.rarely(2) else self.pick(None, *TRUNKS)
        if row is not None and not clock:
            sockets["trunk_in"] = self.number(0, 2 if hosting or row.duplex else 1)
            sockets["trunk_out"] = 0 if row.duplex else self.number(0, 1) + (not hosting)
        else:
            row = None
        made = Device(
            name,
            name,
            role,
            price=self.number(1, 40) * 1000,
            mains=1,
            trunk=row,
            **sockets,
            **({} if clock else self.channels(hosting)),
            optical_1x=MANY if self.rarely(2) else self.limit(),
            optical_2x=MANY if self.rarely(2) else self.limit(),
            optical_4x=MANY if self.rarely(2) else self.limit(),
            optical_stereo=0 if self.rarely(2) else self.number(0, 3),
            coax_2x=MANY if self.rarely(2) else self.number(0, 2),
            coax_4x=MANY if self.rarely(2) else self.number(0, 2),
            rate_converter=self.some(("optical", "coax", "trunk")) if self.rarely() else (),
            word_end=self.pick("switch", "fixed", "none"),
            internal_clock=not self.rarely(6),
            rates_hz=RATES,
        )
        made = replace(made, **self.leant(made))
        made = replace(made, clock_in=self.clock_in(made))
        return replace(made, either=self.either(made)) if self.rarely(2) else made

    def leant(self, device: Device) -> dict[str, Any]:
        """What the leaning changes of a device."""
        hosting, clock = device.may_host, device.role == "clock"
        if self.leaning == "word":
            sockets = {"optical_in": 4 * hosting, "optical_out": 1, "optical_stereo": 1}
            more = {} if clock else {**sockets, "optical_1x": MANY, "max_in_1x": None}
            return {"word_in": 1, "word_out": int(self.rarely(3)) + clock, **more}
        if self.leaning == "stereo" and not clock:
            sockets = {"optical_in": 3, "optical_out": 2 + hosting, "optical_stereo": 3}
            return {**sockets, "optical_1x": self.number(0, 2), "coax_in": 0, "coax_out": 0}
        if self.leaning == "trunk" and not clock:
            trunks = {"trunk": DUPLEX, "trunk_in": self.number(1, 3), "trunk_out": 0}
            return {**trunks, "optical_in": 0, "line_out": self.pick(0, 4, 8)}
        if self.leaning == "clocks" and not clock:
            return {"rate_converter": ("optical", "trunk"), "optical_in": 2, "optical_out": 2}
        return {}

    def some(self, words: Sequence[Any]) -> tuple[Any, ...]:
        return tuple(word for word in words if self.rarely(2))

    def limit(self) -> int | InOut:
        if self.rarely(2):
            return self.number(0, 3)
        return InOut(self.number(0, 3), self.number(0, 3))

    def channels(self, hosting: bool) -> dict[str, Any]:
        order = list(CHANNEL_COLUMNS)
        self.random.shuffle(order)
        found: dict[str, Any] = {
            "mic_line_inst": self.number(0, 1),
            "mic_line": self.number(0, 4 if hosting else 8),
            "mic": self.number(0, 2),
            "line": self.number(0, 2),
            "line_out": self.number(0, 4) if hosting else self.pick(0, 0, 2, 8),
            "channel_order": tuple(order),
            "analogue_2x": MANY if self.rarely(2) else self.number(0, 8),
            "analogue_4x": MANY if self.rarely(2) else self.number(0, 8),
        }
        able = found["mic_line_inst"] + found["mic_line"] + found["mic"]
        found["phantom_bank"] = self.pick(0, 1, 4, 8)
        if able >= 2 and self.rarely(2):
            found["phantom_bank"] = (1, able - 1) if self.rarely(2) else (1, 1)
        if hosting:
            blocks = list(BLOCKS)
            self.random.shuffle(blocks)
            if self.rarely(2):
                blocks.insert(self.number(0, 4), Blank(2, 1, 0))
            found["input_order"] = tuple(blocks)
            for rate_class in ("1x", "2x", "4x"):
                if self.rarely(2):
                    found[f"max_in_{rate_class}"] = self.number(2, 20)
        return found

    def refs(self, device: Device, ways: Sequence[Any] = ("in", "out")) -> list[SocketRef]:
        return [
            SocketRef(kind, way, number)
            for kind in KINDS
            for way in ways
            for number in range(1, getattr(device, f"{kind}_{way}") + 1)
        ]

    def clock_in(self, device: Device) -> tuple[Any, ...]:
        if self.leaning == "word" and not self.rarely(5):
            return ("word",)
        kinds = [kind for kind in KINDS if getattr(device, f"{kind}_in") and not self.rarely(5)]
        single = [ref for ref in self.refs(device, ("in",)) if ref.kind in kinds]
        if single and self.rarely(3):
            ref = self.pick(*single)
            return (*(kind for kind in kinds if kind != ref.kind), ref)
        return tuple(kinds)

    def either(self, device: Device) -> tuple[tuple[SocketRef, ...], ...]:
        refs = self.refs(device)
        sizes = [self.number(2, 3) for _ in range(self.number(1, 2))]
        return tuple(tuple(self.random.sample(refs, n)) for n in sizes if n <= len(refs))

    def cables(self) -> list[Cable]:
        kinds = ["optical", "coax", "word", *(row.cable for row in TRUNKS)]
        found = []
        for kind in kinds:
            for length in (1000, 4000) if self.rarely(2) else (4000,):
                price, pack = self.number(0, 30) * 100, self.pick(1, 1, 2)
                found.append(Cable(f"{kind}-{length}", kind, kind, length, price, pack))
        if not self.rarely(4):
            found.append(Cable("tee", "T-piece", "tee", 0, self.number(0, 10) * 100))
        if not self.rarely(4):
            found.append(Cable("end", "75 ohm", "terminator", 0, self.number(0, 10) * 100))
        return found

    def needs(self, catalogue: Catalogue) -> Needs:
        mic = self.number(1, 30 if self.leaning in ("word", "trunk") else 16)
        phantom = self.number(0, mic) if self.rarely(3) else 0
        devices = tuple(catalogue.devices)
        hosts = self.pick(2, 3) if self.leaning == "clocks" else self.pick(1, 1, 2, 3)
        return Needs(
            rate_hz=self.pick(*RATES, 48_000),
            mic=mic,
            phantom=phantom,
            no_phantom=self.number(0, mic - phantom) if self.rarely(3) else 0,
            line=self.pick(0, 0, 1),
            out_line=self.pick(0, 0, 2, 6, 10),
            master=self.pick("any", "any", "any", "any", "host", "expander", "clock", *devices),
            max_hops=self.pick(3, 3, 2, 1),
            own_clocks=hosts > 1 and self.rarely(2),
            word_inputs=self.pick(4, 4, 3, 2, 1),
            max_hosts=hosts,
            host_to_rack_mm=self.pick(1000, 4000, 500),
            within_rack_mm=self.pick(500, 1000, 4000),
            units=self.number(3, 7),
            require=(self.pick(*devices),) if self.rarely(4) else (),
            owned={self.pick(*devices): 1} if self.rarely(4) else {},
        )
