"""The cars that an alignment makes: shims put in, eccentrics and rods turned, the toe set anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from math import dist
from typing import Final, cast

import numpy as np

from app.document.address import Point, Side, key_of
from app.document.model import Change, FrozenMap, Setup, Value, Vec
from app.document.moves import proposed_points
from app.document.plan_pieces import STRUT_ROD, TIE_ROD
from app.document.plans import Adjuster
from app.systems.front.system import FRONT
from app.systems.standing import standings
from geometry.dataclass import dataclass
from geometry.vectors import Array

READ: Final = ("camber", "caster", "kingpin_inclination", "toe")
Amounts = Mapping[str, float]  # mm by knob: a shim's change, an eccentric's or a rod's move


@dataclass(frozen=True)
class Knob:
    """One thing that is turned or shimmed on one wheel.

    `point` is the left-hand pivot that it moves, empty for a rod. A shim pack's amount counts from
    what is fitted, an eccentric's and a rod's from where they stand, + inboard and + longer.
    """

    key: str  # "front.upper_shims upper_front", "front.strut_rod"
    adjuster: str
    point: str
    inboard: bool = True


def knobs_of(adjusters: Mapping[str, Adjuster]) -> tuple[Knob, ...]:
    """Return all knobs but the tie rods, which set the toe when all else is done."""
    return tuple(_knobs(adjusters))


def _knobs(adjusters: Mapping[str, Adjuster]) -> Iterator[Knob]:
    for key, adjuster in adjusters.items():
        if key == STRUT_ROD:
            yield Knob(key, key, "")
        elif adjuster.reach is not None and key != TIE_ROD:
            yield Knob(key, key, adjuster.at[0])
        elif key != TIE_ROD:
            for point in adjuster.at:
                name = Point.at(point).name
                yield Knob(f"{key} {name}", key, point, adjuster.inboard)


def with_amounts(
    setup: Setup,
    knobs: Sequence[Knob],
    amounts: Mapping[Side, Amounts],
    toe: Mapping[Side, float],
) -> Setup:
    """Return the setup with knobs turned on each wheel, its tie rods then set to a toe [rad]."""
    return setup.having(changes=(*setup.changes, *changes_of(setup, knobs, amounts, toe)))


def changes_of(
    setup: Setup,
    knobs: Sequence[Knob],
    amounts: Mapping[Side, Amounts],
    toe: Mapping[Side, float],
) -> tuple[Change, Change]:
    """Return what turned knobs change: the strut rods, made to fit, and all else; toe in rad."""
    moves: dict[str, Vec] = {}
    longer: dict[str, Vec] = {}
    for side, turned in amounts.items():
        for knob in knobs:
            amount = turned.get(knob.key, 0.0)
            if not knob.point:
                longer |= _lengthened(setup, side, amount)
                continue
            key = key_of("front", side, Point.at(knob.point).name)
            inwards = -1.0 if side == "left" else 1.0
            across = inwards * amount * (1.0 if knob.inboard else -1.0)
            x, y, z = moves.get(key, (0.0, 0.0, 0.0))
            moves[key] = (x, y + across, z)
    rod_change = Change("rod", parts="made to fit", moves=FrozenMap(longer))
    back = {key: (-x, -y, -z) for key, (x, y, z) in longer.items()}
    for key, (x, y, z) in back.items():
        moves[key] = tuple(np.add(moves.get(key, (0.0, 0.0, 0.0)), (x, y, z)).tolist())
    sets: dict[str, Value] = {"front.toe": toe["left"], "front.toe_right": toe["right"]}
    return rod_change, Change("knobs", moves=FrozenMap(moves), sets=FrozenMap(sets))


def rod_amount(setup: Setup, side: Side, move: Vec) -> float:
    """Return how much longer a move of its bush, as `changes_of` makes it, makes the strut rod."""
    made = proposed_points(setup, "front", side).made
    bush, pivot, ball = (made[name] for name in ("lower_front", "lower_rear", "lower_ball"))
    joint = _in_plane(made["strut_joint"], bush, pivot, ball)
    x, y, z = np.add(bush, move).tolist()
    return dist(joint, (x, y, z)) - dist(joint, bush)


def _lengthened(setup: Setup, side: Side, amount: float) -> dict[str, Vec]:
    """Return the move that makes the lower arm one whose strut rod is longer.

    The link keeps its length, the rod is bolted to it at its joint, and the bush stays where it is:
    the link turns about its own bush until the rod fits. Seen from the link, the strut rod's bush
    turns instead; moved so as made to fit and back as a hole, the arm is the new one and the bush
    is where it was.
    """
    made = proposed_points(setup, "front", side).made
    bush, pivot, ball = (made[name] for name in ("lower_front", "lower_rear", "lower_ball"))
    joint = _in_plane(made["strut_joint"], bush, pivot, ball)
    long = dist(joint, bush)
    turn = _angle(pivot, joint, bush, long + amount) - _angle(pivot, joint, bush, long)
    arm = np.subtract(bush, pivot)
    normal = np.cross(np.subtract(ball, pivot), arm)
    normal /= np.linalg.norm(normal)
    turned = arm * np.cos(turn) + np.cross(normal, arm) * np.sin(turn)
    x, y, z = (turned - arm).tolist()
    return {key_of("front", side, "lower_front"): (x, y, z)}


def _in_plane(place: Vec, *plane: Vec) -> Vec:
    """Return a place's foot on the plane of three: the arm's own, in which it is drawn."""
    origin, one, other = (np.asarray(each) for each in plane)
    normal = np.cross(one - origin, other - origin)
    normal = normal / np.linalg.norm(normal)
    x, y, z = (np.asarray(place) - normal * ((np.asarray(place) - origin) @ normal)).tolist()
    return x, y, z


def _angle(corner: Vec, one: Vec, other: Vec, opposite: float) -> float:
    """Return the angle at a corner whose opposite side has a length (cosine rule)."""
    a, b = dist(corner, one), dist(corner, other)
    return float(np.arccos(np.clip((a * a + b * b - opposite**2) / (2.0 * a * b), -1.0, 1.0)))


def angles_of(setups: Sequence[Setup]) -> dict[str, Array]:
    """Return what a gauge reads of cars as they will stand, and the inclination, (m, 2) [rad]."""
    answers = FRONT.built_many(setups, READ, standings(FRONT, setups))
    return {key: answers.values[key][..., 0] for key in READ}


@lru_cache(maxsize=16)
def tie_lengths(setup: Setup) -> tuple[float, float]:
    """Return the length of both tie rods of the car as it will stand, aligned [mm]."""
    corners = FRONT.study(setup).proposed.front.axle.corners
    left, right = np.broadcast_to(corners.parts.tie_length, (2, 1))[:, 0].tolist()
    return cast(float, left), cast(float, right)
