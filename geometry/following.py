"""Moves that follow a result which is drawn to a value: the least that bring it there.

Unknowns are moves in shares of their room, from 0, where the drawing began. The answer is worked
out anew for each value drawn to, from curved models about places that the value alone chooses: so
it depends on nothing but that value, whatever way the hand took.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product
from typing import Final, NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.least_move import Straight, given_of, least_move, price_of_one
from geometry.vectors import Array

_STEP: Final = 0.02  # of the room, of the differences that a curved model is made of
_FINE: Final = 1e-3  # of the room, of those that the answer at rest is made of
_APART: Final = 0.4  # in shares of the room, from one model to the next
_FAR: Final = 100.0  # rooms, beyond which nothing moves any further
_HALVINGS: Final = 20
_PLATEAU: Final = 0.3  # of that, about a model, where it counts alone
_REACH: Final = 0.2  # of the room, that a step on a model goes at most
_STILL: Final = 1e-9  # of the room: a step that ends the search on a model
_MOST_STEPS: Final = 60
_MOST_OF_SEVERAL: Final = 15  # where they can be had together fewer do
_DEAD: Final = 0.25  # of a result's unit: what whole rooms move by less nothing moves
_AT_BOUND: Final = 1e-6  # of the room
_MOST_ROUNDS: Final = 8  # of the cars themselves, for the answer at rest
_MOST_CORRECTED: Final = 3  # cars on which the models of one answer are corrected
_NEAR: Final = 0.05  # of a result's unit: a model that was off by less is corrected once
_RESTS: Final = 1e-8  # of the room: a step that ends these

Many = Callable[[Array], Array]
One = Callable[[Array], Array | None]
Node = tuple[int, ...]


@dataclass(frozen=True)
class Rooms:
    """What may move and what comes of it.

    Parameters
    ----------
    low, high
        Bounds of the n moves, in shares of their room, shape (n,); 0 lies between them.
    costs
        What the square of each move costs, shape (n,).
    many
        The k results of m places, (m, n) to (m, k), in units of one size; NaN where there is none.
    one
        The same of one place by the quickest way, (n,) to (k,); None where there is none.
    """

    low: Array
    high: Array
    costs: Array
    many: Many
    one: One


class Curved(NamedTuple):
    """Results about a place: values (k,), slopes (k, n), and second differences (k, n, n)."""

    at: Array
    values: Array
    slopes: Array
    bends: Array

    def there(self, place: Array) -> tuple[Array, Array]:
        """Return values (k,) and slopes (k, n) elsewhere."""
        step = place - self.at
        turned = self.bends @ step
        return self.values + (self.slopes + 0.5 * turned) @ step, self.slopes + turned


Shared = Sequence[tuple[Curved, float]]


class Place(NamedTuple):
    """Where moves have followed to.

    Parameters
    ----------
    shares
        The moves, in shares of their room, shape (n,).
    missed
        By how much the results don't come to what they are drawn to, shape (k,).
    given
        What of this one result gives way before the end of its reach, so that it sticks smoothly.
    """

    shares: Array
    missed: Array
    given: float = 0.0


class Following:
    """Moves that follow results: made when a drawing begins, asked once for each value.

    Parameters
    ----------
    rooms
        What may move and what comes of it.
    """

    def __init__(self, rooms: Rooms) -> None:
        self.rooms = rooms
        self._models: dict[Node, Curved | None] = {}
        first = _curved(rooms, np.zeros(rooms.low.size))
        self.start = np.full(0, np.nan) if first is None else first.values
        self._first = first
        if first is not None:
            self._axes, self._sizes = _whitening(first.slopes, rooms)
            self._models[(0,) * self._sizes.size] = first

    @property
    def is_dead(self) -> bool:
        """Tell whether nothing that may move moves the results, or there are none."""
        return self.rank == 0

    @property
    def rank(self) -> int:
        """Return in how many directions the moves can take the results."""
        return 0 if self._first is None else int(self._sizes.size)

    def follow(self, target: Array, gives: float = 0.0) -> Place:
        """Return the least moves that bring the results to a target, or nearest to it.

        Where several results can't all be had the place is a rough one.

        Parameters
        ----------
        target
            What the results are drawn to, shape (k,).
        gives
            By how much a single result may stay behind before the end of its reach.
        """
        assert self._first is not None
        nowhere = np.zeros(self.rooms.low.size)
        if (target == self.start).all():
            return Place(nowhere, np.zeros(target.size))
        rough = self._on_models([(self._first, 1.0)], target, nowhere, gives)
        models = self._about(rough.shares)
        place = self._on_models(models, target, rough.shares, gives)
        off = np.zeros(target.size)
        for _ in range(_MOST_CORRECTED):
            if target.size > 1 and np.abs(place.missed).max() > _NEAR:
                break
            values = self.rooms.one(place.shares)
            if values is None:
                break
            before, off = off, values - _blended(models, place.shares)[0]
            place = self._on_models(models, target - off, place.shares, gives)
            if np.abs(off - before).max() < _NEAR:
                break
        else:  # a car unlike its neighbours, as one on its stops, has spoilt a model
            return self.settle(target, rough, gives)
        return place

    def settle(self, target: Array, near: Place, gives: float = 0.0) -> Place:
        """Return the same as exactly as the cars tell it, from a place that follows.

        Parameters
        ----------
        target
            What the results are drawn to, shape (k,).
        near
            The place.
        gives
            By how much a single result may stay behind before the end of its reach.
        """
        assert self._first is not None
        count, place, bends = near.shares.size, near, self._first.bends
        steps = _FINE * np.eye(count)
        for _ in range(_MOST_ROUNDS):
            at = place.shares
            values = self.rooms.many(np.vstack([at, at + steps, at - steps]))
            if not np.isfinite(values).all():
                break
            slopes = ((values[1 : 1 + count] - values[1 + count :]) / (2.0 * _FINE)).T
            exact = Curved(at, values[0], slopes, bends)
            place = self._on_models([(exact, 1.0)], target, at, gives)
            if np.abs(place.shares - at).max() < _RESTS:
                break
        return place

    def bounds_at(self, shares: Array) -> list[tuple[int, bool]]:
        """Return the moves that are at the end of their room, and whether it is the upper one."""
        low = [(n, False) for n in np.flatnonzero(shares <= self.rooms.low + _AT_BOUND).tolist()]
        high = [(n, True) for n in np.flatnonzero(shares >= self.rooms.high - _AT_BOUND).tolist()]
        return [(n, is_high) for n, is_high in (*low, *high) if shares[n] != 0.0]

    # Models

    def _about(self, rough: Array) -> list[tuple[Curved, float]]:
        """Return the models about a place with their shares, which change without a jump.

        They stand in the directions in which the results go by a straight line from the start, as
        far off as the moves are.
        """
        assert self._first is not None
        way = (self._first.slopes @ rough) @ self._axes / self._sizes
        nodes = _shared(
            way * (_size(self.rooms, rough) / _APART / max(float(np.linalg.norm(way)), 1e-12))
        )
        for node, _ in nodes:  # each by itself: cars that are solved together differ in last bits,
            if node not in self._models:  # and the way that the hand took would tell
                self._models[node] = _curved(self.rooms, self._place_of(node))
        models = [(self._models[node], share) for node, share in nodes]
        known_models = [(model, share) for model, share in models if model is not None]
        return known_models or [(self._first, 1.0)]

    def _place_of(self, node: Node) -> Array:
        way = np.array(node, dtype=float)
        size = float(np.linalg.norm(way))
        target_way = self._axes @ (way / size * self._sizes)

        def place(share: float) -> Array:
            assert self._first is not None
            slopes, rooms = self._first.slopes, self.rooms
            line = Straight(slopes, share * target_way, rooms.costs, rooms.low, rooms.high)
            return least_move(line)

        low, high = 0.0, size * _APART
        while _size(self.rooms, place(high)) < size * _APART and high < _FAR:
            low, high = high, 2.0 * high
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            is_short = _size(self.rooms, place(middle)) < size * _APART
            low, high = (middle, high) if is_short else (low, middle)
        return place(high)

    def _on_models(self, models: Shared, target: Array, start: Array, gives: float) -> Place:
        """Return the least move to a target on models, by straight lines one after the other."""
        rooms, place, part = self.rooms, start, 1.0
        before: Array | None = None
        for _ in range(_MOST_STEPS if target.size == 1 else _MOST_OF_SEVERAL):
            values, slopes = _blended(models, place)
            low = np.maximum(rooms.low, place - _REACH)
            high = np.minimum(rooms.high, place + _REACH)
            wanted = target - values + slopes @ place
            line = Straight(slopes, wanted, rooms.costs, low, high, gives)
            step = least_move(line) - place
            part = part if before is None else _damped(part, step, before)
            place, before = place + part * step, step
            if np.abs(step).max(initial=0.0) <= _STILL:
                break
        values, slopes = _blended(models, place)
        price = 0.0
        if gives and target.size == 1:
            wanted = target - values + slopes @ place
            line = Straight(slopes, wanted, rooms.costs, rooms.low, rooms.high, gives)
            price = float(given_of(line, np.array([price_of_one(line)]))[0])
        return Place(place, target - values - price, price)


def _damped(part: float, step: Array, before: Array) -> float:
    """Return which part of a step to go, by how the one before it turned out.

    Steps that swing about the answer are cut so that the swing would end at once.

    References
    ----------
    U. Küttler, W. A. Wall, Comput. Mech. 43 (2008), p. 61: Aitken's relaxation of a vector.
    """
    along = float(step @ before) / max(float(before @ before), 1e-300)
    return min(max(part / max(1.0 - along, 1e-3), 0.1), 1.0)


def _whitening(slopes: Array, rooms: Rooms) -> tuple[Array, Array]:
    """Return axes (k, r) of what the moves can do to the results, and its sizes along them (r,)."""
    squares, axes = np.linalg.eigh((slopes / rooms.costs) @ slopes.T)
    able = squares > 1e-12 * max(float(squares.max(initial=0.0)), 1e-300)
    able &= squares > _DEAD**2
    return np.asarray(axes[:, able]), np.sqrt(squares[able])


def _size(rooms: Rooms, place: Array) -> float:
    """Return how far a place is from the start, in shares of the room."""
    return float(np.sqrt((rooms.costs * place) @ place))


def _shared(at: Array) -> list[tuple[Node, float]]:
    """Return the nodes about a place with shares that add to 1 and change smoothly."""
    below = np.floor(at)
    along = np.clip((at - below - _PLATEAU) / (1.0 - 2.0 * _PLATEAU), 0.0, 1.0)
    upper = along**3 * (10.0 - 15.0 * along + 6.0 * along**2)
    nodes = []
    for corner in product((0, 1), repeat=at.size):
        each = np.where(corner, upper, 1.0 - upper)
        share = float(each.prod())
        if share > 0.0:
            nodes.append((tuple((below + corner).astype(int).tolist()), share))
    return nodes


def _blended(models: Shared, place: Array) -> tuple[Array, Array]:
    """Return values and slopes of several models at a place, by their shares."""
    if len(models) == 1:
        return models[0][0].there(place)
    whole = sum(share for _, share in models)
    parts = [(share / whole, *model.there(place)) for model, share in models]
    values = sum(share * values for share, values, _ in parts)
    slopes = sum(share * slopes for share, _, slopes in parts)
    return np.asarray(values), np.asarray(slopes)


def _curved(rooms: Rooms, place: Array) -> Curved | None:
    """Return results about a place to the second order, by one batch; None where there are none."""
    count = rooms.low.size
    first, second = np.triu_indices(count, 1)
    units = _STEP * np.eye(count)
    steps = np.vstack([np.zeros((1, count)), units, -units, units[first] + units[second]])
    return _of_steps(place, rooms.many(place + steps), first, second)


def _of_steps(place: Array, values: Array, first: Array, second: Array) -> Curved | None:
    count, at = place.size, values[0]
    if not np.isfinite(values).all():
        return None
    above, below, both = np.split(values[1:], [count, 2 * count])
    slopes = (above - below).T / (2.0 * _STEP)
    bends = np.zeros((at.size, count, count))
    each = np.arange(count)
    bends[:, each, each] = (above + below - 2.0 * at).T / _STEP**2
    mixed = (both - above[first] - above[second] + at).T / _STEP**2
    # the cross differences lean to one side: the square terms' third derivatives come in
    bends[:, first, second] = bends[:, second, first] = mixed
    return Curved(place, at, slopes, bends)
