"""What can stand in a place: a device type as it is at a rate class."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rigopt.catalogue.types import ACCEPTS, MANY, Blank, Device, SocketRef
from rigopt.facts import Format


@dataclass(frozen=True)
class Jack:
    """One socket: `way` is in, out or both (duplex); `locks`: the clock may come in here."""

    kind: str
    way: str
    number: int
    formats: tuple[str, ...]
    locks: bool
    rivals: tuple[int, ...]
    """The `either` groups that it is in."""


@dataclass(frozen=True)
class Build:
    """A device type; of a host, also which optical inputs hold a stereo cable.

    `stereo` is None where that changes no number that the computer sees. Otherwise these
    inputs must hold a stereo cable, and no other may.
    """

    device: Device
    jacks: tuple[Jack, ...]
    analogue: int
    seen: tuple[tuple[tuple[str, int], int], ...] = ()
    """Of a host: the numbers of each block, or socket of it, that reach the computer."""
    stereo: tuple[int, ...] | None = None
    linked: bool = True
    """Whether it may have digital cables, at this rate and in its role."""

    @property
    def name(self) -> str:
        """The same for equal builds alone."""
        return f"{self.device.id} {self.stereo}"

    def plugs(self, form: str, way: str) -> list[Jack]:
        """Sockets that can be the `way` end of a cable of this format."""
        return [j for j in self.jacks if form in j.formats and j.way in (way, "both")]

    def reach(self, kind: str, number: int = 0) -> int:
        """Numbers of a block, or of one socket of it, that reach the computer."""
        return dict(self.seen)[kind, number]

    def converts(self, form: Format) -> bool:
        """Whether inputs for this format have rate converters."""
        return form.socket in self.device.rate_converter

    def taking(self, source: str) -> list[int]:
        """The channels, from 1, that accept a source."""
        kinds = self.device.channel_kinds
        return [n for n, kind in enumerate(kinds, start=1) if source in ACCEPTS[kind]]

    @property
    def outs(self) -> list[int]:
        """The channel that each direct out carries, direct out 1 first."""
        if self.device.role not in ("expander", "either", "preamp"):
            return []
        return self.taking("mic")[: self.device.direct_out]

    @property
    def banks(self) -> list[int]:
        """The 48 V bank of each channel in turn, from 0; -1 where there is no 48 V."""
        numbers: list[int] = []
        before = 0
        for kind in self.device.channel_kinds:
            if "mic" in ACCEPTS[kind]:
                numbers.append(self.bank(before))
                before += 1
            else:
                numbers.append(-1)
        return numbers

    def bank(self, before: int) -> int:
        """The bank of the microphone input that has so many of them before it."""
        sizes = self.device.phantom_bank
        if isinstance(sizes, int):
            return before // sizes if sizes else -1
        ends = list(itertools.accumulate(sizes))
        return next((bank for bank, end in enumerate(ends) if before < end), -1)


def builds(device: Device, formats: Mapping[str, Format], m: int, host: bool) -> list[Build]:
    """All builds of a type at rate class m."""
    jacks = tuple(live_jacks(device, formats, m))
    analogue = min(device.analogue, {1: MANY, 2: device.analogue_2x, 4: device.analogue_4x}[m])
    plain = Build(device, jacks, analogue)
    if not host:
        return [plain]
    limit = {1: device.max_in_1x, 2: device.max_in_2x, 4: device.max_in_4x}[m]
    open_to_both = [j.number for j in jacks if j.way == "in" and len(j.formats) > 1]
    if limit is None or not open_to_both:
        return [numbered(plain, formats, m, limit)]
    return [
        numbered(held_to(plain, stereo), formats, m, limit)
        for size in range(len(open_to_both) + 1)
        for stereo in itertools.combinations(open_to_both, size)
    ]


def unlinked(device: Device) -> Build:
    """A type of which no digital cable is used: nothing of it arrives by itself."""
    return Build(device, (), 0, linked=False)


def held_to(build: Build, stereo: tuple[int, ...]) -> Build:
    """The build with these optical inputs on stereo and all other such on light-pipe."""
    jacks = tuple(
        Jack(j.kind, j.way, j.number, j.formats[(j.number in stereo) :][:1], j.locks, j.rivals)
        if j.way == "in" and len(j.formats) > 1
        else j
        for j in build.jacks
    )
    return Build(build.device, jacks, build.analogue, build.seen, stereo)


def numbered(build: Build, formats: Mapping[str, Format], m: int, limit: int | None) -> Build:
    """The build with its row of numbers cut where the computer sees no more."""
    found = {}
    first = 0
    for name, width in row(build, formats, m):
        found[name] = width if limit is None else max(0, min(width, limit - first))
        first += width
    return Build(build.device, build.jacks, build.analogue, tuple(found.items()), build.stereo)


def row(
    build: Build, formats: Mapping[str, Format], m: int
) -> Iterator[tuple[tuple[str, int], int]]:
    """Blocks and sockets in the order of their numbers, each with how many it takes."""
    for block in build.device.input_order:
        if isinstance(block, Blank):
            yield ("blank", 0), {1: block.at_1x, 2: block.at_2x, 4: block.at_4x}[m]
        elif block == "analogue":
            yield ("analogue", 0), build.analogue
        else:
            for jack in build.jacks:
                if jack.kind == block and jack.way != "out":
                    yield (block, jack.number), formats[jack.formats[0]].carries(m)


def live_jacks(device: Device, formats: Mapping[str, Format], m: int) -> Iterator[Jack]:
    """Sockets that carry anything at class m, with the formats that they then speak.

    An optical socket that can do both has light-pipe first.
    """
    trunk = device.trunk
    counts = {
        ("optical", "in"): device.optical_in,
        ("optical", "out"): device.optical_out,
        ("coax", "in"): device.coax_in,
        ("coax", "out"): device.coax_out,
        ("trunk", "both" if trunk and trunk.duplex else "in"): device.trunk_in,
        ("trunk", "out"): device.trunk_out,
        ("word", "in"): device.word_in,
        ("word", "out"): device.word_out,
    }
    for (kind, way), count in counts.items():
        for number in range(1, count + 1):
            limits = reach_of_formats(device, way, m) | ({trunk.id: count} if trunk else {})
            speaks = tuple(
                name
                for name, form in formats.items()
                if form.socket == kind and form.live(m) and number <= limits.get(name, 0)
            )
            if speaks:
                mine = SocketRef(kind, "out" if way == "out" else "in", number)  # type: ignore[arg-type]
                locks = way != "out" and any(e in (kind, mine) for e in device.clock_in)
                rivals = [i for i, group in enumerate(device.either) if mine in group]
                yield Jack(kind, way, number, speaks, locks, tuple(rivals))


def reach_of_formats(device: Device, way: str, m: int) -> dict[str, int]:
    """The last socket that does each of the program's own formats."""
    piped = {1: device.optical_1x, 2: device.optical_2x, 4: device.optical_4x}[m]
    if not isinstance(piped, int):
        piped = piped.outputs if way == "out" else piped.inputs
    return {
        "light-pipe": piped,
        "stereo": device.optical_stereo,
        "coax": {1: MANY, 2: device.coax_2x, 4: device.coax_4x}[m],
        "word": MANY,
    }
