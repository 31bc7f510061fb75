"""From a setup to what the kernel reads: the measured and the proposed front as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

import numpy as np

from app.document.keys import KEYS, is_point, left_of, right_of
from app.document.model import Setup, Value, Vec
from app.document.proposal import mirrored, split_moves, toe_is_reset
from geometry.front_axle import FrontCar, SpringPart
from geometry.parts import CornerPoints
from geometry.springs import ArmName
from geometry.steering import Rack, Relay, Steering
from geometry.vectors import Vector, unit, vector

Values = Mapping[str, Value]

CORNER_POINTS = (
    "upper_front",
    "upper_rear",
    "upper_ball",
    "lower_front",
    "lower_rear",
    "lower_ball",
    "tie_inner",
    "tie_outer",
    "wheel_centre",
)
SEATS = ("spring_body", "spring_arm", "damper_body", "damper_arm")
JOINTS = ("upper_ball", "lower_ball", "tie_inner", "tie_outer")

Moved = dict[str, Vec]


def measured_car(setup: Setup) -> FrontCar:
    """Return the front as it was measured."""
    points = {side: side_points(setup.evidence, side) for side in ("left", "right")}
    return _car(setup.evidence, points, points, False)


def proposed_car(setup: Setup) -> FrontCar:
    """Return the front with every change that is on: parts made first, then bolted up."""
    values = {**setup.evidence, **_plain_sets(setup)}
    fitted, kept = point_moves(setup)
    design, body = {}, {}
    for side in ("left", "right"):
        measured = side_points(setup.evidence, side)
        design[side] = _moved(measured, fitted, side)
        body[side] = _moved(design[side], kept, side)
    return _car(values, design, body, toe_is_reset(setup))


def point_moves(setup: Setup) -> tuple[Moved, Moved]:
    """Return the moves that define the parts, and those of holes, by setup key.

    A point that is set moves from its measured place to the one set.
    """
    moves = split_moves(setup)
    fitted, kept = dict(moves.made_to_fit), dict(moves.kept)
    for key, value in moves.sets.items():
        if is_point(key):
            measured = _place(setup.evidence, key)
            there = cast(Vec, value)
            step = cast(Vec, tuple(a - b for a, b in zip(there, measured, strict=True)))
            total = fitted if KEYS[key].on_part or _set_made_to_fit(setup, key) else kept
            before = total.get(key, (0.0, 0.0, 0.0))
            total[key] = cast(Vec, tuple(a + b for a, b in zip(before, step, strict=True)))
    return fitted, kept


def side_points(values: Values, side: str) -> dict[str, Vec]:
    """Return a side's measured points by bare name, in car axes; the right may be a mirror."""
    points: dict[str, Vec] = {}
    for key in values:
        if key.startswith("front.") and is_point(key) and left_of(key) == key:
            name = key.removeprefix("front.")
            points[name] = _place(values, key if side == "left" else right_of(key))
    return points


def _place(values: Values, key: str) -> Vec:
    if key in values:
        return cast(Vec, values[key])
    return mirrored(cast(Vec, values[left_of(key)]))


def _moved(points: dict[str, Vec], moves: Moved, side: str) -> dict[str, Vec]:
    """Add moves; a job on a left-hand point is done on the right as its mirror, unless given."""
    moved = dict(points)
    for name, place in points.items():
        key = f"front.{name}"
        step = moves.get(key)
        if side == "right":
            own = moves.get(right_of(key)) if right_of(key) in KEYS else None
            step = own if own is not None else mirrored(step) if step is not None else None
        if step is not None:
            moved[name] = (place[0] + step[0], place[1] + step[1], place[2] + step[2])
    return moved


def _plain_sets(setup: Setup) -> dict[str, Value]:
    return {k: v for k, v in split_moves(setup).sets.items() if not is_point(k)}


def _set_made_to_fit(setup: Setup, key: str) -> bool:
    setting = [change for change in setup.changes if change.on and key in change.sets]
    return setting[-1].parts == "made to fit"


def _car(
    values: Values,
    design: dict[str, dict[str, Vec]],
    body: dict[str, dict[str, Vec]],
    reset_toe: bool,
) -> FrontCar:
    number = _Numbers(values)
    radius = number.need("front.tyre_radius")
    made = _corner_points(values, design, radius)
    return FrontCar(
        design=made,
        body=made if body is design or body == design else _corner_points(values, body, radius),
        steering=_steering(values, body),
        reset_toe=reset_toe,
        spring=_spring(values),
        damper_on=cast("ArmName | None", values.get("front.damper.on", _spring_arm(values))),
        seats=_seats(design, body),
        joint_axes=_joint_axes(values),
        sprung_mass=_sprung_mass(number),
        unsprung_mass=_half(number.get("car.front_unsprung")),
        tyre_rate=number.get("front.tyre_rate"),
        toe_diameter=number.get("front.toe_diameter") or 2.0 * radius,
        brake_share=number.get("car.front_brake_share"),
        leverage=_ratio(number.get("car.wheelbase"), number.get("car.cg_height")),
        wheelbase=number.get("car.wheelbase"),
        target_toe=_sided(values, "front.toe"),
    )


class _Numbers:
    def __init__(self, values: Values) -> None:
        self.values = values

    def get(self, key: str) -> float | None:
        value = self.values.get(key)
        return None if value is None else float(cast(float, value))

    def need(self, key: str) -> float:
        return float(cast(float, self.values[key]))


def _half(value: float | None) -> float | None:
    return None if value is None else 0.5 * value


def _ratio(over: float | None, under: float | None) -> float | None:
    return None if over is None or not under else over / under


def _sprung_mass(number: _Numbers) -> float | None:
    mass, share = number.get("car.mass"), number.get("car.front_share")
    unsprung = number.get("car.front_unsprung")
    if mass is None or share is None or unsprung is None:
        return None
    corner = 0.5 * (mass * share - unsprung)
    return corner if corner > 0 else None


def _sided(values: Values, key: str) -> Any:
    left = cast(float, values[key])
    right = cast(float, values.get(f"{key}_right", left))
    return np.array([[left], [right]])


def _rows(left: Vec, right: Vec) -> Vector:
    """Stack a left point and a right one, mirrored, as rows of shape (2, 1)."""
    mirror = mirrored(right)
    return vector([np.array([[left[axis]], [mirror[axis]]]) for axis in range(3)])


def _corner_points(values: Values, sides: dict[str, dict[str, Vec]], radius: float) -> CornerPoints:
    left, right = sides["left"], sides["right"]
    points: dict[str, Any] = {name: _rows(left[name], right[name]) for name in CORNER_POINTS}
    return CornerPoints(
        **points,
        camber=_sided(values, "front.camber"),
        toe=_sided(values, "front.toe"),
        tyre_radius=np.full((2, 1), radius),
    )


def _seats(
    design: dict[str, dict[str, Vec]], body: dict[str, dict[str, Vec]]
) -> dict[str, Vector]:
    seats = {}
    for name in SEATS:
        sides = design if name.endswith("_arm") else body
        if name in sides["left"]:
            seats[name] = _rows(sides["left"][name], sides["right"][name])
    return seats


def _spring_arm(values: Values) -> Value | None:
    bar = values.get("front.spring.kind") == "torsion bar"
    return values.get("front.spring.on", "lower arm" if bar else None)


def _spring(values: Values) -> SpringPart | None:
    kind = values.get("front.spring.kind")
    if kind is None:
        return None
    number = _Numbers(values)
    return SpringPart(
        kind=str(kind),
        on=cast(ArmName, _spring_arm(values) or "lower arm"),
        rate=number.get("front.spring.rate"),
        free_length=number.get("front.spring.free_length"),
        preload=number.get("front.spring.preload"),
        solid_length=number.get("front.spring.solid_length"),
    )


def _joint_axes(values: Values) -> dict[str, Vector]:
    axes = {}
    for name in JOINTS:
        given = values.get(f"front.joints.{name}_axis")
        if given is not None:
            place = cast(Vec, given)
            axes[name] = unit(_rows(place, mirrored(place)))
    return axes


def _steering(values: Values, body: dict[str, dict[str, Vec]]) -> Steering:
    inner = _rows(body["left"]["tie_inner"], body["right"]["tie_inner"])
    if values.get("front.steering.kind") != "relay":
        return Rack(inner)
    axis = cast(Vec, values.get("front.steering.pitman_axis", (0.0, 0.0, 1.0)))
    left = body["left"]
    return Relay(
        tie_inner=inner,
        pitman_pivot=vector(left["pitman_pivot"]),
        pitman_end=vector(left["pitman_end"]),
        idler_pivot=vector(left["idler_pivot"]),
        idler_end=vector(left["idler_end"]),
        axis=unit(vector(axis)),
    )
