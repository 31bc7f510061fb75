"""What can't be built or reached at the rear, as values that build their own sentence."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.errors import GeometryError, Unreachable, spoken


@dataclass
class ImpossiblePack(GeometryError):
    """A pack that can't be built.

    Parameters
    ----------
    leaf
        Number of the leaf, the main leaf is 1; 0 for the pack as a whole.
    reason
        What is wrong and what to do, a half-sentence.
    """

    leaf: int
    reason: str

    def __str__(self) -> str:
        return f"Leaf {self.leaf} {self.reason}." if self.leaf else f"The pack {self.reason}."


@dataclass
class ShackleOutOfReach(GeometryError):
    """A travel at which the shackle can't join its body pivot and the spring's rear eye.

    Parameters
    ----------
    travel
        Travel asked for [mm], + in bump.
    limit
        Last travel that can be reached towards it [mm].
    shackle
        Length of the shackle [mm].
    needed
        Distance between its two ends there [mm].
    """

    travel: float
    limit: float
    shackle: float
    needed: float

    def __str__(self) -> str:
        return (
            f"The axle stops at {self.limit:+.1f} mm of travel: the shackle has swung too far "
            f"towards the line of the spring. At {self.travel:+.1f} mm its body pivot and the "
            f"spring's rear eye would be {self.needed:.1f} mm apart, and the shackle is "
            f"{self.shackle:.1f} mm long: move the pivot, or make the shackle longer."
        )


@dataclass
class AxleUnreachable(Unreachable):
    """A pose that the links can't take without being stretched beyond reason.

    Parameters
    ----------
    roll
        Body roll asked for [rad], + to the right.
    """

    roll: float = 0.0

    def __str__(self) -> str:
        return (
            f"The axle can't go to {self.travel:+.1f} mm with {math.degrees(self.roll):+.2f}° of "
            f"roll: {spoken(self.first)} and {spoken(self.second)} would be "
            f"{self.available:.1f} mm apart, and the link between them is {self.wanted:.1f} mm "
            f"long. Move a link's end, or ask for less."
        )
