"""What the measured car fixes for every proposal of a leaf axle."""

from __future__ import annotations

from geometry.dataclass import dataclass
from geometry.leaf.loop import Point


@dataclass(frozen=True)
class LeafReference:
    """What the measured car fixes for every proposal.

    Parameters
    ----------
    datum
        Wheel centre (x, z) at zero travel [mm].
    free
        Change of curvature from the measured loop to the free spring [1/mm], None without load.
    arch
        Free arch of the measured pack [mm]: as given, else as weighed; None where neither is known.
    seat_height, seat_angle
        Of its seat where it stands, in body axes [mm], [rad], + nose up.
    """

    datum: Point
    free: float | None
    arch: float | None
    seat_height: float
    seat_angle: float
