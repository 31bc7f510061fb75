"""Invented axles on leaf springs, always the same ones; (x, z) from the ground under the front."""

from dataclasses import dataclass

from geometry.leaf.fit import loop_from_points
from geometry.leaf.loop import LeafLoop


@dataclass(frozen=True)
class LeafPoints:
    front_eye: tuple[float, float]
    seat: tuple[float, float]
    rear_eye: tuple[float, float]
    shackle_pivot: tuple[float, float]
    wheel_centre: tuple[float, float]
    clamp: float = 110.0

    def fit(self) -> LeafLoop:
        return loop_from_points(
            self.front_eye,
            self.seat,
            self.rear_eye,
            self.shackle_pivot,
            self.wheel_centre,
            self.clamp,
        )[0]


SALOON = LeafPoints(
    (-2020.0, 300.0), (-2580.0, 262.0), (-3333.0, 345.0), (-3345.0, 440.0), (-2580.0, 305.0)
)
COUPE = LeafPoints(
    (-1800.0, 330.0), (-2410.0, 330.0), (-3090.0, 372.0), (-3120.0, 455.0), (-2410.0, 375.0), 90.0
)
UNDERSLUNG = LeafPoints(
    (-1900.0, 260.0), (-2500.0, 210.0), (-3180.0, 290.0), (-3175.0, 380.0), (-2500.0, 290.0), 100.0
)
STANDING_SHACKLE = LeafPoints(
    (-2000.0, 320.0), (-2560.0, 262.0), (-3300.0, 350.0), (-3320.0, 265.0), (-2560.0, 305.0)
)
AXLES = (SALOON, COUPE, UNDERSLUNG, STANDING_SHACKLE)


def flat_symmetrical() -> LeafLoop:
    """A level spring, eyes and seat on one line, shackle upright."""
    return LeafPoints(
        (-2000.0, 300.0),
        (-2650.0, 300.0),
        (-3300.0, 300.0),
        (-3300.0, 400.0),
        (-2650.0, 300.0),
        80.0,
    ).fit()
