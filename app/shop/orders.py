"""Changes that are on as orders: those that put the same point elsewhere are one. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, cast

from app.document.address import left_of
from app.document.keys import KEYS, is_point
from app.document.model import Change, Setup, Value, Vec
from app.document.moves import REST, add, is_measured, moves_of_both_sides, proposed_place
from app.judge.aligning_work import aligning
from app.systems.shims import is_across, is_shim, shaft_of
from geometry.dataclass import dataclass

Moves = Mapping[str, Vec]

SEEN: Final = 0.005  # a smaller move is none [mm]


@dataclass(frozen=True)
class Order:
    """What changes come to together that have a point in common: one job for the shop.

    `moves` are the sums that holes and parts are put elsewhere by, `shims` what goes between shafts
    and towers, both by setup key of either side [mm]. `made` are the moves to which new parts are
    made, where the holes are then put elsewhere still. `movers` are the changes that move a point.
    """

    changes: tuple[Change, ...]
    moves: Moves
    shims: Moves
    sets: Mapping[str, Value]
    made: Moves
    movers: Mapping[str, tuple[Change, ...]]

    def owner(self, keys: Sequence[str]) -> Change:
        """Return a change that stands for those that move points: new parts go before kept ones.

        Points are those of the side that is meant: new parts on one side leave the other's as
        they are.
        """
        movers = [change for key in keys for change in self.movers.get(key, ())]
        made = [change for change in movers if change.parts == "made to fit"]
        return (made or movers or list(self.changes))[0]


@dataclass(frozen=True)
class _Piece:
    """One change: what it moves and sets, without what a later one makes void.

    `across` are ends of shafts that it moves further across the car than shims do.
    """

    change: Change
    moves: Moves
    shims: Moves
    sets: Mapping[str, Value]
    across: frozenset[str]

    @property
    def marks(self) -> frozenset[tuple[str, str]]:
        """What two pieces may not both have: a hole or a part, or a shaft's shims; or a place.

        A shaft that goes further across the car than shims do is one thing, with both its ends.
        """
        places = (key for key in self.sets if is_point(key))
        return frozenset(
            [
                *(("hole", left_of(key)) for key in (*self.moves, *places)),
                *(("shaft", shaft_of(left_of(key))) for key in self.across),
                *(("shims", left_of(key)) for key in self.shims),
            ]
        )


def orders(setup: Setup) -> tuple[Order, ...]:
    """Return the orders of the changes that are on, in the order of their first changes."""
    groups: list[list[_Piece]] = []
    for piece in _pieces(setup):
        joined = [group for group in groups if any(piece.marks & each.marks for each in group)]
        if not joined:
            groups.append([piece])
            continue
        joined[0][:] = [*(each for group in joined for each in group), piece]
        groups = [group for group in groups if group not in joined[1:]]
    return tuple(_order(setup, group) for group in groups)


def _pieces(setup: Setup) -> Iterator[_Piece]:
    own = aligning(setup)  # done by shims and turns: a job of its own
    on = [
        change
        for change in setup.changes
        if change.on and change not in own and (change.moves or change.sets)
    ]
    lasting = [_lasting_moves(setup, on, index) for index in range(len(on))]
    total_across = _summed(
        {key: move for key, move in moves.items() if is_across(setup, key, move)}
        for moves in lasting
    )
    thick = {shaft_of(key) for key, move in total_across.items() if not is_shim(setup, key, move)}
    for index, (change, moves) in enumerate(zip(on, lasting, strict=True)):
        shims = {
            k: m for k, m in moves.items() if is_across(setup, k, m) and shaft_of(k) not in thick
        }
        holes = {key: move for key, move in moves.items() if key not in shims}
        sets = {
            key: value
            for key, value in change.sets.items()
            if not any(key in later.sets for later in on[index + 1 :])
        }
        across = frozenset(key for key, move in holes.items() if is_across(setup, key, move))
        yield _Piece(change, holes, shims, sets, across)


def _lasting_moves(setup: Setup, on: Sequence[Change], index: int) -> Moves:
    """Return a change's moves without those of points that a later one sets to a place."""
    later = {key for change in on[index + 1 :] for key in change.sets}
    moves = moves_of_both_sides(setup.evidence, on[index])
    return {
        key: move for key, move in moves.items() if any(move) and not {key, left_of(key)} & later
    }


def _summed(moves: Iterator[Moves]) -> dict[str, Vec]:
    total: dict[str, Vec] = {}
    for each in moves:
        for key, move in each.items():
            total[key] = add(total.get(key, REST), move)
    return total


def _order(setup: Setup, pieces: Sequence[_Piece]) -> Order:
    changes = tuple(piece.change for piece in pieces)
    sets = {key: value for piece in pieces for key, value in piece.sets.items()}
    new = {key for key in sets if is_point(key) and not is_measured(setup, key)}
    holes, shims = (_seen(_summed(getattr(p, name) for p in pieces)) for name in ("moves", "shims"))
    made_pieces = (piece.moves for piece in pieces if piece.change.parts == "made to fit")
    made = {
        key: move
        for key, move in _summed(made_pieces).items()
        if key in holes and not KEYS[key].on_part and max(map(abs, _less(holes[key], move))) > SEEN
    }
    return Order(
        changes,
        {key: move for key, move in holes.items() if left_of(key) not in new},
        shims,
        {key: cast(Value, proposed_place(setup, key)) if key in new else sets[key] for key in sets},
        made,
        _movers(pieces),
    )


def _movers(pieces: Sequence[_Piece]) -> dict[str, tuple[Change, ...]]:
    movers: dict[str, tuple[Change, ...]] = {}
    for piece in pieces:
        for key in {**piece.moves, **piece.shims}:
            movers[key] = (*movers.get(key, ()), piece.change)
    return movers


def _less(move: Vec, other: Vec) -> Vec:
    return add(move, (-other[0], -other[1], -other[2]))


def _seen(moves: Moves) -> dict[str, Vec]:
    return {key: move for key, move in moves.items() if max(map(abs, move)) >= SEEN}
