"""What a theme changes in plain boxes, cables and needs; see rich.py."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import (
    BLOCKS,
    CHANNEL_COLUMNS,
    Blank,
    Cable,
    Catalogue,
    Device,
    InOut,
    SocketRef,
)
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from tests.oracle.instances import Chooser, T, rarely

Question = tuple[Catalogue, Needs]
Facts = dict[str, Any]
Theme = Callable[[Chooser, Catalogue, Needs], Question]


def each(catalogue: Catalogue, change: Callable[[Device], Facts]) -> Catalogue:
    """The catalogue with some facts of each device changed."""
    devices = {d.id: replace(d, **change(d)) for d in catalogue.devices.values()}
    return replace(catalogue, devices=devices)


def with_cables(catalogue: Catalogue, *cables: Cable) -> Catalogue:
    """The catalogue with some more cables."""
    return replace(catalogue, cables={**catalogue.cables, **{c.id: c for c in cables}})


def shuffled(choose: Chooser, items: Sequence[T]) -> tuple[T, ...]:
    """The items in any order."""
    left, found = list(items), []
    while left:
        found.append(left.pop(choose.number(0, len(left) - 1)))
    return tuple(found)


def numbers(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Blocks and channels in other orders, blanks between, and a row that is cut."""

    def change(device: Device) -> Facts:
        blanks = [Blank(*(choose.pick((0, 2, 1, 4)) for _ in "124"))] * choose.number(0, 2)
        facts: Facts = {"input_order": shuffled(choose, (*BLOCKS, *blanks))}
        if rarely(choose, 2):
            facts["channel_order"] = shuffled(choose, CHANNEL_COLUMNS)
        if device.may_host and not rarely(choose, 3):
            facts |= {f"max_in_{c}": choose.number(3, 16) for c in ("1x", "2x", "4x")}
        return facts

    return each(catalogue, change), needs


def halves(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Fewer analogue inputs, coax and light-pipes at some class, each way for itself."""

    def change(device: Device) -> Facts:
        facts: Facts = {"coax_4x": choose.number(0, 2), "coax_2x": choose.number(0, 2)}
        facts["analogue_2x"] = choose.number(device.analogue // 2, device.analogue)
        facts["analogue_4x"] = choose.number(device.analogue // 4, device.analogue)
        for name in ("optical_1x", "optical_2x", "optical_4x"):
            if rarely(choose, 2):
                both = InOut(choose.number(0, 2), choose.number(0, 2))
                facts[name] = choose.pick((both, choose.number(0, 2)))
        return facts

    return each(catalogue, change), needs


def stereo(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Optical sockets that carry stereo, some of them nothing else, for boxes of few inputs."""

    def change(_: Device) -> Facts:
        facts: Facts = {"optical_stereo": choose.pick((1, 2, 1, 0))}
        if not rarely(choose, 3):
            facts |= dict.fromkeys(("optical_1x", "optical_2x"), choose.pick((0, 1, 0)))
        if rarely(choose, 2):
            facts["coax_out"] = 0
        return facts

    return a_unit_more(choose, each(catalogue, change), needs)


def a_unit_more(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """So many microphones that a second small unit or a third is needed, at 1x mostly."""
    hosts = [device.mic_capable for device in catalogue.devices.values() if device.may_host]
    mic = max(hosts, default=0) + choose.pick((2, 1, 3, 4))
    phantom = choose.pick((0, 0, 1))
    rate = needs.rate_hz if rarely(choose, 3) else 48_000
    return catalogue, replace(needs, mic=mic, phantom=phantom, no_phantom=0, rate_hz=rate)


def trunks(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """One or two formats of many channels, on a cable kind of their own or on one."""
    formats = [
        Format(
            id=f"trunk-{i}",
            socket="trunk",
            label=f"trunk-{i}",
            cable=f"line-{0 if rarely(choose, 8) else i}",
            channels=choose.pick(((16, 8, 4), (6, 3, 0), (64, 32, 16), (4, 4, 4), (10, 0, 2))),
            clock=not rarely(choose, 4),
            duplex=choose.pick((True, False)),
            max_mm=choose.pick((None, 20_000, 4000)),
        )
        for i in range(choose.pick((1, 1, 2)))
    ]

    def change(device: Device) -> Facts:
        if rarely(choose, 5):
            return {}
        form = choose.pick(formats)
        facts: Facts = {"trunk": form, "trunk_in": choose.pick((1, 1, 2))}
        if not form.duplex:
            facts |= {"trunk_in": choose.pick((1, 0, 2)), "trunk_out": choose.pick((1, 1, 2))}
        if not rarely(choose, 3):
            facts["clock_in"] = (*device.clock_in, "trunk")
        if rarely(choose, 3):
            facts["optical_out"] = 0
        return facts

    cables = [
        Cable(
            f"run-{i}",
            f"run-{i}",
            f"line-{i}",
            choose.pick((5000, 2000, 15_000)),
            choose.pick((800, 0, 3000)),
            choose.pick((1, 1, 2)),
        )
        for i in range(len(formats))
    ]
    catalogue = replace(catalogue, formats={**FORMATS, **{f.id: f for f in formats}})
    return with_cables(each(catalogue, change), *cables), needs


def sockets_of(device: Device, duplex: bool) -> list[SocketRef]:
    """Every socket that a device has."""
    counts = {
        ("optical", "in"): device.optical_in,
        ("coax", "in"): device.coax_in,
        ("optical", "out"): device.optical_out,
        ("coax", "out"): device.coax_out,
        ("word", "in"): device.word_in,
        ("word", "out"): device.word_out,
        ("trunk", "in"): device.trunk_in,
        ("trunk", "out"): 0 if duplex else device.trunk_out,
    }
    return [
        SocketRef(kind, way, n)  # type: ignore[arg-type]
        for (kind, way), count in counts.items()
        for n in range(1, count + 1)
    ]


def shared(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Few sockets, of which one works at a time."""
    usual = [
        [SocketRef("optical", "in", 1), SocketRef("coax", "in", 1)],
        [SocketRef("optical", "in", 1), SocketRef("optical", "in", 2)],
        [SocketRef("optical", "in", 1), SocketRef("optical", "out", 1)],
        [SocketRef("optical", "out", 1), SocketRef("coax", "out", 1)],
        [SocketRef("word", "in", 1), SocketRef("word", "out", 1)],
        [SocketRef("trunk", "in", 1), SocketRef("optical", "in", 1)],
    ]

    def change(device: Device) -> Facts:
        poor = {"optical_in": choose.pick((1, 2)), "coax_in": choose.pick((1, 0, 2))}
        facts: Facts = poor if device.role != "clock" else {}
        device = replace(device, **facts)
        duplex = device.trunk is not None and device.trunk.duplex
        there = sockets_of(device, duplex)
        groups = [group for group in usual if set(group) <= set(there) and rarely(choose, 2)]
        if rarely(choose, 3):
            groups.append(list(shuffled(choose, there)[: choose.pick((2, 3))]))
        return {**facts, "either": tuple(map(tuple, groups))}

    catalogue = each(catalogue, change)
    return a_unit_more(choose, catalogue, needs) if rarely(choose, 2) else (catalogue, needs)


def picky(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Clock inputs by single sockets, on boxes that follow."""

    def change(device: Device) -> Facts:
        ins = [s for s in sockets_of(device, False) if s.way == "in"]
        entries: list[Any] = []
        for kind in dict.fromkeys(s.kind for s in ins):
            these = [s for s in ins if s.kind == kind]
            entries += [choose.pick((these[-1], these[0], kind))] if not rarely(choose) else []
        facts: Facts = {"clock_in": tuple(entries)}
        if device.role != "clock" and not rarely(choose, 3):
            facts |= {"internal_clock": not device.may_host, "optical_2x": choose.number(1, 2)}
            facts |= {"optical_in": 2, "coax_in": choose.pick((0, device.coax_in))}
        return facts

    rate = choose.pick((96_000, needs.rate_hz))
    needs = replace(needs, rate_hz=rate, master=choose.pick(("any", needs.master)))
    return each(catalogue, change), needs


def apart(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Rate converters, hosts on clocks of their own, and little else to lock to."""

    def change(device: Device) -> Facts:
        facts: Facts = {}
        if not rarely(choose, 3):
            kinds = ("optical", "coax", "trunk")
            facts["rate_converter"] = tuple(k for k in kinds if not rarely(choose, 3))
        if rarely(choose, 3):
            facts["clock_in"] = tuple(e for e in device.clock_in if rarely(choose, 2))
        return facts

    needs = replace(needs, own_clocks=choose.pick((True, False)))
    return each(catalogue, change), replace(
        needs, max_hosts=choose.pick((1, 2, needs.max_hosts))
    )


def word_only(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """Boxes that lock to word clock alone, with every sort of end, and tees for them."""

    def change(device: Device) -> Facts:
        facts: Facts = {"word_end": choose.pick(("switch", "fixed", "none"))}
        if device.role == "clock":
            return {"word_out": choose.pick((1, 2)), "word_in": 1}
        facts |= {"word_in": 1, "word_out": choose.pick((1, 0, 1, 2))}
        if not rarely(choose, 3):
            facts["clock_in"] = ("word",)
        if not rarely(choose, 3):
            facts |= (
                {"optical_in": 4, "optical_1x": 4} if device.may_host else {"optical_out": 2}
            )
        return facts

    def fitting(kind: str) -> Cable:
        price = None if rarely(choose, 8) else choose.pick((300, 0, 900))
        return Cable(kind, kind, kind, 0, price, choose.pick((1, 1, 3)))

    kinds = [kind for kind in ("tee", "terminator") if not rarely(choose, 10)]
    catalogue = with_cables(each(catalogue, change), *map(fitting, kinds))
    bnc = Cable("bnc", "bnc", "word", 4000, choose.pick((500, 0, 1200)), choose.pick((1, 2)))
    owned = {kind: choose.number(1, 2) for kind in kinds if rarely(choose)}
    needs = replace(
        needs, word_inputs=choose.pick((4, 2, 3, 1)), owned={**needs.owned, **owned}
    )
    if not rarely(choose, 3):
        needs = replace(
            a_unit_more(choose, catalogue, needs)[1], master=choose.pick(("host", "any"))
        )
        needs = replace(needs, mic=needs.mic + choose.pick((4, 8, 2)))
    return with_cables(catalogue, bnc), needs


def banks(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """48 V banks of different sizes, and microphones that must not get it."""

    def change(device: Device) -> Facts:
        sizes: list[int] = []
        while sum(sizes) < device.mic_capable and not rarely(choose, 4):
            sizes.append(choose.number(1, min(4, device.mic_capable - sum(sizes))))
        return {"phantom_bank": tuple(sizes) if sizes else device.phantom_bank}

    phantom = choose.number(0, needs.mic)
    no_phantom = choose.number(0, needs.mic - phantom)
    return each(catalogue, change), replace(needs, phantom=phantom, no_phantom=no_phantom)


def idle(choose: Chooser, catalogue: Catalogue, needs: Needs) -> Question:
    """A unit that has to be there."""
    return catalogue, replace(needs, require=(choose.pick(tuple(catalogue.devices)),), avoid=())


THEMES = (
    numbers,
    halves,
    stereo,
    trunks,
    shared,
    picky,
    apart,
    word_only,
    banks,
    idle,
)
