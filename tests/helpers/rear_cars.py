"""Invented rears as setups: on four leaves with a helper, on links, and from one to the other."""

from __future__ import annotations

import math

from app.document.model import Change, FrozenMap, Leaf, Setup

POINTS = {
    "rear.front_eye": (-1960.0, 480.0, 315.0),
    "rear.rear_eye": (-3255.0, 480.0, 350.0),
    "rear.shackle_body": (-3280.0, 480.0, 440.0),
    "rear.centre_bolt": (-2560.0, 480.0, 250.0),
    "rear.wheel_centre": (-2560.0, 690.0, 305.0),
    "rear.damper_axle": (-2430.0, 400.0, 230.0),
    "rear.damper_body": (-2380.0, 330.0, 620.0),
    "rear.pinion": (-2280.0, 0.0, 300.0),
}
LINKS = {
    "rear.lower_body": (-2060.0, 470.0, 270.0),
    "rear.lower_axle": (-2560.0, 470.0, 240.0),
    "rear.upper_body": (-2250.0, 250.0, 420.0),
    "rear.upper_axle": (-2540.0, 200.0, 430.0),
    "rear.lateral_body": (-2680.0, -480.0, 320.0),
    "rear.lateral_axle": (-2680.0, 500.0, 290.0),
    "rear.spring_body": (-2560.0, 420.0, 560.0),
    "rear.spring_axle": (-2560.0, 430.0, 300.0),
}
VALUES: dict[str, object] = {
    "car.wheelbase": 2560.0,
    "car.mass": 1240.0,
    "car.front_share": 0.54,
    "car.cg_height": 540.0,
    "car.rear_unsprung": 140.0,
    "rear.kind": "leaf axle",
    "rear.tyre_radius": 305.0,
    "rear.tyre_rate": 190.0,
    "rear.pack.width": 63.5,
    "rear.pack.modulus": 206000.0,
    "rear.pack.clamp_length": 110.0,
    "rear.pack.free_arch": 120.0,
    "rear.pack.leaf": (
        Leaf(6.5, 610.0, 710.0),
        Leaf(6.5, 520.0, 600.0, clipped=True),
        Leaf(6.5, 400.0, 460.0),
        Leaf(9.0, 300.0, 340.0, contact=35.0),
    ),
    "rear.axle.mass": 105.0,
    "rear.axle.pitch_inertia": 1.6e6,
    "rear.axle.roll_inertia": 30e6,
    "rear.axle.pinion_angle": math.radians(2.0),
    "rear.damper.rate": 1.6,
    "rear.drive.engine_torque": 130e3,
    "rear.drive.gear": 3.4,
    "rear.drive.final_drive": 4.1,
    "rear.drive.grip": 0.9,
    "rear.spring.rate": 28.0,
    "rear.spring.free_length": 345.0,
}
RIGHT_BEHIND = Change(
    "Right damper behind",
    moves=FrozenMap(
        {
            "rear.right.damper_axle": (-260.0, 0.0, 0.0),
            "rear.right.damper_body": (-360.0, 0.0, 0.0),
        }
    ),
)
BLOCK = Change(
    "Lowered",
    sets=FrozenMap({"rear.block": 30.0}),
    moves=FrozenMap({"rear.front_eye": (0.0, 0.0, -15.0)}),
)
ONTO_LINKS = Change("Onto links", sets=FrozenMap({"rear.kind": "five-link axle", **LINKS}))


def leaf_car(*changes: Change, **values: object) -> Setup:
    evidence = {**POINTS, **VALUES, **{k.replace("__", "."): v for k, v in values.items()}}
    return Setup(title="", units="mm", evidence=FrozenMap(evidence), changes=changes)  # type: ignore[arg-type]


def link_car(*changes: Change) -> Setup:
    away = ("eye", "shackle", "bolt", "pack")
    evidence = {
        k: v for k, v in {**POINTS, **LINKS, **VALUES}.items() if not any(a in k for a in away)
    }
    evidence["rear.kind"] = "five-link axle"
    return Setup(title="", units="mm", evidence=FrozenMap(evidence), changes=changes)  # type: ignore[arg-type]
