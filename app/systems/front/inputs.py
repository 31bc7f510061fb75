"""From a setup to what the kernel reads: the measured and the proposed front as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, cast

import numpy as np

from app.document.address import SIDES, Side, mirrored
from app.document.ends import unsprung_key
from app.document.masses import sprung_mass_on
from app.document.model import Setup, Value, Vec
from app.document.moves import (
    Numbers,
    points_of_side,
    proposed_points,
    proposed_settings,
    toe_is_reset,
)
from geometry.front.axle import FrontCar, SpringPart
from geometry.front.parts import CornerPoints
from geometry.front.springs import ArmName
from geometry.front.steering import Rack, Relay, Steering
from geometry.vectors import Array, Vector, add, subtract, unit, vector

Values = Mapping[str, Value]
Sides = tuple[tuple[Vec, Vec], ...]
BothSides = Mapping[Side, Mapping[str, Vec]]

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


def measured_car(setup: Setup) -> FrontCar:
    """Return the front as it was measured."""
    points = {side: points_of_side(setup.evidence, "front", side) for side in SIDES}
    return _car(setup.evidence, points, points, _toe(setup.evidence), False)


def proposed_car(setup: Setup) -> FrontCar:
    """Return the front with every change that is on: parts made first, then bolted up."""
    values = proposed_settings(setup)
    sides = {side: proposed_points(setup, "front", side) for side in SIDES}
    design = {side: points.made for side, points in sides.items()}
    body = {side: points.bolted for side, points in sides.items()}
    measured, proposed_toe = _toe(setup.evidence), _toe(values)
    turned = toe_is_reset(setup) or bool((measured != proposed_toe).any())
    return _car(values, design, body, measured, turned)


def _car(
    values: Values,
    design: BothSides,
    body: BothSides,
    measured_toe: Any,
    reset_toe: bool,
) -> FrontCar:
    number = Numbers(values)
    shape = _shape(values, measured_toe)
    made = _made_points(_places(design), shape)
    moved = body is not design and body != design  # by a box of the steering alone as well
    return FrontCar(
        design=made,
        body=_stacked_points(_places(body), *shape) if moved else made,
        steering=_steering(values, design, body),
        reset_toe=reset_toe,
        spring=_spring(values),
        damper_on=cast("ArmName | None", values.get("front.damper.on", _spring_arm(values))),
        seats=_seats(design, body),
        joint_axes=_joint_axes(values),
        sprung_mass=_sprung_mass(number),
        unsprung_mass=_half(number.get(unsprung_key("front"))),
        tyre_rate=number.get("front.tyre_rate"),
        toe_diameter=number.get("front.toe_diameter") or 2.0 * number.need("front.tyre_radius"),
        brake_share=number.get("car.front_brake_share"),
        leverage=_ratio(number.get("car.wheelbase"), number.get("car.cg_height")),
        wheelbase=number.get("car.wheelbase"),
        target_toe=_toe(values),
    )


def _half(value: float | None) -> float | None:
    return None if value is None else 0.5 * value


def _ratio(over: float | None, under: float | None) -> float | None:
    return None if over is None or not under else over / under


def _sprung_mass(number: Numbers) -> float | None:
    corner = _half(sprung_mass_on("front", number.get))
    return corner if corner is not None and corner > 0 else None


def _toe(values: Values) -> Any:
    return _sided(values, "front.toe")


def _sided(values: Values, key: str) -> Any:
    left = cast(float, values[key])
    right = cast(float, values.get(f"{key}_right", left))
    return _of_sides(left, right)


def _rows(left: Vec, right: Vec) -> Vector:
    """Stack a left point and a right one, mirrored, as rows of shape (2, 1) or (2, cars)."""
    x, y, z = np.array((left, mirrored(right))).reshape(2, 3, -1).transpose(1, 0, 2).copy()
    return x, y, z


def _of_sides(left: float, right: float) -> Array:
    """Return a left number and a right one as rows of shape (2, 1) or (2, cars)."""
    return np.array((left, right)).reshape(2, -1)


def _places(sides: BothSides) -> Sides:
    left, right = sides["left"], sides["right"]
    return tuple([(left[name], right[name]) for name in CORNER_POINTS])


def _shape(values: Values, toe: Any) -> tuple[Any, Any, Any]:
    """Return the wheels' camber and toe [rad], and the tyres' radius [mm]."""
    return _sided(values, "front.camber"), toe, Numbers(values).need("front.tyre_radius")


def _made_points(places: Sides, shape: tuple[Any, Any, Any]) -> CornerPoints:
    """Return the points that parts are made from; one car's are kept for the next frame."""
    camber, toe, radius = shape
    if not isinstance(radius, float):
        return _stacked_points(places, *shape)
    return _kept_points(places, *(tuple(each.ravel().tolist()) for each in (camber, toe)), radius)


@lru_cache(maxsize=4)
def _kept_points(
    places: Sides, camber: tuple[float, float], toe: tuple[float, float], radius: float
) -> CornerPoints:
    return _stacked_points(places, _of_sides(*camber), _of_sides(*toe), radius)


def _stacked_points(places: Sides, camber: Any, toe: Any, radius: Any) -> CornerPoints:
    pairs = [(left, mirrored(right)) for left, right in places]
    rows = np.array(pairs).reshape(len(pairs), 2, 3, -1).transpose(0, 2, 1, 3).copy()
    points: dict[str, Any] = {
        name: (x, y, z) for name, (x, y, z) in zip(CORNER_POINTS, rows, strict=True)
    }
    return CornerPoints(**points, camber=camber, toe=toe, tyre_radius=_of_sides(radius, radius))


def _seats(design: BothSides, body: BothSides) -> dict[str, Vector]:
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
    number = Numbers(values)
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
        axis = values.get(f"front.joints.{name}_axis")
        if axis is not None:
            place = cast(Vec, axis)
            axes[name] = unit(_rows(place, mirrored(place)))
    return axes


def _steering(values: Values, design: BothSides, body: BothSides) -> Steering:
    inner = _rows(body["left"]["tie_inner"], body["right"]["tie_inner"])
    if values.get("front.steering.kind") != "relay":
        return Rack(inner)
    axis = cast(Vec, values.get("front.steering.pitman_axis", (0.0, 0.0, 1.0)))
    idler_axis = cast(Vec, values.get("front.steering.idler_axis", axis))
    made = {name: vector(place) for name, place in design["left"].items()}
    bolted = {name: vector(place) for name, place in body["left"].items()}

    def carried(arm: str) -> Vector:
        """Return an arm's end as its moved pivot carries it along."""
        step = subtract(bolted[f"{arm}_pivot"], made[f"{arm}_pivot"])
        return add(made[f"{arm}_end"], step)

    return Relay(
        tie_inner=inner,
        pitman_pivot=bolted["pitman_pivot"],
        pitman_end=carried("pitman"),
        idler_pivot=bolted["idler_pivot"],
        idler_end=carried("idler"),
        axis=unit(vector(axis)),
        idler_axis=unit(vector(idler_axis)),
        link=(made["pitman_end"], made["idler_end"]),
    )
