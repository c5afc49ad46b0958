"""Which piece goes on which cable: as if all pairs were looked through anew for each piece."""

from __future__ import annotations

import random
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.optimiser.questions.repair import handout
from rigopt.optimiser.questions.repair.handout import Piece, Plug, hand_out
from rigopt.optimiser.questions.repair.routes import Ends, Place
from tests.tiers import few

KINDS = ("optical", "coax")
RUNS_MM = (500, 1000, 3000)


def plug(draw: random.Random, number: int) -> Any:
    """A cable between any two of a few units; as its run goes the first socket's number."""
    start, end = (Place(f"unit-{draw.randrange(4)}", number) for _ in range(2))  # type: ignore[arg-type]
    row = SimpleNamespace(cable=draw.choice(KINDS))
    return Plug(SimpleNamespace(ends=Ends(start, end), format=row))  # type: ignore[arg-type]


def case(draw: random.Random, plugs: list[Any]) -> Any:
    """Runs, and the cables of old, some of which began or ended where new ones do."""
    runs = {one.route.ends: draw.choice(RUNS_MM) for one in plugs}
    starts = [one.route.ends.start for one in plugs]
    ends = [Ends(draw.choice(starts), draw.choice(plugs).route.ends.end) for _ in plugs]
    return SimpleNamespace(run_mm=runs.__getitem__, ends=ends, links=[])


def pool(draw: random.Random, at_hand: Any, plugs: list[Any]) -> list[Piece]:
    """A piece for each cable at least, moved or new, and a few more."""
    found = []
    for number, one in enumerate([*plugs, *draw.sample(plugs, 2)]):
        length = at_hand.run_mm(one.route.ends) + draw.choice((0, 0, 2000))
        origin = number if number < len(plugs) and draw.random() < 0.6 else None
        found.append(Piece(one.route.format.cable, length, None, origin))
    return sorted(found, key=lambda piece: (piece.origin is None, piece.origin, piece.kind))


def anew(at_hand: Any, plugs: list[Any], pieces: list[Piece]) -> list[Piece]:
    """The pieces of the cables, by looking through all pairs again and again."""

    def fond(pair: tuple[Any, Piece]) -> tuple[int, ...]:
        return handout._fondness(at_hand, pair[1], pair[0].route.ends)

    def enough(one: Any, piece: Piece) -> bool:
        kind = one.route.format.cable
        runs = [at_hand.run_mm(x.route.ends) for x in waiting if x.route.format.cable == kind]
        left = [other.length_mm for other in pieces if other.kind == kind]
        run = at_hand.run_mm(one.route.ends)
        if piece.kind != kind or piece.length_mm < run:
            return False
        runs.remove(run)
        left.remove(piece.length_mm)
        return all(
            sum(length >= wanted for length in left) >= sum(other >= wanted for other in runs)
            for wanted in runs
        )

    waiting, given = list(plugs), {}
    while waiting:
        pairs = sorted(((one, piece) for one in waiting for piece in pieces), key=fond)
        one, piece = next(pair for pair in pairs if enough(*pair))
        given[id(one)] = piece
        waiting.remove(one)
        pieces.remove(piece)
    return [given[id(one)] for one in plugs]


@pytest.mark.parametrize("seed", few(range(60), 12))
def test_each_cable_gets_the_piece_that_is_left_there(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    draw = random.Random(seed)
    plugs = [plug(draw, number) for number in range(6)]
    at_hand = case(draw, plugs)
    pieces = pool(draw, at_hand, plugs)
    wanted = anew(at_hand, plugs, list(pieces))
    monkeypatch.setattr(handout, "_pool", lambda *_: pieces)
    hand_out(SimpleNamespace(case=at_hand, own={}), lambda _: 0, plugs)  # type: ignore[arg-type]
    assert [one.origin for one in plugs] == [piece.origin for piece in wanted]


def test_a_pair_is_compared_once(monkeypatch: pytest.MonkeyPatch) -> None:
    draw = random.Random(1)
    plugs = [plug(draw, number) for number in range(40)]
    at_hand = case(draw, plugs)
    pieces = pool(draw, at_hand, plugs)
    monkeypatch.setattr(handout, "_pool", lambda *_: pieces)
    compared: list[Piece] = []
    real = handout._fondness

    def noted(at_hand: Any, piece: Piece, ends: Ends) -> tuple[int, ...]:
        compared.append(piece)
        return real(at_hand, piece, ends)

    monkeypatch.setattr(handout, "_fondness", noted)
    hand_out(SimpleNamespace(case=at_hand, own={}), lambda _: 0, plugs)  # type: ignore[arg-type]
    assert len(compared) <= len(plugs) * len(pieces)


def test_t_pieces_stay_then_those_set_free_go_on_and_then_new_ones(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Places 1 and 4 had one; 1 needs none any more, so 2 gets it, and 3 a new one."""
    places = [Place("unit-1", number) for number in range(1, 5)]  # type: ignore[arg-type]
    ends: list[Any] = [SimpleNamespace(end=place) for place in (places[0], places[3])]
    links = [SimpleNamespace(tee=f"old-{n}", terminator="end") for n in (1, 4)]
    at_hand = SimpleNamespace(
        links=links, ends=ends, fitted=[(True, False)] * 2, shelf=lambda _: ["new"]
    )
    monkeypatch.setattr(handout, "_new", lambda *_: 2)
    repair: Any = SimpleNamespace(case=at_hand)
    tees: dict[Place, Any] = handout.small(repair, lambda _: 0, "tee", places[1:])
    assert tees == {
        places[1]: "old-1",
        places[2]: "new",
        places[3]: "old-4",
    }
    last: dict[Place, Any] = handout.small(repair, lambda _: 0, "terminator", places[1:2])
    assert last == {places[1]: "new"}
