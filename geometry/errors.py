"""What can't be built or reached, as values that build their own sentence.

Sentences use mm and degrees; whoever shows them in other units reads the numbers instead.
"""

from __future__ import annotations

from dataclasses import dataclass


class GeometryError(ValueError):
    """Base of every error of the kernel that a user's geometry can cause."""


@dataclass
class DegenerateGeometry(GeometryError):
    """Points that define nothing: two pivots in one place, a ball joint on its own pivot line.

    Parameters
    ----------
    first, second
        Keys of the two points (without axle prefix).
    reason
        Why they can't define anything, a half-sentence.
    """

    first: str
    second: str
    reason: str

    def __str__(self) -> str:
        return f"{spoken(self.first)} and {spoken(self.second)} {self.reason}."


@dataclass
class Unreachable(GeometryError):
    """A pose that the linkage can't take.

    Parameters
    ----------
    first, second
        Keys of the two points that can't be brought to their distance.
    wanted
        Distance that the part between them needs [mm].
    available
        Nearest distance that they can take there [mm].
    travel
        Wheel travel asked for [mm], + in bump.
    limit
        Wheel travel at which it starts [mm], None when no travel is reachable.
    rack
        Steer asked for [mm], + to the car's left.
    """

    first: str
    second: str
    wanted: float
    available: float
    travel: float
    limit: float | None = None
    rack: float = 0.0

    def __str__(self) -> str:
        gap = self.available - self.wanted
        if self.limit is not None and abs(gap) < 0.05:
            return (
                f"The wheel can't go to {self.travel:+.1f} mm: the arms come to the end of "
                f"their reach at {self.limit:+.1f} mm ({spoken(self.first)} and "
                f"{spoken(self.second)}, {self.wanted:.1f} mm apart)."
            )
        where = "at the measured height" if self.limit is None else f"at {self.travel:+.1f} mm"
        start = "" if self.limit is None else f" It starts at {self.limit:+.1f} mm of travel."
        word = "too far apart" if gap > 0 else "too close together"
        return (
            f"{spoken(self.first)} and {spoken(self.second)} are {abs(gap):.1f} mm {word} {where}: "
            f"the part between them is {self.wanted:.1f} mm long and the nearest they come to that "
            f"is {self.available:.1f} mm.{start}"
        )


POINT_NAMES = {
    "upper_front": "upper arm, front pivot",
    "upper_rear": "upper arm, rear pivot",
    "upper_ball": "upper ball joint",
    "lower_front": "lower arm, front pivot",
    "lower_rear": "lower arm, rear pivot",
    "lower_ball": "lower ball joint",
    "tie_inner": "tie rod, inner end",
    "tie_outer": "tie rod, outer end",
    "wheel_centre": "wheel centre",
    "spring_body": "spring, body seat",
    "spring_arm": "spring, arm seat",
    "damper_body": "damper, body end",
    "damper_arm": "damper, arm end",
    "pitman_pivot": "pitman arm, pivot",
    "pitman_end": "pitman arm, relay joint",
    "idler_pivot": "idler arm, pivot",
    "idler_end": "idler arm, relay joint",
}


def spoken(key: str) -> str:
    """Return the words for a point's key; unknown keys are returned as they are."""
    return POINT_NAMES.get(key, key.replace("_", " "))
