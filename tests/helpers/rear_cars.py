"""Invented rears as setups: five leaves, one leaf with a helper, links, and both."""

from __future__ import annotations

from app.document.model import Change, FrozenMap, Leaf, Setup

CAR: dict[str, object] = {
    "car.wheelbase": 2560.0,
    "car.mass": 1240.0,
    "car.front_share": 0.54,
    "car.cg_height": 540.0,
    "car.front_brake_share": 0.64,
    "car.rear_unsprung": 140.0,
    "rear.tyre_radius": 305.0,
    "rear.tyre_rate": 190.0,
    "rear.wheel_centre": (-2560.0, 690.0, 305.0),
    "rear.damper_axle": (-2430.0, 400.0, 230.0),
    "rear.damper_body": (-2380.0, 330.0, 620.0),
    "rear.damper.rate": 1.6,
    "rear.axle.mass": 105.0,
    "rear.axle.pitch_inertia": 1.6e6,
    "rear.axle.roll_inertia": 30e6,
    "rear.drive.engine_torque": 130e3,
    "rear.drive.gear": 3.4,
    "rear.drive.final_drive": 4.1,
    "rear.drive.grip": 0.9,
    "rear.travel.bump": 70.0,
    "rear.travel.rebound": 60.0,
}
LEAVES = (
    Leaf(6.5, 610.0, 710.0),
    Leaf(6.5, 520.0, 600.0, clipped=True),
    Leaf(6.5, 400.0, 460.0),
    Leaf(6.5, 280.0, 320.0),
)
SPRINGS: dict[str, object] = {
    "rear.front_eye": (-1960.0, 480.0, 315.0),
    "rear.rear_eye": (-3255.0, 480.0, 350.0),
    "rear.shackle_body": (-3280.0, 480.0, 440.0),
    "rear.centre_bolt": (-2560.0, 480.0, 250.0),
    "rear.pack.width": 63.5,
    "rear.pack.modulus": 206_000.0,
    "rear.pack.clamp_length": 110.0,
    "rear.pack.free_arch": 120.0,
    "rear.pack.friction": 0.06,
    "rear.pack.limit_stress": 1000.0,
    "rear.pack.leaf": LEAVES,
}
LINKS: dict[str, object] = {
    "rear.lower_body": (-2000.0, 480.0, 300.0),
    "rear.lower_axle": (-2540.0, 500.0, 230.0),
    "rear.upper_body": (-2150.0, 430.0, 420.0),
    "rear.upper_axle": (-2560.0, 440.0, 410.0),
    "rear.lateral_body": (-2640.0, -420.0, 330.0),
    "rear.lateral_axle": (-2640.0, 430.0, 310.0),
    "rear.spring_body": (-2540.0, 450.0, 560.0),
    "rear.spring_axle": (-2540.0, 450.0, 300.0),
    "rear.spring.rate": 28.0,
}
STAGGERED = Change(
    "Right damper behind",
    moves=FrozenMap(
        {
            "rear.right.damper_axle": (-260.0, 0.0, 0.0),
            "rear.right.damper_body": (-360.0, 0.0, 0.0),
        }
    ),
)
BARS = Change(
    "Traction bars",
    sets=FrozenMap(
        {
            "rear.traction_bar.length": 560.0,
            "rear.traction_bar.gap": 4.0,
            "rear.traction_bar.stiffness": 450.0,
        }
    ),
)


def leaf_setup(*changes: Change, without: tuple[str, ...] = (), **values: object) -> Setup:
    """A car on leaf springs; values have double underscores for dots, `without` takes keys away."""
    return _setup({**CAR, **SPRINGS, "rear.kind": "leaf axle"}, changes, without, values)


def link_setup(*changes: Change, without: tuple[str, ...] = (), **values: object) -> Setup:
    """The same car on links."""
    return _setup({**CAR, **LINKS, "rear.kind": "five-link axle"}, changes, without, values)


def both_setup(*changes: Change, **values: object) -> Setup:
    """A car on leaf springs whose links are given too."""
    return _setup({**CAR, **SPRINGS, **LINKS, "rear.kind": "leaf axle"}, changes, (), values)


def _setup(
    given: dict[str, object],
    changes: tuple[Change, ...],
    without: tuple[str, ...],
    values: dict[str, object],
) -> Setup:
    evidence = given | {key.replace("__", "."): value for key, value in values.items()}
    kept = {key: value for key, value in evidence.items() if key not in without}
    return Setup(title="invented", evidence=FrozenMap(kept), changes=changes)
