"""How large a cheapest rig can be: units, links, and pieces of what is bought by the count."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from rigopt.catalogue.types import Device, Extra
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.rig.counts import asked, weight
from rigopt.rig.sockets import Way


def bounds(
    needs: Needs, hosts: Sequence[DeviceAtRate], beside: Collection[str], arriving: int
) -> tuple[int, int, int]:
    """Most units and most digital links of a cheapest rig, and of those the ones with audio.

    `beside`: roles of types that may be there without digital links; `arriving`: the most
    inputs that all hosts show.

    A unit that neither hosts, sends audio, feeds outputs nor is required is there to hand
    on the clock, so it lies on the way from the master to one that does; there are at most
    `max_hops` such units on each way.
    """
    sockets_in = (_sockets(host, "in") for host in hosts)
    sockets_out = (_sockets(host, "out") for host in hosts)
    sent = needs.max_hosts * max(sockets_in, default=0)
    feeds = needs.out_line or "headphones" in beside
    returned = needs.max_hosts * max(sockets_out, default=0) if feeds else 0
    useful = needs.max_hosts + sent + returned + len(needs.require)
    clocked = useful * (1 + needs.max_hops)
    units = clocked + _beside(needs, beside, arriving)
    if needs.units is not None:
        units, clocked = min(units, needs.units), min(clocked, needs.units)
    return units, sent + returned + clocked, sent + returned


def _beside(needs: Needs, roles: Collection[str], arriving: int) -> int:
    """Most units without digital links: each brings a channel, an instrument or phones."""
    brought = {"di": min(needs.instrument, arriving), "headphones": needs.out_phones}
    channels = on_microphone_inputs(needs) if {*roles} - {*brought} else 0
    others = sum(number for role, number in brought.items() if role in roles)
    return min(channels, arriving) + others


def on_microphone_inputs(needs: Needs) -> int:
    """Most inputs that a direct out has to bring: for microphones, spare ones, and instruments,
    which may sit there or come from DI boxes. A line source could be on the input that it
    occupies."""
    return needs.mic + needs.spare + needs.instrument


def _sockets(host: DeviceAtRate, way: Way) -> int:
    """Sockets that audio can come in by, or go out."""
    return sum(
        (socket.ref.way == way or socket.duplex) and any(map(host.carries, socket.formats))
        for socket in host.sockets
    )


def max_pieces(extra: Extra, devices: Iterable[Device], needs: Needs, units: int) -> int:
    """Most pieces that a rig of at most `units` of `devices` calls for."""
    counted = units * max((weight(extra.per, device) for device in devices), default=0)
    limit = {"rack_unit": needs.rack_units, "mains": needs.mains}.get(extra.per)
    counted = counted if limit is None else min(counted, limit)
    if extra.per == "mic":
        counted += needs.instrument  # those in DI boxes
    return extra.each * (asked(extra.per, needs) + counted)
