"""Dampers of a live axle: their length as the axle moves, their stroke, and where that ends.

A damper's axle end goes with the axle's housing, its body end stays. Rows are left and right.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array, Scalar, Vector, add, dot, norm, subtract

Results = dict[str, Array]


@dataclass(frozen=True)
class HousingMove:
    """Where a housing has gone from where it was measured, body axes, arrays (n,).

    Parameters
    ----------
    step
        Of the middle between the wheel centres: forward, to the left, up [mm].
    nose_up
        Turn about the axle's tube [rad].
    lean
        Rise of its left end against its right one [rad].
    steer
        Turn about the upright [rad], + to the left.
    """

    step: Vector
    nose_up: Array
    lean: Scalar = 0.0
    steer: Scalar = 0.0


@dataclass(frozen=True)
class DamperPair:
    """Both dampers of an axle as bolted up; numbers, or arrays with one for each pose.

    Parameters
    ----------
    ends
        Axle end as measured and body end, left and right [mm].
    middle
        Between the wheel centres as measured [mm].
    closed, opened
        Lengths at which they bottom and top out [mm], None where not known.
    """

    ends: tuple[tuple[Vector, Vector], ...]
    middle: Vector
    closed: Scalar | None = None
    opened: Scalar | None = None

    def results(self, move: HousingMove) -> Results:
        """Return lengths and the share of the stroke that is used, by key, shape (2, n)."""
        lengths = np.array([norm(line) for line in self._lines(move)])
        return stroke_results(lengths, self.closed, self.opened)

    def level_ratios(self, move: HousingMove, forward_rate: Array, nose_rate: Array) -> Array:
        """Return each damper's shortening per travel of both wheels (no unit), shape (2, n).

        Parameters
        ----------
        move
            Of the housing, the body level.
        forward_rate
            Forward step of the wheel centres per travel (no unit), shape (n,).
        nose_rate
            Turn of the nose upwards per travel [rad/mm], shape (n,).
        """
        rows = []
        for (axle, _), line in zip(self.ends, self._lines(move), strict=True):
            x, _, z = _turned(subtract(axle, self.middle), move)
            velocity = (forward_rate - z * nose_rate, 0.0, 1.0 + x * nose_rate)
            rows.append(-dot(line, velocity) / norm(line))
        return np.array(rows)

    def _lines(self, move: HousingMove) -> list[Vector]:
        """Return each damper from its body end to its axle end [mm], components (n,)."""
        return [subtract(carried(axle, self.middle, move), body) for axle, body in self.ends]


def stroke_results(lengths: Array, closed: Scalar | None, opened: Scalar | None) -> Results:
    """Return lengths and the share of the stroke that is used, by key, shape (2, n).

    Past its ends, where no damper can be, there is no share: NaN.

    Parameters
    ----------
    lengths
        Of both dampers [mm], shape (2, n).
    closed, opened
        Lengths at which they bottom and top out [mm], None where not known.
    """
    values: Results = {"damper_length": lengths}
    if closed is not None and opened is not None:
        stroke = np.where(np.greater(opened, closed), opened - closed, np.nan)
        used = 100.0 * (opened - lengths) / stroke
        values["damper_stroke"] = np.where(np.abs(used - 50.0) <= 50.0 + 1e-9, used, np.nan)
    return values


def place_at_length(at: Array, lengths: Array, reached: Array, length: float) -> float | None:
    """Return the place nearest to 0 at which a damper has a length, None where it never has.

    Parameters
    ----------
    at
        Travel [mm] or roll [rad] of the poses, rising, shape (n,).
    lengths
        One damper's [mm], shape (n,).
    reached
        Where the poses could be taken, shape (n,).
    length
        That is looked for [mm].
    """
    off = np.where(reached, lengths - length, np.nan)
    crossing = np.flatnonzero(off[:-1] * off[1:] <= 0.0)
    if crossing.size == 0:
        return None
    before, after = off[crossing], off[crossing + 1]
    step = np.where(before == after, 1.0, before - after)
    places = at[crossing] + (at[crossing + 1] - at[crossing]) * before / step
    return float(places[np.abs(places).argmin()])


def carried(place: Vector, middle: Vector, move: HousingMove) -> Vector:
    """Return where a point of a housing is [mm].

    Parameters
    ----------
    place
        Of the point as measured [mm].
    middle
        Between the wheel centres as measured [mm].
    move
        Of the housing since.
    """
    return add(add(middle, move.step), _turned(subtract(place, middle), move))


def _turned(place: Vector, move: HousingMove) -> Vector:
    """Turn by the nose's rise, then the left end's, then to the left."""
    x, y, z = place
    c, s = np.cos(move.nose_up), np.sin(move.nose_up)
    x, z = c * x - s * z, s * x + c * z
    c, s = np.cos(move.lean), np.sin(move.lean)
    y, z = c * y - s * z, s * y + c * z
    c, s = np.cos(move.steer), np.sin(move.steer)
    return c * x - s * y, s * x + c * y, z
